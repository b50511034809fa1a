//! Gathers the entries of a sheet and of those that it includes, topic by
//! topic.

use rustc_hash::{FxHashMap, FxHashSet};

use super::fault::{Fault, FaultKind};
use super::formulary::{Connection, Formulary, Source, Synonym};
use super::loading::{TopicReader, slug};
use super::quantity::Origin;
use crate::text::sheet::{ConnectionEntry, EntryKind, Piece, read_sheet};

/// Sheets that may stand inside one another.
pub const MAX_INCLUDE_DEPTH: usize = 16;
/// Included sheets that one sheet may lead to in all.
pub const MAX_INCLUDES: usize = 256;
/// Bytes of included sheets that one sheet may lead to in all.
pub const MAX_INCLUDED_BYTES: usize = 16 * 1024 * 1024;

/// A sheet that a loader found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// Its full name: the same file has the same one, however it is reached.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// Finds an included sheet: arguments are the including sheet's name and the
/// path as typed; an error is a sentence for the teacher.
pub type Loader<'a> = dyn FnMut(&str, &str) -> Result<Loaded, String> + 'a;

/// A topic whose entries have been gathered but not read.
pub(super) struct Draft {
    pub key: String,
    pub title: String,
    pub origin: Origin,
    pub entries: Vec<(usize, EntryKind)>,
}

struct Gatherer<'a, 'l> {
    formulary: &'a mut Formulary,
    loader: &'a mut Loader<'l>,
    drafts: Vec<Draft>,
    draft_of: FxHashMap<String, usize>,
    source_of: FxHashMap<String, usize>,
    /// Names of the sheets that are open, outermost first.
    open: Vec<String>,
    /// Sheets with topics of their own that have been read whole.
    done: FxHashSet<String>,
    includes: usize,
    included_bytes: usize,
}

impl Formulary {
    /// Adds a sheet and the ones that it includes. A topic of the same key
    /// from an earlier call is replaced; within one call it is continued.
    /// Faults are added to [`Formulary::faults`]; good entries serve.
    pub fn add(&mut self, name: &str, bytes: &[u8], loader: &mut Loader<'_>) {
        let mut gatherer = Gatherer {
            formulary: self,
            loader,
            drafts: Vec::new(),
            draft_of: FxHashMap::default(),
            source_of: FxHashMap::default(),
            open: vec![name.to_owned()],
            done: FxHashSet::default(),
            includes: 0,
            included_bytes: 0,
        };
        gatherer.gather(name, bytes, None);
        let drafts = gatherer.drafts;
        let mut place_of: FxHashMap<String, usize> = self
            .topics
            .iter()
            .enumerate()
            .map(|(at, topic)| (topic.key.clone(), at))
            .collect();
        for draft in drafts.into_iter().filter(|draft| !draft.entries.is_empty()) {
            let topic = TopicReader::new(self, draft).read();
            match place_of.get(&topic.key) {
                Some(&at) => self.topics[at] = topic,
                None => {
                    place_of.insert(topic.key.clone(), self.topics.len());
                    self.topics.push(topic);
                }
            }
        }
    }
}

impl Gatherer<'_, '_> {
    /// Reads one sheet. `into` is the draft that entries before the first
    /// `topic` line belong to; `None` makes one, named after the file.
    fn gather(&mut self, name: &str, bytes: &[u8], into: Option<usize>) {
        let sheet = read_sheet(name, bytes);
        // A sheet of shared quantities may be included by several topics: it
        // is one source, and its faults are reported once.
        let file = match self.source_of.get(name) {
            Some(&file) => file,
            None => {
                let file = self.formulary.sources.len();
                self.source_of.insert(name.to_owned(), file);
                self.formulary.sources.push(Source {
                    name: sheet.name,
                    lines: sheet.lines,
                });
                let faults = sheet.faults.into_iter().map(|diagnostic| Fault {
                    kind: FaultKind::Syntax,
                    diagnostic,
                });
                self.formulary.faults.extend(faults);
                file
            }
        };
        let mut current = into;
        for entry in sheet.entries {
            match entry.kind {
                EntryKind::Topic { key, title } => {
                    let slug = slug(&key.text);
                    let title = title.map_or_else(|| key.text.clone(), |title| title.text);
                    current = Some(self.draft(slug, title, Origin { file, piece: key }));
                    self.done.insert(name.to_owned());
                }
                EntryKind::Include { path } => {
                    let target = match current {
                        Some(target) => target,
                        None => self.file_draft(name, file),
                    };
                    current = Some(target);
                    self.include(name, target, Origin { file, piece: path });
                }
                EntryKind::Connection(entry) => self.connection(file, *entry),
                EntryKind::Synonym { name: of, words } => {
                    let origin = Origin { file, piece: of };
                    let known = &mut self.formulary.synonyms;
                    // A shared sheet may be included twice.
                    if !known.iter().any(|old| old.origin == origin) {
                        known.push(Synonym {
                            name: origin.piece.text.clone(),
                            words: words.into_iter().map(|piece| piece.text).collect(),
                            origin,
                        });
                    }
                }
                other => {
                    let target = match current {
                        Some(target) => target,
                        None => self.file_draft(name, file),
                    };
                    current = Some(target);
                    self.drafts[target].entries.push((file, other));
                }
            }
        }
    }

    fn connection(&mut self, file: usize, entry: ConnectionEntry) {
        let origin = |piece: Piece| Origin { file, piece };
        let name = origin(entry.name);
        let known = &self.formulary.connections;
        if known.iter().any(|old| old.origin == name) {
            return;
        }
        let twin = known.iter().any(|old| old.name == slug(&name.piece.text));
        let trouble = match (entry.parts.len(), entry.goals.len(), twin) {
            (_, _, true) => Some("two connections have this name"),
            (0 | 1, _, _) => Some("a connection needs two `given` lines at least"),
            (_, 0, _) => Some("this connection has no `show` line, so nothing is to be found"),
            (_, 2.., _) => Some("a connection has one `show` line"),
            _ => None,
        };
        if let Some(message) = trouble {
            let fault = self
                .formulary
                .fault_at(FaultKind::Incomplete, &name, message, None);
            self.formulary.faults.push(fault);
            return;
        }
        let Some(goal) = entry.goals.into_iter().next() else {
            return;
        };
        self.formulary.connections.push(Connection {
            name: slug(&name.piece.text),
            sentence: entry.sentence.map_or_else(String::new, |piece| piece.text),
            condition: entry.condition.map(|piece| piece.text),
            parts: entry
                .parts
                .into_iter()
                .map(|(maths, key)| (origin(maths), origin(key)))
                .collect(),
            goal: origin(goal),
            origin: name,
        });
    }

    fn draft(&mut self, key: String, title: String, origin: Origin) -> usize {
        if let Some(&at) = self.draft_of.get(&key) {
            return at;
        }
        self.draft_of.insert(key.clone(), self.drafts.len());
        self.drafts.push(Draft {
            key,
            title,
            origin,
            entries: Vec::new(),
        });
        self.drafts.len() - 1
    }

    /// A topic for a sheet that names none: called after the file.
    fn file_draft(&mut self, name: &str, file: usize) -> usize {
        let stem = name.rsplit(['/', '\\']).next().unwrap_or(name);
        let stem = stem.strip_suffix(".sheet").unwrap_or(stem);
        let piece = Piece {
            text: stem.to_owned(),
            line: 1,
            column: 0,
            joined: true,
        };
        self.draft(slug(stem), stem.to_owned(), Origin { file, piece })
    }

    fn include(&mut self, from: &str, target: usize, origin: Origin) {
        let refuse = |this: &mut Self, message: String, mend: Option<String>| {
            let fault = this
                .formulary
                .fault_at(FaultKind::Include, &origin, message, mend);
            this.formulary.faults.push(fault);
        };
        if self.open.len() > MAX_INCLUDE_DEPTH {
            refuse(
                self,
                format!(
                    "sheets include one another more than {MAX_INCLUDE_DEPTH} deep; I stopped here"
                ),
                None,
            );
            return;
        }
        self.includes += 1;
        if self.includes > MAX_INCLUDES {
            if self.includes == MAX_INCLUDES + 1 {
                refuse(
                    self,
                    format!("more than {MAX_INCLUDES} sheets are included in all; I stopped here"),
                    None,
                );
            }
            return;
        }
        let loaded = match (self.loader)(from, &origin.piece.text) {
            Ok(loaded) => loaded,
            Err(reason) => {
                refuse(self, reason, None);
                return;
            }
        };
        if self.open.contains(&loaded.name) {
            refuse(
                self,
                "this sheet includes itself, on its own or through others".to_owned(),
                Some("take one of the include lines out".to_owned()),
            );
            return;
        }
        if self.done.contains(&loaded.name) {
            return;
        }
        self.included_bytes += loaded.bytes.len();
        if self.included_bytes > MAX_INCLUDED_BYTES {
            refuse(
                self,
                "included sheets hold more than 16 MB in all; I stopped here".to_owned(),
                None,
            );
            return;
        }
        self.open.push(loaded.name.clone());
        self.gather(&loaded.name, &loaded.bytes, Some(target));
        self.open.pop();
    }
}
