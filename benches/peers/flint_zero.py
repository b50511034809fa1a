"""Zero testing by python-flint, for comparison: rational functions only.

    python benches/peers/flint_zero.py benches/peers/pairs.tsv [--each]

Both sides become quotients of two `fmpq_mpoly`; they are equal if the crosswise
products are. Roots, logarithms and angles it has no place for: such a pair is
not tried. Python's own parser reads; reading is timed apart, and the least of
seven runs counts. `--each` prints a row a pair: number, label, what was
decided, microseconds of reading and deciding.
"""

import argparse
import ast
import re
import time

import flint


class NotRational(Exception):
    """Something that is no rational function."""


def quotient(node, ring, places):
    """Numerator and denominator of a parsed tree."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int):
        return ring.constant(node.value), ring.constant(1)
    if isinstance(node, ast.Name) and node.id in places:
        return ring.gen(places[node.id]), ring.constant(1)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.USub, ast.UAdd)):
        above, below = quotient(node.operand, ring, places)
        return (-above if isinstance(node.op, ast.USub) else above), below
    if isinstance(node, ast.BinOp):
        a, b = quotient(node.left, ring, places)
        if isinstance(node.op, ast.Pow):
            power = whole(node.right)
            if power < 0:
                a, b, power = b, a, -power
            return a ** power, b ** power
        c, d = quotient(node.right, ring, places)
        if isinstance(node.op, ast.Add):
            return a * d + c * b, b * d
        if isinstance(node.op, ast.Sub):
            return a * d - c * b, b * d
        if isinstance(node.op, ast.Mult):
            return a * c, b * d
        if isinstance(node.op, ast.Div):
            return a * d, b * c
    raise NotRational


def whole(node):
    """A whole exponent."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int):
        return node.value
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -whole(node.operand)
    raise NotRational


def share(times, part):
    """A percentile."""
    times = sorted(times)
    return times[min(len(times) - 1, int(part * len(times)))] if times else 0


def main():
    """Reads the pairs, prints what was found."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("pairs")
    options.add_argument("--each", action="store_true")
    chosen = options.parse_args()
    found, both = {"right": [0, 0], "wrong": [0, 0]}, []
    with open(chosen.pairs, encoding="utf-8") as lines:
        for number, line in enumerate(lines, start=1):
            first, second, label = line.rstrip("\n").replace("^", "**").split("\t")
            names = sorted(set(re.findall(r"[A-Za-z_]\w*", first + " " + second)))
            ring = flint.fmpq_mpoly_ctx.get(names, flint.Ordering.lex)
            places = {name: at for at, name in enumerate(names)}
            least = [1e9, 1e9]
            try:
                for _ in range(7):
                    start = time.perf_counter()
                    sides = [quotient(ast.parse(text, mode="eval").body, ring, places)
                             for text in (first, second)]
                    read = time.perf_counter()
                    (a, b), (c, d) = sides
                    equal = a * d == c * b
                    done = time.perf_counter()
                    least = [min(least[0], (read - start) * 1e6), min(least[1], (done - read) * 1e6)]
            except NotRational:
                continue
            found[label][equal] += 1
            both.append(sum(least))
            if chosen.each:
                word = "equal" if equal else "other"
                print(f"{number}\t{label}\t{word}\t{least[0]:.3f}\t{least[1]:.3f}")
    if not chosen.each:
        print(f"{len(both)} pairs of rational functions")
        for label, (other, equal) in found.items():
            print(f"{label}: equal found for {equal} of {equal + other}")
        print(f"both: median {share(both, 0.5):.0f} us, 99th percentile {share(both, 0.99):.0f} us")


if __name__ == "__main__":
    main()
