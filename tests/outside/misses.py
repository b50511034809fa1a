"""NEAR MISSES: changes that a student, a slip or a spiteful tester makes.

Like the rewrites they are only made here; `label.py` says what they are.
"""

from tree import (HALF, ONE, TWO, call, minus, names, number, over, places, plus, power, put,
                  times)

TINY = ["1.0000000000001", "0.9999999999999", "1.00000000001", "1.000000000000001"]


def _anywhere(tree, draw, rule):
    found = [(path, new) for path, node in places(tree) if (new := rule(node)) is not None]
    if not found:
        return None
    path, new = draw.choice(found)
    return put(tree, path, new)


def _any_symbol(tree, draw, context):
    found = sorted(names(tree)) or context.others
    return ("s", draw.choice(found))


def lost_factor(tree, draw, context):
    """A factor of a product forgotten."""
    def rule(node):
        if node[0] == "*" and len(node[1]) > 1:
            gone = draw.randrange(len(node[1]))
            return times(*(f for i, f in enumerate(node[1]) if i != gone))
        if node[0] == "/" and node[1] != ONE:
            return draw.choice([node[1], over(ONE, node[2])])
        return None
    return _anywhere(tree, draw, rule)


def doubled_factor(tree, draw, context):
    """A factor put in twice, or a 2 too many."""
    return draw.choice([times(TWO, tree), over(tree, TWO), times(tree, _any_symbol(tree, draw, context)),
                        over(tree, _any_symbol(tree, draw, context))])


def wrong_sign(tree, draw, context):
    """The sign of one term, or of the whole."""
    def rule(node):
        if node[0] == "+":
            turned = draw.randrange(len(node[1]))
            return plus(*((t[1] if t[0] == "-" else ("-", t)) if i == turned else t
                          for i, t in enumerate(node[1])))
        return node[1] if node[0] == "-" else None
    return _anywhere(tree, draw, rule) or ("-", tree)


def lost_term(tree, draw, context):
    """A term forgotten."""
    def rule(node):
        if node[0] == "+" and len(node[1]) > 1:
            gone = draw.randrange(len(node[1]))
            return plus(*(t for i, t in enumerate(node[1]) if i != gone))
        return None
    return _anywhere(tree, draw, rule)


def swapped_powers(tree, draw, context):
    """Another exponent: squares for roots, 3 for 2, none at all."""
    def rule(node):
        if node[0] == "^":
            return draw.choice([node[1], power(node[1], number(3)), power(node[1], HALF),
                                power(node[1], ("-", node[2])), times(node[1], node[2])])
        if node[:2] == ("f", "sqrt"):
            return draw.choice([node[2], power(node[2], TWO), power(node[2], over(ONE, number(3)))])
        return power(node, TWO) if node[0] == "s" else None
    return _anywhere(tree, draw, rule)


def one_term_only(tree, draw, context):
    """(a + b)/c as a + b/c: only one term divided, multiplied or rooted."""
    def rule(node):
        if node[0] == "/" and node[1][0] == "+":
            *rest, last = node[1][1]
            divided = ("-", over(last[1], node[2])) if last[0] == "-" else over(last, node[2])
            return plus(*rest, divided)
        if node[0] == "*":
            sums = [f for f in node[1] if f[0] == "+"]
            if sums:
                others = [f for f in node[1] if f is not sums[0]]
                return plus(times(*others, sums[0][1][0]), *sums[0][1][1:])
        if node[:2] == ("f", "sqrt") and node[2][0] == "+":
            return plus(*(call("sqrt", t) if t[0] != "-" else ("-", call("sqrt", t[1]))
                          for t in node[2][1]))
        if node[:2] == ("f", "sqrt") and node[2][0] == "/":
            return draw.choice([over(call("sqrt", node[2][1]), node[2][2]),
                                over(node[2][1], call("sqrt", node[2][2]))])
        return None
    return _anywhere(tree, draw, rule)


def swapped_letter(tree, draw, context):
    """Another quantity of the formula in the place of one."""
    found = sorted(names(tree))
    if not found or len(context.others) < 2:
        return None
    old = draw.choice(found)
    new = draw.choice([name for name in context.others if name != old] or [old])
    spots = [path for path, node in places(tree) if node == ("s", old)]
    return put(tree, draw.choice(spots), ("s", new))


def upside_down(tree, draw, context):
    """A fraction turned over."""
    return _anywhere(tree, draw, lambda node: over(node[2], node[1]) if node[0] == "/" else None)


def root_dropped(tree, draw, context):
    """A root forgotten, or a root too many."""
    dropped = _anywhere(tree, draw, lambda node: node[2] if node[:2] == ("f", "sqrt") else None)
    return dropped or call("sqrt", tree)


def tiny_change(tree, draw, context):
    """Off by a part in 10^11 to 10^15."""
    factor = ("d", draw.choice(TINY))
    if draw.random() < 0.5:
        return times(factor, tree)
    return _anywhere(tree, draw, lambda node: times(factor, node) if node[0] == "s" else None)


def tiny_addition(tree, draw, context):
    """A small multiple of something added."""
    return plus(tree, times(("d", draw.choice(["0.0000000000001", "0.000000001"])),
                            _any_symbol(tree, draw, context)))


def equal_at_small_integers(tree, draw, context):
    """Something added that vanishes at the first whole numbers."""
    a, b = _any_symbol(tree, draw, context), _any_symbol(tree, draw, context)
    roots = draw.choice([(1,), (1, 2), (1, 2, 3), (1, 2, 3, 4, 5), (2, 3, 5, 7)])
    extra = times(*(minus(a, number(root)) for root in roots), b)
    return draw.choice([plus(tree, extra), times(tree, plus(ONE, times(extra, ("d", "0.01"))))])


def equal_when_letters_are(tree, draw, context):
    """Something added that vanishes when two quantities are equal."""
    if len(context.others) < 2:
        return None
    a, b = (("s", name) for name in draw.sample(context.others, 2))
    return plus(tree, times(minus(a, b), draw.choice([ONE, a, plus(a, b), ("d", "0.001")])))


def rounded_pi(tree, draw, context):
    """3.14 for pi."""
    value = draw.choice([("d", "3.14"), ("d", "3.142"), ("d", "3.14159265359"),
                         over(number(22), number(7)), ("d", "3.141592653589793")])
    return _anywhere(tree, draw, lambda node: value if node == ("pi",) else None)


def rounded_other(tree, draw, context):
    """A rounded ln 2, root of 2 or third."""
    def rule(node):
        if node == call("ln", TWO):
            return ("d", draw.choice(["0.693", "0.69314718056"]))
        if node == call("sqrt", TWO):
            return ("d", draw.choice(["1.41", "1.41421356237"]))
        if node == over(ONE, number(3)):
            return ("d", draw.choice(["0.33", "0.3333333333333"]))
        return None
    return _anywhere(tree, draw, rule)


def wrong_function(tree, draw, context):
    """sin for cos, lg for ln, an inverse left out, an angle doubled."""
    other = {"sin": "cos", "cos": "sin", "tan": "sin", "ln": "lg", "lg": "ln", "arcsin": "arccos",
             "arccos": "arcsin", "arctan": "arcsin", "exp": "ln"}

    def rule(node):
        if node[0] != "f" or node[1] not in other:
            return None
        return draw.choice([call(other[node[1]], node[2]), node[2], call(node[1], ("-", node[2])),
                            call(node[1], times(TWO, node[2])), times(call(node[1], ONE), node[2])])
    return _anywhere(tree, draw, rule)


def wrong_number(tree, draw, context):
    """Another number."""
    def rule(node):
        if node[0] == "n" and node[1] > 0:
            return ("n", draw.choice([node[1] * 2, node[1] + 1, node[1] / 2]))
        return None
    return _anywhere(tree, draw, rule)


def moved_across(tree, draw, context):
    """A divisor multiplied by instead, or the other way round."""
    def rule(node):
        if node[0] == "/":
            return times(node[1], node[2])
        if node[0] == "*" and len(node[1]) > 1:
            return over(times(*node[1][1:]), node[1][0])
        if node[0] == "+" and node[1][0][0] != "-":
            return times(*(t[1] if t[0] == "-" else t for t in node[1]))
        return None
    return _anywhere(tree, draw, rule)


MISSES = [(function.__name__.replace("_", "-"), function) for function in (
    lost_factor, doubled_factor, wrong_sign, lost_term, swapped_powers, one_term_only, swapped_letter,
    upside_down, root_dropped, tiny_change, tiny_addition, equal_at_small_integers,
    equal_when_letters_are, rounded_pi, rounded_other, wrong_function, wrong_number, moved_across)]


def miss(tree, draw, context):
    """(how, tree): one change; or None."""
    for _ in range(12):
        name, change = draw.choice(MISSES)
        new = change(tree, draw, context)
        if new is not None and new != tree:
            return name, new
    return None
