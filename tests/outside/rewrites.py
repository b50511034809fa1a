"""Rewrites that keep the value: the EQUAL answers.

Each is (name, function of (tree, draw, context)) giving a tree or None when
there is nothing to rewrite. None of them is trusted: `label.py` judges what
comes out.
"""

import sympy

from label import TooSlow, allowed
from tree import (HALF, ONE, TWO, call, children, from_sympy, minus, names, number, over, places,
                  plus, power, put, times, to_sympy, with_children)


class Context:
    """What a rewrite may need: the quantities with their domains, a cache."""

    def __init__(self, formula, subject):
        self.symbols = formula.symbols
        self.domains = formula.domains
        self.subject = subject
        self.others = [name for name in formula.domains if name != subject]
        self.positive = [name for name in self.others if formula.domains[name] != "real"]
        self.cache = {}


def _anywhere(tree, draw, rule):
    """Applies a rule at one random node where it bites."""
    found = [(path, new) for path, node in places(tree) if (new := rule(node)) is not None]
    if not found:
        return None
    path, new = draw.choice(found)
    return put(tree, path, new)


def _by_sympy(name, transform):
    """A rewrite that SymPy does, timed and cached."""
    def rewrite(tree, draw, context):
        key = (name, tree)
        if key not in context.cache:
            try:
                with allowed(1.5):
                    before = to_sympy(tree, context.symbols)
                    context.cache[key] = from_sympy(transform(before, context))
            except (TooSlow, ValueError, TypeError, NotImplementedError, AttributeError,
                    RecursionError, ZeroDivisionError, KeyError, sympy.PolynomialError):
                context.cache[key] = None
        new = context.cache[key]
        return new if new != tree else None
    return name, rewrite


def _apart(expression, context):
    free = sorted(expression.free_symbols, key=str)
    return sympy.apart(expression, free[len(str(expression)) % len(free)])


def _collect(expression, context):
    free = sorted(expression.free_symbols, key=str)
    return sympy.collect(sympy.expand(expression), free[len(str(expression)) % len(free)])


SYMPY = [
    _by_sympy("expand", lambda e, c: sympy.expand(e)),
    _by_sympy("factor", lambda e, c: sympy.factor(e)),
    _by_sympy("together", lambda e, c: sympy.together(e)),
    _by_sympy("apart", _apart),
    _by_sympy("cancel", lambda e, c: sympy.cancel(e)),
    _by_sympy("collect", _collect),
    _by_sympy("powsimp", lambda e, c: sympy.powsimp(e)),
    _by_sympy("expand-logs", lambda e, c: sympy.expand_log(e)),
    _by_sympy("combine-logs", lambda e, c: sympy.logcombine(e)),
    _by_sympy("radsimp", lambda e, c: sympy.radsimp(e)),
    _by_sympy("tan-as-quotient", lambda e, c: e.replace(
        sympy.tan, lambda x: sympy.sin(x) / sympy.cos(x))),
    _by_sympy("expand-trig", lambda e, c: sympy.expand_trig(e)),
    _by_sympy("powers-as-exp", lambda e, c: e.replace(
        lambda x: x.is_Pow and bool(x.args[1].free_symbols),
        lambda x: sympy.exp(x.args[1] * sympy.log(x.args[0])))),
]


def shuffle(tree, draw, context):
    """Another order of terms and factors, everywhere."""
    below = [shuffle(child, draw, context) for child in children(tree)]
    if tree[0] in ("+", "*"):
        draw.shuffle(below)
    return with_children(tree, below)


def _factor(draw, context):
    """Something positive to scale by."""
    if not context.positive:
        return number(draw.choice([2, 3, 5, 10]))
    a, b = (("s", draw.choice(context.positive)) for _ in range(2))
    return draw.choice([a, times(TWO, a), power(a, TWO), plus(a, b), plus(a, ONE), times(a, b),
                        number(draw.choice([2, 3, 5, 10])), call("sqrt", a)])


def scale(tree, draw, context):
    """Top and bottom of a fraction by the same factor."""
    factor = _factor(draw, context)

    def rule(node):
        if node[0] == "/":
            if node[1][0] == "+" and draw.random() < 0.5:
                return over(plus(*(times(factor, t) if t[0] != "-" else ("-", times(factor, t[1]))
                                   for t in node[1][1])), times(factor, node[2]))
            return over(times(factor, node[1]), times(factor, node[2]))
        return None
    return _anywhere(tree, draw, rule) or over(times(tree, factor), factor)


def scale_that_may_vanish(tree, draw, context, tell):
    """The same by a difference of two quantities, which can be zero; tells
    which two."""
    alike = [name for name in context.others if context.domains[name] == "positive"]
    if len(alike) < 2:
        return None
    a, b = draw.sample(alike, 2)
    tell(a)
    tell(b)
    factor = minus(("s", a), ("s", b))
    if tree[0] == "/":
        return over(times(tree[1], factor), times(tree[2], factor))
    return over(times(tree, factor), factor)


def nest(tree, draw, context):
    """A nested fraction."""
    factor = _factor(draw, context)

    def rule(node):
        if node[0] != "/":
            return None
        a, b = node[1:]
        ways = [over(over(a, factor), over(b, factor)), power(over(b, a), ("-", ONE))]
        if a != ONE:
            ways += [over(ONE, over(b, a)), times(a, over(ONE, b)), times(over(ONE, b), a)]
        return draw.choice(ways)
    return _anywhere(tree, draw, rule)


def split_fraction(tree, draw, context):
    """(a + b)/c as a/c + b/c."""
    def rule(node):
        if node[0] == "/" and node[1][0] == "+":
            return plus(*(over(t, node[2]) if t[0] != "-" else ("-", over(t[1], node[2]))
                          for t in node[1][1]))
        if node[0] == "/" and node[1][0] == "*" and len(node[1][1]) > 1:
            return times(over(node[1][1][0], node[2]), *node[1][1][1:])
        if node[0] == "/" and node[2][0] == "*":
            return over(over(node[1], node[2][1][0]), times(*node[2][1][1:]))
        return None
    return _anywhere(tree, draw, rule)


def split_root(tree, draw, context):
    """sqrt(a/b) as sqrt(a)/sqrt(b), sqrt(a b) as sqrt(a) sqrt(b)."""
    def rule(node):
        if node[:2] != ("f", "sqrt"):
            return None
        inside = node[2]
        if inside[0] == "/":
            return over(call("sqrt", inside[1]), call("sqrt", inside[2]))
        if inside[0] == "*":
            return times(*(call("sqrt", part) for part in inside[1]))
        return None
    return _anywhere(tree, draw, rule)


def root_moves(tree, draw, context):
    """Roots as powers, as quotients, roots of roots."""
    def rule(node):
        if node[:2] != ("f", "sqrt"):
            return None
        a = node[2]
        return draw.choice([power(a, over(ONE, TWO)), over(a, call("sqrt", a)),
                            power(a, ("d", "0.5")), over(ONE, call("sqrt", over(ONE, a))),
                            call("sqrt", call("sqrt", power(a, TWO))),
                            power(power(a, number(3)), over(ONE, number(6))),
                            over(call("sqrt", times(number(4), a)), TWO)])
    return _anywhere(tree, draw, rule)


def root_of_square(tree, draw, context):
    """x as sqrt(x^2), or two factors under one root (right for what is positive)."""
    def rule(node):
        if node[0] == "s" and context.domains[node[1]] != "real":
            return draw.choice([call("sqrt", power(node, TWO)), power(power(node, TWO), HALF),
                                call("abs", node)])
        return None
    return _anywhere(tree, draw, rule)


def power_moves(tree, draw, context):
    """x^2 as x x, x^3 as x^2 x, 1/x as x^-1."""
    def rule(node):
        if node[0] == "^" and node[2] in (TWO, number(3), number(4)):
            lower = node[2][1] - 1
            return times(node[1] if lower == 1 else power(node[1], number(lower)), node[1])
        if node[0] == "/" and node[1] == ONE:
            return power(node[2], ("-", ONE))
        if node[0] == "/" and node[2][0] in ("s", "^") and node[1] != ONE:
            if node[2][0] == "s":
                return times(node[1], power(node[2], ("-", ONE)))
            if node[2][2][0] == "n":
                return times(node[1], power(node[2][1], ("-", node[2][2])))
        return None
    return _anywhere(tree, draw, rule)


def power_with_symbol(tree, draw, context):
    """2^(-t/T) as exp(-t ln 2/T) and 1/2^(t/T); x^n as exp(n ln x)."""
    def rule(node):
        if node[0] != "^" or not names(node[2]):
            return None
        base, exponent = node[1:]
        return draw.choice([call("exp", times(exponent, call("ln", base))),
                            over(ONE, power(base, ("-", exponent))),
                            power(over(ONE, base), ("-", exponent)),
                            power(power(base, over(exponent, TWO)), TWO)])
    return _anywhere(tree, draw, rule)


def exp_moves(tree, draw, context):
    """Splits of an exponential."""
    def rule(node):
        if node[:2] != ("f", "exp"):
            return None
        a = node[2]
        ways = [over(ONE, call("exp", a[1] if a[0] == "-" else ("-", a))),
                power(call("exp", over(a, TWO)), TWO), power(("e",), a),
                times(call("exp", plus(a, ONE)), call("exp", ("-", ONE)))]
        if a[0] == "+":
            ways.append(times(*(call("exp", term) for term in a[1])))
        if a[0] == "-" and a[1][0] == "/":
            ways.append(call("exp", over(("-", a[1][1]), a[1][2])))
        if a[0] == "-":
            ways.append(power(over(ONE, ("e",)), a[1]))
        return draw.choice(ways)
    return _anywhere(tree, draw, rule)


def log_moves(tree, draw, context):
    """Splits and turns of a logarithm, and changes of base."""
    def rule(node):
        if node[0] != "f" or node[1] not in ("ln", "lg"):
            return None
        log, a = node[1], node[2]
        other = "lg" if log == "ln" else "ln"
        ways = [over(call(log, power(a, TWO)), TWO), ("-", call(log, over(ONE, a))),
                times(TWO, call(log, call("sqrt", a))),
                over(call(other, a), call(other, number(10) if log == "lg" else ("e",)))]
        if a[0] == "/":
            split = minus(call(log, a[1]), call(log, a[2]))
            ways += [split, split, ("-", call(log, over(a[2], a[1])))]
        if a[0] == "*":
            ways += [plus(*(call(log, part) for part in a[1]))] * 2
        if a[0] == "^":
            ways += [times(a[2], call(log, a[1]))] * 2
        return draw.choice(ways)
    return _anywhere(tree, draw, rule)


def trig_moves(tree, draw, context):
    """Identities: quotients, double angles, squares, complements, reciprocals."""
    def rule(node):
        if node[0] == "^" and node[1][:2] in (("f", "sin"), ("f", "cos")) and node[2] == TWO:
            other = "cos" if node[1][1] == "sin" else "sin"
            x = node[1][2]
            double = call("cos", times(TWO, x))
            return draw.choice([minus(ONE, power(call(other, x), TWO)),
                                over(minus(ONE, double) if other == "cos" else plus(ONE, double), TWO)])
        if node[0] == "*":
            found = {f[1]: f[2] for f in node[1] if f[0] == "f" and f[1] in ("sin", "cos")}
            if len(found) == 2 and found["sin"] == found["cos"]:
                rest = [f for f in node[1] if f[:2] not in (("f", "sin"), ("f", "cos"))]
                return over(times(*rest, call("sin", times(TWO, found["sin"]))), TWO)
        if node[0] != "f":
            return None
        name, x = node[1:]
        quarter = over(("pi",), TWO)
        half = over(x, TWO)
        ways = {
            "sin": [over(ONE, call("cosec", x)), call("cos", minus(quarter, x)),
                    times(TWO, call("sin", half), call("cos", half)),
                    times(call("tan", x), call("cos", x))],
            "cos": [over(ONE, call("sec", x)), call("sin", minus(quarter, x)),
                    over(call("sin", x), call("tan", x)),
                    minus(times(TWO, power(call("cos", half), TWO)), ONE),
                    minus(ONE, times(TWO, power(call("sin", half), TWO)))],
            "tan": [over(call("sin", x), call("cos", x)), over(ONE, call("cot", x)),
                    times(call("sin", x), call("sec", x))],
            "arcsin": [minus(quarter, call("arccos", x)),
                       call("arctan", over(x, call("sqrt", minus(ONE, power(x, TWO)))))],
            "arccos": [minus(quarter, call("arcsin", x))],
            "arctan": [call("arcsin", over(x, call("sqrt", plus(ONE, power(x, TWO))))),
                       minus(quarter, call("arctan", over(ONE, x)))],
        }.get(name)
        return draw.choice(ways) if ways else None
    return _anywhere(tree, draw, rule)


def trig_one(tree, draw, context):
    """Times sin^2 + cos^2 of an angle, or times 1 in another dress."""
    angles = [name for name in context.others if context.domains[name] == "acute"]
    if not angles:
        return None
    x = ("s", draw.choice(angles))
    return times(tree, plus(power(call("sin", x), TWO), power(call("cos", x), TWO)))


def turn_signs(tree, draw, context):
    """(a - b)/(c - d) as (b - a)/(d - c); a - b as -(b - a)."""
    def turned(node):
        if node[0] == "+":
            return plus(*(t[1] if t[0] == "-" else ("-", t) for t in reversed(node[1])))
        return node[1] if node[0] == "-" else None

    def rule(node):
        if node[0] == "/" and turned(node[1]) and turned(node[2]):
            return over(turned(node[1]), turned(node[2]))
        if node[0] == "/" and turned(node[2]):
            return ("-", over(node[1], turned(node[2])))
        if node[0] == "+":
            return ("-", turned(node))
        if node[0] == "-" and node[1][0] == "/":
            return draw.choice([over(("-", node[1][1]), node[1][2]), over(node[1][1], ("-", node[1][2]))])
        return None
    return _anywhere(tree, draw, rule)


def numbers(tree, draw, context):
    """Numbers in another dress: 0.5 for 1/2, 4/2 for 2, 2.0 for 2."""
    def rule(node):
        if node[0] == "n" and node[1].denominator == 1 and node[1] > 0:
            value = int(node[1])
            return draw.choice([over(number(2 * value), TWO), ("d", f"{value}.0"),
                                minus(number(value + 1), ONE)])
        if node[0] == "/" and node[2] == TWO:
            return times(draw.choice([HALF, ("d", "0.5"), over(ONE, TWO)]), node[1])
        if node[0] == "/" and node[2][0] == "*" and TWO in node[2][1] and len(node[2][1]) > 1:
            rest = [f for f in node[2][1] if f != TWO]
            return over(times(HALF, node[1]), times(*rest))
        return None
    return _anywhere(tree, draw, rule)


def there_and_back(tree, draw, context):
    """Adds something and takes it away again."""
    factor = _factor(draw, context)
    return draw.choice([minus(plus(tree, factor), factor), plus(minus(tree, factor), factor),
                        over(minus(times(TWO, tree), tree), ONE),
                        minus(times(number(3), tree), times(TWO, tree))])


def squares(tree, draw, context):
    """a^2 - b^2 as (a - b)(a + b), and a whole answer as the root of its square."""
    def rule(node):
        if node[0] == "+" and len(node[1]) == 2 and node[1][1][0] == "-":
            a, b = node[1][0], node[1][1][1]
            if a[0] == "^" and b[0] == "^" and a[2] == b[2] == TWO:
                return times(minus(a[1], b[1]), plus(a[1], b[1]))
        return None
    new = _anywhere(tree, draw, rule)
    if new is None and context.domains[context.subject] != "real":
        new = call("sqrt", power(tree, TWO))
    return new


REWRITES = SYMPY + [
    (function.__name__.replace("_", "-"), function)
    for function in (shuffle, scale, nest, split_fraction, split_root, root_moves, root_of_square,
                     power_moves, power_with_symbol, exp_moves, log_moves, trig_moves, trig_one,
                     turn_signs, numbers, there_and_back, squares)]
MAY_VANISH = ("scale-that-may-vanish", scale_that_may_vanish)


# Moves that bite on few formulae: tried first half of the time.
SELDOM = {"split-root", "root-moves", "power-with-symbol", "exp-moves", "log-moves", "trig-moves",
          "trig-one", "squares", "expand-logs", "combine-logs", "expand-trig", "split-fraction",
          "turn-signs", "nest"}
SELDOM_REWRITES = [(name, rewrite) for name, rewrite in REWRITES if name in SELDOM]


def equal(tree, draw, context):
    """(how, tree): one to three rewrites, one after the other; or None."""
    wanted = draw.choice([1, 1, 2, 2, 3])
    done = []
    for _ in range(12):
        name, rewrite = draw.choice(SELDOM_REWRITES if draw.random() < 0.5 else REWRITES)
        new = rewrite(tree, draw, context)
        if new is not None and new != tree:
            tree = new
            done.append(name)
        if len(done) == wanted:
            break
    return ("+".join(done), tree) if done else None
