"""Holds the indices of `rejig mark` against SciPy.

    python tests/outside/item_analysis.py REJIG [--seeds N]

Makes classes with questions of one to four marks, students of several
abilities, answers left out, and ties at the cut; has them marked; and works
the same indices out from the marks of each answer with NumPy and SciPy: the
facility, the discrimination (upper and lower 27 %, tied students sharing the
places at the cut) and Pearson's correlation with the rest.
"""

import argparse
import json
import subprocess
import tempfile
from pathlib import Path

import numpy
from scipy import stats

# Formula, subject, marks, and answers that earn more or less.
QUESTIONS = [
    ("v = f lambda", "f", ["v/lambda", "v lambda", "lambda/v"]),
    ("v = u + a t", "a", ["(v-u)/t", "v - u = at", "(v+u)/t", "v/u"]),
    ("v^2 = u^2 + 2 a s", "u", ["sqrt(v^2-2as)", "u^2 = v^2 - 2as", "v^2-2as", "a"]),
    ("E = 1/2 m v^2", "v", ["sqrt(2E/m)", "2E/m = v^2", "2E/m", "m"]),
    ("g = G M/(R+h)^2", "h", ["sqrt(G M/g)-R", "(R+h)^2 = G M/g", "R+h = sqrt(G M/g)", "G"]),
    ("V = E - I (R + r)", "r", ["(E-V)/I - R", "E - V = I(R+r)", "R + r = (E-V)/I", "E"]),
]


def classes(seed: int):
    draw = numpy.random.default_rng(seed)
    students = int(draw.integers(2, 60))
    for seat in range(students):
        ability = draw.uniform()
        for number, (_, _, answers) in enumerate(QUESTIONS, start=1):
            if draw.uniform() < 0.05:
                continue
            right = draw.uniform() < ability
            place = 0 if right else int(draw.integers(1, len(answers)))
            yield f"seat {seat}", number, answers[place]


def groups(shares: numpy.ndarray) -> tuple[numpy.ndarray, numpy.ndarray]:
    """Weights of students in the upper and in the lower group."""
    size = max(1, int(numpy.floor(0.27 * len(shares) + 0.5)))
    weights = []
    for signed in (shares, -shares):
        weight = numpy.zeros(len(shares))
        left = float(size)
        for value in sorted(set(signed), reverse=True):
            tied = signed == value
            each = min(1.0, left / tied.sum())
            weight[tied] = each
            left -= each * tied.sum()
            if left <= 1e-9:
                break
        weights.append(weight)
    return weights[0], weights[1]


def close(one, other, what: str) -> None:
    if one is None or other is None:
        assert one is None and other is None, (what, one, other)
        return
    assert abs(one - other) < 1e-9, (what, one, other)


def check(rejig: str, seed: int, folder: Path) -> int:
    quiz = folder / "quiz.json"
    questions = [{"formula": formula, "subject": subject} for formula, subject, _ in QUESTIONS]
    quiz.write_text(json.dumps({"quiz": 1, "questions": questions}), encoding="utf-8")
    rows = folder / "rows.jsonl"
    rows.write_text(
        "".join(
            json.dumps({"seat": seat, "question": number, "answer": answer}) + "\n"
            for seat, number, answer in classes(seed)
        ),
        encoding="utf-8",
    )
    ran = subprocess.run(
        [rejig, "mark", "--quiz", quiz, "--format", "json", rows],
        capture_output=True, text=True, check=True,
    )
    values = [json.loads(line) for line in ran.stdout.splitlines()]
    seats, results = [], {}
    for value in values:
        if value["kind"] == "student":
            seats.append(value["seat"])
        elif value["kind"] == "question":
            results[value["question"]] = value
    if not seats:
        return 0
    worth = numpy.array([results[number + 1]["marks"] for number in range(len(QUESTIONS))])
    marks = numpy.zeros((len(seats), len(QUESTIONS)))
    for value in values:
        if value["kind"] == "answer":
            assert value["verdict"] != "undecided"
            marks[seats.index(value["seat"]), value["question"] - 1] = value["awarded"]
    totals = marks.sum(axis=1)
    upper, lower = groups(totals)
    for number in range(len(QUESTIONS)):
        found = results[number + 1]
        item = marks[:, number] / worth[number]
        rest = totals - marks[:, number]
        close(found["facility"], item.mean(), f"facility {seed} {number}")
        if len(seats) > 1:
            expected = (upper * item).sum() / upper.sum() - (lower * item).sum() / lower.sum()
            close(found["discrimination"], expected, f"discrimination {seed} {number}")
        varies = len(set(item)) > 1 and len(set(rest)) > 1
        expected = stats.pearsonr(item, rest).statistic if varies else None
        close(found["item_rest"], expected, f"correlation {seed} {number}")
        # Where a question is right or wrong, the same under its other name.
        if varies and set(item) <= {0.0, 1.0}:
            point = stats.pointbiserialr(item == 1.0, rest).statistic
            close(found["item_rest"], point, f"point-biserial {seed} {number}")
    return len(seats)


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("rejig")
    arguments.add_argument("--seeds", type=int, default=20)
    given = arguments.parse_args()
    students = 0
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(given.seeds):
            students += check(given.rejig, seed, Path(folder))
    print(f"{given.seeds} classes, {students} students: facility, discrimination and item-rest "
          "correlation agree with NumPy and SciPy to nine places")


if __name__ == "__main__":
    main()
