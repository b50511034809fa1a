"""Derivations of the sheets followed by SymPy, by another road than the engine's.

    python tests/outside/derivations.py target/release/rejig [--out FILE]

Reads proofs from `formulae/` and lines from `tests/proofs/sheets.jsonl`, types
them into SymPy 1.14.0 by `reader.py`, and asks for each line whether it lies in
the radical of the ideal of the givens, with every letter and every denominator
kept from zero (Rabinowitsch's trick, `sympy.groebner`). Sines and cosines are
letters with their relation; pi is a letter. A line with another function, or a
root of letters, is left out, and a proof of which every line is left out too.
The table of what both said goes to FILE. Exit status 1 if they disagree.
"""

import argparse
import json
import pathlib
import re
import subprocess
import sys

import sympy

from reader import Unreadable, read
from tree import names

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
LETTER = {}


class LeftOut(Exception):
    """Not a rational line."""


def letter(name):
    """The SymPy symbol of a name."""
    return LETTER.setdefault(name, sympy.Symbol(f"x{len(LETTER)}"))


def rational(node):
    """A tree of `reader.py` as a rational expression of letters."""
    kind = node[0]
    if kind in ("n", "d"):
        return sympy.Rational(str(node[1]))
    if kind == "s":
        return letter(node[1])
    if kind == "pi":
        return letter(" pi")
    if kind == "+":
        return sympy.Add(*[rational(term) for term in node[1]])
    if kind == "*":
        return sympy.Mul(*[rational(factor) for factor in node[1]])
    if kind == "-":
        return -rational(node[1])
    if kind == "/":
        return rational(node[1]) / rational(node[2])
    if kind == "^":
        exponent = rational(node[2])
        if not exponent.is_Integer:
            raise LeftOut("power")
        return rational(node[1]) ** exponent
    if kind == "f" and node[1] in ("sin", "cos", "tan"):
        if node[2][0] != "s":
            raise LeftOut("angle")
        angle = node[2][1]
        sine, cosine = letter(f" sin {angle}"), letter(f" cos {angle}")
        return {"sin": sine, "cos": cosine, "tan": sine / cosine}[node[1]]
    if kind == "f" and node[1] == "sqrt":
        inside = rational(node[2])
        if not inside.is_Integer:
            raise LeftOut("root")
        root = letter(f" sqrt {inside}")
        return root
    raise LeftOut(kind)


def relations():
    """What the letters for sines, cosines and roots satisfy."""
    found = []
    for name, symbol in LETTER.items():
        if name.startswith(" sin "):
            found.append(symbol ** 2 + letter(" cos " + name[5:]) ** 2 - 1)
        if name.startswith(" sqrt "):
            found.append(symbol ** 2 - int(name[6:]))
    return found


def numerators(text, declared):
    """The differences of neighbours of a line: numerators and denominators."""
    sides = [rational(side_of(part, declared)) for part in text.split("=")]
    return [sympy.fraction(sympy.together(a - b)) for a, b in zip(sides, sides[1:])]


def side_of(text, declared):
    """One side as a tree; letters that are not declared are letters."""
    known = list(declared)
    for _ in range(8):
        try:
            tree = read(text.strip(), known)
            return tree[0] if isinstance(tree, list) else tree
        except Unreadable as fault:
            unknown = re.match(r"what is '(\w)", str(fault))
            if not unknown:
                raise LeftOut(str(fault)) from fault
            known.append(unknown[1])
    raise LeftOut(text)


def in_radical(line, givens, apart):
    """Whether a polynomial vanishes wherever the givens do."""
    extra, guard = sympy.Symbol("z1"), sympy.Symbol("z2")
    product = sympy.Mul(*apart)
    ideal = givens + relations() + [1 - guard * product, 1 - extra * line]
    letters = sorted(set().union(*[part.free_symbols for part in ideal]), key=str)
    return sympy.groebner(ideal, *letters, order="grevlex").exprs == [1]


def proofs():
    """Every proof of the sheets: its letters and givens."""
    found = {}
    for path in sorted((ROOT / "formulae").glob("*.sheet")):
        declared, key, topic = [], None, None
        for row in path.read_text(encoding="utf-8").splitlines():
            word, _, rest = row.strip().partition(" ")
            if word == "topic":
                topic = re.split(r"[:\s]", rest)[0]
            elif word in ("quantity", "constant"):
                declared += [name.strip(" ,)") for name in re.split(r"[(,]", re.split(r"[:=]", rest)[0])]
            elif word == "proof":
                key = f"{topic}/{rest.split(':')[0].strip()}"
                found[key] = {"declared": declared, "given": [], "goal": None, "route": []}
            elif word == "given" and key:
                found[key]["given"].append(rest)
            elif word == "show" and key:
                found[key]["goal"] = rest
            elif word == "route" and key:
                found[key]["route"] = [line.strip() for line in rest.split(";")]
            elif not row.startswith(" "):
                key = None
    return found


def domains(key):
    """The domains that the sheet declares."""
    topic = key.split("/")[0]
    for path in (ROOT / "formulae").glob("*.sheet"):
        text = path.read_text(encoding="utf-8")
        if re.search(rf"^topic {re.escape(topic)}\b", text, re.M):
            found = {}
            for row in text.splitlines():
                named = re.match(r"quantity ([^:(]+?)\s*(\(.*?\))?\s*:(.*)", row)
                if named:
                    last = named[3].split(",")[-1].strip()
                    known = ("positive", "nonnegative", "real", "acute")
                    found[named[1]] = last if last in known else "positive"
            return found
    return {}


def main():
    """The command line."""
    options = argparse.ArgumentParser()
    options.add_argument("program")
    options.add_argument("--out")
    options = options.parse_args()
    rows = [json.loads(row) for row in (ROOT / "tests/proofs/sheets.jsonl").read_text().splitlines()]
    table, used, disagree = [], set(), 0
    for key, proof in proofs().items():
        lines = list(proof["route"])
        for row in rows:
            if row["proof"] == key:
                lines += [line for line in row["lines"] if line not in lines]
        request = {"id": key, "task": "proof", "quantities": domains(key), "given": proof["given"],
                   "goal": proof["goal"], "lines": lines}
        done = subprocess.run([options.program, "judge"], input=json.dumps(request), text=True,
                              capture_output=True, check=False)
        verdicts = json.loads(done.stdout)["lines"]
        LETTER.clear()
        try:
            parts = [pair for given in proof["given"] for pair in numerators(given, proof["declared"])]
        except LeftOut:
            continue
        for line, verdict in zip(lines, verdicts):
            try:
                own = numerators(line, proof["declared"])
            except LeftOut:
                continue
            apart = [below for _, below in parts + own] + [
                symbol for name, symbol in LETTER.items() if not name.startswith(" sqrt")]
            givens = [above for above, _ in parts]
            sympy_says = all(in_radical(above, givens, apart) for above, _ in own)
            rejig_says = verdict["verdict"]
            if rejig_says == "undecided":
                agrees = None
            else:
                agrees = sympy_says == (rejig_says in ("follows", "leap", "circular"))
            disagree += agrees is False
            used.add(key)
            table.append((key, line, "follows" if sympy_says else "does not", rejig_says,
                          {True: "", False: "DIFFER", None: "open"}[agrees]))
    out = ["# Lines of derivations by SymPy (groebner) and by rejig", "",
           f"{len(table)} lines of {len(used)} proofs; {disagree} differ. "
           f"SymPy {sympy.__version__}, radical membership; made by `derivations.py`.", "",
           "| proof | line | SymPy | rejig | |", "|---|---|---|---|---|"]
    out += [f"| {' | '.join(cell.replace('|', '/') for cell in row)} |" for row in table]
    text = "\n".join(out) + "\n"
    if options.out:
        pathlib.Path(options.out).write_text(text, encoding="utf-8")
    print(out[2])
    for row in table:
        if row[-1]:
            print("  ", *row)
    return 1 if disagree else 0


if __name__ == "__main__":
    sys.exit(main())
