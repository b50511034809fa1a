"""Checks the labels of a pairs file by another route, without SymPy.

    python tests/outside/audit.py tests/outside/pairs_2000.jsonl

Formula and answer are read from their text, points of the formula are found
by a search for changes of sign, and the answer is tried there. For lines the
points of either line are tried in the other. Exit status 1 on any label that
these numbers contradict.
"""

import json
import random
import sys

import label as labels
import lines
import reader
from tree import Undefined, evaluate, places, put


def signs_of(node):
    """The tree with each doubled sign read both ways."""
    doubled = [path for path, found in places(node) if found[0] == "pm"]
    if not doubled:
        return [node]
    path = doubled[0]
    inner = next(found for at, found in places(node) if at == path)[1]
    return [put(node, path, inner), put(node, path, ("-", inner))]


def verdict(row, draw):
    """(what the numbers say, how many points)."""
    domains = row["quantities"]
    if row["task"] == "line":
        return lines.relation(reader.read_equation(row["before"], domains),
                              reader.read_equation(row["after"], domains), domains, draw), lines.WANTED
    subject = ("s", row["subject"])
    sides = reader.read_equation(row["formula"], domains)
    answer = reader.read_equation(row["answer"], domains)
    answer = answer[1] if answer[0] == subject else answer[0]
    points = lines.solution_points(sides, domains, draw)
    undefined = 0
    for point in points:
        try:
            values = [evaluate(way, point) for way in signs_of(answer)]
        except Undefined:
            undefined += 1
            continue
        near = min(labels.distance(value, point[row["subject"]]) for value in values)
        if near > labels.NEAR and not (row.get("one_root") and all(
                lines.holds(sides, {**point, row["subject"]: value}) for value in values)):
            return "wrong", len(points)
    return ("undefined" if undefined else "right"), len(points)


def main():
    """Goes through the files named."""
    bad = 0
    for name in sys.argv[1:]:
        unsure = checked = 0
        with open(name, encoding="utf-8") as rows:
            for row in map(json.loads, rows):
                told, points = verdict(row, random.Random(row["id"]))
                checked += 1
                if told is None or points < 3:
                    unsure += 1
                elif told == "right" and row["how"] == "scale-that-may-vanish":
                    pass  # no value on a line in the domain, which random points miss
                elif told != row["label"]:
                    bad += 1
                    print(told, json.dumps(row, ensure_ascii=False))
        print(f"{name}: {checked} rows, {unsure} with too few points, {bad} contradicted so far")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
