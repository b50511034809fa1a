//! A phrase that names a quantity: what is named first counts, what is named
//! after it only describes, unless it is "unit charge", which divides.

use super::super::Class;
use super::super::lexicon::Concept;
use super::super::recognise::Token;
use super::{Climb, Part, Read, Stops, Trouble};
use crate::algebra::expr::Expr;

impl Climb<'_> {
    /// A phrase that names a quantity, with all that describes it.
    pub(super) fn operand(&mut self, stops: Stops, divides: bool) -> Read {
        let mut head: Option<Part> = None;
        let mut unit = false;
        let mut described = false;
        let mut joined = false;
        // Whether the quantity before was only mentioned.
        let mut passing = false;
        let mut begun_loosely = false;
        // What the quantity was called, and a mark that came before it.
        let mut base: Option<Concept> = None;
        let mut pending: Option<usize> = None;
        let mut told_apart = false;
        let begun = self.at;
        while let Some(token) = self.peek() {
            if self.stopped(stops) {
                break;
            }
            match token.clone() {
                Token::Need => {
                    described = true;
                    joined = false;
                }
                Token::Mark(row) => {
                    described = true;
                    let told = match &head {
                        Some(_) => base.and_then(|base| self.lexicon.marked(row, base)),
                        None => {
                            pending = Some(row);
                            None
                        }
                    };
                    if let (Some(told), Some(part)) = (told, &mut head) {
                        if told_apart && part.value != *told {
                            return Err(Trouble::WhichOne);
                        }
                        part.value = told.clone();
                        told_apart = true;
                    }
                }
                Token::Clause | Token::Operation(Class::To | Class::Comma) => {
                    described = true;
                    joined = false;
                    begun_loosely |= head.is_none();
                }
                Token::Operation(Class::And) => {
                    if head.is_none() && !described {
                        return Err(Trouble::NothingToActOn);
                    }
                    // "At all pressures, volumes and temperatures"; "and which
                    // acts on": what follows only describes.
                    let describes = matches!(
                        self.tokens.get(self.at + 1),
                        Some((Token::Clause | Token::Need | Token::Mark(_), _))
                    );
                    if head.is_some() && !passing && !describes {
                        joined = true;
                        described = false;
                    }
                }
                // "Work done or energy transferred": one thing in two words.
                Token::Operation(Class::Or) => {
                    let Some(first) = &head else {
                        return Err(Trouble::NothingToActOn);
                    };
                    let same = match self.tokens.get(self.at + 1) {
                        Some((Token::Quantity(concept), _)) => {
                            self.named(*concept).value == first.value
                        }
                        Some((Token::Expression(value), _)) => *value == first.value,
                        Some((Token::Operation(class), _)) => *class != Class::Unit,
                        Some((Token::Clause | Token::Need, _)) | None => true,
                        Some(_) => false,
                    };
                    if !same && !passing {
                        return Err(Trouble::NoOperation);
                    }
                }
                Token::Operation(Class::HowMuch) => {}
                Token::Operation(Class::Unit) => unit = true,
                Token::Number(value) => {
                    let one = value == Expr::integer(1);
                    let names = matches!(
                        self.tokens.get(self.at + 1),
                        Some((
                            Token::Quantity(_)
                                | Token::Expression(_)
                                | Token::UnitOf(_)
                                | Token::Operation(Class::Unit | Class::Change),
                            _
                        ))
                    );
                    if one && names {
                        unit = true;
                    } else if head.is_none() && !names {
                        head = Some(value.into());
                    } else {
                        return Err(Trouble::NoOperation);
                    }
                }
                Token::Counted(value) => {
                    if head.is_some() {
                        return Err(Trouble::Unit);
                    }
                    self.unit_for_quantity = true;
                    self.counted = Some(value.clone());
                    head = Some(value.into());
                }
                // "In radians": the measure of what is named already.
                Token::UnitOf(value)
                    if described
                        && !unit
                        && head.as_ref().is_some_and(|part| part.value == value) => {}
                Token::UnitOf(value) => {
                    let measured = value.clone();
                    let per_unit = divides && head.is_none();
                    if per_unit {
                        head = Some(value.into());
                    } else if unit && head.is_some() {
                        self.divisors.push(value);
                    } else {
                        return Err(Trouble::Unit);
                    }
                    self.unit_for_quantity = true;
                    unit = false;
                    // "per coulomb of charge", "one kelvin rise in
                    // temperature": the quantity that follows is the same.
                    described = true;
                    if self.tokens.get(self.at + 1).map(|(token, _)| token)
                        == Some(&Token::Operation(Class::Change))
                    {
                        self.at += 1;
                    }
                    if !self.measures(&measured) {
                        return Err(Trouble::NoOperation);
                    }
                }
                Token::Quantity(concept) => {
                    // "The time the force acts for": a clause without its
                    // opening word.
                    let verb = matches!(
                        self.tokens.get(self.at + 1),
                        Some((Token::Clause | Token::Need | Token::Operation(Class::Is), _))
                    );
                    let described = described || (verb && head.is_some());
                    let mut part = self.named(concept);
                    if head.is_none() {
                        base = Some(concept);
                        let told = pending.and_then(|row| self.lexicon.marked(row, concept));
                        if let Some(told) = told {
                            part.value = told.clone();
                            told_apart = true;
                        }
                    }
                    passing = head.is_some() && described && !unit;
                    self.take(&mut head, part, &mut unit, (described, joined, divides))?;
                }
                // "A body of mass m"; letters that are explained otherwise are
                // read elsewhere.
                Token::Letters(value) if head.as_ref().is_some_and(|part| part.value != value) => {
                    let named = match self.at.checked_sub(1).and_then(|at| self.tokens.get(at)) {
                        Some((Token::Quantity(concept), _)) => self.named(*concept).value == value,
                        Some((Token::Expression(own), _)) => *own == value,
                        _ => false,
                    };
                    if !named || !described {
                        return Err(Trouble::NoOperation);
                    }
                }
                Token::Expression(value) | Token::Letters(value) => {
                    let part = Part::from(value);
                    self.take(&mut head, part, &mut unit, (described, joined, divides))?;
                }
                Token::Operation(Class::Change) => {
                    // After the quantity itself: "temperature rise".
                    // Or at the end of a rate: "how quickly the momentum of the
                    // body is changing".
                    let open = !described || self.over_time || (self.asks && !passing);
                    if open && head.as_ref().is_some_and(|part| part.concept.is_some()) {
                        break;
                    }
                    let Some((Token::Quantity(concept), _)) = self.tokens.get(self.at + 1).cloned()
                    else {
                        // "when the flux through it changes".
                        described = true;
                        self.at += 1;
                        continue;
                    };
                    self.at += 1;
                    let quantity = self.named(concept);
                    match self.change(&quantity, false) {
                        // Of what the definition does not know there is no
                        // talk in passing.
                        Ok(_) if head.is_some() && !self.lexicon.is_known(concept) => {
                            return Err(Trouble::NoOperation);
                        }
                        Ok(part) => {
                            let how = (described, joined, divides);
                            self.take(&mut head, part, &mut unit, how)?;
                        }
                        // Mentioned in passing it needs no value.
                        Err(_)
                            if head.is_some()
                                && described
                                && !unit
                                && !joined
                                && self.lexicon.is_known(concept) => {}
                        Err(trouble) => return Err(trouble),
                    }
                }
                Token::Operation(_) => break,
            }
            self.at += 1;
        }
        // "To that in the medium".
        if head.is_none()
            && let Some(told) = pending.and_then(|row| self.lexicon.marked_alone(row))
        {
            head = Some(told.clone().into());
        }
        match head {
            Some(part) if !unit => {
                self.loose |= begun_loosely;
                Ok(part)
            }
            Some(_) => Err(Trouble::Unit),
            None => {
                if self.at > begun && self.peek().is_some() {
                    self.at = self.at.min(self.tokens.len());
                }
                Err(if divides {
                    Trouble::NothingToActOn
                } else {
                    Trouble::NoQuantity
                })
            }
        }
    }

    /// Whether the quantity named right after a unit is measured in it: not
    /// so in "per coulomb of current".
    fn measures(&self, unit: &Expr) -> bool {
        let mut next = self.at + 1;
        if let Some((Token::Clause | Token::Need, _)) = self.tokens.get(next) {
            next += 1;
        }
        let Some((Token::Quantity(concept), _)) = self.tokens.get(next) else {
            return true;
        };
        // "Joules per coulomb of work done": of what the joules are.
        self.lexicon.concepts.get(*concept).is_none_or(|named| {
            named.value == *unit
                || named.change.as_ref() == Some(unit)
                || self.counted.as_ref() == Some(&named.value)
        })
    }

    pub(super) fn named(&self, concept: Concept) -> Part {
        let value = self
            .lexicon
            .concepts
            .get(concept)
            .map_or_else(|| Expr::integer(1), |named| named.value.clone());
        Part {
            value,
            concept: Some(concept),
        }
    }

    fn take(
        &mut self,
        head: &mut Option<Part>,
        part: Part,
        unit: &mut bool,
        (described, joined, divides): (bool, bool, bool),
    ) -> Result<(), Trouble> {
        let Some(first) = head else {
            // "unit charge" at the head of a sentence is one.
            if *unit && !divides {
                return Err(Trouble::Unit);
            }
            *unit = false;
            *head = Some(part);
            return Ok(());
        };
        if std::mem::take(unit) {
            self.divisors.push(part.value);
            return Ok(());
        }
        if first.value == part.value && (!joined || !divides) {
            return Ok(());
        }
        // "Per unit mass and temperature rise".
        if divides && joined && !described {
            let value = std::mem::replace(&mut first.value, Expr::integer(1));
            *first = Expr::mul(value, part.value).into();
            return Ok(());
        }
        let known = part
            .concept
            .and_then(|concept| self.lexicon.concepts.get(concept))
            .is_none_or(|named| named.known);
        if described && !joined && known {
            Ok(())
        } else {
            Err(Trouble::NoOperation)
        }
    }
}
