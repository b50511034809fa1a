#!/usr/bin/env python3
"""Whether memory stays flat where work goes on: a judge of many requests, a
drill of many questions. Prints the memory in use (VmRSS) at a tenth, at half
and at the end, and fails if it grows by more than the bound in the second
half. (The judge keeps the last two thousand problems, which a short run only
has together at half.)

    soak.py PROGRAM [--judge LINES] [--drill QUESTIONS]

In CI with 60,000 requests and 400 questions; the full length is 1,000,000 and
10,000 (about a quarter of an hour on one core)."""

import argparse
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import threading
import time

# Growth that is allowed in the second half, in kilobytes: what an allocator
# does, and the few words and numbers that a drill keeps of each question.
JUDGE_GROWTH = 8_192
DRILL_GROWTH = 2_048
DRILL_GROWTH_PER_QUESTION = 1.0

FORMULAE = [
    ("v = u + a t", "a", ["(v-u)/t", "(v+u)/t", "v/t - u/t", "v-u/t"]),
    ("v^2 = u^2 + 2 a s", "s", ["(v^2-u^2)/2a", "(v^2+u^2)/(2a)", "v^2/2a - u^2/2a"]),
    ("s = u t + 1/2 a t^2", "a", ["2(s-ut)/t^2", "(s-ut)/t^2", "2s/t^2 - 2u/t"]),
    ("T = 2 pi sqrt(l/g)", "l", ["g T^2/(4 pi^2)", "g T/(2 pi)", "g (T/(2pi))^2"]),
    ("E = 1/2 m v^2", "v", ["sqrt(2E/m)", "sqrt(E/2m)", "(2E/m)^(1/2)"]),
    ("1/f = 1/u + 1/v", "v", ["uf/(u-f)", "f-u", "1/(1/f-1/u)"]),
    ("N = N_0 e^(-l t)", "t", ["ln(N_0/N)/l", "ln(N/N_0)/l", "-ln(N/N_0)/l"]),
]


def request(number, chance):
    """A request; one in eight is about a formula that no other has."""
    formula, subject, answers = chance.choice(FORMULAE)
    answer = chance.choice(answers)
    kind = chance.randrange(40)
    own = chance.randrange(2, 10**9)
    if kind < 32:
        body = {"task": "rearrange", "formula": formula, "subject": subject, "answer": answer}
    elif kind < 35:
        left, right = formula.split(" = ")
        body = {
            "task": "rearrange",
            "formula": f"{left} = {own} ({right})",
            "subject": subject,
            "answer": answer,
        }
    elif kind < 37:
        body = {"task": "line", "before": formula, "after": f"{subject} = {answer} + {own}"}
    elif kind < 38:
        body = {
            "task": "working",
            "formula": formula,
            "subject": subject,
            "lines": [formula, f"{subject} = {answer}"],
        }
    else:
        body = {"task": "isolate", "formula": f"y_{own} = m x + {own}", "subject": "x"}
    return json.dumps({"id": str(number), **body})


def memory(process, what="VmRSS"):
    for line in pathlib.Path(f"/proc/{process.pid}/status").read_text().splitlines():
        if line.startswith(what + ":"):
            return int(line.split()[1])
    return 0


def marks(total):
    return {total // 10: "10 %", total // 2: "50 %", total: "100 %"}


def report(name, found, started):
    told = ", ".join(f"{share} {kilobytes:,} kB" for share, kilobytes in found.items())
    print(f"{name}: {told}; {time.monotonic() - started:.0f} s", flush=True)


def judge(program, lines):
    started = time.monotonic()
    process = subprocess.Popen(
        [program, "judge"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )

    def feed():
        chance = random.Random(11)
        for number in range(lines):
            process.stdin.write(request(number, chance) + "\n")
        process.stdin.flush()
        # The end comes when all is answered: then there is still a process.
        done.wait()
        process.stdin.close()

    done = threading.Event()
    threading.Thread(target=feed, daemon=True).start()
    found = {}
    shares = marks(lines)
    for number in range(1, lines + 1):
        answer = process.stdout.readline()
        if not answer or '"error"' in answer:
            sys.exit(f"request {number}: {answer or 'no answer'}")
        if number in shares:
            found[shares[number]] = memory(process)
    peak = memory(process, "VmHWM")
    done.set()
    if process.wait() != 0:
        sys.exit(f"the judge ended with {process.returncode}")
    report(f"judge, {lines:,} requests", found, started)
    print(f"  the most it had: {peak:,} kB")
    return found["100 %"] - found["50 %"] <= JUDGE_GROWTH


def drill(program, questions):
    started = time.monotonic()
    folder = pathlib.Path(tempfile.mkdtemp(prefix="rejig-soak-"))
    sheet = folder / "soak.sheet"
    # Three questions a formula, no two formulae alike.
    formulae = (f"a = {number} b c" for number in range(2, questions // 3 + 4))
    sheet.write_text("topic soak\n" + "\n".join(formulae) + "\n")
    journal = folder / "journal.jsonl"
    process = subprocess.Popen(
        [program, "drill", "--sheet", sheet, "--only", "--topic", "soak", "--new", "1000000"]
        + ["--count", str(questions), "--journal", journal, "--seed", "1", "--kind"]
        + ["rearrangement"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "LC_ALL": "C.UTF-8"},
    )
    found = {}
    shares = marks(questions)
    asked = 0
    for line in process.stdout:
        head = line.split(" of ", 1)[0]
        if not (head.isdigit() and int(head) == asked + 1):
            continue
        asked += 1
        if asked in shares:
            found[shares[asked]] = memory(process)
        # A wrong answer, a hint, the solution.
        process.stdin.write("b = c\nhint\nshow\n")
        process.stdin.flush()
        if asked == questions:
            process.stdin.close()
    if process.wait() != 0 or asked != questions:
        sys.exit(f"the drill ended with {process.returncode} after {asked} questions")
    kept = sum(1 for line in journal.open() if '"item"' in line)
    report(f"drill, {questions:,} questions", found, started)
    print(f"  in the journal: {kept:,} attempts")
    for path in (sheet, journal):
        path.unlink()
    folder.rmdir()
    if kept != questions:
        sys.exit("attempts are missing")
    bound = DRILL_GROWTH + DRILL_GROWTH_PER_QUESTION * questions / 2
    return found["100 %"] - found["50 %"] <= bound


def main():
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("program")
    reader.add_argument("--judge", type=int, default=0)
    reader.add_argument("--drill", type=int, default=0)
    wanted = reader.parse_args()
    good = True
    if wanted.judge:
        good = judge(wanted.program, wanted.judge) and good
    if wanted.drill:
        good = drill(wanted.program, wanted.drill) and good
    if not good:
        print("memory grows")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
