#!/usr/bin/env python3
"""Writes the seeds of every target to fuzz/corpus/, from the repository's own
test data: a seed is one line, one request, one entry of a sheet."""

import hashlib
import json
import re
from pathlib import Path

FUZZ = Path(__file__).resolve().parent
ROOT = FUZZ.parent
OUTSIDE = ROOT / "tests" / "outside"
TASKS = ["rearrange", "line", "working", "isolate", "proof", "proportion", "definition"]


def seed(target, data):
    data = data.encode() if isinstance(data, str) else data
    folder = FUZZ / "corpus" / target
    folder.mkdir(parents=True, exist_ok=True)
    (folder / hashlib.sha1(data).hexdigest()[:16]).write_bytes(data)


def rows(name, most=None):
    lines = (OUTSIDE / name).read_text().splitlines()
    if most is not None:
        lines = lines[:: max(1, len(lines) // most)]
    return [json.loads(line) for line in lines if line.strip()]


def request(task, *fields):
    head = bytes([TASKS.index(task), len(fields[0]) % 4])
    seed("requests", head + "\n".join(fields).encode())


def maths_and_judge():
    for name in ["pairs_50.jsonl", "found_by_second_tester.jsonl", "typed_by_hand.jsonl",
                 "feynman_pairs.jsonl", "pairs_2000.jsonl"]:
        for row in rows(name, 150):
            kept = {key: row[key] for key in ("id", "task", "quantities", "formula", "subject",
                                              "answer", "before", "after") if key in row}
            seed("judge", json.dumps(kept, ensure_ascii=False) + "\n")
            if row["task"] == "rearrange":
                seed("maths", row["formula"] + "\n" + row["answer"])
                request("rearrange", row["formula"], row["subject"], row["answer"])
                request("isolate", row["formula"], row["subject"])
                others = [letter for letter in row["quantities"] if letter != row["subject"]]
                if others:
                    request("proportion", row["formula"], row["subject"], others[0], "2",
                            row["answer"])
            elif row["task"] == "line":
                seed("maths", row["before"] + "\n" + row["after"])
                request("line", row["before"], row["after"])
    for row in rows("workings_second.jsonl") + rows("workings_independent.jsonl"):
        request("working", row["formula"], row["subject"], *row["lines"])
    for row in rows("routes_second.jsonl", 80) + rows("routes_independent.jsonl", 80):
        given = (row["given"] + ["", ""])[:2]
        request("proof", *given, row["goal"], "M1 when shown", *row["lines"])
        kept = {key: row[key] for key in ("given", "goal", "lines", "quantities")}
        seed("judge", json.dumps({"id": "p", "task": "proof", **kept}, ensure_ascii=False))


def sheets():
    folders = [ROOT / "formulae", ROOT / "tests" / "sheets" / "sound",
               ROOT / "tests" / "sheets" / "faults"]
    for folder in folders:
        for path in sorted(folder.glob("*.sheet")):
            data = path.read_bytes()
            if len(data) <= 1500:
                seed("sheets", data)
                continue
            entries = re.split(rb"\n\n+", data)
            for at in range(0, len(entries), 3):
                seed("sheets", b"\n\n".join(entries[at:at + 3])[:1500])


def words():
    number = -1
    for line in (ROOT / "tests" / "wordings" / "rows.txt").read_text().splitlines():
        if line.startswith(("+ ", "- ")):
            seed("words", bytes([number % 256]) + line[2:].encode())
        elif line and not line.startswith("#"):
            number += 1
    for place, row in enumerate(rows("wordings_independent.jsonl", 100)):
        seed("words", bytes([place]) + row["wording"].encode())
        request("definition", row["term"], row["wording"])


def class_and_quiz():
    lines = (ROOT / "tests" / "demo" / "club.csv").read_text().splitlines()
    for at in range(1, len(lines), 8):
        seed("marking", "\n".join(lines[:1] + lines[at:at + 8]) + "\n")
    seed("marking", '{"seat":"4","question":2,"answer":"a = (v^2-u^2)/(2s)"}\n'
                    '{"seat":"5","question":"3","answer":["u t = s","u = s/t"]}\n')
    seed("marking", 'name;number;answer\n"a ""b""";1;"v = u\n  + a t"\n')
    demo = json.loads((ROOT / "tests" / "demo" / "club.json").read_text())
    for entry in demo["questions"]:
        seed("quiz", json.dumps({"quiz": 1, "questions": [entry]}, ensure_ascii=False))
    seed("quiz", json.dumps({"quiz": 1, "seed": 3, "questions": [{
        "kind": "proof", "given": ["v = u + a t", "s = 1/2 (u + v) t"], "helpers": ["k"],
        "goal": "v^2 = u^2 + 2 a s", "route": ["t = (v - u)/a"], "statement": "Show it.",
        "scheme": ["M1 when a line has no t"], "known": {"motion/f": "s = u t + 1/2 a t^2"},
        "quantities": {"v": {"domain": "real", "name": "velocity", "unit": "m s^-1",
                             "also": ["vel"]}, "u": "real"}}]}))
    seed("quiz", json.dumps({"quiz": 1, "questions": [
        {"kind": "definition", "term": "capacitance", "topic": "capacitors"}]}))


def proofs():
    for name in ["workings.jsonl", "sheets.jsonl"]:
        for text in (ROOT / "tests" / "proofs" / name).read_text().splitlines():
            if not text.strip():
                continue
            row = json.loads(text)
            lines = [f"quantity {name}: {domain}" for name, domain in
                     row.get("quantities", {}).items() if isinstance(domain, str)]
            lines += [f"given {given}" for given in row.get("given", [])]
            lines += [f"function {name}({', '.join(by)})" for name, by in
                      row.get("functions", {}).items()]
            if "goal" in row:
                lines += [f"show {row['goal']}", "mark M1 when shown", ""]
            lines += row.get("lines", row.get("route", []))
            seed("proofs", "\n".join(lines)[:1500] + "\n")


def journals():
    line = ('{{"v":1,"id":"00000000000{a:05x}-{n}","at":{at},"day":"2027-0{m}-1{n}",'
            '"item":"{item}","kind":"{kind}","letters":"{letters}"{more}}}\n')
    text = ""
    for n, (item, kind, letters, more) in enumerate([
            ("motion/v/a", "rearrangement", "sheet", ',"right":true,"marks":2,"awarded":2'),
            ("motion/v/a", "rearrangement", "unfamiliar", ',"wrong":1,"slip":"sign-not-changed"'),
            ("waves/p", "proof", "notation:c", ',"right":true,"hints":2,"support":1,"marks":4'),
            ("d/x", "definition", "sheet", ',"shown":true'),
            ("c/y", "connection", "sheet", ',"right":true')]):
        own = line.format(a=40 + n, n=n, at=1_790_000_000 + 90_000 * n, m=n + 1, item=item,
                          kind=kind, letters=letters, more=more)
        seed("journal", own)
        text += own
    seed("journal", text)
    seed("journal", text + '{"v":1,"id":"0000000000000001-1","at":9,"takes-back":"0000000000000028-0"}\n'
         '{"v":1,"id":"0000000000000001-2","at":10,"exam":"2027-05-17"}\n{"v":2,"new":1}\n')


maths_and_judge()
sheets()
words()
class_and_quiz()
proofs()
journals()
for folder in sorted((FUZZ / "corpus").iterdir()):
    print(folder.name, len(list(folder.iterdir())))
