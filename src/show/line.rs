//! An expression as one line of plain text that reads back to the same
//! meaning, in the preferred reading.
//!
//! Brackets are few but never missing where two readings are possible:
//! `a/(2s)`, `e^(-λt)`, `sin(2θ)/g`. Letters stand side by side only where the
//! reader would take them apart again.

use std::fmt::Write as _;

use crate::algebra::expr::{Constant, Derivative, Equation, Expr, Factor, Function, Sign, Term};
use crate::algebra::number::Number;
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::text::{functions, greek};

/// Which characters may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Spelling {
    /// Greek letters, raised powers, `√`.
    #[default]
    Unicode,
    /// Only what every keyboard has.
    Ascii,
}

/// The expression as a line.
#[must_use]
pub fn line(expr: &Expr, symbols: &SymbolTable, style: Spelling) -> String {
    let mut writer = Writer {
        symbols,
        style,
        out: String::new(),
        in_bar: false,
    };
    writer.sum(expr);
    writer.out
}

/// Sides with `=` between them.
#[must_use]
pub fn equation_line(chain: &[Expr], symbols: &SymbolTable, style: Spelling) -> String {
    let mut out = String::new();
    for (index, side) in chain.iter().enumerate() {
        if index > 0 {
            out.push_str(" = ");
        }
        out.push_str(&line(side, symbols, style));
    }
    out
}

/// Both sides of an equation as a line.
#[must_use]
pub fn equation(equation: &Equation, symbols: &SymbolTable, style: Spelling) -> String {
    let left = line(&equation.left, symbols, style);
    let right = line(&equation.right, symbols, style);
    format!("{left} = {right}")
}

/// The name of a symbol as it is shown: spelled Greek as letters and lowered
/// digits, or all of it in ASCII as far as that goes.
#[must_use]
pub fn name(symbol: Symbol, symbols: &SymbolTable, style: Spelling) -> String {
    spell(symbols.name(symbol), style)
}

/// What stands at the end of what is written so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tail {
    /// A number: a letter may follow at once, another number may not.
    Number,
    /// Letters that can be taken apart again, from this byte on.
    Letters(usize),
    /// A name that needs a space behind it, such as `E_k`.
    Name,
    /// A closing bracket or a raised power: a letter may follow at once.
    Closed,
    /// An exponent that a juxtaposed factor might be drawn into.
    Exponent,
}

struct Writer<'a> {
    symbols: &'a SymbolTable,
    style: Spelling,
    out: String,
    in_bar: bool,
}

impl Writer<'_> {
    fn sum(&mut self, expr: &Expr) {
        match expr {
            Expr::Sum(terms) => self.terms(terms),
            other => {
                self.product(other);
            }
        }
    }

    fn terms(&mut self, terms: &[Term]) {
        for (index, term) in terms.iter().enumerate() {
            let sign = match (term.sign, self.style) {
                (Sign::Plus, _) => "+",
                (Sign::Minus, _) => "-",
                (Sign::PlusMinus, Spelling::Unicode) => "±",
                (Sign::PlusMinus, Spelling::Ascii) => "+/-",
                (Sign::MinusPlus, Spelling::Unicode) => "∓",
                (Sign::MinusPlus, Spelling::Ascii) => "-/+",
            };
            if index > 0 {
                let _ = write!(self.out, " {sign} ");
            } else if term.sign != Sign::Plus {
                self.out.push_str(sign);
            }
            let first_plain = index == 0 && term.sign == Sign::Plus;
            match &term.value {
                inner @ Expr::Sum(_) => self.bracketed(inner),
                inner if starts_negative(inner) && !first_plain => self.bracketed(inner),
                inner => {
                    self.product(inner);
                }
            }
        }
        if terms.is_empty() {
            self.out.push('0');
        }
    }

    fn bracketed(&mut self, expr: &Expr) {
        self.out.push('(');
        let bar = std::mem::replace(&mut self.in_bar, false);
        self.sum(expr);
        self.in_bar = bar;
        self.out.push(')');
    }

    /// A product or anything that binds as tightly.
    fn product(&mut self, expr: &Expr) -> Tail {
        match expr {
            Expr::Product(factors) => self.factors(factors),
            other => self.factor(other, true),
        }
    }

    fn factors(&mut self, factors: &[Factor]) -> Tail {
        let start = self.out.len();
        let mut tail = None;
        let mut divided = false;
        for (index, factor) in factors.iter().enumerate() {
            let last = factors.len() == index + 1;
            if factor.divides {
                if index == 0 {
                    self.out.push('1');
                }
                self.out.push('/');
                tail = Some(self.factor(&factor.value, false));
                divided = true;
                continue;
            }
            if divided {
                // What was divided so far is one factor from here on.
                self.out.insert(start, '(');
                self.out.push(')');
                tail = Some(Tail::Closed);
                divided = false;
            }
            tail = Some(match tail {
                None => self.factor(&factor.value, last),
                Some(before) => self.next_factor(before, &factor.value, start),
            });
        }
        match tail {
            Some(tail) if !divided => tail,
            Some(_) => Tail::Exponent,
            None => {
                self.out.push('1');
                Tail::Number
            }
        }
    }

    /// A factor behind another: side by side if that reads back.
    fn next_factor(&mut self, before: Tail, value: &Expr, start: usize) -> Tail {
        let at = self.out.len();
        let tail = self.factor(value, false);
        let written = &self.out[at..];
        let first = written.chars().next().unwrap_or(' ');
        let separator = if first.is_ascii_digit() || is_vulgar(first) || before == Tail::Exponent {
            Some(self.times())
        } else if first == '(' || first == '√' || first == '∛' {
            match before {
                // `f(x)` looks like a function of x, but reads as a product.
                Tail::Letters(_) | Tail::Number | Tail::Closed => None,
                Tail::Name => Some(" "),
                Tail::Exponent => Some(self.times()),
            }
        } else if first == '|' {
            if self.in_bar {
                Some(self.times())
            } else {
                None
            }
        } else {
            match (before, tail) {
                (Tail::Number | Tail::Closed, _) => {
                    if self.style == Spelling::Ascii && before == Tail::Closed {
                        Some(" ")
                    } else if matches!(first, 'e' | 'E') && before == Tail::Number {
                        // `2e` is no beginning of a power of ten here, but
                        // `2e3` would be one.
                        Some(" ")
                    } else {
                        None
                    }
                }
                (Tail::Letters(from), _) => {
                    let head = letters_at(written);
                    let joined = format!("{}{}", &self.out[from..at], head);
                    let single = head.chars().count() == 1
                        && !written[head.len()..].starts_with(|c: char| {
                            c == '_'
                                || c == '{'
                                || c.is_ascii_digit()
                                || greek::lowered(c).is_some()
                        });
                    (!single || self.misreads(&joined)).then_some(" ")
                }
                (Tail::Name, _) => Some(" "),
                (Tail::Exponent, _) => Some(self.times()),
            }
        };
        let _ = start;
        match separator {
            Some(separator) => {
                self.out.insert_str(at, separator);
                shifted(tail, separator.len())
            }
            None => match (before, tail) {
                (Tail::Letters(from), Tail::Letters(_)) => Tail::Letters(from),
                (_, tail) => tail,
            },
        }
    }

    fn times(&self) -> &'static str {
        match self.style {
            Spelling::Unicode => "·",
            Spelling::Ascii => "*",
        }
    }

    /// Whether letters side by side would be taken for something else: a
    /// declared name, a Greek name, a function or Euler's number.
    fn misreads(&self, joined: &str) -> bool {
        let marks: Vec<usize> = joined
            .char_indices()
            .map(|(at, _)| at)
            .chain([joined.len()])
            .collect();
        if marks.len() > 9 || joined.starts_with(['Δ', 'δ']) {
            return true;
        }
        for from in 0..marks.len() {
            for to in from + 2..marks.len() {
                let part = &joined[marks[from]..marks[to]];
                if functions::is_name(part)
                    || greek::letter(part).is_some()
                    || part.starts_with('Δ')
                    || self.symbols.symbols().any(|symbol| {
                        let name = self.symbols.name(symbol);
                        name.len() >= part.len()
                            && name
                                .chars()
                                .filter(|c| !matches!(c, '_' | '{' | '}'))
                                .eq(part.chars())
                    })
                {
                    return true;
                }
            }
        }
        false
    }

    /// One factor; `alone` says that it is not beside another, so that a
    /// fraction needs no brackets.
    fn factor(&mut self, expr: &Expr, alone: bool) -> Tail {
        match expr {
            Expr::Number(number) => self.number(number, alone),
            Expr::Symbol(symbol) => self.symbol(*symbol),
            Expr::Constant(Constant::Pi) => {
                let from = self.out.len();
                match self.style {
                    Spelling::Unicode if self.pi_is_free() => {
                        self.out.push('π');
                        Tail::Letters(from)
                    }
                    _ => {
                        self.out.push_str("pi");
                        Tail::Name
                    }
                }
            }
            Expr::Constant(Constant::Euler) => {
                if self.e_is_free() {
                    self.out.push('e');
                    Tail::Name
                } else {
                    self.out.push_str("exp(1)");
                    Tail::Closed
                }
            }
            Expr::Sum(_) => {
                self.bracketed(expr);
                Tail::Closed
            }
            Expr::Product(factors) => {
                if alone && factors.len() == 1 {
                    return self.factors(factors);
                }
                self.bracketed(expr);
                Tail::Closed
            }
            Expr::Power(base, exponent) => self.power(base, exponent),
            Expr::Call(function, argument) => {
                self.call(*function, argument);
                Tail::Closed
            }
            Expr::Derivative(own) => {
                self.derivative(own);
                Tail::Name
            }
            Expr::Integral(own) => {
                self.out.push_str("int(");
                let bar = std::mem::replace(&mut self.in_bar, false);
                self.sum(&own.of);
                self.out.push_str(", ");
                self.symbol(own.by);
                self.out.push_str(", ");
                self.sum(&own.from);
                self.out.push_str(", ");
                self.sum(&own.to);
                self.in_bar = bar;
                self.out.push(')');
                Tail::Closed
            }
        }
    }

    /// `dx/dt`, `d²x/dt²`, `d/dt(...)`: in brackets, since the slash is not
    /// one of a division.
    fn derivative(&mut self, own: &Derivative) {
        let mut order = String::new();
        if own.order > 1 {
            match self.style {
                Spelling::Unicode => order.extend(own.order.to_string().chars().map(raised)),
                Spelling::Ascii => {
                    let _ = write!(order, "^{}", own.order);
                }
            }
        }
        let _ = write!(self.out, "(d{order}");
        if let Expr::Symbol(symbol) = own.of {
            if self.style == Spelling::Ascii && own.order > 1 {
                self.out.push(' ');
            }
            self.symbol(symbol);
        }
        self.out.push_str("/d");
        self.symbol(own.by);
        self.out.push_str(&order);
        if !matches!(own.of, Expr::Symbol(_)) {
            self.bracketed(&own.of);
        }
        self.out.push(')');
    }

    fn pi_is_free(&self) -> bool {
        self.symbols.get("π").is_none() && self.symbols.get("pi").is_none()
    }

    fn e_is_free(&self) -> bool {
        self.symbols.get("e").is_none()
    }

    fn call(&mut self, function: Function, argument: &Expr) {
        match (function, self.style) {
            (Function::Sqrt, Spelling::Unicode) => self.out.push('√'),
            (Function::Cbrt, Spelling::Unicode) => self.out.push('∛'),
            (Function::Abs, _) if !self.in_bar && !holds_abs(argument) => {
                self.out.push('|');
                self.in_bar = true;
                self.sum(argument);
                self.in_bar = false;
                self.out.push('|');
                return;
            }
            _ => self.out.push_str(function.name()),
        }
        self.bracketed(argument);
    }

    fn power(&mut self, base: &Expr, exponent: &Expr) -> Tail {
        if matches!(base, Expr::Constant(Constant::Euler)) && !self.e_is_free() {
            self.out.push_str("exp");
            self.bracketed(exponent);
            return Tail::Closed;
        }
        // `cos²(θ)`, since `cos(θ)²` could be taken for the cosine of a square.
        if let (Expr::Call(function, argument), Expr::Number(number)) = (base, exponent)
            && is_like_sine(*function)
            && let Some(whole @ 2..=9) = number.to_i64()
        {
            self.out.push_str(function.name());
            match self.style {
                Spelling::Unicode => self.out.extend(whole.to_string().chars().map(raised)),
                Spelling::Ascii => {
                    let _ = write!(self.out, "^{whole}");
                }
            }
            self.bracketed(argument);
            return Tail::Closed;
        }
        match base {
            Expr::Symbol(_) | Expr::Constant(_) => {
                self.factor(base, true);
            }
            // `sin(x)^2` and `√(x)²` read as powers of the call.
            Expr::Call(function, _) if *function != Function::Abs => {
                self.factor(base, true);
            }
            Expr::Number(number) if is_plain_whole(number) => {
                self.factor(base, true);
            }
            _ => self.bracketed(base),
        }
        if let Expr::Number(number) = exponent
            && let Some(whole) = number.to_i64()
        {
            if self.style == Spelling::Unicode && whole.unsigned_abs() < 1_000 {
                self.out.extend(whole.to_string().chars().map(raised));
                return Tail::Closed;
            }
            self.out.push('^');
            if whole < 0 {
                let _ = write!(self.out, "({whole})");
            } else {
                let _ = write!(self.out, "{whole}");
            }
            return if matches!(base, Expr::Constant(Constant::Euler)) {
                Tail::Exponent
            } else {
                Tail::Closed
            };
        }
        self.out.push('^');
        match exponent {
            Expr::Symbol(symbol) if matches!(base, Expr::Symbol(_)) => {
                self.symbol(*symbol);
                Tail::Exponent
            }
            _ => {
                self.bracketed(exponent);
                Tail::Closed
            }
        }
    }

    fn symbol(&mut self, symbol: Symbol) -> Tail {
        let from = self.out.len();
        let shown = name(symbol, self.symbols, self.style);
        self.out.push_str(&shown);
        let mut characters = shown.chars();
        match (characters.next(), characters.next()) {
            (Some('Δ'), _) => Tail::Name,
            (Some(_), None) => Tail::Letters(from),
            _ => Tail::Name,
        }
    }

    fn number(&mut self, number: &Number, alone: bool) -> Tail {
        let shown = shown_number(number, self.style);
        let bare = is_plain_whole(number)
            || shown.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            || shown.chars().count() == 1
            || (alone && !shown.contains('×'));
        if bare || (alone && !number.is_negative()) {
            self.out.push_str(&shown);
            return match shown.chars().next_back() {
                Some(last) if is_vulgar(last) => Tail::Closed,
                _ if shown.contains('/') => Tail::Exponent,
                _ => Tail::Number,
            };
        }
        let _ = write!(self.out, "({shown})");
        Tail::Closed
    }
}

fn shifted(tail: Tail, by: usize) -> Tail {
    match tail {
        Tail::Letters(from) => Tail::Letters(from + by),
        other => other,
    }
}

/// The letters that a piece of text begins with.
fn letters_at(text: &str) -> &str {
    let end = text
        .char_indices()
        .find(|&(_, c)| !c.is_alphabetic() || greek::lowered(c).is_some() || c == 'ⁿ')
        .map_or(text.len(), |(at, _)| at);
    &text[..end]
}

/// Whether the line of an expression begins with a minus.
fn starts_negative(expr: &Expr) -> bool {
    match expr {
        Expr::Number(number) => number.is_negative(),
        Expr::Product(factors) if factors.len() == 1 => starts_negative(&factors[0].value),
        _ => false,
    }
}

fn holds_abs(expr: &Expr) -> bool {
    expr.any_node(&mut |node| matches!(node, Expr::Call(Function::Abs, _)))
}

/// Functions of an angle, and the hyperbolic ones that are written like them.
fn is_like_sine(function: Function) -> bool {
    let hyperbolic = [Function::Sinh, Function::Cosh, Function::Tanh];
    function.is_circular() || hyperbolic.contains(&function)
}

fn is_plain_whole(number: &Number) -> bool {
    number
        .to_i64()
        .is_some_and(|whole| (0..10_000_000).contains(&whole))
}

fn is_vulgar(character: char) -> bool {
    matches!(character, '½' | '¼' | '¾' | '⅓' | '⅔')
}

/// A digit or a minus sign as it stands in an exponent.
pub(super) fn raised(character: char) -> char {
    match character {
        '-' => '⁻',
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        other => other,
    }
}

/// A number in the shortest exact way: whole, decimal, fraction, or with a
/// power of ten.
#[must_use]
pub fn shown_number(number: &Number, style: Spelling) -> String {
    let plain = number.to_string();
    // A short whole number has no shorter form.
    if number.is_integer() && plain.len() <= 7 {
        return plain;
    }
    if style == Spelling::Unicode {
        for (top, bottom, glyph) in [
            (1, 2, "½"),
            (1, 4, "¼"),
            (3, 4, "¾"),
            (1, 3, "⅓"),
            (2, 3, "⅔"),
        ] {
            if number.to_i64_pair() == Some((top, bottom)) {
                return glyph.to_owned();
            }
        }
    }
    let Some((sign, digits, exponent)) = decimal_digits(&plain) else {
        return plain;
    };
    let mut best = plain;
    let count = i64::try_from(digits.len()).unwrap_or(i64::MAX);
    // The decimal point stands `exponent` places right of the last digit.
    if exponent < 0 && exponent > -7 {
        let decimal = if -exponent < count {
            let (whole, part) = digits.split_at(usize::try_from(count + exponent).unwrap_or(0));
            format!("{sign}{whole}.{part}")
        } else {
            let zeros = "0".repeat(usize::try_from(-exponent - count).unwrap_or(0));
            format!("{sign}0.{zeros}{digits}")
        };
        // Of equal length, `0.05` is the plainer one, `3/2` stays.
        let small = number.denominator() < Number::from(10);
        if decimal.len() < best.len() + usize::from(!small) {
            best = decimal;
        }
    }
    let power = exponent + count - 1;
    if best.len() > 8 && !(-6..7).contains(&power) {
        let (whole, part) = digits.split_at(1);
        let point = if part.is_empty() { "" } else { "." };
        return match style {
            Spelling::Unicode => {
                let power: String = power.to_string().chars().map(raised).collect();
                format!("{sign}{whole}{point}{part}×10{power}")
            }
            Spelling::Ascii => format!("{sign}{whole}{point}{part}e{power}"),
        };
    }
    best
}

/// Significant digits and the power of ten behind the last one, if the number
/// has an end as a decimal of some forty digits.
fn decimal_digits(plain: &str) -> Option<(&'static str, String, i64)> {
    let (sign, plain) = match plain.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", plain),
    };
    let (top, bottom) = plain.split_once('/').unwrap_or((plain, "1"));
    let top = Number::from_decimal(top, 0).ok()?;
    let bottom = Number::from_decimal(bottom, 0).ok()?;
    // The denominator must be made of twos and fives. Ten to the power of its
    // bits is a multiple of every such number.
    let bits = if bottom.is_one() {
        0
    } else {
        bottom_places(&bottom)?
    };
    let scaled = &(&top / &bottom) * &Number::from(10).pow(bits).ok()?;
    if !scaled.is_integer() {
        return None;
    }
    let text = scaled.to_string();
    let digits = text.trim_end_matches('0');
    if digits.is_empty() || digits.len() > 40 {
        return None;
    }
    let zeros = i64::try_from(text.len() - digits.len()).ok()?;
    Some((sign, digits.to_owned(), zeros - bits))
}

/// Places of ten after which a fraction with this denominator may end.
fn bottom_places(bottom: &Number) -> Option<i64> {
    match bottom.to_i64() {
        Some(small) => Some(i64::from(64 - small.unsigned_abs().leading_zeros())),
        None => i64::try_from(bottom.bits()).ok().filter(|bits| *bits < 600),
    }
}

/// A name in the characters that the style allows.
fn spell(name: &str, style: Spelling) -> String {
    let (base, rest) = {
        let end = name
            .char_indices()
            .find(|&(at, c)| {
                at > 0 && (c == '_' || c.is_ascii_digit() || greek::lowered(c).is_some())
            })
            .map_or(name.len(), |(at, _)| at);
        name.split_at(end)
    };
    match style {
        Spelling::Unicode => {
            let mut out = String::with_capacity(name.len());
            match base {
                "Delta" | "delta"
                    if rest.starts_with('_')
                        && rest.len() > 1
                        && rest.as_bytes()[1].is_ascii_alphabetic() =>
                {
                    return format!("Δ{}", spell(&rest[1..], style));
                }
                _ => {}
            }
            if let Some(changed) = base
                .strip_prefix("delta ")
                .or_else(|| base.strip_prefix("Delta "))
                .filter(|changed| !changed.is_empty())
            {
                return format!("Δ{}", spell(&format!("{changed}{rest}"), style));
            }
            match greek::letter(base) {
                Some(letter) => out.push(letter),
                None => out.push_str(base),
            }
            let digits = rest.strip_prefix('_').map_or(rest, |rest| {
                rest.strip_prefix('{')
                    .and_then(|r| r.strip_suffix('}'))
                    .unwrap_or(rest)
            });
            if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) {
                out.extend(digits.bytes().map(|b| {
                    char::from_u32(0x2080 + u32::from(b - b'0')).unwrap_or(char::from(b))
                }));
            } else {
                out.push_str(rest);
            }
            out
        }
        Spelling::Ascii => {
            let mut out = String::with_capacity(name.len());
            let mut characters = name.chars().peekable();
            let mut lowered = false;
            while let Some(character) = characters.next() {
                if let Some(plain) = greek::lowered(character) {
                    if !lowered && !out.ends_with('_') {
                        out.push('_');
                    }
                    lowered = true;
                    out.push(plain);
                    continue;
                }
                lowered = false;
                match greek::name(greek::usual(character)) {
                    Some(spelled) => {
                        // A change of something, which a subscript is not.
                        let begins = out.is_empty();
                        out.push_str(spelled);
                        if begins
                            && spelled == "Delta"
                            && characters.peek().is_some_and(|c| c.is_alphabetic())
                        {
                            out.push('_');
                        }
                    }
                    None => out.push(character),
                }
            }
            out.replace(' ', "_")
        }
    }
}

#[cfg(test)]
#[path = "line_tests.rs"]
mod tests;
