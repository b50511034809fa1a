"""Checks the hand-made labels of the independent corpora against numbers.

    python tests/outside/check_independent.py

Floating point at random points of the domain, read by `reader.py`; nothing of
the engine. Prints every row that the numbers contradict; exit status 1 if any.
What it can't check is the name of a slip: that is an examiner's judgement.
"""

import math
import random
import re
import sys

from independent import rows
from reader import Unreadable, read

FUNCTIONS = {"sqrt": math.sqrt, "sin": math.sin, "cos": math.cos, "tan": math.tan, "ln": math.log,
             "lg": math.log10, "exp": math.exp, "abs": abs, "arcsin": math.asin, "arccos": math.acos,
             "arctan": math.atan}
NO_VALUE = (ValueError, ZeroDivisionError, OverflowError)
CLOSE = 1e-7


def value(node, point):
    """The value of a tree of `reader.py` at a point."""
    kind = node[0]
    if kind in ("n", "d"):
        return float(node[1])
    if kind == "s":
        return point[node[1]]
    if kind in ("pi", "e"):
        return math.pi if kind == "pi" else math.e
    if kind == "+":
        return math.fsum(value(term, point) for term in node[1])
    if kind == "*":
        return math.prod(value(factor, point) for factor in node[1])
    if kind == "-":
        return -value(node[1], point)
    if kind == "/":
        return value(node[1], point) / value(node[2], point)
    if kind == "f":
        return FUNCTIONS[node[1]](value(node[2], point))
    if kind == "^":
        raised = value(node[1], point) ** value(node[2], point)
        if isinstance(raised, complex):
            raise ValueError
        return raised
    raise KeyError(kind)


def parsed(text, declared):
    """The tree and the letters, with the undeclared letters that it needs."""
    letters = list(declared)
    for _ in range(6):
        try:
            return read(text, letters), letters
        except Unreadable as fault:
            unknown = re.match(r"what is '(\w)", str(fault))
            if not unknown:
                raise
            letters.append(unknown[1])
    raise Unreadable(text)


def drawn(domain, source):
    """A random value of a domain."""
    if domain == "acute":
        return source.uniform(0.15, 1.4)
    size = math.exp(source.uniform(-1.6, 1.8))
    return -size if domain == "real" and source.random() < 0.5 else size


def candidates(domain):
    """Where a root is looked for."""
    if domain == "acute":
        return [step * 1.5707 / 600 for step in range(1, 600)]
    sizes = [10 ** (-7 + step / 50) for step in range(701)]
    return [-size for size in reversed(sizes)] + sizes if domain == "real" else sizes


def halved(gap, low, at_low, high):
    """The root between two values of opposite sign."""
    for _ in range(200):
        middle = (low + high) / 2
        at_middle = gap(middle)
        if at_low * at_middle <= 0:
            high = middle
        else:
            low, at_low = middle, at_middle
    return (low + high) / 2


def roots(gap, domain):
    """The roots in the domain that a change of sign betrays."""
    found, before = [], None
    for at in candidates(domain):
        try:
            here = gap(at)
            if before and before[1] * here < 0:
                root = halved(gap, *before, at)
                if abs(gap(root)) < 1e-6 * (1 + abs(here) + abs(before[1])):
                    found.append(root)
            before = (at, here)
        except NO_VALUE:
            before = None
    return found


def points(equation, subject, quantities, count):
    """Points on the equation, every quantity in its domain."""
    source = random.Random(1)
    left, right = (parsed(side, quantities)[0] for side in equation.split("="))
    found = []
    for _ in range(300):
        point = {name: drawn(domain, source) for name, domain in quantities.items() if name != subject}

        def gap(at, point=point):
            full = {**point, subject: at}
            return value(left, full) - value(right, full)

        every = roots(gap, quantities[subject])
        if every:
            found.append((point, every))
        if len(found) == count:
            break
    return found


def holds(equation, point, letters):
    """Whether an equation holds at a point; without a value it does not."""
    left, right = (parsed(side, letters)[0] for side in equation.split("="))
    try:
        one, other = value(left, point), value(right, point)
    except NO_VALUE:
        return False
    return abs(one - other) <= CLOSE * max(abs(one), abs(other), 1e-3)


def differs(row):
    """Whether the answer is, somewhere on the formula, none of the subject's values."""
    side, answer = (part.strip() for part in row["answer"].split("="))
    if side != row["subject"]:
        return "wrong-subject" in row["slips"]
    tree, letters = parsed(answer, row["quantities"])
    source = random.Random(2)
    extra = {name: drawn("positive", source) for name in letters if name not in row["quantities"]}
    for point, every in points(row["formula"], row["subject"], row["quantities"], 8):
        for root in every:
            try:
                got = value(tree, {**point, **extra, row["subject"]: root})
            except NO_VALUE:
                continue
            if all(abs(got - other) > CLOSE * max(abs(got), abs(other)) for other in every):
                return True
    return "subject-both-sides" in row["slips"]


def follows(before, after, row):
    """Whether two lines have the same solutions for the subject, as far as points show."""
    for one, other in ((before, after), (after, before)):
        for point, every in points(one, row["subject"], row["quantities"], 6):
            for root in every:
                if not holds(other, {**point, row["subject"]: root}, row["quantities"]):
                    return False
    return True


def working(row):
    """The first line that breaks, by numbers."""
    before = row["formula"]
    for index, line in enumerate(row["lines"]):
        if not follows(before, line, row):
            return index
        before = line
    return None


def alone(row):
    """Whether the last line is the subject alone on one side."""
    sides = [side.strip() for side in row["lines"][-1].split("=")]
    if row["subject"] not in sides:
        return False
    other = sides[1 - sides.index(row["subject"])]
    return "('s', '" + row["subject"] + "')" not in str(parsed(other, row["quantities"])[0])


def plain(line):
    """Derivatives as letters, which the `check` of the row gives a value."""
    for typed, letter in (("let ", ""), ("d^2x/dt^2", "x_b"), ("dx/dt", "x_a"), ("dN/dt", "N_a")):
        line = line.replace(typed, letter)
    return line


def route(row):
    """What the numbers say against a derivation's labels."""
    letters = list(row["quantities"]) + ["x_a", "x_b", "N_a", "k"]
    steps = [(name.strip(), read(text, letters)) for name, text in (step.split("=") for step in row["check"])]
    source, held, kept = random.Random(5), {}, 0
    for _ in range(60):
        point = {name: drawn(domain, source) for name, domain in row["quantities"].items()}
        try:
            for name, tree in steps:
                point[name] = value(tree, point)
        except NO_VALUE:
            continue
        if any(point[name] <= 0 for name, domain in row["quantities"].items() if domain == "positive"):
            continue
        kept += 1
        for line in row["given"] + row["lines"] + [row["goal"]]:
            held[line] = held.get(line, True) and holds(plain(line), point, letters)
    faults = [] if kept > 9 else ["few points"]
    faults += [f"given {line}" for line in row["given"] if not held.get(line)]
    for line, label in zip(row["lines"], row["label"]["lines"]):
        if label is not None and held.get(line) != (label in ("follows", "circular")):
            faults.append(f"{label}: {line}")
    if row["label"]["complete"] and row["lines"][-1].split("=")[0].strip() != row["goal"].split("=")[0].strip():
        if not held.get(row["goal"]):
            faults.append("goal")
    return faults


def main():
    """The command line."""
    faults = []
    for name in ("slips_independent.jsonl", "unexplained_independent.jsonl"):
        faults += [f"{row['id']}: not wrong: {row['answer']}" for row in rows(name) if not differs(row)]
    for row in rows("workings_independent.jsonl"):
        first = working(row)
        if first != row["first_bad"] or row["complete"] != (first is None and alone(row)):
            faults.append(f"{row['id']}: first bad {first}: {row['lines']}")
    for row in rows("routes_independent.jsonl"):
        faults += [f"{row['id']}: {fault}" for fault in route(row)]
    print("\n".join(faults) or "no row is contradicted")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
