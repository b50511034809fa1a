"""Judges independent wordings of definitions; exit status 1 on a false verdict.

Usage: python tests/outside/compare_wordings.py PROGRAM [FILE]
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
    rows = [json.loads(line) for line in path.read_text().splitlines() if line.strip()]
    requests = "\n".join(
        json.dumps({"id": number, "task": "definition", "term": row["term"], "answer": row["wording"]})
        for number, row in enumerate(rows)
    )
    told = subprocess.run([program, "judge"], input=requests, capture_output=True, text=True, check=False)
    shares: collections.Counter = collections.Counter()
    false = 0
    for line in told.stdout.splitlines():
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
    print(f"{false} false verdicts")
    return 1 if false else 0


if __name__ == "__main__":
    sys.exit(main())
