"""Judges independent wordings of definitions.

Usage: python tests/outside/compare_wordings.py PROGRAM [FILE [FLOOR]]

Exit status 1 on a false verdict, or if fewer than FLOOR right ones are
accepted.
"""

import collections
import json
import pathlib
import subprocess
import sys


def main() -> int:
    program = sys.argv[1]
    default = pathlib.Path(__file__).with_name("wordings_independent.jsonl")
    path = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else default
    floor = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    rows = [json.loads(line) for line in path.read_text().splitlines() if line.strip()]
    requests = "\n".join(
        json.dumps({"id": number, "task": "definition", "term": row["term"], "answer": row["wording"]})
        for number, row in enumerate(rows)
    )
    told = subprocess.run([program, "judge"], input=requests, capture_output=True, text=True, check=False)
    shares: collections.Counter = collections.Counter()
    false = 0
    told_rows = told.stdout.splitlines()
    if len(told_rows) != len(rows):
        print(f"{len(rows)} wordings, {len(told_rows)} answers")
        return 1
    for line in told_rows:
        answer = json.loads(line)
        row = rows[answer["id"]]
        verdict = answer.get("verdict") or "no such term"
        shares[row["label"], verdict] += 1
        if verdict == row["label"]:
            continue
        if {verdict, row["label"]} == {"right", "wrong"}:
            false += 1
        print(f'{row["label"]}, judged {verdict}: {row["term"]}: {row["wording"]}')
        print(f'    {answer.get("message") or answer.get("error")}')
    for (label, verdict), count in sorted(shares.items()):
        print(f"{count:4} labelled {label}, judged {verdict}")
    accepted = shares["right", "right"]
    right = sum(row["label"] == "right" for row in rows)
    print(f"{false} false verdicts; {accepted} of {right} right wordings accepted, {floor} at least")
    return 1 if false or accepted < floor else 0


if __name__ == "__main__":
    sys.exit(main())
