"""Judge requests from the changes of subject of 120 physics equations.

    python tests/outside/feynman.py

Equations: S.-M. Udrescu and M. Tegmark, AI Feynman, Science Advances 6,
eaay2631 (2020). Solutions: SymPy 1.14 `solve`, in
`reference/feynman/subjects.jsonl`. Each solution is a request of its own, and
each with a planted change is another; mpmath labels both at 150 working digits:

    right      gives the subject back at every point of the domain
    undefined  gives it back wherever it has a value, not everywhere
    wrong      somewhere it is no root of the equation in the domain
    branch     a root, but at some points another than the one in the domain,
               or one of two: written to feynman_branches.jsonl, since it is no
               false verdict to call it either way
"""

import json
import os
import random
import re
from collections import Counter

import mpmath
import sympy

import misses
import printer
import rewrites
from label import FAR, NEAR, TooSlow, allowed, distance, inside, sample
from tree import Undefined, evaluate, from_sympy, names, places, size, symbol

HERE = os.path.dirname(os.path.abspath(__file__))
POINTS = 40


class Subject:
    """One row of the reference, as trees."""

    def __init__(self, row):
        self.subject, self.domains = row["subject"], row["domains"]
        self.symbols = {name: symbol(name, domain) for name, domain in self.domains.items()}
        left, right = row["equation"].split(" = ")
        self.left, self.right = self.tree(left), self.tree(right)

    def tree(self, text):
        """SymPy's text as a tree, kept as written."""
        known = {name: sympy.Symbol(name) for name in self.domains}
        text = text.replace("lambda", "lambda_")
        known["lambda_"] = sympy.Symbol("lambda")
        return from_sympy(sympy.parse_expr(text, local_dict=known, evaluate=True))

    def holds(self, point):
        """Whether the equation holds."""
        try:
            return distance(evaluate(self.left, point), evaluate(self.right, point)) < NEAR
        except Undefined:
            return False

    def points(self, solutions, draw):
        """Admissible points: every quantity drawn but the equation's left side,
        which is a bare quantity, and is then computed; and as many with the
        subject computed by its solutions."""
        found = []
        for attempt in range(60 * POINTS):
            if len(found) >= POINTS:
                break
            point = {name: sample(domain, draw, 400) for name, domain in self.domains.items()}
            if self.left[0] == "s" and attempt % 4:
                given, values = self.left[1], [self.right]
            else:
                given, values = self.subject, solutions
            for tree in values:
                try:
                    here = {**point, given: evaluate(tree, point)}
                except (Undefined, OverflowError):
                    continue
                if inside(here[given], self.domains[given]) and self.holds(here):
                    found.append(here)
        return found

    def label(self, answer, points):
        """right, undefined, wrong, branch, or None for what is in between."""
        equal = other = beyond = undefined = 0
        for point in points:
            try:
                value = evaluate(answer, point)
            except Undefined:
                undefined += 1
                continue
            near = distance(value, point[self.subject])
            if near < NEAR:
                equal += 1
            elif near < FAR:
                return None
            elif not self.holds({**point, self.subject: value}):
                return "wrong"
            elif inside(value, self.domains[self.subject]):
                other += 1
            else:
                beyond += 1
        if beyond and not equal and not other:
            return "wrong"
        if other or beyond:
            return "branch"
        if undefined:
            return "undefined"
        return "right" if equal else None


def _renamed(line):
    """A quantity called `g_` is no name that a person would type."""
    return re.sub(r"\bg_(?!\w)", "g_L", line)


def requests(row, draw):
    """Labelled requests of one reference row."""
    try:
        item = Subject(row)
        found = [item.tree(one["text"]) for one in row["solutions"] if one["kind"] == "elementary"]
    except (ValueError, TypeError, SyntaxError):
        return
    if not found:
        return
    points = item.points(found, draw)
    if len(points) < POINTS // 2:
        return
    formula = " = ".join(printer.expression(side, "caret", draw, item.domains)[0]
                         for side in (item.left, item.right))
    context = rewrites.Context(item, item.subject)
    for index, tree in enumerate(found):
        if ("s", item.subject) in [node for _, node in places(tree)]:
            continue
        planted = misses.miss(tree, draw, context)
        for kind, answer in (("solution", tree), ("planted:" + planted[0] if planted else None,
                                                  planted and planted[1])):
            if answer is None:
                continue
            label = item.label(answer, points)
            if label is None or (label == "branch" and kind != "solution"):
                continue
            typed = printer.expression(answer, "caret", draw, item.domains)[0]
            yield {"id": f"{row['set']}-{row['id']}-{item.subject}-{index}-{kind.split(':')[0]}",
                   "task": "rearrange", "formula": formula, "subject": item.subject,
                   "answer": f"{item.subject} = {typed}", "quantities": item.domains,
                   "label": label, "how": kind}


def main():
    """Writes the three files."""
    draw = random.Random(2020)
    rows = {"right": [], "undefined": [], "branch": []}
    with open(os.path.join(HERE, "reference/feynman/subjects.jsonl"), encoding="utf-8") as lines:
        for line in lines:
            try:
                with allowed(60):
                    for row in requests(json.loads(_renamed(line)), draw):
                        rows[row["label"] if row["label"] != "wrong" else "right"].append(row)
            except (TooSlow, OverflowError):
                print("left out, too slow:", line[:80])
    for kind, name in (("right", "feynman_pairs"), ("undefined", "feynman_undefined"),
                       ("branch", "feynman_branches")):
        with open(os.path.join(HERE, name + ".jsonl"), "w", encoding="utf-8") as out:
            for row in rows[kind]:
                out.write(json.dumps(row, ensure_ascii=False) + "\n")
        print(name, Counter(row["label"] for row in rows[kind]))


if __name__ == "__main__":
    main()
