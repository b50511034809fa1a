"""Planted changes in right derivations: nothing false may follow, nothing true be refuted.

    python tests/outside/planted.py target/release/rejig [SEED] [ROUNDS] [--domain positive]

Takes the right lines of the sheets' proofs and of the independent routes,
changes a side by the misses of `misses.py` and the equal rewrites of
`rewrites.py` (neither is trusted), and labels what comes out by mpmath at 60
digits on points of the givens: a line that fails at one of them does not follow, one
that holds at all of them to 40 digits does. `judge` gets them all in random
order as the lines of one working. Points come from the `check` of an
independent route, or from Newton's method on the givens of a sheet's proof.
Exit status 1 if a verdict contradicts the numbers.
"""

import json
import random
import re
import subprocess
import sys
from collections import Counter

import mpmath

import rewrites
from derivations import ROOT, domains, proofs
from independent import rows
from misses import miss
from printer import expression
from reader import Unreadable, read
from tree import NOISE, Undefined, evaluate, names, symbol

mpmath.mp.dps = 60
HOLDS, FAILS = mpmath.mpf(10) ** -40, mpmath.mpf(10) ** -20
POINTS = 9
NO_VALUE = (Undefined, ValueError, ZeroDivisionError, OverflowError, TypeError)


class Unusable(Exception):
    """Not what this check can read or solve."""


def side_of(text, letters):
    """A side as a tree; a letter that is not declared joins the others."""
    for _ in range(8):
        try:
            return read(text.strip(), list(letters))
        except Unreadable as fault:
            unknown = re.match(r"what is '(\w)", str(fault))
            if not unknown or unknown[1] == "_":
                raise Unusable(str(fault)) from fault
            letters.setdefault(unknown[1], "positive")
    raise Unusable(text)


def pair_of(text, letters):
    """The two sides of an equation."""
    sides = text.split("=")
    if len(sides) != 2 or re.search(r"\bd[²^/a-zA-ZΛΦ]\w*/d|d/d|int\(|let |±", text):
        raise Unusable(text)
    return [side_of(side, letters) for side in sides]


def drawn(domain, draw):
    """A value of a domain."""
    if domain == "acute":
        return mpmath.mpf(draw.uniform(0.1, 1.45))
    size = mpmath.e ** draw.uniform(-1.2, 1.5)
    return -size if domain == "real" and draw.random() < 0.5 else size


def inside(value, domain):
    """Whether a value belongs to a domain."""
    if domain == "acute":
        return 0 < value < mpmath.pi / 2
    return domain == "real" or value > 0 or (domain == "nonnegative" and value == 0)


def gap(pair, point):
    """How far the sides are apart, relative to their size."""
    left, right = (evaluate(side, point) for side in pair)
    return abs(left - right) / max(abs(left), abs(right), mpmath.mpf(10) ** -6)


def checked(row, letters, draw):
    """A point by the `check` of an independent route."""
    point = {name: drawn(domain, draw) for name, domain in letters.items()}
    for step in row["check"]:
        name, text = step.split("=")
        point[name.strip()] = evaluate(side_of(text, letters), point)
    return point


def solved(givens, letters, draw):
    """A point on the givens by Newton's method from a random start."""
    point = {name: drawn(domain, draw) for name, domain in letters.items()}
    used = sorted(set().union(*(names(side) for pair in givens for side in pair)))
    unknown = draw.sample(used, len(givens))

    def gaps(*values):
        here = {**point, **dict(zip(unknown, values))}
        return [evaluate(left, here) - evaluate(right, here) for left, right in givens]

    found = mpmath.findroot(gaps, [point[name] for name in unknown], tol=mpmath.mpf(10) ** -100)
    return {**point, **dict(zip(unknown, found))}


def points(givens, letters, one):
    """Points on the givens, inside the domains."""
    found = []
    for _ in range(400):
        try:
            point = one()
            good = all(inside(point[name], domain) for name, domain in letters.items())
            good = good and all(gap(pair, point) < mpmath.mpf(10) ** -50 for pair in givens)
        except NO_VALUE:
            continue
        if good and all(mpmath.mpf(10) ** -4 < abs(value) < 10 ** 5 for value in point.values()):
            found.append(point)
            if len(found) == POINTS:
                return found
    raise Unusable("few points")


def label(pair, places):
    """Whether a line holds on the givens; None if that is not plain."""
    worst, valued = mpmath.mpf(0), 0
    for point in places:
        try:
            worst = max(worst, gap(pair, point))
            valued += 1
        except NO_VALUE:
            continue
    if valued < POINTS:
        return None
    return True if worst < HOLDS else False if worst > FAILS else None


class Surroundings(rewrites.Context):
    """What misses and rewrites want to know."""

    def __init__(self, letters):
        self.symbols = {name: symbol(name, domain) for name, domain in letters.items()}
        self.domains, self.subject, self.others, self.cache = letters, next(iter(letters)), list(letters), {}
        self.positive = [name for name in letters if letters[name] != "real"]


def sources(every):
    """Every derivation: id, domains, functions, givens, goal, right lines, its own row."""
    for name in ("routes_independent.jsonl", "routes_second.jsonl"):
        if (ROOT / "tests/outside" / name).exists():
            for row in rows(name):
                if row["label"]["complete"] and not row.get("functions"):
                    yield row["id"], row["quantities"], row["given"], row["goal"], row["lines"], row
    more = [json.loads(row) for row in (ROOT / "tests/proofs/sheets.jsonl").read_text().splitlines()]
    for key, proof in proofs().items():
        lines = list(proof["route"])
        for row in more:
            if row["proof"] == key and "stops" not in row:
                lines += row["lines"]
        letters = {name: every or domain for name, domain in domains(key).items()}
        yield key, letters, proof["given"], proof["goal"], lines, None


def changed(pair, letters, draw):
    """A line with one side rewritten or missed."""
    context = Surroundings(letters)
    at = draw.randrange(2)
    made = (miss if draw.random() < 0.6 else rewrites.equal)(pair[at], draw, context)
    if not made:
        return None
    new = list(pair)
    new[at] = made[1]
    if draw.random() < 0.2:
        new.reverse()
    return made[0], new


def one_source(source, draw, rounds):
    """The request with the labels of its lines."""
    key, quantities, given, goal, lines, row = source
    letters = dict(quantities)
    givens = [pair_of(text, letters) for text in given]
    pair_of(goal, dict(letters))
    used = set().union(*(names(side) for pair in givens for side in pair))
    letters = {name: domain for name, domain in letters.items() if name in used}
    if row and "check" in row:
        places = points(givens, letters, lambda: checked(row, letters, draw))
    else:
        places = points(givens, letters, lambda: solved(givens, letters, draw))
    pool = []
    for line in lines + [goal] + given:
        try:
            pair = pair_of(line, dict(letters))
        except Unusable:
            continue
        if set().union(*map(names, pair)) <= set(letters):
            pool.append(pair)
            if label(pair, places) is False:
                print(f"{key}: the numbers contradict the right line {line}")
    asked = []
    for _ in range(rounds):
        made = changed(draw.choice(pool), letters, draw)
        if not made or not set().union(*map(names, made[1])) <= set(letters):
            continue
        how, pair = made
        said = label(pair, places)
        if said is None:
            continue
        try:
            typed = [expression(side, draw.choice(["caret", "student", "unicode", "spaced"]), draw, list(letters))
                     for side in pair]
        except (ValueError, *NO_VALUE):
            continue
        text = " = ".join(side[0] for side in typed)
        if len(text) < 400:
            asked.append((text, said, how))
    draw.shuffle(asked)
    request = {"id": key, "task": "proof", "quantities": letters, "given": given, "goal": goal,
               "lines": [text for text, _, _ in asked]}
    return request, asked


def main():
    """The command line."""
    plain = [part for part in sys.argv[1:] if not part.startswith("--")]
    every = plain.pop() if "--domain" in sys.argv else None
    program = plain[0]
    seed, rounds = (int(part) for part in (plain[1:] + ["1", "40"][len(plain) - 1:])[:2])
    count, false, used = Counter(), [], 0
    for source in sources(every):
        draw = random.Random(f"{seed} {source[0]}")
        try:
            request, asked = one_source(source, draw, rounds)
        except Unusable:
            count["derivations left out"] += 1
            continue
        used += 1
        done = subprocess.run([program, "judge"], input=json.dumps(request), text=True,
                              capture_output=True, check=False)
        response = json.loads(done.stdout)
        if "error" in response:
            print(source[0], response["error"])
            continue
        for (text, said, how), line in zip(asked, response["lines"]):
            verdict = line["verdict"]
            count[f"{'true' if said else 'false'} lines: {verdict}"] += 1
            good = verdict in ("follows", "leap", "circular")
            bad = verdict in ("does-not-follow", "not-given")
            # A second reading may be right where the preferred one is wrong.
            other = any(note.startswith("ambiguous") for note in line.get("notes", []))
            if (good and not said and not other) or (bad and said):
                false.append(f"{source[0]} ({how}): {text}: {verdict}, numbers say {said}")
            elif not good and not bad:
                print(f"open: {source[0]} ({how}): {' , '.join(request['given'])} |- {text}: {verdict}")
    print(f"derivations: {used}")
    for key, number in sorted(count.items()):
        print(f"  {key:36} {number}")
    print("\n".join(["", "false verdicts"] + false) if false else "\nno false verdict")
    return 1 if false else 0


if __name__ == "__main__":
    sys.exit(main())
