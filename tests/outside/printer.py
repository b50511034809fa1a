"""Prints a tree in the ways students type.

Bracketed whenever in doubt; `typed` also reads its own text back with the
reader and falls back to explicit signs if the value is not the tree's, so a
label always belongs to what was typed.
"""

import random
from fractions import Fraction

import mpmath

import reader
from tree import ONE, Undefined, evaluate, names, over

SUPER = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
SUB = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
MARKS = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾"}

EXPLICIT = ("caret", "star", "tight-caret")
IMPLICIT = ("student", "spaced", "unicode")
STYLES = EXPLICIT + IMPLICIT

SUM, PRODUCT, POWER, ATOM = 1, 2, 3, 4


class Printer:
    """One style, with small choices drawn once from a seeded generator."""

    def __init__(self, style, draw, euler_is_free):
        self.style = style
        self.implicit = style in IMPLICIT
        self.unicode = style == "unicode"
        gap = "" if style in ("tight-caret", "student") or (self.unicode and draw.random() < 0.5) else " "
        dash = "−" if self.unicode and draw.random() < 0.7 else "-"
        self.plus, self.minus, self.dash = f"{gap}+{gap}", f"{gap}{dash}{gap}", dash
        self.raise_sign = "**" if style == "star" else "^"
        self.times = draw.choice(["×", "·"]) if self.unicode else "*"
        self.slash = draw.choice(["/", "/", " / "]) if self.implicit else "/"
        self.exp_as_power = euler_is_free and draw.random() < 0.5
        self.function_power = self.implicit and draw.random() < 0.5
        self.bare_function = self.implicit and draw.random() < 0.5
        self.root_as_power = draw.random() < 0.15
        self.greek = self.unicode or (self.implicit and draw.random() < 0.3)
        self.decimal_half = draw.random() < 0.3

    def name(self, name):
        """A quantity's spelling."""
        if not self.greek:
            return name
        head, *tail = name.split("_", 1)
        head = reader.GREEK.get(head, head)
        if not tail:
            return head
        if tail[0].isdigit() and self.unicode:
            return head + tail[0].translate(SUB)
        return head + "_" + tail[0]

    def bracket(self, node, least):
        """The text, in brackets if it binds less tightly than `least`."""
        text, level = self.text(node)
        return text if level >= least else f"({text})"

    def text(self, node):
        """(text, how tightly it binds)."""
        kind = node[0]
        if kind == "n":
            value = node[1]
            if value < 0:
                return self.dash + str(-value), SUM
            return (str(value), ATOM) if value.denominator == 1 else (str(value), PRODUCT)
        if kind == "d":
            return node[1], ATOM
        if kind == "s":
            return self.name(node[1]), ATOM
        if kind in ("pi", "e"):
            return ("π" if self.unicode and kind == "pi" else kind), ATOM
        if kind == "+":
            return self.sum(node[1]), SUM
        if kind == "-":
            return self.dash + self.bracket(node[1], PRODUCT), SUM
        if kind == "pm":
            return "±" + self.bracket(node[1], PRODUCT), SUM
        if kind == "*":
            return self.product(node[1]), PRODUCT
        if kind == "/":
            above = self.bracket(node[1], PRODUCT)
            if node[1][0] == "/" or (node[1][0] == "n" and node[1][1].denominator != 1):
                above = f"({above})"
            return above + self.slash + self.bracket(node[2], POWER), PRODUCT
        if kind == "^":
            return self.power(node[1], node[2])
        return self.function(node[1], node[2])

    def sum(self, terms):
        text = ""
        for index, term in enumerate(terms):
            signed = term[0] in ("-", "pm")
            inner = self.bracket(term[1] if signed else term, PRODUCT)
            first, later = {"-": (self.dash, self.minus),
                            "pm": ("±", self.plus.replace("+", "±"))}.get(term[0], ("", self.plus))
            text += (later if index else first) + inner
        return text

    def product(self, factors):
        text = ""
        for index, factor in enumerate(factors):
            piece = self.factor(factor, index)
            text = piece if index == 0 else self.join(text, piece)
        return text

    def factor(self, factor, index):
        """A factor of a product, in brackets unless it is plain."""
        if factor == ("/", ONE, ("n", Fraction(2))):
            factor = ("n", Fraction(1, 2))
        if factor[0] == "n" and factor[1].denominator != 1 and index == 0:
            if self.unicode and factor[1] in MARKS:
                return MARKS[factor[1]]
            if self.decimal_half and factor[1].denominator in (2, 4, 5):
                return str(float(factor[1]))
            if not self.implicit or self.style == "spaced":
                return str(factor[1])
        return self.bracket(factor, POWER)

    def join(self, left, right):
        if not self.implicit:
            return left + self.times + right
        if right[0].isdigit() or right[0] in "½¼¾":
            return f"{left} {self.times} {right}"
        if left[-1].isdigit() and right[0] in "eE":
            return f"{left}{self.times}{right}"
        if self.style == "spaced":
            return f"{left} {right}"
        tight_left = left[-1] in ")½¼¾" or left[-1].isdigit() or left[-1] in "⁰¹²³⁴⁵⁶⁷⁸⁹" \
            or len(left) == 1 or not (left[-2].isalnum() or left[-2] in "_Δ") or left[-2].isdigit()
        tight_right = right[0] in "(√" or len(right) == 1 or not (right[1].isalnum() or right[1] in "_")
        if self.style == "student" and left[-1].isalpha() and right[0].isalpha() and "_" not in left[-3:]:
            tight_left = True
        return left + right if tight_left and tight_right else f"{left} {right}"

    def power(self, base, exponent):
        if base[0] == "f" and self.function_power and base[1] in ("sin", "cos", "tan") \
                and exponent[0] == "n" and exponent[1] in (2, 3, 4):
            raised = str(exponent[1]).translate(SUPER) if self.unicode else f"^{exponent[1]}"
            return f"{base[1]}{raised}({self.text(base[2])[0]})", POWER
        below = self.bracket(base, ATOM)
        if exponent[0] == "n" and exponent[1].denominator == 1 and exponent[1] >= 0:
            if self.unicode:
                return below + str(exponent[1]).translate(SUPER), POWER
            return f"{below}{self.raise_sign}{exponent[1]}", POWER
        if exponent[0] == "s" and not self.implicit:
            return below + self.raise_sign + self.name(exponent[1]), POWER
        return f"{below}{self.raise_sign}({self.text(exponent)[0]})", POWER

    def function(self, name, argument):
        inside = self.text(argument)[0]
        if name == "exp" and self.exp_as_power:
            return f"e{self.raise_sign}({inside})", POWER
        if name == "sqrt":
            if self.root_as_power:
                return f"({inside}){self.raise_sign}{'0.5' if self.decimal_half else '(1/2)'}", POWER
            if self.unicode:
                return f"√({inside})", ATOM
        if name == "abs" and self.implicit and "|" not in inside:
            return f"|{inside}|", ATOM
        if self.bare_function and name in ("sin", "cos", "tan", "ln", "lg") and argument[0] == "s":
            # In brackets as a factor: what comes next would join the argument.
            return f"{name} {inside}", PRODUCT
        return f"{name}({inside})", ATOM


def safe_point(node, draw):
    """A point at which the tree has a value, or None."""
    for _ in range(30):
        point = {name: mpmath.mpf(draw.randint(20, 400)) / 130 for name in names(node)}
        try:
            evaluate(node, point)
            return point
        except Undefined:
            continue
    return None


def expression(node, style, draw, declared):
    """(text, style used), guarded by reading back."""
    point = safe_point(node, random.Random(7))
    free = "e" not in declared
    for attempt in (style, "caret"):
        text = Printer(attempt, draw, free).text(node)[0]
        if point is None:
            if attempt == "caret":
                return text, attempt
            continue
        try:
            back = evaluate(reader.read(text, declared), point)
            meant = evaluate(node, point)
        except (reader.Unreadable, Undefined):
            continue
        if abs(back - meant) <= mpmath.mpf(10) ** -70 * (abs(meant) + mpmath.mpf(10) ** -20):
            return text, attempt
    raise ValueError(f"not read back: {text}")


def typed(subject, node, draw, declared):
    """(answer, style): an answer as typed, now and then the other way round."""
    style = draw.choice(STYLES)
    text, style = expression(node, style, draw, declared)
    printer = Printer(style, draw, True)
    left = printer.name(subject) if style not in EXPLICIT else subject
    equals = "=" if style == "student" and draw.random() < 0.5 else " = "
    if draw.random() < 0.08:
        return text + equals + left, style
    return left + equals + text, style
