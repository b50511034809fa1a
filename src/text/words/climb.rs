//! From pieces of a sentence to an expression.
//!
//! Operations bind as they are heard: `per`, `times` and `divided by` from
//! left to right; `squared` to the quantity before it; `rate of change of`,
//! `square of`, `half` to the quantity after it; `ratio of .. to ..` and
//! `product of .. and ..` take what stands between. A quantity is what a
//! phrase names first; one that is mentioned after it ("on a charge") only
//! describes, unless it is "unit charge", which divides.

mod operand;

use smallvec::SmallVec;

use super::lexicon::{Concept, Lexicon};
use super::recognise::{Placed, Token, recognise, without_opener};
use super::{Class, pieces};
use crate::algebra::expr::{Expr, Function};
use crate::algebra::limits::MAX_DEPTH;
use crate::text::Span;

/// A sentence that could be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// What it says.
    pub value: Expr,
    /// What it says if it is heard in another way: "final less initial
    /// velocity divided by time", "energy divided by mass times temperature
    /// change".
    pub others: Vec<Expr>,
    /// What it says if "unit charge" in passing sets a quantity to one: the
    /// value, and the quantities that are one. "Resistance of a conductor of
    /// unit length and unit area".
    pub at_one: Option<(Expr, Vec<Expr>)>,
    /// Names in the value that do not say which of several quantities is
    /// meant, with those that it may be.
    pub vague: Vec<(Expr, Vec<Expr>)>,
    /// The needs that it meets, by number.
    pub met: Vec<usize>,
    /// Whether a unit stands for a quantity ("per coulomb").
    pub unit_for_quantity: bool,
    /// Whether it may say something else: what it names first was named after
    /// words that only describe ("how long it takes for the charge ...").
    pub loose: bool,
}

/// Why a sentence could not be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// There are no words.
    Empty,
    /// It is longer than a line may be.
    TooLong,
    /// Operations stand within one another too deep.
    TooDeep,
    /// Words that are not known.
    Words,
    /// No quantity is named.
    NoQuantity,
    /// Two quantities with no operation between.
    NoOperation,
    /// An operation with nothing to act on.
    NothingToActOn,
    /// A unit where a quantity is meant.
    Unit,
    /// The change of something that is no single quantity.
    ChangeOfWhat,
    /// What is defined is used to define it.
    Circular,
    /// A name that several quantities of the definition share.
    WhichOne,
    /// Words that only describe stand where a quantity is needed.
    Loose,
    /// A quantity with a definition of its own, in the right units.
    Foreign,
}

/// What was made of a sentence that could not be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Unread {
    /// What went wrong.
    pub trouble: Trouble,
    /// The words that were not known, or at which it went wrong.
    pub words: Vec<Span>,
    /// The quantities and operations that were understood.
    pub understood: Vec<Span>,
    /// The needs that it meets, by number.
    pub met: Vec<usize>,
}

/// Reads a sentence with a lexicon.
///
/// # Errors
/// What could not be read, and what could.
pub fn read_words(text: &str, lexicon: &Lexicon) -> Result<Said, Unread> {
    let unread = |trouble| Unread {
        trouble,
        words: Vec::new(),
        understood: Vec::new(),
        met: Vec::new(),
    };
    let Some(pieces) = pieces(text) else {
        return Err(unread(Trouble::TooLong));
    };
    let (tokens, met, unknown) = recognise(text, &pieces, lexicon);
    let tokens = without_opener(tokens, lexicon);
    let understood: Vec<Span> = tokens
        .iter()
        .filter(|(token, _)| !matches!(token, Token::Clause | Token::Need))
        .map(|(_, span)| *span)
        .collect();
    let fail = |trouble, words| Unread {
        trouble,
        words,
        understood: understood.clone(),
        met: met.clone(),
    };
    if !unknown.is_empty() {
        return Err(fail(Trouble::Words, unknown));
    }
    if tokens.is_empty() {
        return Err(fail(Trouble::Empty, Vec::new()));
    }
    let mut said: Option<Said> = None;
    let ways = [(false, false), (true, false), (false, true)];
    for (sums_first, products_under) in ways {
        let mut climb = Climb {
            tokens: &tokens,
            at: 0,
            lexicon,
            divisors: SmallVec::new(),
            unit_for_quantity: false,
            depth: 0,
            over_time: false,
            loose: false,
            asks: false,
            counted: None,
            sums_first,
            products_under,
        };
        match (climb.whole(), &mut said) {
            (Ok((value, at_one)), None) => {
                said = Some(Said {
                    vague: climb.vague_in(&value),
                    value,
                    at_one,
                    others: Vec::new(),
                    met: met.clone(),
                    unit_for_quantity: climb.unit_for_quantity,
                    loose: climb.loose,
                });
            }
            (Ok((value, _)), Some(said)) => {
                if value != said.value && !said.others.contains(&value) {
                    said.others.push(value);
                }
            }
            (Err(trouble), None) => {
                let at = climb.at.min(tokens.len().saturating_sub(1));
                let words = tokens.get(at).map(|(_, span)| *span).into_iter().collect();
                return Err(fail(trouble, words));
            }
            (Err(_), Some(_)) => {}
        }
    }
    said.ok_or_else(|| fail(Trouble::Empty, Vec::new()))
}

/// The needs that words in passing meet; nothing if some of them are not
/// known, or if there is an operation among them. Of changes there may be
/// talk where a letter is explained ("Δv is the change of velocity").
#[must_use]
pub fn passing_words(text: &str, lexicon: &Lexicon, changes: bool) -> Option<Vec<usize>> {
    let (tokens, met, unknown) = recognise(text, &pieces(text)?, lexicon);
    let operates = tokens.iter().any(|(token, _)| match token {
        Token::Operation(Class::Change) => !changes,
        Token::Operation(class) => !matches!(
            class,
            Class::And | Class::Comma | Class::To | Class::Is | Class::Or | Class::Unit
        ),
        _ => false,
    });
    // "A wire of length L" explains a letter, "a small volume m" explains it as
    // another quantity.
    let mixed = tokens.windows(2).any(|pair| match pair {
        [(Token::Quantity(concept), _), (Token::Letters(letter), _)] => {
            lexicon.value(*concept) != Some(letter)
        }
        _ => false,
    });
    (unknown.is_empty() && !operates && !mixed).then_some(met)
}

/// Where an operand ends, besides at an operation.
#[derive(Debug, Clone, Copy, Default)]
struct Stops {
    and: bool,
    to: bool,
    comma: bool,
}

/// A value, and the quantity that it is, if it is one.
struct Part {
    value: Expr,
    concept: Option<Concept>,
}

impl From<Expr> for Part {
    fn from(value: Expr) -> Self {
        Part {
            value,
            concept: None,
        }
    }
}

struct Climb<'a> {
    tokens: &'a [Placed],
    at: usize,
    lexicon: &'a Lexicon,
    /// What divides the whole: "unit charge" mentioned in passing.
    divisors: SmallVec<[Expr; 4]>,
    unit_for_quantity: bool,
    depth: usize,
    /// Whether a quantity was taken that words before it only describe with.
    loose: bool,
    /// Whether "how much" opened what is being read.
    asks: bool,
    /// What a unit that is counted stands for: "joules".
    counted: Option<Expr>,
    /// Whether a rate is being read.
    over_time: bool,
    /// Whether sums bind tighter than `per` and `times`.
    sums_first: bool,
    /// Whether "divided by" takes a whole product.
    products_under: bool,
}

/// A value with the quantities that are one in it.
type AtOne = Option<(Expr, Vec<Expr>)>;

type Read = Result<Part, Trouble>;

impl Climb<'_> {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.at).map(|(token, _)| token)
    }

    fn operation(&self) -> Option<Class> {
        match self.peek() {
            Some(Token::Operation(class)) => Some(*class),
            _ => None,
        }
    }

    /// Whether the next word ends a part of a list or a ratio.
    fn stopped(&self, stops: Stops) -> bool {
        match self.operation() {
            Some(Class::And) => stops.and,
            Some(Class::To) => stops.to,
            Some(Class::Comma) => stops.comma,
            _ => false,
        }
    }

    /// Passes over what says nothing.
    fn skip(&mut self) {
        while matches!(
            self.peek(),
            Some(Token::Clause | Token::Need | Token::Operation(Class::To | Class::Comma))
        ) {
            self.at += 1;
        }
    }

    fn after_comma(&self) -> bool {
        self.at > 0 && self.tokens[self.at - 1].0 == Token::Operation(Class::Comma)
    }

    fn pass_clauses(&mut self) {
        while matches!(self.peek(), Some(Token::Clause | Token::Need)) {
            self.at += 1;
        }
    }

    fn skip_until(&mut self, stops: Stops) {
        while !self.stopped(stops)
            && matches!(
                self.peek(),
                Some(Token::Clause | Token::Need | Token::Operation(Class::To | Class::Comma))
            )
        {
            self.at += 1;
        }
    }

    /// The whole sentence.
    fn whole(&mut self) -> Result<(Expr, AtOne), Trouble> {
        let part = if self.sums_first {
            self.term(Stops::default())?
        } else {
            self.sum(Stops::default())?
        };
        self.skip();
        if self.peek().is_some() {
            return Err(Trouble::NoOperation);
        }
        let mut value = part.value;
        let ones: Vec<Expr> = self.divisors.to_vec();
        let at_one = (!ones.is_empty()).then(|| (value.clone(), ones));
        for divisor in self.divisors.drain(..) {
            value = Expr::div(value, divisor);
        }
        let holds = |own: &Expr| matches!(own, Expr::Symbol(symbol) if value.contains(*symbol));
        let subject = self.lexicon.subject;
        for (concept, named) in self.lexicon.concepts.iter().enumerate() {
            if subject == Some(concept) && holds(&named.value) {
                return Err(Trouble::Circular);
            }
        }
        Ok((value, at_one))
    }

    /// The vague names in a value.
    fn vague_in(&self, value: &Expr) -> Vec<(Expr, Vec<Expr>)> {
        let holds = |own: &Expr| matches!(own, Expr::Symbol(symbol) if value.contains(*symbol));
        self.lexicon
            .concepts
            .iter()
            .filter(|named| !named.vague.is_empty() && holds(&named.value))
            .map(|named| (named.value.clone(), named.vague.clone()))
            .collect()
    }

    fn sum(&mut self, stops: Stops) -> Read {
        let mut left = if self.sums_first {
            self.unary(stops, false)?
        } else {
            self.term(stops)?
        };
        let next = |this: &mut Self| {
            if this.sums_first {
                this.unary(stops, false)
            } else {
                this.term(stops)
            }
        };
        loop {
            match self.operation() {
                Some(Class::Plus) => {
                    self.at += 1;
                    left = Expr::add(left.value, next(self)?.value).into();
                }
                Some(Class::Minus) => {
                    self.at += 1;
                    left = Expr::sub(left.value, next(self)?.value).into();
                }
                _ => return Ok(left),
            }
        }
    }

    fn term(&mut self, stops: Stops) -> Read {
        let mut left = self.factor(stops)?;
        loop {
            self.skip_until(stops);
            match self.operation() {
                Some(Class::Times) => {
                    self.at += 1;
                    let right = self.factor(stops)?;
                    left = Expr::mul(left.value, right.value).into();
                }
                Some(class @ (Class::Per | Class::Divided)) => {
                    self.at += 1;
                    let mut right = self.unary(stops, true)?;
                    if self.products_under && class == Class::Divided {
                        // Not across a comma: "divided by mass, times ...".
                        self.pass_clauses();
                        while self.operation() == Some(Class::Times) && !self.after_comma() {
                            self.at += 1;
                            let next = self.unary(stops, false)?;
                            right = Expr::mul(right.value, next.value).into();
                            self.pass_clauses();
                        }
                    }
                    left = Expr::div(left.value, right.value).into();
                }
                _ => return Ok(left),
            }
        }
    }

    fn factor(&mut self, stops: Stops) -> Read {
        if self.sums_first {
            self.sum(stops)
        } else {
            self.unary(stops, false)
        }
    }

    fn unary(&mut self, stops: Stops, divides: bool) -> Read {
        self.depth += 1;
        if self.depth > MAX_DEPTH {
            return Err(Trouble::TooDeep);
        }
        let part = self.prefixed(stops, divides)?;
        self.depth -= 1;
        self.postfixed(part)
    }

    fn postfixed(&mut self, mut part: Part) -> Read {
        loop {
            match self.operation() {
                Some(Class::Squared) => {
                    part = Expr::pow(part.value, Expr::integer(2)).into();
                }
                Some(Class::Cubed) => {
                    part = Expr::pow(part.value, Expr::integer(3)).into();
                }
                Some(Class::Change) if part.concept.is_some() => {
                    part = self.change(&part, self.over_time)?;
                }
                _ => return Ok(part),
            }
            self.at += 1;
        }
    }

    fn prefixed(&mut self, stops: Stops, divides: bool) -> Read {
        self.skip_until(stops);
        let Some(class) = self.operation() else {
            return self.operand(stops, divides);
        };
        match class {
            Class::RateOfChange => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                let change = self.change(&of, true)?;
                self.by_time(change)
            }
            Class::Rate => {
                self.at += 1;
                // "Rate at which velocity changes".
                let was = std::mem::replace(&mut self.over_time, true);
                let of = self.unary(stops, false)?;
                self.over_time = was;
                self.by_time(of)
            }
            Class::Gradient | Class::AreaUnder => {
                self.at += 1;
                let (of, against) = (self.axis()?, self.axis()?);
                let (value, other) = (self.named(of), self.named(against));
                if class == Class::AreaUnder {
                    Ok(Expr::mul(value.value, other.value).into())
                } else if Some(against) == self.lexicon.time {
                    let change = self.change(&value, true)?;
                    self.by_time(change)
                } else {
                    Ok(Expr::div(value.value, other.value).into())
                }
            }
            // "How much the momentum of the ball changes by".
            Class::HowMuch => {
                self.at += 1;
                let was = std::mem::replace(&mut self.asks, true);
                let of = self.unary(stops, divides);
                self.asks = was;
                of
            }
            // "Directed towards the point and is ...".
            Class::And
                if !stops.and
                    && self.at > 0
                    && matches!(self.tokens[self.at - 1].0, Token::Clause | Token::Need) =>
            {
                self.at += 1;
                self.prefixed(stops, divides)
            }
            Class::Change => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                self.change(&of, false)
            }
            Class::SquareOf | Class::CubeOf => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                let power = if class == Class::SquareOf { 2 } else { 3 };
                Ok(Expr::pow(of.value, Expr::integer(power)).into())
            }
            Class::RootOf => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                Ok(Expr::call(Function::Sqrt, of.value).into())
            }
            Class::Half | Class::Twice | Class::Triple => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                Ok(match class {
                    Class::Half => Expr::div(of.value, Expr::integer(2)),
                    Class::Twice => Expr::mul(Expr::integer(2), of.value),
                    _ => Expr::mul(Expr::integer(3), of.value),
                }
                .into())
            }
            Class::Reciprocal => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                Ok(Expr::div(Expr::integer(1), of.value).into())
            }
            Class::Cosine | Class::Sine => {
                self.at += 1;
                let of = self.unary(stops, false)?;
                let function = if class == Class::Cosine {
                    Function::Cos
                } else {
                    Function::Sin
                };
                Ok(Expr::call(function, of.value).into())
            }
            Class::Ratio => {
                self.at += 1;
                let left = self.term(Stops {
                    to: true,
                    and: true,
                    comma: false,
                })?;
                if !matches!(self.operation(), Some(Class::To | Class::And)) {
                    // "ratio of force over area": the slash has been read.
                    return match left.value {
                        Expr::Product(_) => Ok(left),
                        _ => Err(Trouble::NothingToActOn),
                    };
                }
                self.at += 1;
                let right = self.unary(stops, true)?;
                Ok(Expr::div(left.value, right.value).into())
            }
            Class::Product | Class::Sum => self.list(class, stops),
            Class::Difference => {
                self.at += 1;
                let inner = Stops {
                    and: true,
                    ..Stops::default()
                };
                let left = self.term(inner)?;
                if self.operation() != Some(Class::And) {
                    return Err(Trouble::NothingToActOn);
                }
                self.at += 1;
                let right = self.unary(stops, false)?;
                Ok(Expr::sub(left.value, right.value).into())
            }
            Class::Unit => self.operand(stops, divides),
            _ => Err(Trouble::NothingToActOn),
        }
    }

    /// A quantity that a graph shows.
    fn axis(&mut self) -> Result<Concept, Trouble> {
        self.pass_clauses();
        let Some(Token::Quantity(concept)) = self.peek() else {
            return Err(Trouble::NothingToActOn);
        };
        let concept = *concept;
        self.at += 1;
        Ok(concept)
    }

    /// `product of A, B and C`.
    fn list(&mut self, class: Class, stops: Stops) -> Read {
        self.at += 1;
        let inner = Stops {
            and: true,
            comma: true,
            to: stops.to,
        };
        let mut value = self.unary(inner, false)?.value;
        let mut parts = 1;
        let mut last = false;
        loop {
            let joins = match self.operation() {
                Some(Class::And) => !last,
                Some(Class::Comma) => !last && self.list_goes_on(),
                _ => false,
            };
            if !joins {
                break;
            }
            while matches!(self.operation(), Some(Class::And | Class::Comma)) {
                last |= self.operation() == Some(Class::And);
                self.at += 1;
            }
            // The last part may end where the list does.
            let bounds = if last {
                Stops {
                    and: stops.and,
                    comma: stops.comma,
                    to: stops.to,
                }
            } else {
                inner
            };
            let next = self.unary(bounds, false)?.value;
            value = if class == Class::Product {
                Expr::mul(value, next)
            } else {
                Expr::add(value, next)
            };
            parts += 1;
        }
        if parts < 2 {
            return Err(Trouble::NothingToActOn);
        }
        Ok(value.into())
    }

    /// Whether another `and` comes after this comma.
    fn list_goes_on(&self) -> bool {
        self.tokens[self.at..]
            .iter()
            .any(|(token, _)| *token == Token::Operation(Class::And))
    }

    fn by_time(&mut self, part: Part) -> Read {
        // "... changes with time".
        let with_time = matches!(
            self.tokens.get(self.at..self.at + 2),
            Some([(Token::Clause | Token::Need, _), (Token::Quantity(concept), _)])
                if Some(*concept) == self.lexicon.time
        );
        if with_time {
            self.at += 2;
        }
        let time = self
            .lexicon
            .time
            .and_then(|time| self.lexicon.concepts.get(time))
            .ok_or(Trouble::NoQuantity)?;
        Ok(Expr::div(part.value, time.value.clone()).into())
    }

    /// The change of a quantity. Over time, a quantity that counts from
    /// nothing (charge that passes, work that is done) is its own change.
    fn change(&self, part: &Part, over_time: bool) -> Read {
        let named = part
            .concept
            .and_then(|concept| self.lexicon.concepts.get(concept))
            .ok_or(Trouble::ChangeOfWhat)?;
        if let Some(change) = &named.change {
            return Ok(change.clone().into());
        }
        if over_time && named.known {
            return Ok(named.value.clone().into());
        }
        Err(Trouble::ChangeOfWhat)
    }
}
