//! What a sitting asks: one of the kinds of question, and how much of a worked
//! example comes with it.

use crate::algebra::symbol::SymbolTable;
use crate::physics::connection::link;
use crate::physics::formulary::Topic;

use super::attempt::{Kind, Lettering};
use super::choice::lettering;
use super::connections::Connecting;
use super::definition::Defining;
use super::fading;
use super::item::{Item, What};
use super::mastery::Progress;
use super::proportion::{Scaling, of_turn};
use super::proving::Proving;
use super::question::{Letter, Question};
use super::schedule::key_number;

/// The kinds that can be asked.
pub const KINDS: [Kind; 5] = Kind::ALL;

/// A question of one of the kinds.
#[derive(Debug, Clone)]
pub enum Asking<'f> {
    /// Make a letter the subject.
    Rearrangement(Box<Question<'f>>),
    /// Show a result, line by line.
    Proof(Box<Proving<'f>>),
    /// Say what a term means.
    Definition(Box<Defining<'f>>),
    /// Join formulae of several topics.
    Connection(Box<Connecting<'f>>),
    /// Say by which factor a quantity changes.
    Proportion(Box<Scaling<'f>>),
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct Posed<'f> {
    /// The question.
    pub asking: Asking<'f>,
    /// How much of a worked example comes with it: see [`fading`].
    pub support: u32,
}

impl<'f> Posed<'f> {
    /// A change of subject without a worked example.
    #[must_use]
    pub fn rearrangement(question: Question<'f>) -> Self {
        Posed {
            asking: Asking::Rearrangement(Box::new(question)),
            support: 0,
        }
    }

    /// The question of an item in the letters and with the help that are its
    /// turn; nothing if it can't be asked. The seed decides between equals.
    #[must_use]
    pub fn of_item(item: &Item<'f>, progress: Option<&Progress>, seed: u64) -> Option<Self> {
        let turn = u64::from(progress.map_or(0, Progress::attempts));
        let seed = key_number(&item.key) ^ seed.rotate_left(32) ^ turn;
        let letters = lettering(item, progress, seed);
        let topic = item.topic;
        // A lettering that can't be had, since a new letter is another
        // quantity's, gives way: to unfamiliar letters first, which count.
        let other = match letters {
            Lettering::Sheet => Lettering::Sheet,
            _ => Lettering::Unfamiliar,
        };
        let mut turns = [letters, other, Lettering::Sheet].into_iter();
        let asking = match item.what {
            What::Rearrangement(formula, subject) => Asking::Rearrangement(Box::new(
                turns.find_map(|turn| Question::in_letters(topic, formula, subject, turn, seed))?,
            )),
            What::Proof(proof) => Asking::Proof(Box::new(
                turns.find_map(|turn| Proving::new(topic, proof, turn, seed))?,
            )),
            What::Connection(connection) => {
                let linked = link(item.formulary, connection).ok()?;
                Asking::Connection(Box::new(Connecting::new(linked).ok()?))
            }
            What::Proportion(formula) => {
                let change = of_turn(topic, formula, key_number(&item.key), turn)?;
                Asking::Proportion(Box::new(
                    turns
                        .find_map(|turn| Scaling::of_sheet(topic, formula, &change, turn, seed))?,
                ))
            }
            What::Definition(definition) => {
                Asking::Definition(Box::new(Defining::new(item.formulary, topic, definition)?))
            }
        };
        let mut posed = Posed { asking, support: 0 };
        let support = progress.map_or(0, Progress::support);
        posed.support = fading::given(support, posed.steps());
        Some(posed)
    }

    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match &self.asking {
            Asking::Rearrangement(_) => Kind::Rearrangement,
            Asking::Proof(_) => Kind::Proof,
            Asking::Definition(_) => Kind::Definition,
            Asking::Connection(_) => Kind::Connection,
            Asking::Proportion(_) => Kind::Proportion,
        }
    }

    /// Steps of the worked path that can be left blank.
    #[must_use]
    pub fn steps(&self) -> usize {
        match &self.asking {
            Asking::Rearrangement(question) => question.marks,
            Asking::Proof(proving) => proving.route().len(),
            Asking::Definition(_) | Asking::Connection(_) | Asking::Proportion(_) => 0,
        }
    }

    /// Marks that it is worth.
    #[must_use]
    pub fn marks(&self) -> usize {
        match &self.asking {
            Asking::Rearrangement(question) => question.marks,
            Asking::Proof(proving) => proving.marks(),
            Asking::Definition(defining) => defining.wordings.marks(),
            Asking::Connection(own) => own.joint.marks(),
            Asking::Proportion(own) => own.marks(),
        }
    }

    /// The letters in which it is asked.
    #[must_use]
    pub fn lettering(&self) -> &Lettering {
        match &self.asking {
            Asking::Rearrangement(question) => &question.lettering,
            Asking::Proof(proving) => &proving.lettering,
            Asking::Definition(_) | Asking::Connection(_) => &Lettering::Sheet,
            Asking::Proportion(own) => &own.question.lettering,
        }
    }

    /// The topic that it comes from, if it is from a sheet.
    #[must_use]
    pub fn topic(&self) -> Option<&'f Topic> {
        match &self.asking {
            Asking::Rearrangement(question) => question.source.map(|(topic, _)| topic),
            Asking::Proof(proving) => Some(proving.topic),
            Asking::Definition(defining) => Some(defining.topic),
            Asking::Connection(own) => own.linked.parts.last().map(|part| part.topic),
            Asking::Proportion(own) => own.question.source.map(|(topic, _)| topic),
        }
    }

    /// Its letters with what the sheet says about them.
    #[must_use]
    pub fn letters(&self) -> Vec<Letter<'_>> {
        match &self.asking {
            Asking::Rearrangement(question) => question.letters(),
            Asking::Proof(proving) => proving.letters(),
            Asking::Definition(_) => Vec::new(),
            Asking::Connection(own) => own.joint.question.letters(),
            Asking::Proportion(own) => own.question.letters(),
        }
    }

    /// Its symbols.
    #[must_use]
    pub fn table(&self) -> &SymbolTable {
        match &self.asking {
            Asking::Rearrangement(question) => question.table(),
            Asking::Proof(proving) => proving.vocabulary().table(),
            Asking::Definition(defining) => defining.wordings.table(),
            Asking::Connection(own) => own.joint.question.table(),
            Asking::Proportion(own) => own.table(),
        }
    }
}
