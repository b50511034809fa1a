"""Solutions by SymPy, and labels by mpmath at 150 working digits.

A point is admissible when it satisfies the formula and every quantity, the
subject too, lies in its domain. An answer is

    right      equal to the subject at every point, to 1e-40
    wrong      at some point further than 1e-30 from every admissible root
    undefined  equal wherever it has a value, but without one at some points

and is left out when it is in between. With two admissible roots and a real
subject, one root (the same at every point) is right and marked.
"""

import random
import signal
from contextlib import contextmanager

import mpmath
import sympy

from tree import Undefined, children, evaluate, from_sympy, places, plus, symbol, to_sympy

POINTS = 44
NEAR = mpmath.mpf(10) ** -40
FAR = mpmath.mpf(10) ** -30


class TooSlow(Exception):
    """The time allowed has run out."""


@contextmanager
def allowed(seconds):
    """Stops what runs inside after so many seconds."""
    def stop(*_):
        raise TooSlow
    signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


def inside(value, domain):
    """Whether a real value lies in a domain."""
    if domain == "positive":
        return value > 0
    if domain == "acute":
        return 0 < value < mpmath.pi() / 2
    return True


def sample(domain, draw, spread=700):
    """A random value of a domain, many digits long, between 10^-spread/1000
    and its reciprocal in size. The spread is kept small so that 1 - exp(-x)
    and tanh(x) don't eat up the working digits."""
    if domain == "acute":
        return mpmath.mpf(draw.randint(40000, 1530000)) / 1000000
    size = mpmath.mpf(10) ** (mpmath.mpf(draw.randint(-spread, spread)) / 1000)
    value = mpmath.mpf(int(size * 10 ** 6)) / 10 ** 6
    return -value if domain == "real" and draw.random() < 0.5 else value


def distance(a, b):
    """Relative distance."""
    return abs(a - b) / max(abs(a), abs(b), mpmath.mpf(10) ** -30)


class Formula:
    """A formula with its domains, and what SymPy makes of its subjects."""

    def __init__(self, text, sides, domains):
        self.text, self.domains = text, domains
        self.left, self.right = sides
        self.symbols = {name: symbol(name, domain) for name, domain in domains.items()}
        self._solutions = {}
        self._cases = {}

    def residual(self, point):
        """Left minus right, relative to the larger. Raises Undefined."""
        return distance(evaluate(self.left, point), evaluate(self.right, point))

    def solutions(self, subject):
        """SymPy's solutions in closed form, as trees."""
        if subject not in self._solutions:
            self._solutions[subject] = self._solve(subject)
        return self._solutions[subject]

    def _solve(self, subject):
        if self.left == ("s", subject) and ("s", subject) not in _all(self.right):
            return [self.right]
        left, right = (to_sympy(side, self.symbols) for side in (self.left, self.right))
        unknown = self.symbols[subject]
        # Without assumptions on the subject SymPy drops no branch; the points do.
        plain = sympy.Symbol(subject)
        try:
            with allowed(6):
                found = sympy.solve((left - right).subs(unknown, plain), plain)
        except (TooSlow, ValueError, NotImplementedError, TypeError, AttributeError,
                RecursionError, sympy.PolynomialError):
            return []
        trees = []
        for one in found:
            try:
                trees.append(from_sympy(one.subs(plain, unknown)))
            except (ValueError, TypeError):
                continue  # a complex branch; `Case.complete` sees to the real ones
        return trees

    def roots(self, subject, point):
        """Admissible values of the subject by SymPy's solutions: (index, value)."""
        found = []
        for index, solution in enumerate(self.solutions(subject)):
            try:
                value = evaluate(solution, point)
                if inside(value, self.domains[subject]) \
                        and self.residual({**point, subject: value}) < NEAR \
                        and all(distance(value, other) > NEAR for _, other in found):
                    found.append((index, value))
            except Undefined:
                continue
        return found

    def case(self, subject):
        """Points to label answers for this subject by, or None."""
        if subject not in self._cases:
            self._cases[subject] = self._case(subject)
        return self._cases[subject]

    def _case(self, subject):
        if not self.solutions(subject):
            return None
        draw = random.Random(f"{self.text} {subject}")
        pivots = [name for name in self.domains if self.solutions(name)]
        points = []
        for attempt in range(40 * POINTS):
            if len(points) == POINTS:
                break
            # Mostly solved for something else, so that the subject is drawn
            # from its whole domain.
            pivot = draw.choice(pivots)
            point = {name: sample(domain, draw) for name, domain in self.domains.items()
                     if name != pivot}
            for _, value in self.roots(pivot, point)[:2]:
                points.append({**point, pivot: value})
        if len(points) < 40:
            return None
        case = Case(self, subject, points[:POINTS])
        return case if case.complete() else None


def _all(node):
    return [found for _, found in places(node)]


class Case:
    """A (formula, subject) with its admissible points."""

    def __init__(self, formula, subject, points):
        self.formula, self.subject, self.points = formula, subject, points
        self.roots = [formula.roots(subject, {k: v for k, v in point.items() if k != subject})
                      for point in points]
        indices = [{index for index, _ in roots} for roots in self.roots]
        self.two_roots = any(len(found) > 1 for found in indices)
        self.used = sorted(set().union(*indices)) if indices else []

    def complete(self):
        """Whether SymPy's solutions hold the subject's value at every point,
        and a search over the domain finds no other root."""
        for point, roots in zip(self.points, self.roots):
            if not any(distance(value, point[self.subject]) < NEAR for _, value in roots):
                return False
        return all(self._no_other(point, roots)
                   for point, roots in list(zip(self.points, self.roots))[:5])

    def _no_other(self, point, roots):
        domain = self.formula.domains[self.subject]
        if domain == "acute":
            grid = [mpmath.mpf(k) / 100 for k in range(1, 157)]
        else:
            grid = [mpmath.mpf(10) ** (mpmath.mpf(k) / 20) for k in range(-60, 61)]
            if domain == "real":
                grid = [-value for value in reversed(grid)] + grid
        before = None
        for value in grid:
            here = {**point, self.subject: value}
            try:
                sign = evaluate(self.formula.left, here) - evaluate(self.formula.right, here)
            except Undefined:
                before = None
                continue
            if before is not None and before[1] * sign < 0:
                if not any(before[0] <= root <= value for _, root in roots) \
                        and self._crosses(point, before[0], value):
                    return False
            before = (value, sign)
        return True

    def _crosses(self, point, low, high):
        """Whether a change of sign is a root (a pole grows as it is neared)."""
        def value(at):
            here = {**point, self.subject: at}
            return evaluate(self.formula.left, here) - evaluate(self.formula.right, here)
        try:
            at_low, at_high = value(low), value(high)
            start = max(abs(at_low), abs(at_high))
            for _ in range(60):
                middle = (low + high) / 2
                at_middle = value(middle)
                if at_middle * at_low > 0:
                    low, at_low = middle, at_middle
                else:
                    high, at_high = middle, at_middle
            return max(abs(at_low), abs(at_high)) < start
        except Undefined:
            return False

    def main_solution(self):
        """The tree that gives the subject at every point, or None."""
        for index in self.used:
            if all(any(found == index for found, _ in roots) for roots in self.roots):
                return self.formula.solutions(self.subject)[index]
        return None

    def label(self, answer):
        """(label, one root only) of an answer; label None to leave it out."""
        if ("s", self.subject) in _all(answer):
            return None, False
        equal, undefined, between, other = 0, 0, 0, set()
        indices = set(self.used)
        for point, roots in zip(self.points, self.roots):
            try:
                value = evaluate(answer, point)
            except Undefined:
                undefined += 1
                continue
            near = min(distance(value, root) for _, root in roots)
            if near > FAR:
                return "wrong", False
            if near > NEAR:
                between += 1
                continue
            indices &= {index for index, root in roots if distance(value, root) < NEAR} \
                | (set(self.used) - {index for index, _ in roots})
            if distance(value, point[self.subject]) < NEAR:
                equal += 1
        if between:
            return None, False
        if undefined:
            return ("undefined", False) if undefined < len(self.points) else ("undefined", None)
        if not self.two_roots:
            return ("right", False) if equal == len(self.points) else (None, False)
        if indices and self.formula.domains[self.subject] == "real":
            return "right", True
        return None, False

    def both_roots(self):
        """A tree with a doubled sign that stands for two real roots, or None."""
        if not self.two_roots or len(self.used) != 2 \
                or self.formula.domains[self.subject] != "real" \
                or any(len(roots) != 2 for roots in self.roots):
            return None
        first, second = (self.formula.solutions(self.subject)[index] for index in self.used)
        for minus, other in ((first, second), (second, first)):
            if minus == ("-", other):
                return ("pm", other)
        # -b/a + sqrt(d)/a and -b/a - sqrt(d)/a
        try:
            first, second = (set(children(from_sympy(sympy.expand(to_sympy(tree, self.formula.symbols)))))
                             for tree in (first, second))
        except ValueError:
            return None
        common = first & second
        first, second = first - common, second - common
        if common and len(first) == len(second) == 1:
            (one,), (other,) = first, second
            if one == ("-", other):
                one, other = other, one
            if other == ("-", one):
                return plus(*sorted(common, key=str), ("pm", one))
        return None
