"""The generator's own small tree of maths.

SymPy tidies whatever it is given (`a*b/(a*c)` loses its `a` at once), so the
clumsy but right answers that students write can't be held by SymPy. This tree
keeps them. Nodes are tuples:

    ("n", Fraction)      an exact number
    ("d", "1.0001")      a decimal, exact, printed as it stands
    ("s", name)          a quantity
    ("pi",) ("e",)       constants
    ("+", (a, b, ...))   a sum; a term taken away is ("-", a)
    ("-", a)             minus a
    ("*", (a, b, ...))   a product
    ("/", a, b)          a quotient
    ("^", a, b)          a power
    ("f", name, a)       a function of one argument
    ("pm", a)            plus or minus a (evaluated by its upper sign)
"""

from fractions import Fraction

import mpmath
import sympy

DIGITS = 150
mpmath.mp.dps = DIGITS
NOISE = mpmath.mpf(10) ** -(DIGITS - 25)

ONE = ("n", Fraction(1))
TWO = ("n", Fraction(2))
HALF = ("n", Fraction(1, 2))


class Undefined(Exception):
    """The expression has no real value at the point."""


def number(value):
    """An exact number as a node."""
    return ("n", Fraction(value))


def times(*factors):
    """A product, flat, of one factor or more."""
    flat = []
    for factor in factors:
        flat.extend(factor[1] if factor[0] == "*" else (factor,))
    return flat[0] if len(flat) == 1 else ("*", tuple(flat))


def plus(*terms):
    """A sum, flat, of one term or more."""
    flat = []
    for term in terms:
        flat.extend(term[1] if term[0] == "+" else (term,))
    return flat[0] if len(flat) == 1 else ("+", tuple(flat))


def minus(a, b):
    """a - b."""
    return plus(a, ("-", b))


def over(a, b):
    """a / b."""
    return ("/", a, b)


def power(a, b):
    """a ^ b."""
    return ("^", a, b)


def call(name, a):
    """A function of a."""
    return ("f", name, a)


def children(node):
    """The nodes directly below."""
    kind = node[0]
    if kind in ("+", "*"):
        return node[1]
    if kind in ("/", "^"):
        return node[1:]
    if kind == "f":
        return (node[2],)
    if kind in ("-", "pm"):
        return (node[1],)
    return ()


def with_children(node, new):
    """The same node over other children."""
    kind = node[0]
    new = tuple(new)
    if kind in ("+", "*"):
        return (kind, new)
    if kind == "f":
        return ("f", node[1], new[0])
    if kind in ("/", "^", "-", "pm"):
        return (kind,) + new
    return node


def places(node, path=()):
    """Every node with its path from the top."""
    yield path, node
    for index, child in enumerate(children(node)):
        yield from places(child, path + (index,))


def put(node, path, new):
    """The tree with the node at `path` replaced."""
    if not path:
        return new
    below = list(children(node))
    below[path[0]] = put(below[path[0]], path[1:], new)
    return with_children(node, below)


def size(node):
    """How many nodes."""
    return 1 + sum(size(child) for child in children(node))


def names(node):
    """The quantities in it."""
    if node[0] == "s":
        return {node[1]}
    return set().union(*(names(child) for child in children(node))) if children(node) else set()


def substitute(node, name, new):
    """The tree with a quantity replaced."""
    if node == ("s", name):
        return new
    return with_children(node, [substitute(child, name, new) for child in children(node)])


def _real_power(base, exponent):
    if base == 0 and exponent <= 0:
        raise Undefined
    if base < 0 and exponent != mpmath.floor(exponent):
        raise Undefined
    return mpmath.power(base, int(exponent) if exponent == mpmath.floor(exponent) else exponent)


def _function(name, x):
    mp = mpmath
    if name == "sqrt":
        if x < 0:
            raise Undefined
        return mp.sqrt(x)
    if name == "exp":
        return mp.exp(x)
    if name in ("ln", "lg"):
        if x <= 0:
            raise Undefined
        if abs(x - 1) < NOISE:
            return mp.mpf(0)
        return mp.log(x) if name == "ln" else mp.log10(x)
    if name in ("arcsin", "arccos"):
        if abs(x) > 1:
            raise Undefined
        return mp.asin(x) if name == "arcsin" else mp.acos(x)
    if name in ("sec", "cosec", "cot"):
        below = {"sec": mp.cos, "cosec": mp.sin, "cot": mp.tan}[name](x)
        if below == 0:
            raise Undefined
        return 1 / below
    if (name == "arcosh" and x < 1) or (name == "artanh" and abs(x) >= 1):
        raise Undefined
    return {"sin": mp.sin, "cos": mp.cos, "tan": mp.tan, "arctan": mp.atan, "abs": abs,
            "sinh": mp.sinh, "cosh": mp.cosh, "tanh": mp.tanh, "arsinh": mp.asinh,
            "arcosh": mp.acosh, "artanh": mp.atanh}[name](x)


def evaluate(node, point):
    """The real value at a point (name -> mpf). Raises Undefined."""
    kind = node[0]
    if kind == "n":
        return mpmath.mpf(node[1].numerator) / node[1].denominator
    if kind == "d":
        return mpmath.mpf(node[1])
    if kind == "s":
        return point[node[1]]
    if kind == "pi":
        return mpmath.pi()
    if kind == "e":
        return mpmath.e()
    if kind == "+":
        terms = [evaluate(child, point) for child in node[1]]
        total = sum(terms, mpmath.mpf(0))
        # What is left of a full cancellation is noise, and stands for zero.
        return total if abs(total) > NOISE * max(map(abs, terms)) else mpmath.mpf(0)
    if kind == "-":
        return -evaluate(node[1], point)
    if kind == "pm":
        return evaluate(node[1], point)
    if kind == "*":
        total = mpmath.mpf(1)
        for child in node[1]:
            total *= evaluate(child, point)
        return total
    if kind == "/":
        below = evaluate(node[2], point)
        if below == 0:
            raise Undefined
        return evaluate(node[1], point) / below
    if kind == "^":
        return _real_power(evaluate(node[1], point), evaluate(node[2], point))
    return _function(node[1], evaluate(node[2], point))


_TO_SYMPY = {"sqrt": sympy.sqrt, "exp": sympy.exp, "ln": sympy.log, "sin": sympy.sin,
             "lg": lambda x: sympy.log(x) / sympy.log(10), "cos": sympy.cos,
             "tan": sympy.tan, "sec": sympy.sec, "cosec": sympy.csc, "cot": sympy.cot,
             "arcsin": sympy.asin, "arccos": sympy.acos, "arctan": sympy.atan,
             "abs": sympy.Abs, "sinh": sympy.sinh, "cosh": sympy.cosh, "tanh": sympy.tanh,
             "arsinh": sympy.asinh, "arcosh": sympy.acosh, "artanh": sympy.atanh}
_FROM_SYMPY = {"exp": "exp", "log": "ln", "sin": "sin", "cos": "cos", "tan": "tan",
               "sec": "sec", "csc": "cosec", "cot": "cot", "asin": "arcsin",
               "acos": "arccos", "atan": "arctan", "Abs": "abs",
               "sinh": "sinh", "cosh": "cosh", "tanh": "tanh", "asinh": "arsinh",
               "acosh": "arcosh", "atanh": "artanh"}


def symbol(name, domain):
    """A SymPy symbol that knows its domain (an acute angle is positive)."""
    return sympy.Symbol(name, real=True) if domain == "real" else sympy.Symbol(name, positive=True)


def to_sympy(node, symbols):
    """The same in SymPy, over a dict of its symbols."""
    kind = node[0]
    if kind == "n":
        return sympy.Rational(node[1].numerator, node[1].denominator)
    if kind == "d":
        return sympy.Rational(node[1])
    if kind == "s":
        return symbols[node[1]]
    if kind == "pi":
        return sympy.pi
    if kind == "e":
        return sympy.E
    below = [to_sympy(child, symbols) for child in children(node)]
    if kind == "+":
        return sympy.Add(*below)
    if kind == "*":
        return sympy.Mul(*below)
    if kind == "-":
        return -below[0]
    if kind == "/":
        return below[0] / below[1]
    if kind == "^":
        return below[0] ** below[1]
    if kind == "f":
        return _TO_SYMPY[node[1]](below[0])
    raise ValueError(f"no SymPy form for {kind}")


def from_sympy(expression):
    """SymPy's expression as a tree. Raises ValueError for what has no form here."""
    if expression.is_Rational:
        value = Fraction(int(expression.p), int(expression.q))
        return ("n", value) if value >= 0 else ("-", ("n", -value))
    if expression.is_Symbol:
        return ("s", expression.name)
    if expression is sympy.pi:
        return ("pi",)
    if expression is sympy.E:
        return ("e",)
    if expression.is_Add:
        return plus(*(from_sympy(term) for term in expression.as_ordered_terms()))
    if expression.is_Mul:
        return _from_product(expression)
    if expression.is_Pow:
        base, exponent = expression.args
        if exponent.is_Rational and exponent < 0:
            return over(ONE, from_sympy(base ** -exponent))
        if exponent == sympy.Rational(1, 2):
            return call("sqrt", from_sympy(base))
        return power(from_sympy(base), from_sympy(exponent))
    if expression.is_Function and type(expression).__name__ in _FROM_SYMPY:
        return call(_FROM_SYMPY[type(expression).__name__], from_sympy(expression.args[0]))
    raise ValueError(f"no tree for {expression}")


def _from_product(expression):
    coefficient, _ = expression.as_coeff_Mul()
    if coefficient.is_Rational and coefficient < 0:
        return ("-", from_sympy(-expression))
    above, below = [], []
    for factor in expression.as_ordered_factors():
        if factor.is_Rational:
            if factor.p != 1:
                above.append(number(int(factor.p)))
            if factor.q != 1:
                below.append(number(int(factor.q)))
        elif factor.is_Pow and factor.args[1].is_Rational and factor.args[1] < 0:
            below.append(from_sympy(factor.args[0] ** -factor.args[1]))
        else:
            above.append(from_sympy(factor))
    top = times(*above) if above else ONE
    return over(top, times(*below)) if below else top
