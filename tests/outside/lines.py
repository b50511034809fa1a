"""Pairs of lines: the same, solutions gained, lost, or something different.

The label comes from the mathematics of the move, stated beside it, and is
kept only if numbers agree: points of either line's solution set, found by a
search for changes of sign, are put into the other line.
"""

import mpmath

import misses
import rewrites
from label import NEAR, distance, inside, sample
from tree import (ONE, TWO, Undefined, call, evaluate, minus, names, number, over, places, plus, power,
                  size, times)

ZERO = number(0)
WANTED = 14


def holds(sides, point):
    """Whether an equation holds at a point."""
    try:
        left, right = evaluate(sides[0], point), evaluate(sides[1], point)
    except Undefined:
        return False
    scale = mpmath.mpf(10) ** -5
    return distance(left, right) < NEAR or abs(left - right) < NEAR * scale


def _refine(value, low, high, at_low):
    """The root between two signs, or None for a pole."""
    for _ in range(24):
        middle = (low + high) / 2
        at_middle = value(middle)
        if at_middle == 0:
            return middle
        if (at_middle > 0) == (at_low > 0):
            low, at_low = middle, at_middle
        else:
            high = middle
    at_high = value(high)
    for _ in range(14):
        if at_high == at_low:
            break
        new = high - at_high * (high - low) / (at_high - at_low)
        low, at_low, high, at_high = high, at_high, new, value(new)
        if at_high == 0:
            break
    return high


def solution_points(sides, domains, draw):
    """Points of the domain on an equation, each quantity solved for in turn."""
    found = []
    unknowns = sorted(names(sides[0]) | names(sides[1]))
    for attempt in range(3 * WANTED):
        if len(found) >= WANTED:
            break
        pivot = unknowns[attempt % len(unknowns)]
        point = {name: sample(domain, draw) for name, domain in domains.items()}
        found.extend(_along(sides, domains[pivot], pivot, point))
    return found


def _along(sides, domain, pivot, point):
    def value(at):
        here = {**point, pivot: at}
        return evaluate(sides[0], here) - evaluate(sides[1], here)
    if domain == "acute":
        grid = [mpmath.mpf(k) / 20 for k in range(1, 32)]
    else:
        grid = [mpmath.mpf(10) ** (mpmath.mpf(k) / 6 + mpmath.mpf("0.013")) for k in range(-15, 16)]
        if domain == "real":
            grid = [-x for x in reversed(grid)] + grid
    before = None
    for at in grid:
        try:
            sign = value(at)
        except Undefined:
            before = None
            continue
        if before and before[1] * sign < 0:
            try:
                root = _refine(value, before[0], at, before[1])
                here = {**point, pivot: root}
                if inside(root, domain) and holds(sides, here):
                    yield here
            except Undefined:
                pass
        before = (at, sign)


def relation(before, after, domains, draw):
    """What the numbers say: same, gains, loses, different; None if too few."""
    first = solution_points(before, domains, draw)
    second = solution_points(after, domains, draw)
    if len(first) < 8 or len(second) < 8:
        return None
    kept = all(holds(after, point) for point in first)
    nothing_new = all(holds(before, point) for point in second)
    return {(True, True): "same", (True, False): "gains", (False, True): "loses",
            (False, False): "different"}[kept, nothing_new]


def surely_positive(node, domains):
    """Built of positive things without any minus."""
    kind = node[0]
    if kind == "n":
        return node[1] > 0
    if kind in ("d", "pi", "e"):
        return True
    if kind == "s":
        return domains[node[1]] != "real"
    if kind in ("+", "*"):
        return all(surely_positive(child, domains) for child in node[1])
    if kind == "/":
        return surely_positive(node[1], domains) and surely_positive(node[2], domains)
    if kind == "^":
        return surely_positive(node[1], domains)
    if kind == "f" and node[1] == "sqrt":
        return surely_positive(node[2], domains)
    if kind == "f" and node[1] in ("sin", "cos", "tan"):
        return node[2][0] == "s" and domains[node[2][1]] == "acute"
    return kind == "f" and node[1] == "exp"


def _fractions_in_doubt(sides, domains):
    """Denominators that may vanish together with what stands above them."""
    def indefinite(node):
        return not surely_positive(node[1] if node[0] == "-" else node, domains)
    return {node[2] for side in sides for _, node in places(side)
            if node[0] == "/" and indefinite(node[2]) and indefinite(node[1])}


def _positive_factor(draw, context):
    positive = [name for name, domain in context.domains.items() if domain == "positive"]
    if not positive:
        return number(draw.choice([2, 3, 4]))
    a, b = (("s", draw.choice(positive)) for _ in range(2))
    return draw.choice([a, b, number(2), plus(a, b), times(a, b), power(a, TWO)])


def legal(sides, draw, context, case):
    """A move that neither gains nor loses, with the reason."""
    left, right = sides
    both_positive = all(surely_positive(side, context.domains) for side in sides)
    anything = draw.choice(sorted(context.domains))
    term = draw.choice([("s", anything), power(("s", anything), TWO), number(draw.randint(1, 9))])
    factor = _positive_factor(draw, context)
    ways = [
        # the same is added to, or taken from, both sides
        ("add-to-both", (plus(left, term), plus(right, term))),
        ("take-from-both", (minus(left, term), minus(right, term))),
        ("swap-sides", (right, left)),
        ("all-on-one-side", (minus(left, right), ZERO)),
        # the factor is positive on the domain, so never zero
        ("multiply-both", (times(factor, left), times(factor, right))),
        ("divide-both", (over(left, factor), over(right, factor))),
    ]
    if left[0] == "/" and right[0] == "/" and surely_positive(left[2], context.domains) \
            and surely_positive(right[2], context.domains):
        ways.append(("cross-multiply", (times(left[1], right[2]), times(right[1], left[2]))))
    if right[0] == "/" and surely_positive(right[2], context.domains):
        ways += [("clear-denominator", (times(left, right[2]), right[1]))] * 2
    if right[0] == "+":
        last = right[1][-1]
        moved = plus(left, last[1]) if last[0] == "-" else minus(left, last)
        ways += [("move-term", (moved, plus(*right[1][:-1])))] * 2
    if both_positive:
        # x -> x^2, sqrt, 1/x, ln are one to one on positive numbers
        ways += [("square-positive", (power(left, TWO), power(right, TWO))),
                 ("root-of-positive", (call("sqrt", left), call("sqrt", right))),
                 ("upside-down-positive", (over(ONE, left), over(ONE, right))),
                 ("log-of-positive", (call("ln", left), call("ln", right)))]
    if case and not case.two_roots and case.main_solution():
        # the only admissible root at every point
        ways += [("isolate", (("s", case.subject), case.main_solution()))] * 4
    rewritten = rewrites.equal(right, draw, context)
    if rewritten and size(rewritten[1]) < 60:
        ways += [("rewrite:" + rewritten[0], (left, rewritten[1]))] * 3
    return draw.choice(ways)


def _may_vanish(draw, context):
    """A factor that is zero somewhere on the domain."""
    real = [name for name, domain in context.domains.items() if domain == "real"]
    alike = [name for name, domain in context.domains.items() if domain == "positive"]
    ways = [("s", draw.choice(real))] * 3 if real else []
    if len(alike) > 1:
        a, b = draw.sample(alike, 2)
        ways.append(minus(("s", a), ("s", b)))
    if real and alike:
        ways.append(plus(("s", draw.choice(real)), ("s", draw.choice(alike))))
    return draw.choice(ways) if ways else None


def gaining(sides, draw, context):
    """(before, after, how) that gains; the other way round it loses."""
    left, right = sides
    if draw.random() < 0.45 and not all(surely_positive(side, context.domains) for side in sides):
        # L^2 = R^2 holds also where L = -R
        return sides, (power(left, TWO), power(right, TWO)), "squares"
    factor = _may_vanish(draw, context)
    if factor is None:
        return None
    # f L = f R holds also wherever f = 0
    return sides, (times(factor, left), times(factor, right)), "factor-that-may-vanish"


def broken(sides, draw, context):
    """A near miss on one side."""
    side = draw.randrange(2)
    new = misses.miss(sides[side], draw, context)
    if new is None:
        return None
    how, tree = new
    return ((tree, sides[1]) if side == 0 else (sides[0], tree)), how


def make(formula, case, draw, context):
    """(before, after, label, how) or None. The label is the mathematics', and
    the numbers agree."""
    sides = (formula.left, formula.right)
    if draw.random() < 0.4:
        _, sides = legal(sides, draw, context, None)
        if size(sides[0]) + size(sides[1]) > 45:
            return None
    kind = draw.choice(["same", "same", "gains", "loses", "root", "different", "different"])
    if kind == "same":
        how, after = legal(sides, draw, context, case)
        before, label = sides, "same"
        # v = u + a t also holds at a = 0, u = v, where t = (v - u)/a has no
        # value: hardly "lost", not quite "same", so left out.
        if _fractions_in_doubt(after, context.domains) - _fractions_in_doubt(before, context.domains):
            return None
    elif kind in ("gains", "loses"):
        made = gaining(sides, draw, context)
        if made is None:
            return None
        before, after, how = made
        label = kind
        if kind == "loses":
            before, after = after, before
    elif kind == "root":
        if not case or not case.two_roots:
            return None
        # one of two admissible roots is kept
        solution = formula.solutions(case.subject)[draw.choice(case.used)]
        before, after, label, how = sides, (("s", case.subject), solution), "loses", "one-root-kept"
    else:
        made = broken(sides, draw, context)
        if made is None:
            return None
        (after, how), before, label = made, sides, None
    told = relation(before, after, context.domains, draw)
    if label is None:
        # a slip in one line: different unless numbers show it to be otherwise
        label = "different" if told == "different" else None
    if told is None or told != label:
        return None
    return before, after, label, how
