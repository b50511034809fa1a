"""A reader of typed maths by the preferred reading of the design (section 4).

Written from the design alone. It serves two ends: the generator's formulae are
written as text, and every typed answer is read back, so that the label
belongs to the tree that was meant.

Juxtaposition binds tighter than a slash, a fraction of two whole numbers is a
number, and a function without brackets takes the following product up to a
slash or a sign.
"""

import re
from fractions import Fraction

from tree import ONE, call, number, over, plus, power, times

GREEK = {"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "eta": "η",
         "theta": "θ", "lambda": "λ", "mu": "μ", "rho": "ρ", "sigma": "σ", "tau": "τ",
         "phi": "φ", "omega": "ω", "Phi": "Φ", "Omega": "Ω"}
FUNCTIONS = ["arcsin", "arccos", "arctan", "arsinh", "arcosh", "artanh", "cosec", "sqrt", "sinh",
             "cosh", "tanh", "sin", "cos", "tan", "sec", "cot",
             "exp", "abs", "ln", "lg", "log"]
SUPERSCRIPT = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-"))
PARTS = {"½": Fraction(1, 2), "⅓": Fraction(1, 3), "¼": Fraction(1, 4), "¾": Fraction(3, 4)}


class Unreadable(Exception):
    """The text can't be read."""


def _spellings(declared):
    """Every way to write each declared name, longest first."""
    ways = {}
    for name in declared:
        ways[name] = name
        head, *tail = name.split("_", 1)
        if head in GREEK:
            ways[GREEK[head] + ("_" + tail[0] if tail else "")] = name
    for written, name in list(ways.items()):
        found = re.fullmatch(r"(.+)_(\d+)", written)
        if found:
            low = "".join("₀₁₂₃₄₅₆₇₈₉"[int(digit)] for digit in found[2])
            ways[found[1] + low] = name
    return sorted(ways.items(), key=lambda item: -len(item[0]))


def tokens(text, declared):
    """The text cut into (kind, value, space before)."""
    ways = _spellings(declared)
    found = []
    at = 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        kind, value, length = _token(text[at:], ways)
        found.append((kind, value, at > 0 and text[at - 1].isspace()))
        at += length
    found.append(("end", "", False))
    return found


def _token(rest, ways):
    match = re.match(r"(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", rest)
    if match:
        return "number", match[0], len(match[0])
    match = re.match("[" + "".join(SUPERSCRIPT) + "]+", rest)
    if match:
        return "super", int("".join(SUPERSCRIPT[c] for c in match[0])), len(match[0])
    if rest.startswith("**"):
        return "^", "**", 2
    for signs, kind in _SIGNS:
        if rest[0] in signs:
            return kind, rest[0], 1
    if rest[0] in PARTS:
        return "part", PARTS[rest[0]], 1
    if rest[0] == "√":
        return "function", "sqrt", 1
    return _word(rest, ways)


_SIGNS = (("+", "+"), ("-−", "-"), ("±", "±"), ("*×·", "*"), ("/÷", "/"), ("^", "^"),
          ("=", "="), ("([", "("), (")]", ")"), ("|", "|"))


def _word(rest, ways):
    best = next(((name, written) for written, name in ways if rest.startswith(written)), None)
    length = len(best[1]) if best else 0
    for name in FUNCTIONS:
        if rest.startswith(name) and len(name) > length:
            return ("function", name, len(name))
    if best:
        return ("symbol", best[0], length)
    for written in ("pi", "π"):
        if rest.startswith(written):
            return ("pi", None, len(written))
    if rest[0] == "e":
        return ("e", None, 1)
    raise Unreadable(f"what is {rest!r}?")


class _Reader:
    def __init__(self, text, declared):
        self.tokens = tokens(text, declared)
        self.at = 0

    def kind(self, ahead=0):
        return self.tokens[min(self.at + ahead, len(self.tokens) - 1)][0]

    def take(self, kind=None):
        token = self.tokens[self.at]
        if kind and token[0] != kind:
            raise Unreadable(f"{kind} was due, {token[1]!r} found")
        self.at += 1
        return token

    def sum(self):
        terms = []
        while True:
            sign = self.take()[0] if self.kind() in ("+", "-", "±") else "+"
            term = self.product()
            terms.append({"+": term, "-": ("-", term), "±": ("pm", term)}[sign])
            if self.kind() not in ("+", "-", "±"):
                return plus(*terms)

    def product(self):
        value = self.joined()
        while self.kind() in ("*", "/"):
            operator = self.take()[0]
            right = self.signed_joined()
            value = times(value, right) if operator == "*" else over(value, right)
        return value

    def signed_joined(self):
        if self.kind() == "-":
            self.take()
            return ("-", self.joined())
        return self.joined()

    def whole(self, ahead):
        token = self.tokens[min(self.at + ahead, len(self.tokens) - 1)]
        return token[0] == "number" and token[1].isdigit()

    def starts_factor(self):
        return self.kind() in ("number", "part", "symbol", "pi", "e", "function", "(")

    def joined(self):
        """Factors side by side."""
        factors = []
        if self.whole(0) and self.kind(1) == "/" and self.whole(2) and self.kind(3) not in ("^", "super"):
            above, below = int(self.take()[1]), int(self.tokens[self.at + 1][1])
            self.at += 2
            factors.append(over(number(above), number(below)))
            if not self.starts_factor():
                return factors[0]
        factors.append(self.powered())
        while self.starts_factor():
            factors.append(self.powered())
        return times(*factors)

    def powered(self):
        if self.kind() == "function":
            return self.function()
        base = self.atom()
        return self.raised(base)

    def raised(self, base):
        if self.kind() == "super":
            base = power(base, _signed(self.take()[1]))
            return self.raised(base) if self.kind() == "^" else base
        if self.kind() == "^":
            self.take()
            return power(base, self.exponent())
        return base

    def exponent(self):
        if self.kind() == "-":
            self.take()
            return ("-", self.exponent())
        if self.kind() == "function":
            return self.function()
        return self.raised(self.atom())

    def function(self):
        name = self.take()[1]
        name = {"log": "lg"}.get(name, name)
        raised = None
        if self.kind() == "super":
            raised = _signed(self.take()[1])
        elif self.kind() == "^":
            self.take()
            raised = self.exponent()
        if self.kind() == "(":
            self.take()
            argument = self.sum()
            self.take(")")
        else:
            factors = [self.raised(self.atom())]
            while self.starts_factor() and self.kind() != "function":
                factors.append(self.raised(self.atom()))
            argument = times(*factors)
            value = call(name, argument)
            return power(value, raised) if raised else value
        value = call(name, argument)
        if raised == ("-", ONE):
            return call("arc" + name, argument)
        return power(value, raised) if raised else self.raised(value)

    def atom(self):
        kind, value, _ = self.take()
        if kind == "number":
            return number(value) if value.isdigit() else ("d", value)
        if kind == "part":
            return over(number(value.numerator), number(value.denominator))
        if kind == "symbol":
            return ("s", value)
        if kind in ("pi", "e"):
            return (kind,)
        if kind == "(":
            inner = self.sum()
            self.take(")")
            return inner
        if kind == "|":
            inner = self.sum()
            self.take("|")
            return call("abs", inner)
        raise Unreadable(f"{value!r} in the wrong place")


def _signed(value):
    return number(value) if value >= 0 else ("-", number(-value))


def read(text, declared):
    """An expression. Raises Unreadable."""
    reader = _Reader(text, declared)
    value = reader.sum()
    reader.take("end")
    return value


def read_equation(text, declared):
    """Left and right side."""
    sides = text.split("=")
    if len(sides) != 2:
        raise Unreadable("one equals sign was due")
    return read(sides[0], declared), read(sides[1], declared)
