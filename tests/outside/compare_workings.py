"""Holds the marking of workings against `workings_independent.jsonl`, or with `second` against
`workings_second.jsonl`.

    python tests/outside/compare_workings.py target/release/rejig [second]

Exit status 1 when a right working is faulted, a broken line called the same, or
a broken working called complete.
"""

import sys
from collections import Counter

from independent import ask, corpus, program, rows, share, show, slip_name


def main():
    """The command line."""
    asked = rows(f"workings_{corpus()}.jsonl")
    responses = ask(program(), "working", asked)
    count, false, missed, slips = Counter(), [], [], []
    for row, response in zip(asked, responses):
        told = f"{row['id']}: {row['formula']} for {row['subject']}: {' ; '.join(row['lines'])}"
        first, complete = response.get("first_bad"), response.get("complete")
        verdicts = [line.get("verdict") for line in response.get("lines") or []]
        count["error"] += "error" in response
        count["first bad line"] += "error" not in response and first == row["first_bad"]
        count["complete or not"] += complete == row["complete"]
        count["both"] += first == row["first_bad"] and complete == row["complete"]
        passed = row["first_bad"] is not None and verdicts[row["first_bad"]:][:1] == ["same"]
        # Where a reason is written down, the engine's answer is let stand.
        settled = "settled" in row
        if not settled and ((row["complete"] and first is not None) or passed
                            or (complete and not row["complete"])):
            false.append(f"{told}: first bad {first} not {row['first_bad']}, complete {complete}, {verdicts}")
        elif first != row["first_bad"] or complete != row["complete"]:
            missed.append(f"{told}: first bad {first} not {row['first_bad']}, complete {complete}, "
                          f"{verdicts} {response.get('error', '')}")
        if row["first_bad"] is not None and row["slips"] and first == row["first_bad"]:
            count["with a slip"] += 1
            name = slip_name(response["lines"][first])
            found = "silent" if name is None else "rightly" if name in row["slips"] else "wrongly"
            count[found] += 1
            if found != "rightly":
                slips.append(f"{told}: line {first} [{', '.join(row['slips'])}] got {name}")
    whole = len(asked)
    print(f"workings: {whole}, wholly right {sum(row['complete'] for row in asked)}")
    for name in ("first bad line", "complete or not", "both"):
        print(f"  {name:18}{share(count[name], whole)}")
    print(f"  {'errors':18}{count['error']}")
    print("slip of the broken line, where it was found:")
    for name in ("rightly", "wrongly", "silent"):
        print(f"  {name:18}{share(count[name], count['with a slip'])}")
    show("false verdicts", false)
    show("missed", missed)
    show("slips", slips)
    return 1 if false else 0


if __name__ == "__main__":
    sys.exit(main())
