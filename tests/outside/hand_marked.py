"""Holds `rejig mark` against answers that were marked by hand.

    python3 tests/outside/hand_marked.py tests/outside/hand_marked.jsonl REJIG [KNOWN]

The exit status is 1 if more than KNOWN answers have other marks.

The set was written by somebody who had not seen the code: formula, subject,
lines of the answer, marks awarded and available, and why.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path


def main() -> int:
    rows = [json.loads(line) for line in open(sys.argv[1], encoding="utf-8") if line.strip()]
    rejig = sys.argv[2]
    numbers, questions, answers = {}, [], []
    for row in rows:
        key = json.dumps([row["formula"], row["subject"], row["quantities"]], sort_keys=True)
        if key not in numbers:
            numbers[key] = len(questions) + 1
            questions.append({
                "formula": row["formula"],
                "subject": row["subject"],
                "quantities": row["quantities"],
            })
        answers.append({"seat": row["id"], "question": numbers[key], "answer": row["lines"]})
    with tempfile.TemporaryDirectory() as folder:
        quiz = Path(folder) / "quiz.json"
        quiz.write_text(json.dumps({"quiz": 1, "questions": questions}), encoding="utf-8")
        given = Path(folder) / "answers.jsonl"
        given.write_text("".join(json.dumps(answer) + "\n" for answer in answers), encoding="utf-8")
        ran = subprocess.run(
            [rejig, "mark", "--quiz", quiz, "--format", "json", "--table", "answers", given],
            capture_output=True, text=True, check=False,
        )
    sys.stderr.write(ran.stderr)
    marked = {}
    for line in ran.stdout.splitlines():
        value = json.loads(line)
        if value["kind"] == "answer":
            marked[value["seat"]] = value
    same = available = 0
    doubtful = 0
    for row in rows:
        got = marked.get(row["id"])
        if got is None:
            print(f"{row['id']}: not marked")
            continue
        available += got["available"] == row["marks_available"]
        if got["awarded"] == row["marks_awarded"] and got["available"] == row["marks_available"]:
            same += 1
            continue
        doubtful += bool(row.get("doubt"))
        slip = (got["slip"] or {}).get("name")
        doubt = " (in doubt)" if row.get("doubt") else ""
        print(
            f"{row['id']}{doubt}: by hand {row['marks_awarded']} of {row['marks_available']}, "
            f"rejig {got['awarded']} of {got['available']} ({got['verdict']}, {slip})\n"
            f"    {row['formula']} for {row['subject']}: {' | '.join(row['lines'])}\n"
            f"    {row['why']}"
        )
    print(f"{len(rows)} answers: {same} with the same marks, "
          f"{available} with the same marks to be had, {doubtful} of the others in doubt")
    known = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    return 0 if same >= len(rows) - known else 1


if __name__ == "__main__":
    sys.exit(main())
