"""Holds the naming of slips against `slips_independent.jsonl` and `unexplained_independent.jsonl`,
or with `second` against `slips_second.jsonl` and `unexplained_second.jsonl`.

    python tests/outside/compare_slips.py target/release/rejig [second]

A slip is named rightly if its name is among the keys that an examiner would
accept. `by note`: no slip, but a note says the same thing. Exit status 1 on a
false verdict: every answer here is wrong, or (`subject-both-sides`,
`wrong-subject`) not the subject alone.
"""

import sys
from collections import Counter

from independent import ask, corpus, program, rows, share, show, slip_name

NOTES = {"wrong-letter": {"wrong-letter"}, "rounded-constant": {"constant-rounded"},
         "not-isolated": {"subject-both-sides", "wrong-subject"}}
NOT_ALONE = {"subject-both-sides", "wrong-subject"}


def outcome(row, response):
    """rightly, wrongly, by-note, silent, or the verdict when it is not `wrong`."""
    verdict = response.get("verdict", "error")
    name = slip_name(response)
    noted = any(NOTES.get(note, set()) & set(row["slips"]) for note in response.get("notes") or [])
    if verdict == "right" and not (NOT_ALONE & set(row["slips"]) and (name or noted)):
        return "false-right"
    if name is not None:
        return "rightly" if name in row["slips"] else "wrongly"
    if noted:
        return "by-note"
    return verdict if verdict in ("undecided", "unreadable", "error") else "silent"


def slips(chosen):
    """Prints the table of slips; the number of false verdicts."""
    asked = rows(f"slips_{corpus()}.jsonl")
    responses = ask(chosen, "rearrange", asked)
    total, table, listed = Counter(), {}, {}
    for row, response in zip(asked, responses):
        found = outcome(row, response)
        total[found] += 1
        table.setdefault(row["slips"][0], Counter())[found] += 1
        if found != "rightly":
            listed.setdefault(found, []).append(
                f"{row['id']}: {row['formula']} for {row['subject']}: {row['answer']} "
                f"[{', '.join(row['slips'])}] got {slip_name(response)}")
    print(f"single slips: {len(asked)}")
    for found, count in total.most_common():
        print(f"  {found:12} {share(count, len(asked))}")
    print(f"\n{'key (the best name)':28}{'rows':>6}{'rightly':>9}{'wrongly':>9}{'by note':>9}{'silent':>8}{'other':>7}")
    for key, counts in sorted(table.items()):
        known = [counts[name] for name in ("rightly", "wrongly", "by-note", "silent")]
        whole = sum(counts.values())
        print(f"{key:28}{whole:6}{known[0]:9}{known[1]:9}{known[2]:9}{known[3]:8}{whole - sum(known):7}")
    for found in sorted(listed):
        show(found, listed[found])
    return total["false-right"]


def unexplained(chosen):
    """Prints how many unexplained answers got a name; the number of false verdicts."""
    asked = rows(f"unexplained_{corpus()}.jsonl")
    responses = ask(chosen, "rearrange", asked)
    named = [(row, slip_name(response)) for row, response in zip(asked, responses) if slip_name(response)]
    verdicts = Counter(response.get("verdict", "error") for response in responses)
    print(f"\nunexplained: given a name {share(len(named), len(asked))}; verdicts {dict(verdicts)}")
    show("named", [f"{row['id']}: {row['formula']}: {row['answer']} got {name}" for row, name in named])
    return verdicts["right"]


if __name__ == "__main__":
    sys.exit(1 if slips(program()) + unexplained(program()) else 0)
