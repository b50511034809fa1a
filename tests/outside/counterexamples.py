"""Every counterexample of the proof judge tried with other arithmetic.

    python tests/outside/counterexamples.py target/release/rejig [SEED] [COUNT]

Makes random premises and lines (mostly senseless, which is the point), asks
`judge`, and checks with mpmath at 40 digits, read by `reader.py`, that the
values of each counterexample satisfy all the givens and their domains and
break the line, and that lines said to follow hold at points on the givens that
come with other lines' counterexamples. Exit status 1 if one does not.
"""

import json
import random
import subprocess
import sys

import mpmath

from reader import Unreadable, read

TERMS = ["u", "v", "a", "t", "s", "a t", "u t", "v^2", "u^2", "2 a s", "sqrt(v)", "1/t", "x",
         "x y", "sin(a)", "ln t", "e^(-a t)", "sqrt(x^2)", "y^3", "cos(a)"]
LETTERS = "uvatsxy"
NEAR = mpmath.mpf(10) ** -9


def value(node, point):
    """The value of a tree of `reader.py`."""
    kind = node[0]
    if kind in ("n", "d"):
        return mpmath.mpf(node[1].numerator) / node[1].denominator if hasattr(node[1], "numerator") else mpmath.mpf(str(node[1]))
    if kind == "s":
        return point[node[1]]
    if kind in ("pi", "e"):
        return mpmath.pi if kind == "pi" else mpmath.e
    if kind == "+":
        return mpmath.fsum(value(term, point) for term in node[1])
    if kind == "*":
        return mpmath.fprod(value(factor, point) for factor in node[1])
    if kind == "-":
        return -value(node[1], point)
    if kind == "/":
        return value(node[1], point) / value(node[2], point)
    if kind == "f":
        inside = value(node[2], point)
        if node[1] in ("sqrt", "ln") and inside < 0:
            raise ValueError("no value")
        return {"sqrt": mpmath.sqrt, "ln": mpmath.log, "sin": mpmath.sin, "cos": mpmath.cos,
                "exp": mpmath.exp}[node[1]](inside)
    if kind == "^":
        return value(node[1], point) ** value(node[2], point)
    raise KeyError(kind)


def gap(text, point):
    """How far apart the two sides are, relative to the size of their terms:
    the values are doubles, and terms may cancel."""
    parts = sides(text)
    left, right = (value(side, point) for side in parts)
    return abs(left - right) / max(*(bulk(side, point) for side in parts), mpmath.mpf(10) ** -300)


def bulk(node, point):
    """The size of an expression if nothing in it cancelled."""
    kind = node[0]
    if kind == "+":
        return mpmath.fsum(bulk(term, point) for term in node[1])
    if kind == "*":
        return mpmath.fprod(bulk(factor, point) for factor in node[1])
    if kind == "-":
        return bulk(node[1], point)
    if kind == "/":
        return bulk(node[1], point) / abs(value(node[2], point))
    if kind == "^" and node[2][0] == "n" and node[2][1] > 0:
        return bulk(node[1], point) ** value(node[2], point)
    if kind == "f" and node[1] == "sqrt":
        return mpmath.sqrt(bulk(node[2], point))
    return abs(value(node, point))


def sides(text):
    """The two sides of a line."""
    return [read(part.strip(), list(LETTERS)) for part in text.split("=")]


def inside(number, domain):
    """Whether a value lies in a domain, to the last digit of a double."""
    return {"real": True, "positive": number > 0, "nonnegative": number >= 0,
            "acute": 0 < number < mpmath.pi / 2}[domain]


def requests(seed, count):
    """Random tasks."""
    source = random.Random(seed)

    def side():
        joint = source.choice([" + ", " - ", "*", "/"])
        return joint.join(f"({source.choice(TERMS)})" for _ in range(source.randint(1, 3)))

    for number in range(count):
        domains = {letter: source.choice(["real", "positive", "acute", "nonnegative"])
                   for letter in LETTERS}
        given = [f"{source.choice(LETTERS)} = {side()}" if source.random() < 0.6 else f"{side()} = {side()}"
                 for _ in range(source.randint(1, 3))]
        lines = []
        for _ in range(5):
            one = source.choice(given).split("=")
            factor = source.choice(TERMS)
            lines.append(source.choice([
                f"{side()} = {side()}",
                f"({one[0]})*({factor}) = ({one[1]})*({factor})",
                f"({one[0]})^2 = ({one[1]})^2",
                f"({one[0]}) - ({factor}) = ({one[1]}) - ({factor})",
                f"sqrt(({one[0]})^2) = {one[1]}",
                f"({one[0]})/({factor}) = ({one[1]})/({factor})",
            ]))
        yield {"id": number, "task": "proof", "quantities": domains, "given": given,
               "goal": f"{side()} = {side()}", "lines": lines}


def main():
    """The command line."""
    mpmath.mp.dps = 40
    program = sys.argv[1]
    seed, count = (int(part) for part in (sys.argv[2:4] + ["1", "1500"])[:2]) if len(sys.argv) > 3 else (1, 1500)
    asked = list(requests(seed, count))
    done = subprocess.run([program, "judge"], input="\n".join(map(json.dumps, asked)), text=True,
                          capture_output=True, check=False)
    tried = held = refuted = 0
    faults = []
    verdicts = {}
    for request, row in zip(asked, done.stdout.splitlines()):
        response = json.loads(row)
        if "lines" not in response:
            continue
        points = []
        for line, said in zip(request["lines"], response["lines"]):
            verdicts[said["verdict"]] = verdicts.get(said["verdict"], 0) + 1
            found = said["evidence"]
            if not found or found["kind"] != "counterexample":
                continue
            point = {name: mpmath.mpf(number) for name, number in found["values"].items()}
            tried += 1
            try:
                for name, number in point.items():
                    if not inside(number, request["quantities"].get(name, "positive")):
                        faults.append((request["id"], "outside a domain", name, line))
                for given in request["given"]:
                    if gap(given, point) > NEAR:
                        faults.append((request["id"], "a given does not hold", given, line, found["values"]))
                if gap(line, point) < mpmath.mpf(10) ** -14:
                    faults.append((request["id"], "the line holds there", line, found["values"]))
                points.append(point)
            except (Unreadable, KeyError, ValueError, ZeroDivisionError, TypeError) as fault:
                faults.append((request["id"], repr(fault), line, request["given"]))
        for line, said in zip(request["lines"], response["lines"]):
            if said["verdict"] not in ("follows", "leap", "circular"):
                continue
            for point in points:
                try:
                    held += 1
                    if gap(line, point) > NEAR:
                        refuted += 1
                        faults.append((request["id"], "said to follow, yet fails", line, request["given"]))
                except (KeyError, ValueError, ZeroDivisionError, TypeError):
                    held -= 1
    print(f"{len(asked)} tasks, verdicts {verdicts}; {tried} counterexamples tried, "
          f"{held} times a line that follows tried elsewhere; {len(faults)} faults")
    for fault in faults[:12]:
        print("  ", *fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
