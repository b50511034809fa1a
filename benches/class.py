"""Times `rejig mark`: 30 students x 40 answers, and up to a million rows, with
one worker and with two; peak memory beside it.

    python3 benches/class.py target/release/rejig [--most 1000000]

The questions are those of a seeded quiz; right answers are the program's own
solutions in three forms, wrong ones are those with a sign turned, a number
lost or a letter exchanged. `distinct` rows are all different (and right), so
that none is marked by looking it up.
"""

import argparse
import json
import os
import random
import subprocess
import tempfile
import time
from pathlib import Path


def run(command, **more):
    started = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, **more)
    _, status, usage = os.wait4(process.pid, 0)
    assert os.waitstatus_to_exitcode(status) == 0, command
    return time.perf_counter() - started, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def solutions(rejig, quiz):
    requests = "".join(
        json.dumps({
            "id": question["number"], "task": "isolate", "formula": question["formula"],
            "subject": question["subject"],
            "quantities": {
                name: value if isinstance(value, str) else value.get("domain", "positive")
                for name, value in question["quantities"].items()
            },
        }) + "\n"
        for question in quiz["questions"]
    )
    ran = subprocess.run([rejig, "judge"], input=requests, capture_output=True, text=True, check=True)
    found = [json.loads(line) for line in ran.stdout.splitlines()]
    return [value["solutions"][0] for value in found]


def wrong(value, draw):
    ways = []
    for old, new in [("+", "-"), ("-", "+"), ("2", "1"), ("sqrt", ""), ("/", "*"), ("4", "2")]:
        if old in value:
            ways.append(value.replace(old, new, 1))
    letters = [letter for letter in value if letter.isalpha()]
    if letters:
        ways.append(value.replace(draw.choice(letters), "1", 1))
    return draw.choice(ways) if ways else "1"


def rows(path, students, answers, draw, distinct):
    with open(path, "w", encoding="utf-8") as file:
        file.write("seat,question,answer\n")
        serial = 0
        for seat in range(students):
            for number, (subject, value, wrongs) in enumerate(answers, start=1):
                chance = draw.random()
                serial += 1
                if distinct:
                    answer = f"{subject} = ({value})*{serial + 1}/{serial + 1}"
                elif chance < 0.6:
                    answer = draw.choice([f"{subject} = {value}", value, f"{subject}=({value})"])
                elif chance < 0.95:
                    answer = draw.choice(wrongs)
                else:
                    answer = ""
                quoted = answer.replace('"', '""')
                file.write(f'seat {seat},{number},"{quoted}"\n')


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("rejig")
    arguments.add_argument("--most", type=int, default=1_000_000)
    arguments.add_argument("--again", type=int, default=5)
    given = arguments.parse_args()
    draw = random.Random(7)
    with tempfile.TemporaryDirectory() as folder:
        quiz_path = Path(folder) / "quiz.json"
        made = subprocess.run(
            [given.rejig, "quiz", "--seed", "1", "--count", "40", "--questions", "--format", "json"],
            capture_output=True, text=True, check=True,
        )
        quiz_path.write_text(made.stdout, encoding="utf-8")
        quiz = json.loads(made.stdout)
        answers = []
        for question, solution in zip(quiz["questions"], solutions(given.rejig, quiz)):
            value = solution.split("=", 1)[-1].strip()
            wrongs = [wrong(value, draw) for _ in range(6)]
            answers.append((question["subject"], value, wrongs))
        print("rows      distinct  workers  seconds  cpu s    MB")
        sizes = [(30, False), (30, True), (2_500, True), (5_000, True)]
        sizes += [(students, False) for students in (2_500, 5_000, 12_500, 25_000)]
        for students, distinct in sizes:
            if students * 40 > given.most:
                continue
            path = Path(folder) / "rows.csv"
            rows(path, students, answers, draw, distinct)
            for jobs in ("1", "2"):
                again = given.again if students == 30 else 1
                runs = [
                    run([given.rejig, "mark", "--quiz", quiz_path, "--jobs", jobs, "--format", "csv", path])
                    for _ in range(again)
                ]
                seconds, cpu, memory = min(runs)
                print(f"{students * 40:<9} {'yes' if distinct else 'no':<9} {jobs:<8} "
                      f"{seconds:<8.3f} {cpu:<8.3f} {memory:.0f}", flush=True)


if __name__ == "__main__":
    main()
