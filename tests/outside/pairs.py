"""Makes labelled requests for `rejig judge`: SymPy solves, mpmath labels.

    python tests/outside/pairs.py --seed 1 --count 5000 --out pairs.jsonl

Answers that have no value on a part of the domain go to a file of their own,
with `_undefined` in its name. The same seed gives the same file.
"""

import argparse
import json
import random
import time
from collections import Counter

import formulae
import lines
import misses
import printer
import reader
import rewrites
from label import Formula, TooSlow, allowed
from tree import places, size

LONGEST = 70
CHARACTERS = 600


class Maker:
    """Draws formulae, subjects, answers."""

    def __init__(self, seed):
        self.draw = random.Random(seed)
        self.formulae = [Formula(text, reader.read_equation(text, domains), domains)
                         for text, domains in formulae.table()]
        self.contexts = {}

    def chosen(self):
        """Formula, subject, case. Plain products come up less often, and a
        subject with two roots more often, than their share of the list."""
        for _ in range(3):
            formula = self.draw.choice(self.formulae)
            subject = self.draw.choice(sorted(formula.domains))
            case = formula.case(subject)
            rich = any(node[0] in ("f", "+") for side in (formula.left, formula.right)
                       for _, node in places(side))
            if rich and (self.draw.random() < 0.6 or (case and case.two_roots)):
                break
        return formula, subject, case

    def context(self, formula, subject):
        """The rewrites' context, kept for its cache."""
        key = (id(formula), subject)
        if key not in self.contexts:
            self.contexts[key] = rewrites.Context(formula, subject)
        return self.contexts[key]

    def equation(self, sides, declared, styles):
        """An equation as typed."""
        style = self.draw.choice(styles)
        left, right = (printer.expression(side, style, self.draw, declared)[0] for side in sides)
        return f"{left} = {right}"

    def styles(self):
        """Mostly plain for the formula, as a sheet would write it."""
        return printer.STYLES if self.draw.random() < 0.3 else ("caret",)

    def base(self, case):
        """The solution to start from."""
        if case.two_roots:
            if case.formula.domains[case.subject] != "real":
                return None
            return case.formula.solutions(case.subject)[self.draw.choice(case.used)]
        return case.main_solution()

    def answer(self, case, context):
        """(how, tree) of an answer, right or nearly."""
        solution = self.base(case)
        if solution is None:
            return None
        wanted = self.draw.random()
        both = case.both_roots()
        if both and wanted < 0.2:
            return "both-roots", both
        if wanted < 0.04:
            return "as-solved", solution
        if wanted < 0.06:
            return self.vanishing(case, solution, context)
        if wanted < 0.55:
            return rewrites.equal(solution, self.draw, context)
        tree, path = solution, []
        if self.draw.random() < 0.4:
            rewritten = rewrites.equal(solution, self.draw, context)
            if rewritten:
                path.append(rewritten[0])
                tree = rewritten[1]
        missed = misses.miss(tree, self.draw, context)
        if missed is None:
            return None
        path.append("MISS:" + missed[0])
        return "+".join(path), missed[1]

    def vanishing(self, case, solution, context):
        """The solution over and under a factor that is zero where the formula
        holds, or None."""
        name, rewrite, factors = *rewrites.MAY_VANISH, []
        new = rewrite(solution, self.draw, context, factors.append)
        if new is None:
            return None
        one, other = factors
        for point in case.points:
            alike = {**point, one: point[other]}
            del alike[case.subject]
            if case.formula.roots(case.subject, alike):
                return name, new
        return None

    def rearrange(self):
        """A labelled rearrangement, or None."""
        formula, subject, case = self.chosen()
        if case is None:
            return None
        made = self.answer(case, self.context(formula, subject))
        if made is None or size(made[1]) > LONGEST:
            return None
        how, tree = made
        label, one_root = case.label(tree)
        if label is None:
            return None
        if how == rewrites.MAY_VANISH[0]:
            # No value where the factor is zero, though the formula has one.
            label = "undefined" if label == "right" else None
            if label is None:
                return None
        answer, style = printer.typed(subject, tree, self.draw, formula.domains)
        sides = (formula.left, formula.right)
        row = {"task": "rearrange", "formula": self.equation(sides, formula.domains, self.styles()),
               "subject": subject, "answer": answer, "quantities": formula.domains,
               "label": label, "how": how, "style": style}
        if one_root and "±" not in answer:
            row["one_root"] = True
        if one_root is None:
            row["everywhere"] = True
        return row

    def line(self):
        """A labelled pair of lines, or None."""
        formula, subject, case = self.chosen()
        made = lines.make(formula, case, self.draw, self.context(formula, subject))
        if made is None:
            return None
        before, after, label, how = made
        if size(after[0]) + size(after[1]) > LONGEST:
            return None
        return {"task": "line", "before": self.equation(before, formula.domains, self.styles()),
                "after": self.equation(after, formula.domains, printer.STYLES),
                "quantities": formula.domains, "label": label, "how": how}

    def row(self, share_of_lines):
        """A labelled request, or None."""
        try:
            return self.line() if self.draw.random() < share_of_lines else self.rearrange()
        except (TooSlow, OverflowError):
            return None


def generate(seed, count, share_of_lines=0.35):
    """Rows until there are `count` that are not `undefined`, each once."""
    maker = Maker(seed)
    seen, rows, undefined = set(), [], []
    while len(rows) < count:
        row = maker.row(share_of_lines)
        if row is None:
            continue
        text = json.dumps([row.get(key) for key in ("formula", "before", "subject", "answer", "after")])
        if text in seen or len(text) > CHARACTERS:
            continue
        seen.add(text)
        (undefined if row["label"] == "undefined" else rows).append(row)
    for kind, found in (("p", rows), ("u", undefined)):
        for index, row in enumerate(found):
            found[index] = {"id": f"{kind}{seed}-{index}", **row}
    return rows, undefined


def write(path, rows):
    """JSON Lines."""
    with open(path, "w", encoding="utf-8") as out:
        for row in rows:
            out.write(json.dumps(row, ensure_ascii=False) + "\n")


def main():
    """The command line."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=5000)
    options.add_argument("--out", required=True)
    options.add_argument("--lines", type=float, default=0.35, help="share of tries that are pairs of lines")
    chosen = options.parse_args()
    started = time.time()
    rows, undefined = generate(chosen.seed, chosen.count, chosen.lines)
    write(chosen.out, rows)
    apart = chosen.out.removesuffix(".jsonl") + "_undefined.jsonl"
    if undefined:
        write(apart, undefined)
    labels = Counter((row["task"], row["label"]) for row in rows)
    print(f"{len(rows)} rows in {chosen.out}, {len(undefined)} in {apart}, "
          f"{time.time() - started:.0f} s")
    for (task, label), number in sorted(labels.items()):
        print(f"  {task:10} {label:10} {number}")


if __name__ == "__main__":
    main()
