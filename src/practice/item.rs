//! The items that sheets hold: what can be practised, under stable keys.

use crate::algebra::symbol::Symbol;
use crate::physics::connection::link;
use crate::physics::formulary::{Connection, Definition, Formula, Formulary, Proof, Topic};

use super::attempt::{Kind, Lettering};
use super::connections::Connecting;
use super::definition::Wordings;
use super::letters;
use super::proportion;
use super::proving;
use super::question::Question;

/// What an item asks.
#[derive(Debug, Clone, Copy)]
pub enum What<'f> {
    /// Make the symbol the subject of the formula.
    Rearrangement(&'f Formula, Symbol),
    /// Show the result.
    Proof(&'f Proof),
    /// Say what the term means.
    Definition(&'f Definition),
    /// Join formulae of several topics.
    Connection(&'f Connection),
    /// Say by which factor a quantity of the formula changes.
    Proportion(&'f Formula),
}

/// An item.
#[derive(Debug, Clone)]
pub struct Item<'f> {
    /// Its stable key: `motion/velocity-time/a`, `motion/proof:time-free`,
    /// `motion/definition:velocity`.
    pub key: String,
    /// All sheets: a definition's words may come from any.
    pub formulary: &'f Formulary,
    /// Its topic.
    pub topic: &'f Topic,
    /// The topic's number in the list.
    pub topic_number: usize,
    /// Items of one group are not asked one after the other while others are
    /// due: those of one formula.
    pub group: usize,
    /// Formulae of which a change of subject must be secure before this is
    /// new: the parts of a connection.
    pub after: Vec<String>,
    /// What is asked.
    pub what: What<'f>,
}

impl<'f> Item<'f> {
    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match self.what {
            What::Rearrangement(..) => Kind::Rearrangement,
            What::Proof(_) => Kind::Proof,
            What::Definition(_) => Kind::Definition,
            What::Connection(_) => Kind::Connection,
            What::Proportion(_) => Kind::Proportion,
        }
    }

    /// The letterings in which it can be asked.
    #[must_use]
    pub fn letterings(&self) -> Vec<Lettering> {
        match self.what {
            What::Rearrangement(formula, _) | What::Proportion(formula) => {
                letters::letterings(self.topic, &formula.equation.symbols())
            }
            What::Proof(proof) => letters::letterings(self.topic, &proving::symbols(proof)),
            What::Definition(_) | What::Connection(_) => vec![Lettering::Sheet],
        }
    }

    /// Marks that it is worth; nothing if it can't be asked, for want of a
    /// closed form or of any work to do.
    #[must_use]
    pub fn marks(&self) -> Option<usize> {
        match self.what {
            What::Rearrangement(formula, subject) => Question::worth(self.topic, formula, subject),
            What::Proof(proof) => Some(proving::marks(proof)),
            What::Proportion(formula) => proportion::worth(self.topic, formula),
            What::Connection(connection) => {
                let linked = link(self.formulary, connection).ok()?;
                Connecting::new(linked).ok().map(|own| own.joint.marks())
            }
            What::Definition(definition) => {
                Wordings::new(self.formulary, self.topic, definition).map(|own| own.marks())
            }
        }
    }
}

/// All items of the topics that are wanted, in the order of the sheets.
#[must_use]
pub fn items<'f>(formulary: &'f Formulary, wanted: impl Fn(&Topic) -> bool) -> Vec<Item<'f>> {
    let mut found = Vec::new();
    let mut group = 0;
    for (topic_number, topic) in formulary.topics.iter().enumerate() {
        if !wanted(topic) {
            continue;
        }
        let mut add = |key: String, group: usize, what: What<'f>| {
            found.push(Item {
                key,
                formulary,
                topic,
                topic_number,
                group,
                after: match what {
                    What::Connection(own) => own.part_keys(),
                    _ => Vec::new(),
                },
                what,
            });
        };
        let ties = proportion::Ties::of(topic);
        for formula in &topic.formulae {
            let key = topic.formula_key(formula);
            for subject in topic.questions(formula) {
                let letter = topic.vocabulary.table().name(subject);
                let what = What::Rearrangement(formula, subject);
                add(format!("{key}/{letter}"), group, what);
            }
            // Which change is asked about is another one at every turn.
            if proportion::is_askable(topic, formula, &ties) {
                let key = format!("{}/proportion:{}", topic.key, formula.name);
                add(key, group, What::Proportion(formula));
            }
            group += 1;
        }
        for proof in &topic.proofs {
            let key = format!("{}/proof:{}", topic.key, proof.name);
            add(key, group, What::Proof(proof));
            group += 1;
        }
        for definition in &topic.definitions {
            let key = format!("{}/definition:{}", topic.key, definition.term);
            add(key, group, What::Definition(definition));
            group += 1;
        }
        // With the topic of its last part.
        for connection in &formulary.connections {
            let last = connection.parts.last();
            let here = last.is_some_and(|(_, key)| {
                key.piece.text.split('/').next() == Some(topic.key.as_str())
            });
            if here {
                let key = format!("{}/connection:{}", topic.key, connection.name);
                add(key, group, What::Connection(connection));
                group += 1;
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_kinds() {
        let sheet = "topic motion
v = u + a t
define velocity: rate of change of displacement
proof same: Show it.
  given v = u + a t
  show a t = v - u
notation other: v -> w
";
        let formulary = Formulary::from_text("motion.sheet", sheet);
        let found = items(&formulary, |_| true);
        let keys: Vec<&str> = found.iter().map(|item| item.key.as_str()).collect();
        let formula = &formulary.topics[0].formulae[0].name;
        assert_eq!(
            keys,
            [
                format!("motion/{formula}/u"),
                format!("motion/{formula}/a"),
                format!("motion/{formula}/t"),
                "motion/proof:same".to_owned(),
                "motion/definition:velocity".to_owned(),
            ]
        );
        assert_eq!(found[1].marks(), Some(2));
        assert_eq!(found[0].group, found[2].group);
        assert_ne!(found[0].group, found[3].group);
        assert_eq!(found[0].letterings().len(), 3);
        assert_eq!(found[4].kind(), Kind::Definition);
        assert!(items(&formulary, |_| false).is_empty());
    }
}
