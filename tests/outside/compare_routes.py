"""Holds the checking of derivations against the independent routes.

    python tests/outside/compare_routes.py target/release/rejig [FILE] [--as-written]

FILE is `routes_independent.jsonl` or `routes_second.jsonl`. Where a row says how
a disagreement was settled by hand, that counts, unless `--as-written` is said.

A line labelled null may get any verdict. Where the label names no first bad
line although the proof is not complete (the goal alone), none is compared.
Exit status 1 when a right route is refused, a broken line said to follow, or a
broken route called complete.
"""

import sys
from collections import Counter

from independent import ask, program, rows, share, show


def main():
    """The command line."""
    named = [part for part in sys.argv[2:] if not part.startswith("--")]
    asked = rows(named[0] if named else "routes_independent.jsonl")
    if "--as-written" not in sys.argv:
        asked = [{**row, "label": {**row["label"], **row.get("settled", {})}} for row in asked]
    responses = ask(program(), "proof", asked)
    count, false, missed = Counter(), [], []
    for row, response in zip(asked, responses):
        label = row["label"]
        right = label["complete"]
        kind = "right" if right else "broken"
        first, complete = response.get("first_bad"), response.get("complete")
        verdicts = [line.get("verdict") for line in response.get("lines") or []]
        told = (f"{row['id']}: {' , '.join(row['given'])} |- {row['goal']}: {' ; '.join(row['lines'])}: "
                f"first bad {first} not {label['first_bad']}, complete {complete}, {verdicts} "
                f"{response.get('error', '')}")
        for wanted, got in zip(label["lines"], verdicts):
            if wanted is not None:
                count["lines"] += 1
                count["lines agreed"] += wanted == got
        count[kind] += 1
        count["error"] += "error" in response
        agrees = complete == right and (first == label["first_bad"] or (not right and label["first_bad"] is None))
        count[kind + " agreed"] += agrees
        if not right and label["first_bad"] is not None:
            count["named"] += 1
            at = label["first_bad"]
            count["named agreed"] += at < len(verdicts) and verdicts[at] == label["lines"][at]
        if not agrees:
            refused = right and first is not None
            passed = label["first_bad"] is not None and verdicts[label["first_bad"]:][:1] == ["follows"]
            (false if refused or passed or (complete and not right) else missed).append(told)
        elif any(wanted not in (None, got) for wanted, got in zip(label["lines"], verdicts)):
            missed.append("kind of line: " + told)
    print(f"derivations: {len(asked)}")
    print(f"  right ones accepted                    {share(count['right agreed'], count['right'])}")
    print(f"  broken ones stopped at the stated line {share(count['broken agreed'], count['broken'])}")
    print(f"  that line called by its kind           {share(count['named agreed'], count['named'])}")
    print(f"  labelled lines agreed                  {share(count['lines agreed'], count['lines'])}")
    print(f"  errors                                 {count['error']}")
    show("false verdicts", false)
    show("missed", missed)
    return 1 if false else 0


if __name__ == "__main__":
    sys.exit(main())
