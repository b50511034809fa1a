//! The sheets that a verb works with.

use std::io::Write;
use std::sync::OnceLock;

use crate::physics::formulary::{Formulary, Topic};
use crate::practice::item::{Item, What};
use crate::practice::paper::SheetText;
use crate::show::escape::escape;
use crate::store::sheets;
use crate::text::suggest::nearest;

use super::args::Sheets;
use super::outcome::{Trouble, misunderstood};

/// Sheets with the topics that were asked for.
pub struct Loaded {
    /// The embedded sheets and the ones from disk.
    pub formulary: Formulary,
    /// Files that are embedded; the others came from disk.
    embedded: usize,
    /// Those of the others that were named on the command line.
    named: Vec<usize>,
    /// Keys of the topics asked for; all if there are none.
    topics: Vec<String>,
    /// Embedded sheets that were read again with their proofs, by the number
    /// of the file; none if they were read with them.
    whole: Vec<OnceLock<Option<Formulary>>>,
}

impl Loaded {
    /// Whether a topic was asked for.
    #[must_use]
    pub fn wants(&self, topic: &Topic) -> bool {
        self.topics.is_empty() || self.topics.contains(&topic.key)
    }

    /// The item with the maths of its proof, if that was left unread.
    #[must_use]
    pub fn with_proof<'f>(&'f self, item: &Item<'f>) -> Item<'f> {
        let mut item = item.clone();
        if let What::Proof(proof) = item.what
            && let Some(whole) = self.whole.get(item.topic.origin.file)
            && let Some(formulary) = whole.get_or_init(|| {
                let source = self.formulary.sources.get(item.topic.origin.file)?;
                sheets::embedded_sheet(&source.name)
            })
            && let Some(topic) = formulary.topic(&item.topic.key)
            && let Some(proof) = topic.proof(&proof.name)
        {
            item.topic = topic;
            item.what = What::Proof(proof);
        }
        item
    }

    /// The sheets from disk, to travel with a quiz that asks for their
    /// definitions.
    #[must_use]
    pub fn own_sheets(&self) -> Vec<SheetText> {
        sheets::to_bring_along(&self.formulary, self.embedded, &self.named)
    }

    /// Whether a topic came from a sheet on disk.
    #[must_use]
    pub fn is_own(&self, topic: &Topic) -> bool {
        topic.origin.file >= self.embedded
    }
}

/// Loads the embedded sheets and those of the arguments. What is wrong inside
/// a sheet is mentioned on standard error; its good entries serve.
///
/// # Errors
/// When a file can't be read, or there is no such topic.
pub fn load(wanted: &Sheets) -> Result<Loaded, Trouble> {
    load_onto(sheets::embedded(), wanted)
}

/// The same, with the proofs of the embedded sheets left for
/// [`Loaded::with_proof`].
///
/// # Errors
/// As [`load`].
pub fn load_quickly(wanted: &Sheets) -> Result<Loaded, Trouble> {
    let formulary = sheets::embedded_without_proofs();
    let whole = (0..formulary.sources.len()).map(|_| OnceLock::new());
    let whole = whole.collect();
    Ok(Loaded {
        whole,
        ..load_onto(formulary, wanted)?
    })
}

fn load_onto(mut formulary: Formulary, wanted: &Sheets) -> Result<Loaded, Trouble> {
    let embedded = formulary.sources.len();
    let mut named = Vec::new();
    for path in &wanted.sheets {
        named.push(formulary.sources.len());
        let before = formulary.faults.len();
        if let Err(told) = sheets::add_from_disk(&mut formulary, path) {
            return misunderstood(sentence(&told));
        }
        let faults = formulary.faults[before..]
            .iter()
            .filter(|fault| !fault.kind.is_remark())
            .count();
        if faults > 0 {
            let shown = path.to_string_lossy();
            let shown = escape(&shown);
            let count = match faults {
                1 => "a fault".to_owned(),
                more => format!("{more} faults"),
            };
            writeln!(
                std::io::stderr(),
                "rejig: {shown} has {count}; the other entries are used. \
                 `rejig proofread {shown}` says more."
            )?;
        }
    }
    let mut topics = Vec::new();
    for typed in &wanted.topics {
        topics.push(topic_key(&formulary, typed)?);
    }
    Ok(Loaded {
        formulary,
        embedded,
        named,
        topics,
        whole: Vec::new(),
    })
}

/// The key of the topic that is meant: its key, its heading, or the beginning
/// of either if no other topic begins so.
fn topic_key(formulary: &Formulary, typed: &str) -> Result<String, Trouble> {
    let wanted = typed.trim().to_lowercase();
    let names = |topic: &Topic| [topic.key.to_lowercase(), topic.title.to_lowercase()];
    if let Some(topic) = formulary
        .topics
        .iter()
        .find(|topic| names(topic).contains(&wanted))
    {
        return Ok(topic.key.clone());
    }
    let mut begin = formulary.topics.iter().filter(|topic| {
        !wanted.is_empty() && names(topic).iter().any(|name| name.starts_with(&wanted))
    });
    if let (Some(topic), None) = (begin.next(), begin.next()) {
        return Ok(topic.key.clone());
    }
    let keys = || formulary.topics.iter().map(|topic| topic.key.as_str());
    let mend = match nearest(&wanted, keys()) {
        Some((near, _)) => format!(" Did you mean `{near}`?"),
        None => format!(" There are: {}.", keys().collect::<Vec<_>>().join(", ")),
    };
    misunderstood(format!("There is no topic `{}`.{mend}", escape(typed)))
}

/// A clause as a sentence.
#[must_use]
pub fn sentence(clause: &str) -> String {
    let clause = escape(clause);
    let mut characters = clause.chars();
    let first: String = characters
        .next()
        .map(|first| first.to_uppercase().collect())
        .unwrap_or_default();
    format!("{first}{}.", characters.as_str())
}
