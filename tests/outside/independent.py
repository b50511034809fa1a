"""What the three comparers of the independent corpora share."""

import json
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
OWN = ("slips", "why", "label", "remark", "check", "first_bad", "complete", "settled", "kind")


def rows(name):
    """The rows of a corpus that lies beside this file."""
    with open(HERE / name, encoding="utf-8") as lines:
        return [json.loads(line) for line in lines if line.strip()]


def ask(program, task, asked):
    """Responses of `PROGRAM judge`, in order; nothing of a label is sent."""
    requests = ""
    for row in asked:
        request = {key: value for key, value in row.items() if key not in OWN}
        requests += json.dumps({**request, "task": task}, ensure_ascii=False) + "\n"
    done = subprocess.run([program, "judge"], input=requests.encode(), capture_output=True, check=False)
    lines = done.stdout.decode().splitlines()
    if done.returncode not in (0, 2) or len(lines) != len(asked):
        sys.exit(f"{program} judge: status {done.returncode}, {len(lines)} answers to {len(asked)} "
                 f"requests\n{done.stderr.decode()[-2000:]}")
    responses = [json.loads(line) for line in lines]
    for row, response in zip(asked, responses):
        if response.get("id") != row["id"]:
            sys.exit(f"{row['id']} was answered as {response.get('id')}")
    return responses


def slip_name(part):
    """The name of the slip in a response or in one of its lines, or None."""
    return (part.get("slip") or {}).get("name")


def share(part, whole):
    """A count with its share."""
    return f"{part} of {whole}" + (f" ({100 * part / whole:.1f} %)" if whole else "")


def program():
    """The program named on the command line."""
    return sys.argv[1] if len(sys.argv) > 1 else "target/release/rejig"


def corpus():
    """Which corpus: `independent`, or what the command line says, `second`."""
    return sys.argv[2] if len(sys.argv) > 2 else "independent"


def show(title, found):
    """A list of misses under a title, nothing when there are none."""
    if found:
        print(f"\n{title}")
        for line in found:
            print("  " + line)
