//! Maths said in words, and words that are none: `square root of`, `divided
//! by`, `seconds`, `or`; and what is pasted from typesetting (`\frac{a}{b}`).
//!
//! A word is read where it can mean one thing only. Any other word is a fault
//! that names it: as a product of its letters it would be a reading that
//! nobody meant. A run that the declared symbols spell stays a product, so
//! that a sheet's own letters keep working.

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::functions::function;
use super::greek;
use super::maths::{Class, Lexeme};
use super::names::Names;
use super::span::Span;
use super::tokens::Kind;
use super::units;
use super::vocabulary::change_of;
use crate::algebra::expr::Function;

/// What a word among the maths says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    Times,
    Slash,
    Plus,
    Minus,
    PlusMinus,
    Equals,
    Caret,
    Square,
    Cube,
    Half,
    Function(Function),
    /// `\frac`, in front of its two parts in braces.
    Fraction,
}

/// A word as it is found in the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Word {
    Says(Said),
    /// Says it with the word behind it: `divided by`.
    With(Said, &'static str),
    /// `square`, `sq`, `cube`, in front of `root`.
    OfRoot(Function),
    /// `inverse sin`: arcsin has a name of its own.
    Inverse,
    /// `all over`, `all squared`.
    All,
    /// `the`, which says nothing in front of a root.
    Article,
    Unit,
    /// Two answers on one line.
    Or,
    /// A word that joins lines or explains them.
    Talk,
    /// `sqr`, which is a root to some and a square to others.
    Unclear,
}

fn word(typed: &str) -> Option<Word> {
    use Word::{All, Article, Inverse, OfRoot, Or, Says, Talk, Unclear, Unit, With};
    Some(match typed {
        "times" => Says(Said::Times),
        "multiplied" | "timesed" => With(Said::Times, "by"),
        "over" => Says(Said::Slash),
        "divided" => With(Said::Slash, "by"),
        "plus" => Says(Said::Plus),
        "minus" => Says(Said::Minus),
        "equals" | "equal" => Says(Said::Equals),
        "squared" => Says(Said::Square),
        "cubed" => Says(Said::Cube),
        "half" => Says(Said::Half),
        "square" | "sq" => OfRoot(Function::Sqrt),
        "cube" | "cubic" | "third" => OfRoot(Function::Cbrt),
        "squareroot" => Says(Said::Function(Function::Sqrt)),
        "cuberoot" => Says(Said::Function(Function::Cbrt)),
        "inverse" | "inv" | "invsin" | "invcos" | "invtan" => Inverse,
        "all" => All,
        "the" => Article,
        "or" => Or,
        "and" | "so" | "hence" | "thus" | "therefore" | "then" | "because" | "since" | "where"
        | "when" | "if" | "is" | "of" | "to" | "by" | "not" | "sure" | "know" | "idk" | "dunno"
        | "ans" | "answer" | "natural" | "base" | "power" | "product" | "sum" | "rearrange" => Talk,
        "sqr" => Unclear,
        _ if units::is_name(typed) => Unit,
        _ => return None,
    })
}

/// Whether the lexemes hold anything that this file is about. Nearly no line
/// does, so it must be told at a glance.
fn may_say(text: &str, lexemes: &[Lexeme], refuses: bool) -> bool {
    let end = |at: usize| lexemes.get(at).map(|lexeme: &Lexeme| lexeme.span);
    lexemes.iter().enumerate().any(|(at, lexeme)| {
        let typed = lexeme.span.of(text);
        match lexeme.class {
            Class::Unknown => true,
            Class::Superscript => end(at + 1).is_some_and(|next| next.of(text) == "√"),
            Class::Number => {
                at > 0 && typed.starts_with('.') && lexemes[at - 1].span.end == lexeme.span.start
            }
            Class::Run if typed.len() == 1 => refuses && matches!(typed, "x" | "X"),
            Class::Run => {
                let bytes = typed.as_bytes();
                bytes[0].is_ascii_alphabetic()
                    && (refuses && bytes.contains(&b'x')
                        || capital_function(typed).is_some()
                        || bytes.is_ascii() && word(typed).is_some())
            }
            _ => false,
        }
    }) || refuses && units::trailing(text, lexemes).is_some()
}

/// A function's name in capitals, or with one: `SIN`, `Sqrt`.
fn capital_function(typed: &str) -> Option<Function> {
    let bytes = typed.as_bytes();
    if bytes.len() < 2 || bytes.len() > 7 || !bytes[0].is_ascii_uppercase() {
        return None;
    }
    let whole = bytes.iter().all(u8::is_ascii_uppercase);
    // `Asin` is A times a sine.
    if !whole && (bytes[0] == b'A' || bytes[1..].iter().any(u8::is_ascii_uppercase)) {
        return None;
    }
    match function(&typed.to_ascii_lowercase()) {
        Some(Kind::Function(found)) if function(typed).is_none() => Some(found),
        _ => None,
    }
}

/// The lexemes with what is said in words in place of the words; nothing where
/// there is none.
pub(super) fn said(
    text: &str,
    lexemes: &[Lexeme],
    names: &Names<'_>,
) -> Result<Option<Vec<Lexeme>>, Diagnostic> {
    if !may_say(text, lexemes, names.refuses()) {
        return Ok(None);
    }
    let mut walk = Walk {
        text,
        lexemes,
        names,
        at: 0,
        out: Vec::with_capacity(lexemes.len()),
    };
    while walk.at < lexemes.len() {
        walk.step()?;
    }
    if names.refuses()
        && let Some(span) = units::trailing(text, &walk.out)
            .filter(|from| from.undeclared(text, &walk.out, names))
            .map(|found| found.span)
    {
        return Err(walk.unit(span));
    }
    walk.check_slashes()?;
    Ok(Some(walk.out))
}

struct Walk<'t> {
    text: &'t str,
    lexemes: &'t [Lexeme],
    names: &'t Names<'t>,
    at: usize,
    out: Vec<Lexeme>,
}

impl Walk<'_> {
    fn fault(&self, span: Span, message: String, mend: &str) -> Diagnostic {
        Diagnostic::new(DiagnosticKind::Word, message, self.text, span).with_mend(mend)
    }

    fn unit(&self, span: Span) -> Diagnostic {
        let typed = span.of(self.text);
        self.fault(
            span,
            format!("{typed} is a unit here, not a quantity."),
            "Leave units out of a formula.",
        )
    }

    fn typed(&self, at: usize) -> &str {
        self.lexemes
            .get(at)
            .map_or("", |lexeme| lexeme.span.of(self.text))
    }

    fn touches(&self, at: usize) -> bool {
        at > 0
            && self
                .lexemes
                .get(at)
                .is_some_and(|lexeme| self.lexemes[at - 1].span.end == lexeme.span.start)
    }

    /// Takes `count` lexemes and writes what they say.
    fn say(&mut self, said: Said, count: usize) {
        let span = self.lexemes[self.at]
            .span
            .to(self.lexemes[self.at + count - 1].span);
        self.out.push(Lexeme {
            class: Class::Said(said),
            span,
        });
        self.at += count;
    }

    fn keep(&mut self) {
        self.out.push(self.lexemes[self.at]);
        self.at += 1;
    }

    fn step(&mut self) -> Result<(), Diagnostic> {
        let typed = self.typed(self.at).to_owned();
        match self.lexemes[self.at].class {
            Class::Unknown => self.mark(&typed),
            Class::Superscript if typed == "³" && self.typed(self.at + 1) == "√" => {
                if ends_operand(self.text, self.out.last()) {
                    self.keep();
                } else {
                    self.say(Said::Function(Function::Cbrt), 2);
                }
                Ok(())
            }
            Class::Run => self.run(&typed),
            _ => {
                self.keep();
                Ok(())
            }
        }
    }

    /// A character that the grammar does not know.
    fn mark(&mut self, typed: &str) -> Result<(), Diagnostic> {
        let first = self.at == 0;
        let last = self.at + 1 == self.lexemes.len();
        match typed {
            // What surrounds or ends a line says nothing about it.
            "$" | "\"" | "“" | "”" | "`" if first || last => self.at += 1,
            "." | ";" | "," if last && ends_operand(self.text, self.out.last()) => self.at += 1,
            "." if self.touches(self.at)
                && self.touches(self.at + 1)
                && ends_operand(self.text, self.out.last())
                && starts_operand(self.text, self.lexemes.get(self.at + 1)) =>
            {
                self.say(Said::Times, 1);
            }
            "\\" if self.touches(self.at + 1) => self.command(),
            _ => self.keep(),
        }
        Ok(())
    }

    /// A command of typesetting: its backslash is the present lexeme.
    fn command(&mut self) {
        let name = self.typed(self.at + 1).to_owned();
        let said = match name.as_str() {
            "frac" | "dfrac" | "tfrac" | "cfrac" if self.typed(self.at + 2) == "{" => {
                Said::Fraction
            }
            "cdot" | "times" => Said::Times,
            "div" => Said::Slash,
            "pm" => Said::PlusMinus,
            "sqrt" if self.typed(self.at + 2) == "[" => {
                if self.typed(self.at + 3) == "3" && self.typed(self.at + 4) == "]" {
                    return self.say(Said::Function(Function::Cbrt), 5);
                }
                return self.keep();
            }
            "left" | "right" => {
                self.at += 2;
                return;
            }
            "," | ";" | "!" => {
                self.at += 2;
                return;
            }
            _ => {
                let letters = name
                    .find(|c: char| !c.is_ascii_alphabetic())
                    .unwrap_or(name.len());
                let base = &name[..letters];
                if function(base).is_some()
                    || greek::letter(base).is_some()
                    || change_of(base).is_some()
                {
                    self.at += 1;
                }
                return self.keep();
            }
        };
        self.say(said, 2);
    }

    fn run(&mut self, typed: &str) -> Result<(), Diagnostic> {
        let span = self.lexemes[self.at].span;
        if typed.contains(['x', 'X']) && self.crosses(typed, span) {
            return Ok(());
        }
        if self.decimal_argument(typed, span) {
            return Ok(());
        }
        if self.names.spells(typed) {
            self.keep();
            return Ok(());
        }
        if let Some(function) = capital_function(typed) {
            self.say(Said::Function(function), 1);
            return Ok(());
        }
        if typed == "to"
            && self.typed(self.at + 1) == "the"
            && self.typed(self.at + 2) == "power"
            && ends_operand(self.text, self.out.last())
        {
            let of = usize::from(self.typed(self.at + 3) == "of");
            self.say(Said::Caret, 3 + of);
            return Ok(());
        }
        let Some(word) = word(typed) else {
            // `sqrt of`, `log of`
            let named = function(typed).is_some() && self.typed(self.at + 1) == "of";
            self.keep();
            self.at += usize::from(named);
            return Ok(());
        };
        // Two letters are a product wherever one of them is known, or nothing
        // is.
        if typed.len() < 3 && !self.names.knows_none_of(typed) {
            self.keep();
            return Ok(());
        }
        self.word(word, typed, span)
    }

    fn word(&mut self, word: Word, typed: &str, span: Span) -> Result<(), Diagnostic> {
        let next = self.typed(self.at + 1).to_owned();
        match word {
            Word::Says(Said::Half) => {
                let of = usize::from(next == "of");
                self.say(Said::Half, 1 + of);
            }
            Word::Says(Said::Equals) => {
                let to = usize::from(next == "to");
                self.say(Said::Equals, 1 + to);
            }
            Word::Says(power @ (Said::Square | Said::Cube)) => {
                self.check_power(span)?;
                self.say(power, 1);
            }
            Word::Says(said @ Said::Function(_)) => {
                let of = usize::from(next == "of");
                self.say(said, 1 + of);
            }
            Word::Says(said) => self.say(said, 1),
            Word::With(said, with) if next == with => self.say(said, 2),
            Word::OfRoot(function) if next == "root" => {
                let of = usize::from(self.typed(self.at + 2) == "of");
                self.say(Said::Function(function), 2 + of);
            }
            Word::Article
                if matches!(next.as_str(), "square" | "sq" | "cube" | "root" | "sqrt") =>
            {
                self.at += 1;
            }
            Word::Talk if typed == "is" && matches!(next.as_str(), "equal" | "equals") => {
                self.at += 1;
            }
            Word::Talk if typed == "is" && !self.out.is_empty() && !self.text.contains('=') => {
                self.say(Said::Equals, 1);
            }
            Word::All if next == "squared" && self.ends_with_bracket() => self.at += 1,
            Word::All
                if matches!(next.as_str(), "over" | "divided") && self.ends_with_bracket() =>
            {
                self.at += 1;
            }
            Word::All => {
                return Err(self.fault(
                    span,
                    format!("How far back \"{typed} {next}\" reaches can't be seen."),
                    "Put brackets around what it is about: (a + b)/c, (a b)^2.",
                ));
            }
            Word::Inverse => {
                return Err(self.fault(
                    span,
                    format!("{typed} is a word, and this line is maths."),
                    "For an inverse function type arcsin(x), arccos(x) or arctan(x).",
                ));
            }
            Word::Unit => return Err(self.unit(span)),
            Word::Or => {
                return Err(self.fault(
                    span,
                    "This line gives two answers.".to_owned(),
                    "Give one; for two roots of opposite sign type ± (or +-) in front of the root.",
                ));
            }
            Word::Unclear => {
                return Err(self.fault(
                    span,
                    format!("{typed} is a square to some and a root to others."),
                    "For a square root type sqrt(x), for a square x^2.",
                ));
            }
            Word::OfRoot(_) | Word::Article | Word::Talk | Word::With(..) => {
                return Err(not_maths(self.text, span));
            }
        }
        Ok(())
    }

    fn ends_with_bracket(&self) -> bool {
        self.out
            .last()
            .is_some_and(|last| matches!(last.span.of(self.text), ")" | "]" | "}"))
    }

    /// `sin θ squared` may be the sine of θ² or the square of the sine.
    fn check_power(&self, span: Span) -> Result<(), Diagnostic> {
        let mut back = self.out.iter().rev();
        let direct = back.next();
        if direct.is_none() || !ends_operand(self.text, direct) && !is_function(self.text, direct) {
            return Err(not_maths(self.text, span));
        }
        let mut runs = self
            .out
            .iter()
            .rev()
            .take_while(|lexeme| {
                lexeme.class == Class::Run || matches!(lexeme.class, Class::Number)
            })
            .skip(1);
        let glued = direct.is_some_and(|last| {
            let typed = last.span.of(self.text);
            function(typed).is_none()
                && ["sin", "cos", "tan", "ln", "log"]
                    .iter()
                    .any(|name| typed.contains(name))
        });
        if glued || runs.any(|lexeme| is_function(self.text, Some(lexeme))) {
            return Err(self.fault(
                span,
                "This may be the power of the function or of what it acts on.".to_owned(),
                "Put brackets around what is meant: (sin x)^2 or sin(x^2).",
            ));
        }
        Ok(())
    }

    /// `ln0.5`: the number behind the name is one.
    fn decimal_argument(&mut self, typed: &str, span: Span) -> bool {
        let letters = typed.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let Some(next) = self.lexemes.get(self.at + 1) else {
            return false;
        };
        let fits = letters < typed.len()
            && function(&typed[..letters]).is_some()
            && next.class == Class::Number
            && next.span.start == span.end
            && next.span.of(self.text).starts_with('.');
        if fits {
            let cut = span.start + letters;
            self.out.push(Lexeme {
                class: Class::Run,
                span: Span::new(span.start, cut),
            });
            self.out.push(Lexeme {
                class: Class::Number,
                span: Span::new(cut, next.span.end),
            });
            self.at += 2;
        }
        fits
    }

    /// An `x` that is no symbol here, between two operands, is a sign of
    /// multiplication: `2 x 3`, `0.5xmxv`.
    fn crosses(&mut self, typed: &str, span: Span) -> bool {
        if !self.names.refuses()
            || self.names.find("x").is_some()
            || self.names.find(typed).is_some()
            || function(typed).is_some()
        {
            return false;
        }
        let behind = ends_operand(self.text, self.out.last());
        let in_front = starts_operand(self.text, self.lexemes.get(self.at + 1));
        let cross = if typed == "X" { 'X' } else { 'x' };
        let pieces: Vec<&str> = typed.split(cross).collect();
        let last = pieces.len() - 1;
        let fits = pieces.iter().enumerate().all(|(at, piece)| {
            if piece.is_empty() {
                at == 0 && behind || at == last && in_front
            } else {
                self.names.spells(piece) && (at != 0 || pieces.len() > 1)
            }
        });
        if !fits || last == 0 {
            return false;
        }
        let mut from = span.start;
        for (at, piece) in pieces.iter().enumerate() {
            if at > 0 {
                self.out.push(Lexeme {
                    class: Class::Said(Said::Times),
                    span: Span::new(from, from + 1),
                });
                from += 1;
            }
            if !piece.is_empty() {
                self.out.push(Lexeme {
                    class: Class::Run,
                    span: Span::new(from, from + piece.len()),
                });
                from += piece.len();
            }
        }
        self.at += 1;
        true
    }

    /// A division in words reaches as far as the sentence is heard to: beside
    /// a sum, or in front of a further factor, that can't be told.
    fn check_slashes(&self) -> Result<(), Diagnostic> {
        for (at, lexeme) in self.out.iter().enumerate() {
            if lexeme.class != Class::Said(Said::Slash) || lexeme.span.of(self.text) == "div" {
                continue;
            }
            let (before, after) = self.out.split_at(at);
            let left = level(self.text, before.iter().rev(), true);
            let right = level(self.text, after[1..].iter(), false);
            let sum = |signs: &[Joint]| signs.contains(&Joint::Sum);
            if sum(&left) || sum(&right) || right.first() == Some(&Joint::Product) {
                return Err(self.fault(
                    lexeme.span,
                    format!(
                        "What \"{}\" divides, and by what, can't be seen.",
                        lexeme.span.of(self.text)
                    ),
                    "Put brackets around the top and the bottom: (a + b)/(c d).",
                ));
            }
        }
        Ok(())
    }
}

/// A sign that joins terms or factors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    Sum,
    Product,
    Division,
}

/// The signs on the level of a place, going away from it until its bracket or
/// its side of the line ends.
fn level<'l>(text: &str, lexemes: impl Iterator<Item = &'l Lexeme>, backwards: bool) -> Vec<Joint> {
    let mut depth = 0usize;
    let mut found = Vec::new();
    for lexeme in lexemes {
        let typed = lexeme.span.of(text);
        let (opens, closes) = (
            matches!(typed, "(" | "[" | "{"),
            matches!(typed, ")" | "]" | "}"),
        );
        let (inwards, outwards) = if backwards {
            (closes, opens)
        } else {
            (opens, closes)
        };
        if inwards {
            depth += 1;
        } else if outwards {
            if depth == 0 {
                break;
            }
            depth -= 1;
        }
        if depth > 0 {
            continue;
        }
        match lexeme.class {
            Class::Said(Said::Equals) => break,
            Class::Said(Said::Plus | Said::Minus | Said::PlusMinus) => found.push(Joint::Sum),
            Class::Said(Said::Times) => found.push(Joint::Product),
            Class::Said(Said::Slash) => found.push(Joint::Division),
            Class::Operator => match typed {
                "=" | "==" | "＝" => break,
                "+" | "-" | "−" | "–" | "±" | "+-" => found.push(Joint::Sum),
                "*" | "×" | "·" => found.push(Joint::Product),
                "/" | "÷" => found.push(Joint::Division),
                _ => {}
            },
            _ => {}
        }
    }
    found
}

fn is_function(text: &str, lexeme: Option<&Lexeme>) -> bool {
    lexeme.is_some_and(|lexeme| {
        matches!(lexeme.class, Class::Said(Said::Function(_)))
            || lexeme.class == Class::Run && function(lexeme.span.of(text)).is_some()
    })
}

/// Whether a lexeme can end a factor.
fn ends_operand(text: &str, lexeme: Option<&Lexeme>) -> bool {
    lexeme.is_some_and(|lexeme| match lexeme.class {
        Class::Run => function(lexeme.span.of(text)).is_none(),
        Class::Number | Class::Superscript => true,
        Class::Operator => matches!(lexeme.span.of(text), ")" | "]" | "}" | "|"),
        Class::Said(said) => matches!(said, Said::Square | Said::Cube | Said::Half),
        Class::Unknown => false,
    })
}

/// Whether a lexeme can begin a factor.
fn starts_operand(text: &str, lexeme: Option<&Lexeme>) -> bool {
    lexeme.is_some_and(|lexeme| match lexeme.class {
        Class::Run | Class::Number => true,
        Class::Operator => matches!(lexeme.span.of(text), "(" | "[" | "{" | "√" | "∛"),
        Class::Said(said) => matches!(said, Said::Function(_) | Said::Fraction | Said::Half),
        Class::Superscript | Class::Unknown => false,
    })
}

/// The fault of a word that says nothing in a line of maths.
pub(super) fn not_maths(text: &str, span: Span) -> Diagnostic {
    let typed = span.of(text);
    Diagnostic::new(
        DiagnosticKind::Word,
        format!("{typed} is a word, and this line is maths."),
        text,
        span,
    )
    .with_mend("Leave words out, or type what they say in letters and signs.")
}
