//! From a topic's entries as typed to the topic as a model.

use rustc_hash::{FxHashMap, FxHashSet};

use super::fault::{Fault, FaultKind};
use super::formulary::{Definition, Formula, Formulary, Mark, Need, Proof, Statement, Topic};
use super::gather::Draft;
use super::quantity::Origin;
use crate::algebra::expr::{Equation, Expr};
use crate::text::sheet::{EntryKind, Piece, ProofEntry, WordingEntry};
use crate::text::{Undeclared, Vocabulary, read_preferred};

/// A key from words: small letters, hyphens between.
pub(super) fn slug(words: &str) -> String {
    let mut slug = String::with_capacity(words.len());
    for next in words.trim().chars() {
        if next.is_alphanumeric() {
            slug.extend(next.to_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    slug.trim_end_matches('-').to_owned()
}

/// A key from maths: the text without spaces. Case matters in maths. A slash
/// may stay: a key is split at its first one.
fn maths_key(text: &str) -> String {
    text.chars().filter(|next| !next.is_whitespace()).collect()
}

pub(super) struct TopicReader<'a> {
    pub(super) formulary: &'a mut Formulary,
    entries: Vec<(usize, EntryKind)>,
    pub(super) topic: Topic,
    /// Names of formulae that are taken.
    taken: FxHashMap<String, usize>,
    /// The number that the next formula of the same name would get.
    next_number: FxHashMap<String, usize>,
    proofs_taken: FxHashSet<String>,
    terms_taken: FxHashSet<String>,
}

impl<'a> TopicReader<'a> {
    pub(super) fn new(formulary: &'a mut Formulary, draft: Draft) -> Self {
        TopicReader {
            formulary,
            entries: draft.entries,
            topic: Topic {
                key: draft.key,
                title: draft.title,
                vocabulary: Vocabulary::new(),
                quantities: Vec::new(),
                constants: Vec::new(),
                formulae: Vec::new(),
                proofs: Vec::new(),
                notations: Vec::new(),
                definitions: Vec::new(),
                origin: draft.origin,
                quantity_of: Vec::new(),
                constant_of: Vec::new(),
            },
            taken: FxHashMap::default(),
            next_number: FxHashMap::default(),
            proofs_taken: FxHashSet::default(),
            terms_taken: FxHashSet::default(),
        }
    }

    pub(super) fn read(mut self) -> Topic {
        let entries = std::mem::take(&mut self.entries);
        // Declarations first, wherever they stand: a symbol that is declared
        // below its formula is declared all the same.
        let mut rest = Vec::with_capacity(entries.len());
        for (file, entry) in entries {
            match entry {
                EntryKind::Quantity {
                    symbol,
                    aliases,
                    details,
                } => self.quantity(file, symbol, &aliases, &details),
                EntryKind::Constant {
                    symbol,
                    aliases,
                    value,
                    unit,
                    name,
                } => self.constant(file, symbol, &aliases, &value, unit, name),
                other => rest.push((file, other)),
            }
        }
        // Then formulae, so that letters of a proof alone can't change how a
        // formula is read.
        let mut later = Vec::new();
        for (file, entry) in rest {
            match entry {
                EntryKind::Formula {
                    name,
                    maths,
                    condition,
                } => self.formula(file, name, maths, condition),
                other => later.push((file, other)),
            }
        }
        for (file, entry) in later {
            match entry {
                EntryKind::Proof(proof) => self.proof(file, *proof),
                EntryKind::Definition {
                    term,
                    sentence,
                    equation,
                    details,
                } => self.definition(file, term, sentence, equation, details),
                EntryKind::Notation { name, changes } => self.notation(file, name, &changes),
                _ => {}
            }
        }
        self.topic
    }

    pub(super) fn report(
        &mut self,
        kind: FaultKind,
        origin: &Origin,
        message: String,
        mend: Option<String>,
    ) {
        let fault = self.formulary.fault_at(kind, origin, message, mend);
        self.formulary.faults.push(fault);
    }

    /// Reads a line of maths as a chain of equations.
    ///
    /// Where the reading by the stated rules does not fit the declared units
    /// and exactly one other does, that one is meant: `s = (u + v)/2 t`.
    fn chain(&mut self, origin: &Origin) -> Option<Vec<Equation>> {
        match read_preferred(
            &origin.piece.text,
            &mut self.topic.vocabulary,
            Undeclared::Declare,
        ) {
            Ok(reading) => {
                let sides = reading.chain;
                if sides.len() < 2 {
                    self.report(
                        FaultKind::Syntax,
                        origin,
                        "an equation is wanted here, with an equals sign".to_owned(),
                        None,
                    );
                    return None;
                }
                let equations = neighbours(&sides);
                match self.fitting(&origin.piece.text, &equations) {
                    Some(other) => {
                        self.report(
                            FaultKind::Ambiguous,
                            origin,
                            "this can be read in two ways; I took the one that fits the units"
                                .to_owned(),
                            Some("brackets make it clear: a/(2 s), (a/2) s".to_owned()),
                        );
                        Some(other)
                    }
                    None => Some(equations),
                }
            }
            Err(diagnostic) => {
                let diagnostic = self.formulary.place(diagnostic, origin);
                self.formulary.faults.push(Fault {
                    kind: FaultKind::Syntax,
                    diagnostic,
                });
                None
            }
        }
    }

    fn statement(&mut self, file: usize, piece: Piece) -> Option<Statement> {
        let origin = Origin { file, piece };
        let equations = self.chain(&origin)?;
        Some(Statement { equations, origin })
    }

    fn formula(
        &mut self,
        file: usize,
        name: Option<Piece>,
        maths: Piece,
        condition: Option<Piece>,
    ) {
        let origin = Origin { file, piece: maths };
        let Some(equations) = self.chain(&origin) else {
            return;
        };
        let name = self.formula_name(file, name, &origin);
        // A chain a = b = c gives a = b and a = c.
        let first_left = equations[0].left.clone();
        for (index, equation) in equations.into_iter().enumerate() {
            let (name, equation) = if index == 0 {
                (name.clone(), equation)
            } else {
                let next = Equation::new(first_left.clone(), equation.right);
                (self.free_name(format!("{name}-{}", index + 1)), next)
            };
            self.taken.entry(name.clone()).or_insert(origin.line());
            self.topic.formulae.push(Formula {
                name,
                equation,
                condition: condition.as_ref().map(|piece| piece.text.clone()),
                origin: origin.clone(),
            });
        }
    }

    /// The name given, or one made of the left side, or of the whole line.
    fn formula_name(&mut self, file: usize, name: Option<Piece>, origin: &Origin) -> String {
        if let Some(piece) = name {
            let wanted = slug(&piece.text);
            if !wanted.is_empty() {
                if let Some(line) = self.taken.get(&wanted).copied() {
                    let name_origin = Origin { file, piece };
                    self.report(
                        FaultKind::Duplicate,
                        &name_origin,
                        format!("two formulae are called `{wanted}`: see line {line}"),
                        None,
                    );
                }
                return self.free_name(wanted);
            }
        }
        let line = maths_key(&origin.piece.text);
        let left = line.split('=').next().unwrap_or("").to_owned();
        if !left.is_empty() && !self.taken.contains_key(&left) {
            return left;
        }
        self.free_name(line)
    }

    fn free_name(&mut self, wanted: String) -> String {
        if !self.taken.contains_key(&wanted) {
            return wanted;
        }
        let number = self.next_number.entry(wanted.clone()).or_insert(2);
        loop {
            let candidate = format!("{wanted}-{number}");
            *number += 1;
            if !self.taken.contains_key(&candidate) {
                return candidate;
            }
        }
    }

    fn proof_statement(&mut self, file: usize, piece: Piece) -> Option<Statement> {
        if self.formulary.proofs_later {
            return Some(Statement {
                equations: Vec::new(),
                origin: Origin { file, piece },
            });
        }
        self.statement(file, piece)
    }

    fn proof(&mut self, file: usize, entry: ProofEntry) {
        let origin = Origin {
            file,
            piece: entry.name,
        };
        let mut goals = entry.goals.into_iter();
        let Some(goal) = goals.next() else {
            self.report(
                FaultKind::Incomplete,
                &origin,
                "this proof has no `show` line, so nothing is to be shown".to_owned(),
                Some("add one below it:  show v^2 = u^2 + 2 a s".to_owned()),
            );
            return;
        };
        if let Some(second) = goals.next() {
            let second = Origin {
                file,
                piece: second,
            };
            self.report(
                FaultKind::Duplicate,
                &second,
                "this proof has a `show` line already".to_owned(),
                Some("make a second proof of it".to_owned()),
            );
        }
        let name = slug(&origin.piece.text);
        if !self.proofs_taken.insert(name.clone()) {
            self.report(
                FaultKind::Duplicate,
                &origin,
                format!("two proofs are called `{name}`"),
                None,
            );
            return;
        }
        if entry.given.is_empty() {
            self.report(
                FaultKind::Incomplete,
                &origin,
                "this proof has no `given` line, so nothing may be used".to_owned(),
                Some("add one below it:  given v = u + a t".to_owned()),
            );
            return;
        }
        let mut whole = true;
        let mut statements = |this: &mut Self, pieces: Vec<Piece>| -> Vec<Statement> {
            let count = pieces.len();
            let read: Vec<Statement> = pieces
                .into_iter()
                .filter_map(|piece| this.proof_statement(file, piece))
                .collect();
            whole = whole && read.len() == count;
            read
        };
        let given = statements(self, entry.given);
        let helpers = statements(self, entry.helpers);
        let goals = statements(self, vec![goal]);
        let route = statements(self, entry.route);
        // A proof with an unreadable line would be another proof.
        let (true, Some(goal)) = (whole, goals.into_iter().next()) else {
            return;
        };
        let statement = entry
            .statement
            .map_or_else(|| origin.piece.text.clone(), |piece| piece.text);
        self.topic.proofs.push(Proof {
            name,
            statement,
            condition: entry.condition.map(|piece| piece.text),
            given,
            helpers,
            goal,
            route,
            marks: entry
                .marks
                .into_iter()
                .map(|mark| Mark {
                    code: mark.code.text,
                    condition: mark.condition.text.clone(),
                    origin: Origin {
                        file,
                        piece: mark.condition,
                    },
                })
                .collect(),
            origin,
        });
    }

    fn definition(
        &mut self,
        file: usize,
        term: Piece,
        sentence: Piece,
        equation: Option<Piece>,
        details: WordingEntry,
    ) {
        let equation = equation.and_then(|piece| self.statement(file, piece));
        let origin = Origin { file, piece: term };
        if !self.terms_taken.insert(origin.piece.text.to_lowercase()) {
            let message = format!("`{}` is defined twice", origin.piece.text);
            self.report(FaultKind::Duplicate, &origin, message, None);
            return;
        }
        // Letters of a definition's further lines stay its own, so that they
        // can't change how the topic's formulae are read.
        let further = !details.others.is_empty() || !details.readings.is_empty();
        let kept = further.then(|| self.topic.vocabulary.clone());
        let words = |needs: Vec<Vec<Piece>>| -> Vec<Need> {
            let text = |need: Vec<Piece>| need.into_iter().map(|piece| piece.text).collect();
            needs.into_iter().map(text).collect()
        };
        let mut others = Vec::new();
        for (piece, needs) in details.others {
            if let Some(statement) = self.statement(file, piece) {
                others.push((statement, words(needs)));
            }
        }
        let mut readings = Vec::new();
        for (said, piece) in details.readings {
            let origin = Origin { file, piece };
            match read_preferred(
                &origin.piece.text,
                &mut self.topic.vocabulary,
                Undeclared::Declare,
            ) {
                Ok(mut reading) if reading.chain.len() == 1 => {
                    let said = said.into_iter().map(|piece| piece.text).collect();
                    readings.push((said, reading.chain.swap_remove(0)));
                }
                Ok(_) => self.report(
                    FaultKind::Syntax,
                    &origin,
                    "a phrase stands for one expression, not for an equation".to_owned(),
                    Some("such a line looks like this:  read change of velocity as v - u".into()),
                ),
                Err(diagnostic) => {
                    let diagnostic = self.formulary.place(diagnostic, &origin);
                    self.formulary.faults.push(Fault {
                        kind: FaultKind::Syntax,
                        diagnostic,
                    });
                }
            }
        }
        let vocabulary =
            kept.map(|kept| Box::new(std::mem::replace(&mut self.topic.vocabulary, kept)));
        self.topic.definitions.push(Definition {
            term: origin.piece.text.clone(),
            sentence: sentence.text,
            equation,
            needs: words(details.needs),
            never: details.never.into_iter().map(|piece| piece.text).collect(),
            others,
            readings,
            vocabulary,
            origin,
        });
    }
}

/// The equations of a chain.
pub(super) fn neighbours(sides: &[Expr]) -> Vec<Equation> {
    sides
        .windows(2)
        .map(|pair| Equation::new(pair[0].clone(), pair[1].clone()))
        .collect()
}
