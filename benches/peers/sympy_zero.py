"""Zero testing by SymPy's `simplify(a - b) == 0`, for comparison.

    python benches/peers/sympy_zero.py benches/peers/pairs.tsv [--seconds 10] [--each]

All symbols are positive. Reading is timed apart, in seconds of the processor. A pair that takes longer
than the time allowed counts as undecided, with that time. `--each` prints a
row a pair: its number, its label, `equal` or `other`, microseconds of reading
and deciding.
"""

import argparse
import re
import signal
import time

import sympy

FUNCTIONS = {"sqrt", "exp", "log", "sin", "cos", "tan", "asin", "acos", "atan", "pi"}


class TooSlow(Exception):
    """The time allowed has run out."""


def stop(*_):
    """Ends the pair at hand."""
    raise TooSlow


def share(times, part):
    """A percentile."""
    times = sorted(times)
    return times[min(len(times) - 1, int(part * len(times)))]


def main():
    """Reads the pairs, prints what was found."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("pairs")
    options.add_argument("--seconds", type=float, default=10)
    options.add_argument("--each", action="store_true")
    chosen = options.parse_args()
    signal.signal(signal.SIGALRM, stop)
    reading, deciding, labels, slow = [], [], [], 0
    found = {"right": [0, 0], "wrong": [0, 0]}
    with open(chosen.pairs, encoding="utf-8") as lines:
        for line in lines:
            first, second, label = line.rstrip("\n").split("\t")
            names = set(re.findall(r"[A-Za-z_]\w*", first + " " + second)) - FUNCTIONS
            symbols = {name: sympy.Symbol(name, positive=True) for name in names}
            sympy.core.cache.clear_cache()
            start = time.process_time()
            a, b = (sympy.parse_expr(text.replace("^", "**"), local_dict=symbols)
                    for text in (first, second))
            read = time.process_time()
            signal.setitimer(signal.ITIMER_REAL, chosen.seconds)
            try:
                zero = sympy.simplify(a - b) == 0
            except TooSlow:
                zero = False
                slow += 1
            finally:
                signal.setitimer(signal.ITIMER_REAL, 0)
            done = time.process_time()
            reading.append((read - start) * 1e6)
            deciding.append((done - read) * 1e6)
            labels.append(label)
            found[label][zero] += 1
            if chosen.each:
                word = "equal" if zero else "other"
                print(f"{len(labels)}\t{label}\t{word}\t{reading[-1]:.3f}\t{deciding[-1]:.3f}", flush=True)
    if chosen.each:
        return
    print(f"{len(reading)} pairs, {slow} over {chosen.seconds:g} s")
    for label, (other, zero) in found.items():
        print(f"{label}: zero found for {zero} of {zero + other}")
    both = [a + b for a, b in zip(reading, deciding)]
    equal = [time for time, label in zip(deciding, labels) if label == "right"]
    other = [time for time, label in zip(deciding, labels) if label == "wrong"]
    for name, times in (("reading", reading), ("simplify", deciding), ("simplify, equal pairs", equal),
                        ("simplify, other pairs", other), ("both", both)):
        print(f"{name}: median {share(times, 0.5):.0f} us, 99th percentile {share(times, 0.99):.0f} us")


if __name__ == "__main__":
    main()
