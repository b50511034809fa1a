//! From tokens to the tree: precedence, products without a sign, functions
//! without brackets.
//!
//! The preferred reading follows three rules. Letters side by side bind
//! tighter than a slash. A fraction of two whole numbers in front of a product
//! is a number. A function without brackets takes the product that follows, up
//! to a slash or + or -. Wherever another reading is possible the place is
//! noted as a *site*, so that the same tokens can be climbed again with that
//! site turned.

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::readings::{Ambiguity, Flips, Site};
use super::span::Span;
use super::tokens::{Kind, Token};
use crate::algebra::expr::{Constant, Expr, Factor, Function, Sign, Term};
use crate::algebra::limits::MAX_DEPTH;
use crate::algebra::number::Number;

/// How far a product reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    /// One factor with its power.
    Factor,
    /// Factors with no space between them.
    Glued,
    /// Factors side by side.
    Group,
    /// Also over explicit signs of multiplication.
    Times,
    /// Also over the first slash.
    OneSlash,
    /// Also over slashes.
    Slash,
}

pub(super) struct Climb<'a> {
    pub(super) source: &'a str,
    pub(super) row: &'a [Token],
    pub(super) flips: &'a Flips,
    pub(super) at: usize,
    depth: usize,
    pub(super) in_bar: bool,
    /// Inside the argument of a function without brackets a further function
    /// ends the argument.
    pub(super) in_argument: bool,
    pub(super) sites: Vec<Site>,
}

pub(super) type Climbed = Result<Expr, Diagnostic>;

impl<'a> Climb<'a> {
    pub(super) fn new(source: &'a str, row: &'a [Token], flips: &'a Flips) -> Self {
        Climb {
            source,
            row,
            flips,
            at: 0,
            depth: 0,
            in_bar: false,
            in_argument: false,
            sites: Vec::new(),
        }
    }

    /// All sides of the line.
    pub(super) fn chain(&mut self) -> Result<Vec<Expr>, Diagnostic> {
        let mut sides = Vec::with_capacity(2);
        loop {
            if matches!(self.kind(), Kind::Equals | Kind::End) && self.row.len() > 1 {
                let equals = if *self.kind() == Kind::Equals && sides.is_empty() {
                    self.span()
                } else {
                    self.row[self.at.saturating_sub(1)].span
                };
                let side = if *self.kind() == Kind::Equals && sides.is_empty() {
                    "left"
                } else {
                    "right"
                };
                return Err(self
                    .fault(
                        DiagnosticKind::EmptySide,
                        format!("There is nothing on the {side} of this equals sign."),
                        equals,
                    )
                    .with_mend("Write something on both sides of =."));
            }
            let start = self.span();
            let side = self.sum()?;
            if side.depth() > MAX_DEPTH {
                let end = self.row[self.at.saturating_sub(1)].span;
                return Err(self.too_deep(start.to(end)));
            }
            sides.push(side);
            match self.kind() {
                Kind::End => return Ok(sides),
                Kind::Equals => self.at += 1,
                Kind::Close(_) => {
                    let span = self.span();
                    return Err(self
                        .fault(
                            DiagnosticKind::StrayBracket,
                            "This bracket closes nothing.",
                            span,
                        )
                        .with_mend("Take it out, or open a bracket in front of it."));
                }
                _ => return Err(self.missing_operator()),
            }
        }
    }

    pub(super) fn kind(&self) -> &'a Kind {
        &self.row[self.at].kind
    }

    pub(super) fn kind_after(&self) -> &'a Kind {
        &self.row[(self.at + 1).min(self.row.len() - 1)].kind
    }

    pub(super) fn span(&self) -> Span {
        self.row[self.at].span
    }

    pub(super) fn fault(
        &self,
        kind: DiagnosticKind,
        message: impl Into<String>,
        span: Span,
    ) -> Diagnostic {
        Diagnostic::new(kind, message, self.source, span)
    }

    fn too_deep(&self, span: Span) -> Diagnostic {
        self.fault(
            DiagnosticKind::TooDeep,
            format!("This is nested more than {MAX_DEPTH} levels deep, which is more than I read."),
            Span::new(span.start, span.start + 1),
        )
        .with_mend("Write it in several shorter lines.")
    }

    pub(super) fn deeper<T>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, Diagnostic>,
    ) -> Result<T, Diagnostic> {
        if self.depth >= MAX_DEPTH {
            return Err(self.too_deep(self.span()));
        }
        self.depth += 1;
        let done = work(self);
        self.depth -= 1;
        done
    }

    fn missing_operator(&self) -> Diagnostic {
        let span = self.span();
        let before = self.row[self.at.saturating_sub(1)].span;
        let typed = span.of(self.source);
        match self.kind() {
            Kind::Number(_) => self
                .fault(
                    DiagnosticKind::MissingOperator,
                    format!("There is no operator in front of the number {typed}."),
                    before.to(span),
                )
                .with_mend("For a product put the number first or write *; for a power write ^."),
            _ => self.fault(
                DiagnosticKind::MissingOperator,
                format!("{typed} cannot stand here: an operator is missing in front of it."),
                span,
            ),
        }
    }

    pub(super) fn missing_operand(&self) -> Diagnostic {
        let span = self.span();
        let typed = span.of(self.source);
        let before = self.at.checked_sub(1).map(|at| &self.row[at]);
        match (self.kind(), before) {
            (Kind::Close(_), Some(open)) if matches!(open.kind, Kind::Open(_)) => self.fault(
                DiagnosticKind::MissingOperand,
                "There is nothing between these brackets.",
                open.span.to(span),
            ),
            (_, Some(operator)) if is_operator(&operator.kind) => {
                let sign = operator.span.of(self.source);
                self.fault(
                    DiagnosticKind::MissingOperand,
                    format!("Something is missing after {sign}: a number, a letter or a bracket."),
                    operator.span,
                )
            }
            (Kind::End, _) => self.fault(
                DiagnosticKind::MissingOperand,
                "The line stops where a number, a letter or a bracket was expected.",
                span,
            ),
            _ => self.fault(
                DiagnosticKind::MissingOperand,
                format!("A number, a letter or a bracket was expected in front of {typed}."),
                span,
            ),
        }
    }

    // ---- sums -----------------------------------------------------------

    pub(super) fn sign(&self) -> Option<Sign> {
        Some(match self.kind() {
            Kind::Plus => Sign::Plus,
            Kind::Minus => Sign::Minus,
            Kind::PlusMinus => Sign::PlusMinus,
            Kind::MinusPlus => Sign::MinusPlus,
            _ => return None,
        })
    }

    pub(super) fn sum(&mut self) -> Climbed {
        let first_sign = self.sign();
        if first_sign.is_some() {
            self.at += 1;
        }
        let first = self.term()?;
        let lone = match first_sign {
            None | Some(Sign::Plus) => Sign::Plus,
            Some(sign) => sign,
        };
        if lone == Sign::Plus && self.sign().is_none() {
            return Ok(first);
        }
        let mut terms = vec![Term {
            sign: lone,
            value: first,
        }];
        while let Some(sign) = self.sign() {
            self.at += 1;
            let value = self.term()?;
            terms.push(Term { sign, value });
        }
        Ok(Expr::Sum(terms))
    }

    /// A term: a product, or one with further signs in front (`a - -b`).
    fn term(&mut self) -> Climbed {
        if let Some(sign) = self.sign() {
            self.at += 1;
            let value = self.deeper(Self::term)?;
            return Ok(signed(sign, value));
        }
        self.product(Reach::Slash)
    }

    // ---- products -------------------------------------------------------

    /// Whether the present token can begin a factor right behind another.
    pub(super) fn joins(&self) -> bool {
        self.joins_at(self.at)
    }

    fn joins_at(&self, at: usize) -> bool {
        let Some(token) = self.row.get(at) else {
            return false;
        };
        match token.kind {
            Kind::Symbol(_)
            | Kind::Pi
            | Kind::Open(_)
            | Kind::Derivative { .. }
            | Kind::Fraction
            | Kind::Integral => true,
            Kind::Function(_) | Kind::Log | Kind::LogBase(_) | Kind::Euler => !self.in_argument,
            Kind::Bar => !self.in_bar,
            // A number does not, `(a + b) 2` and `a 2` being more likely a lost
            // sign or power, unless it has a power of its own: `A 2^(-t/T)`.
            Kind::Number(_) => {
                at > 0
                    && self.row[at - 1].span.end < token.span.start
                    && !matches!(self.row[at - 1].kind, Kind::Number(_))
                    && self
                        .row
                        .get(at + 1)
                        .is_some_and(|next| next.kind == Kind::Caret)
            }
            _ => false,
        }
    }

    pub(super) fn product(&mut self, reach: Reach) -> Climbed {
        let mut factors: Vec<Factor> = Vec::new();
        // In `ln 2/3` the slash ends the argument, in `sin 1/2 θ` it does not.
        let first = match reach {
            Reach::Factor | Reach::Glued | Reach::Group => None,
            Reach::Times if self.in_argument && !self.joins_at(self.at + 3) => None,
            _ => self.fraction_in_front(),
        };
        let first = match first {
            Some(fraction) => fraction,
            None => self.factor()?,
        };
        if reach == Reach::Factor {
            return Ok(first);
        }
        push_fraction(&mut factors, first);
        loop {
            if self.joins() && (reach > Reach::Glued || !self.is_spaced(self.at)) {
                let value = self.factor()?;
                factors.push(Factor {
                    divides: false,
                    value,
                });
            } else if reach >= Reach::Times
                && *self.kind() == Kind::Times
                && !(self.in_argument && is_function(self.kind_after()))
            {
                self.at += 1;
                let value = match self.fraction_in_front() {
                    Some(fraction) => fraction,
                    None => self.signed_factor()?,
                };
                match value {
                    Expr::Product(inner) if self.was_fraction() => factors.extend(inner),
                    value => factors.push(Factor {
                        divides: false,
                        value,
                    }),
                }
            } else if *self.kind() == Kind::Slash
                && (reach == Reach::Slash
                    || reach == Reach::OneSlash && !factors.iter().any(|factor| factor.divides))
            {
                let value = self.divisor()?;
                factors.push(Factor {
                    divides: true,
                    value,
                });
            } else {
                break;
            }
        }
        if factors.len() == 1 && !factors[0].divides {
            return Ok(factors.swap_remove(0).value);
        }
        Ok(Expr::Product(factors))
    }

    /// Whether the token just read closed nothing: then a product that came
    /// back is a fraction, not a bracket.
    fn was_fraction(&self) -> bool {
        matches!(self.row[self.at - 1].kind, Kind::Number(_))
    }

    /// What stands behind a slash.
    fn divisor(&mut self) -> Climbed {
        let slash = self.span();
        self.at += 1;
        let turned = self.flips.slash(slash.start);
        let before = self.at;
        let reach = match turned {
            1 => Reach::Factor,
            2 => Reach::Times,
            3 => Reach::Glued,
            _ => Reach::Group,
        };
        let value = if self.sign().is_some() {
            self.signed_factor()?
        } else {
            self.product(reach)?
        };
        if turned == 0 {
            let grouped = matches!(&value, Expr::Product(_)) && !self.one_bracket(before);
            if grouped {
                self.note(Ambiguity::Slash, slash, 1);
                if self.is_glued_first(before) {
                    self.note(Ambiguity::Slash, slash, 3);
                }
            }
        }
        Ok(value)
    }

    /// Whether there is a space in front of a token.
    fn is_spaced(&self, at: usize) -> bool {
        at > 0 && self.row[at - 1].span.end < self.row[at].span.start
    }

    /// Whether factors glued together come before a space in the product that
    /// begins at `from` and has just been read: `4π² g`.
    fn is_glued_first(&self, from: usize) -> bool {
        let mut open = 0usize;
        let mut glued = false;
        for at in from..self.at {
            if open == 0 && at > from && self.joins_at(at) {
                if self.is_spaced(at) {
                    return glued;
                }
                glued = true;
            }
            match self.row[at].kind {
                Kind::Open(_) => open += 1,
                Kind::Close(_) => open = open.saturating_sub(1),
                _ => {}
            }
        }
        false
    }

    /// Whether everything since token `from` is one bracket.
    pub(super) fn one_bracket(&self, from: usize) -> bool {
        if !matches!(self.row[from].kind, Kind::Open(_)) {
            return false;
        }
        let mut open = 0usize;
        for at in from..self.at {
            match self.row[at].kind {
                Kind::Open(_) => open += 1,
                Kind::Close(_) => {
                    open = open.saturating_sub(1);
                    if open == 0 {
                        return at + 1 == self.at;
                    }
                }
                _ => {}
            }
        }
        false
    }

    /// A fraction of two whole numbers in front of a product is a number:
    /// `1/2 m v^2`. Nothing is read unless it is one.
    fn fraction_in_front(&mut self) -> Option<Expr> {
        let [top, slash, bottom, behind] = self.row.get(self.at..self.at + 4)? else {
            return None;
        };
        let (Kind::Number(top), Kind::Slash, Kind::Number(bottom)) =
            (&top.kind, &slash.kind, &bottom.kind)
        else {
            return None;
        };
        if !top.is_integer() || !bottom.is_integer() || bottom.is_zero() {
            return None;
        }
        if matches!(
            behind.kind,
            Kind::Caret | Kind::Raised(_) | Kind::RaisedSymbol(_)
        ) {
            return None;
        }
        if behind.kind == Kind::Times && self.scientific(self.at + 2).is_some() {
            return None;
        }
        if self.flips.slash(slash.span.start) != 0 || self.flips.fraction(slash.span.start) {
            return None;
        }
        let span = slash.span;
        self.at += 3;
        if self.joins() {
            self.note(Ambiguity::Fraction, span, 1);
        }
        let value = top / bottom;
        // `4/2` stays as it is typed, `1/2` is one number.
        if value.denominator() == *bottom && !value.is_integer() {
            return Some(Expr::Number(value));
        }
        Some(Expr::Product(vec![
            Factor {
                divides: false,
                value: Expr::Number(top.clone()),
            },
            Factor {
                divides: true,
                value: Expr::Number(bottom.clone()),
            },
        ]))
    }

    // ---- factors --------------------------------------------------------

    /// A factor that may have a sign in front: `a * -b`.
    pub(super) fn signed_factor(&mut self) -> Climbed {
        if let Some(sign) = self.sign() {
            self.at += 1;
            let value = self.deeper(Self::signed_factor)?;
            return Ok(signed(sign, value));
        }
        self.factor()
    }

    /// A primary with its powers.
    pub(super) fn factor(&mut self) -> Climbed {
        if let Some((number, used)) = self.scientific(self.at) {
            let span = self.span();
            let number = number.ok_or_else(|| {
                self.fault(
                    DiagnosticKind::NumberTooLarge,
                    "This number is too large to be held exactly.",
                    span,
                )
            })?;
            self.at += used;
            return self.powers(Expr::Number(number));
        }
        let base = self.primary()?;
        self.powers(base)
    }

    /// `6.63 × 10^-34` from token `from` on, and how many tokens it takes:
    /// one number, also behind a slash.
    fn scientific(&self, from: usize) -> Option<(Option<Number>, usize)> {
        let [mantissa, times, ten, power, rest @ ..] = self.row.get(from..)? else {
            return None;
        };
        let (Kind::Number(mantissa), Kind::Times, Kind::Number(ten)) =
            (&mantissa.kind, &times.kind, &ten.kind)
        else {
            return None;
        };
        if *ten != Number::from(10) {
            return None;
        }
        let (power, used) = match (&power.kind, rest) {
            (Kind::Raised(power), _) => (power.clone(), 4),
            (Kind::Caret, [first, ..]) if matches!(first.kind, Kind::Number(_)) => {
                let Kind::Number(power) = &first.kind else {
                    return None;
                };
                (power.clone(), 5)
            }
            (Kind::Caret, [minus, second, ..]) if minus.kind == Kind::Minus => {
                let Kind::Number(power) = &second.kind else {
                    return None;
                };
                (-power, 6)
            }
            (Kind::Caret, [open, minus, second, close, ..])
                if matches!(open.kind, Kind::Open(_))
                    && minus.kind == Kind::Minus
                    && matches!(close.kind, Kind::Close(_)) =>
            {
                let Kind::Number(power) = &second.kind else {
                    return None;
                };
                (-power, 8)
            }
            _ => return None,
        };
        if !power.is_integer() || matches!(self.row.get(from + used)?.kind, Kind::Caret) {
            return None;
        }
        let value = power
            .to_i64()
            .and_then(|power| Number::from(10).pow(power).ok())
            .and_then(|scale| (mantissa * &scale).checked().ok());
        Some((value, used))
    }

    fn primary(&mut self) -> Climbed {
        let token = &self.row[self.at];
        match &token.kind {
            Kind::Number(number) => {
                self.at += 1;
                if matches!(self.kind(), Kind::Number(_)) {
                    return Err(self.missing_operator());
                }
                Ok(Expr::Number(number.clone()))
            }
            Kind::Symbol(symbol) => {
                self.at += 1;
                if matches!(self.kind(), Kind::Number(_)) && !self.joins() {
                    return Err(self.missing_operator());
                }
                Ok(Expr::Symbol(*symbol))
            }
            Kind::Pi => {
                self.at += 1;
                Ok(Expr::Constant(Constant::Pi))
            }
            Kind::Euler => {
                self.at += 1;
                Ok(Expr::Constant(Constant::Euler))
            }
            Kind::Open(close) => self.bracket(*close),
            Kind::Bar => self.bar(),
            Kind::Function(function) => {
                let function = *function;
                self.call(&token.kind, function)
            }
            Kind::Log | Kind::LogBase(_) => self.call(&token.kind, Function::Ln),
            Kind::Derivative { of, by, order } => self.derivative(*of, *by, *order),
            Kind::Integral => self.integral(),
            Kind::Fraction => self.set_fraction(),
            _ => Err(self.missing_operand()),
        }
    }

    /// `\frac{a}{b}`.
    fn set_fraction(&mut self) -> Climbed {
        self.at += 1;
        let mut part = |divides: bool| -> Result<Factor, Diagnostic> {
            match self.kind() {
                Kind::Open(close) => Ok(Factor {
                    divides,
                    value: self.bracket(*close)?,
                }),
                _ => Err(self.missing_operand()),
            }
        };
        let top = part(false)?;
        let bottom = part(true)?;
        Ok(Expr::Product(vec![top, bottom]))
    }

    pub(super) fn bracket(&mut self, close: char) -> Climbed {
        let open = self.span();
        self.deeper(|climb| {
            climb.at += 1;
            let bar = std::mem::replace(&mut climb.in_bar, false);
            let argument = std::mem::replace(&mut climb.in_argument, false);
            let inside = climb.sum()?;
            climb.in_bar = bar;
            climb.in_argument = argument;
            match climb.kind() {
                Kind::Close(found) if *found == close => {
                    climb.at += 1;
                    Ok(inside)
                }
                Kind::Close(found) => {
                    let span = climb.span();
                    Err(climb
                        .fault(
                            DiagnosticKind::MismatchedBracket,
                            format!(
                                "A bracket is closed here by {found}, but {close} was expected."
                            ),
                            span,
                        )
                        .with_label(open, "the bracket that it would close"))
                }
                Kind::End | Kind::Equals => {
                    let span = climb.span();
                    Err(climb
                        .fault(
                            DiagnosticKind::OpenBracket,
                            "This bracket is never closed.",
                            open,
                        )
                        .with_label(span, format!("{close} was expected by here")))
                }
                _ => Err(climb.missing_operator()),
            }
        })
    }

    pub(super) fn bar(&mut self) -> Climbed {
        let open = self.span();
        self.deeper(|climb| {
            climb.at += 1;
            let bar = std::mem::replace(&mut climb.in_bar, true);
            let argument = std::mem::replace(&mut climb.in_argument, false);
            let inside = climb.sum()?;
            climb.in_bar = bar;
            climb.in_argument = argument;
            match climb.kind() {
                Kind::Bar => {
                    climb.at += 1;
                    Ok(Expr::call(Function::Abs, inside))
                }
                Kind::End | Kind::Equals | Kind::Close(_) => {
                    let span = climb.span();
                    Err(climb
                        .fault(
                            DiagnosticKind::OpenBracket,
                            "This bar is never closed.",
                            open,
                        )
                        .with_label(span, "| was expected by here"))
                }
                _ => Err(climb.missing_operator()),
            }
        })
    }

    pub(super) fn note(&mut self, ambiguity: Ambiguity, span: Span, turn: u8) {
        let site = Site {
            ambiguity,
            at: span.start,
            turn,
        };
        if self.sites.len() < super::readings::MOST_SITES && !self.sites.contains(&site) {
            self.sites.push(site);
        }
    }
}

/// A first factor that is `4/2` as typed joins the flat list.
fn push_fraction(factors: &mut Vec<Factor>, first: Expr) {
    match first {
        Expr::Product(inner)
            if matches!(
                inner.as_slice(),
                [
                    Factor {
                        divides: false,
                        value: Expr::Number(_)
                    },
                    Factor {
                        divides: true,
                        value: Expr::Number(_)
                    }
                ]
            ) =>
        {
            factors.extend(inner);
        }
        value => factors.push(Factor {
            divides: false,
            value,
        }),
    }
}

fn is_function(kind: &Kind) -> bool {
    matches!(kind, Kind::Function(_) | Kind::Log | Kind::LogBase(_))
}

fn is_operator(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Plus
            | Kind::Minus
            | Kind::PlusMinus
            | Kind::MinusPlus
            | Kind::Times
            | Kind::Slash
            | Kind::Caret
    )
}

/// A value with a sign in front; a plus says nothing.
pub(super) fn signed(sign: Sign, value: Expr) -> Expr {
    if sign == Sign::Plus {
        return value;
    }
    Expr::Sum(vec![Term { sign, value }])
}
