//! The questions of a sitting: the latest as they are, so that they can be
//! taken back, and of those before them only what they asked, so that a long
//! sitting takes no more memory than a short one.

use std::collections::VecDeque;
use std::ops::{Index, IndexMut};

use crate::practice::posed::{Asking, Posed};
use crate::show::escape::escape;
use crate::show::line::{Spelling, equation, name};
use crate::show::wrap::unbroken;

/// Questions that can be taken back.
const HELD: usize = 50;

/// The questions that were begun, by their number.
pub(super) struct Questions<'f> {
    /// What earlier ones asked.
    told: Vec<Box<str>>,
    /// The latest.
    held: VecDeque<Posed<'f>>,
    spelling: Spelling,
}

impl<'f> Questions<'f> {
    /// None yet.
    pub(super) fn new(spelling: Spelling) -> Self {
        Questions {
            told: Vec::new(),
            held: VecDeque::new(),
            spelling,
        }
    }

    /// Adds one; those before it are over.
    pub(super) fn push(&mut self, posed: Posed<'f>) {
        self.held.push_back(posed);
        if self.held.len() > HELD
            && let Some(first) = self.held.pop_front()
        {
            let told = in_few_words(&first, self.spelling);
            self.told.push(told.into_boxed_str());
        }
    }

    /// The number of the first that is held.
    pub(super) fn first(&self) -> usize {
        self.told.len()
    }

    /// The question of a number, if it is held.
    pub(super) fn get(&self, number: usize) -> Option<&Posed<'f>> {
        self.held.get(number.checked_sub(self.first())?)
    }

    /// The same, to change it.
    pub(super) fn get_mut(&mut self, number: usize) -> Option<&mut Posed<'f>> {
        let place = number.checked_sub(self.first())?;
        self.held.get_mut(place)
    }

    /// Those that are held, with their numbers.
    pub(super) fn held(&self) -> impl Iterator<Item = (usize, &Posed<'f>)> {
        let first = self.first();
        self.held
            .iter()
            .enumerate()
            .map(move |(place, posed)| (first + place, posed))
    }

    /// What a question asks, in a few words.
    pub(super) fn told(&self, number: usize) -> String {
        match self.told.get(number) {
            Some(told) => told.to_string(),
            None => in_few_words(&self[number], self.spelling),
        }
    }
}

impl<'f> Index<usize> for Questions<'f> {
    type Output = Posed<'f>;

    fn index(&self, number: usize) -> &Posed<'f> {
        &self.held[number - self.told.len()]
    }
}

impl IndexMut<usize> for Questions<'_> {
    fn index_mut(&mut self, number: usize) -> &mut Self::Output {
        &mut self.held[number - self.told.len()]
    }
}

fn in_few_words(posed: &Posed<'_>, spelling: Spelling) -> String {
    match &posed.asking {
        Asking::Rearrangement(question) => {
            let formula = equation(question.formula(), posed.table(), spelling);
            let letter = name(question.subject(), posed.table(), spelling);
            format!("{} for {letter}", unbroken(&formula))
        }
        Asking::Proportion(own) => {
            let formula = equation(own.question.formula(), posed.table(), spelling);
            format!("proportion: {}", unbroken(&formula))
        }
        Asking::Connection(own) => {
            let name = own.linked.connection.name.replace('-', " ");
            format!("connection: {}", escape(&name))
        }
        Asking::Definition(defining) => {
            format!("definition: {}", escape(&defining.definition.term))
        }
        Asking::Proof(proving) => {
            let statement = escape(&proving.proof.statement);
            format!("proof: {}", statement.trim_end_matches('.'))
        }
    }
}
