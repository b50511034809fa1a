"""Makes pairs.tsv: solution TAB answer TAB label, for the peers.

    python benches/peers/make_pairs.py

Taken from tests/outside/pairs_2000.jsonl (all quantities positive or acute),
in the explicit syntax that SymPy (with ** for ^) and GiNaC both read.
Decimals become fractions, so that nobody works with rounded numbers.
"""

import json
import os
import random
import sys
from fractions import Fraction

HERE = os.path.dirname(os.path.abspath(__file__))
OUTSIDE = os.path.join(HERE, "..", "..", "tests", "outside")
sys.path.insert(0, OUTSIDE)

import mpmath  # noqa: E402

import formulae  # noqa: E402
import reader  # noqa: E402
from label import Formula  # noqa: E402
from tree import Undefined, evaluate  # noqa: E402

FUNCTIONS = {"sqrt": "sqrt", "exp": "exp", "ln": "log", "sin": "sin", "cos": "cos", "tan": "tan",
             "arcsin": "asin", "arccos": "acos", "arctan": "atan"}
# Letters that are constants to one of the readers.
RENAMED = {"I": "I_", "E": "E_", "S": "S_", "N": "N_", "Q": "Q_", "C": "C_", "O": "O_", "e": "e_",
           "lambda": "lam", "gamma": "gam", "beta": "bet", "zeta": "zet"}
WANTED = {"right": 180, "wrong": 120}


def text(node):
    """Fully bracketed text; KeyError for a function that a peer lacks."""
    kind = node[0]
    if kind == "n":
        return str(node[1]) if node[1].denominator == 1 else f"({node[1]})"
    if kind == "d":
        value = Fraction(node[1])
        return f"({value})"
    if kind == "s":
        name = RENAMED.get(node[1], node[1])
        if not name.isascii():
            name = "".join(c if c.isascii() else f"u{ord(c):x}" for c in name)
        return name
    if kind == "pi":
        return "pi"
    if kind == "e":
        return "exp(1)"
    if kind == "+":
        return "(" + "+".join(text(term) for term in node[1]) + ")"
    if kind == "-":
        return f"(-{text(node[1])})"
    if kind == "*":
        return "*".join(text(factor) for factor in node[1])
    if kind == "/":
        return f"({text(node[1])})/({text(node[2])})"
    if kind == "^":
        if node[1] == ("e",):
            return f"exp({text(node[2])})"
        return f"({text(node[1])})^({text(node[2])})"
    return f"{FUNCTIONS[node[1]]}({text(node[2])})"


def main():
    """Writes pairs.tsv."""
    known = {}
    for typed, domains in formulae.table():
        sides = reader.read_equation(typed, domains)
        known[(sides, tuple(sorted(domains.items())))] = Formula(typed, sides, domains)
    with open(os.path.join(OUTSIDE, "pairs_2000.jsonl"), encoding="utf-8") as lines:
        rows = [json.loads(line) for line in lines]
    random.Random(3).shuffle(rows)
    left = dict(WANTED)
    with open(os.path.join(HERE, "pairs.tsv"), "w", encoding="utf-8") as out:
        for row in rows:
            if row["task"] != "rearrange" or not left.get(row["label"]) \
                    or "real" in row["quantities"].values():
                continue
            formula = next((found for (_, domains), found in known.items()
                            if domains == tuple(sorted(row["quantities"].items()))
                            and _same(found, row)), None)
            case = formula and formula.case(row["subject"])
            solution = case and case.main_solution()
            if not solution:
                continue
            sides = reader.read_equation(row["answer"], row["quantities"])
            answer = sides[1] if sides[0] == ("s", row["subject"]) else sides[0]
            try:
                out.write(f"{text(solution)}\t{text(answer)}\t{row['label']}\n")
            except KeyError:
                continue
            left[row["label"]] -= 1


def _same(formula, row):
    """Whether the row's formula is this one, by numbers."""
    sides = reader.read_equation(row["formula"], row["quantities"])
    for shift in (3, 5):
        point = {name: mpmath.mpf(7 + shift * index) / 29
                 for index, name in enumerate(sorted(row["quantities"]))}
        try:
            if any(abs(evaluate(mine, point) - evaluate(its, point)) > mpmath.mpf(10) ** -60
                   for mine, its in zip((formula.left, formula.right), sides)):
                return False
        except Undefined:
            return False
    return True


if __name__ == "__main__":
    main()
