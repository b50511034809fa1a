"""Holds `rejig judge` against labelled pairs.

    python tests/outside/compare.py tests/outside/pairs_2000.jsonl target/release/rejig

Prints the share that agrees, every disagreement, and the time a verdict takes
(the whole run over the number of requests, start of the program included).
Exit status 1 on any false verdict, or when more than 0.5 % are undecided or
unreadable.

Labels of `rearrange`: right, wrong, undefined (equal where it has a value,
but without one on a part of the domain: `right` without a note is a false
verdict, and so is `right` at all when it has a value nowhere). Labels of
`line`: same, gains, loses, different. A row marked `one_root` may be `right`
only; the note `one-root-only` is counted. A row labelled `branch` (one of two
roots where the subject is not real) may get either verdict, which is counted.
"""

import argparse
import json
import subprocess
import sys
import time
from collections import Counter

NO_VERDICT = ("undecided", "unreadable")


def ask(program, rows, arguments):
    """Responses in order, and the seconds that the run took."""
    own = ("label", "how", "style", "one_root", "everywhere", "source", "reading", "remark")
    requests = "".join(json.dumps({k: v for k, v in row.items() if k not in own}, ensure_ascii=False)
                       + "\n" for row in rows)
    started = time.perf_counter()
    done = subprocess.run([program, "judge", *arguments], input=requests.encode(), capture_output=True,
                          check=False)
    seconds = time.perf_counter() - started
    lines = done.stdout.decode().splitlines()
    if done.returncode not in (0, 2) or len(lines) != len(rows):
        sys.exit(f"{program} judge: status {done.returncode}, {len(lines)} answers to {len(rows)} "
                 f"requests\n{done.stderr.decode()[-2000:]}")
    return [json.loads(line) for line in lines], seconds


def outcome(row, response):
    """agrees, false-..., undecided, unreadable, error."""
    if "error" in response:
        return "error"
    if response.get("id") != row["id"]:
        return "error"
    verdict, label = response.get("verdict"), row["label"]
    if label == "undefined":
        if verdict == "right" and (row.get("everywhere") or not response.get("notes")):
            return "false-right"
        return "agrees"
    if verdict in NO_VERDICT:
        return verdict
    if label == "branch":
        return f"branch-{verdict}"
    return "agrees" if verdict == label else f"false-{verdict}"


def main():
    """The command line."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("pairs")
    options.add_argument("program", nargs="?", default="target/release/rejig")
    options.add_argument("--show", type=int, default=200, help="disagreements to print")
    options.add_argument("--more", nargs="*", default=[], help="further arguments for `judge`")
    chosen = options.parse_args()
    with open(chosen.pairs, encoding="utf-8") as lines:
        rows = [json.loads(line) for line in lines if line.strip()]
    if not rows:
        sys.exit("no pairs")
    responses, seconds = ask(chosen.program, rows, chosen.more)
    counts, evidence, shown, one_root = Counter(), Counter(), 0, Counter()
    for row, response in zip(rows, responses):
        found = outcome(row, response)
        counts[found] += 1
        evidence[(response.get("evidence") or {}).get("kind", "none")] += 1
        if row.get("one_root"):
            one_root["one-root-only" in (response.get("notes") or [])] += 1
        if found != "agrees" and not found.startswith("branch") and shown < chosen.show:
            shown += 1
            asked = (f"{row['formula']} for {row['subject']}: {row['answer']}"
                     if row["task"] == "rearrange" else f"{row['before']}  =>  {row['after']}")
            print(f"{found}: {row['id']} [{row['label']}, {row.get('how', '')}] {asked}")
            told = {k: response[k] for k in ("verdict", "read_as", "evidence", "notes", "error", "reason")
                    if response.get(k)}
            print(f"    {json.dumps(told, ensure_ascii=False)}  {json.dumps(row['quantities'], ensure_ascii=False)}")
    total = len(rows)
    false = sum(number for found, number in counts.items() if found.startswith("false"))
    silent = counts["undecided"] + counts["unreadable"] + counts["error"]
    print(f"{total} pairs, {seconds * 1e6 / total:.0f} µs a verdict (whole run {seconds:.2f} s)")
    for found, number in counts.most_common():
        print(f"  {found:16} {number:6}  {100 * number / total:.2f} %")
    print("  evidence: " + ", ".join(f"{kind} {number}" for kind, number in evidence.most_common()))
    if one_root:
        print(f"  one root of two: {one_root[True]} with the note, {one_root[False]} without")
    sys.exit(1 if false or silent > total * 0.005 else 0)


if __name__ == "__main__":
    main()
