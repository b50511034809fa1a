//! What the words of one definition mean: the names of its own quantities,
//! the synonyms of all sheets, the words of its own sentence. A quantity that
//! the definition does not have gets a symbol of its own: then numbers show
//! that it does not belong.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::physics::formulary::{Definition, Formulary, Need, Topic};
use crate::physics::quantity::Quantity;
use crate::physics::unit::{Unit, read_unit};
use crate::text::alternatives::alternatives;
use crate::text::words::{Lexicon, Meaning};

/// Words for units, with the units and the quantities that they are known for.
const UNIT_WORDS: [(&str, &str, &str); 36] = [
    ("coulomb", "C", "charge"),
    ("kilogram", "kg", "mass"),
    ("kilogramme", "kg", "mass"),
    ("kg", "kg", "mass"),
    ("kelvin", "K", ""),
    ("K", "K", ""),
    ("degree", "K", ""),
    ("degree celsius", "K", ""),
    ("degree centigrade", "K", ""),
    ("°C", "K", ""),
    ("degree C", "K", ""),
    ("deg C", "K", ""),
    ("degree kelvin", "K", ""),
    ("metre", "m", "length"),
    ("meter", "m", "length"),
    ("square metre", "m^2", "area"),
    ("metre squared", "m^2", "area"),
    ("cubic metre", "m^3", "volume"),
    ("metre cubed", "m^3", "volume"),
    ("second", "s", "time"),
    ("sec", "s", "time"),
    ("ampere", "A", "current"),
    ("amp", "A", "current"),
    ("volt", "V", "potential difference"),
    ("newton", "N", "force"),
    ("joule", "J", "energy"),
    ("watt", "W", "power"),
    ("ohm", "Ω", "resistance"),
    ("mole", "mol", "amount of substance"),
    ("radian", "rad", "angle"),
    ("pascal", "Pa", "pressure"),
    ("tesla", "T", ""),
    ("weber", "Wb", ""),
    ("farad", "F", ""),
    ("hertz", "Hz", ""),
    ("becquerel", "Bq", ""),
];

/// The unit that a text names, in words or in signs.
pub(super) fn unit_named(text: &str) -> Option<Unit> {
    let text = text.trim();
    let plain = text.to_lowercase();
    let one = plain.strip_suffix('s').unwrap_or(&plain);
    let sign = UNIT_WORDS
        .iter()
        .find(|(word, ..)| *word == plain || *word == one)
        .map_or(text, |(_, sign, _)| sign);
    read_unit(sign).ok()
}

pub(super) struct Builder<'a> {
    pub(super) lexicon: Lexicon,
    pub(super) topic: &'a Topic,
    pub(super) table: &'a mut SymbolTable,
}

impl Builder<'_> {
    /// A quantity with a symbol that no formula has.
    fn foreign(&mut self, name: &str) -> usize {
        let symbol = self.table.intern(name, Domain::Positive);
        self.lexicon.quantity(name, Expr::Symbol(symbol))
    }

    pub(super) fn synonyms(&mut self, formulary: &Formulary) {
        for synonym in &formulary.synonyms {
            let concept = match self.lexicon.meaning(&synonym.name) {
                Some(Meaning::Quantity(concept)) => *concept,
                _ => self.foreign(&synonym.name),
            };
            for words in &synonym.words {
                self.lexicon.synonym(words, concept);
            }
        }
        let time = match self.lexicon.meaning("time") {
            Some(Meaning::Quantity(concept)) => *concept,
            _ => self.foreign("time"),
        };
        self.lexicon.set_time(time);
    }

    /// Gives the names of the definition's symbols their meaning.
    pub(super) fn symbols(&mut self, symbols: &[Symbol], subject: Symbol, definition: &Definition) {
        let mut named = Vec::new();
        for &symbol in symbols {
            let Some(name) = self.topic.meaning(symbol).map(str::to_owned) else {
                continue;
            };
            let exact = matches!(self.lexicon.meaning(&name), Some(Meaning::Quantity(_)));
            let found = if symbol == subject && !exact {
                // "Rest energy" is defined by an energy, and is not one
                // itself; the "modulus of the wire" is a modulus.
                match self.lexicon.meaning(&definition.term) {
                    Some(Meaning::Quantity(concept)) => Some((*concept, false)),
                    _ => None,
                }
            } else {
                self.lexicon.first_quantity(&name)
            };
            named.push((symbol, name, found));
        }
        for (symbol, name, found) in &named {
            let value = Expr::Symbol(*symbol);
            let Some((concept, change)) = *found else {
                let concept = self.lexicon.quantity(name, value.clone());
                self.lexicon.set_value(concept, value);
                continue;
            };
            let twins = named
                .iter()
                .filter(|(_, _, other)| *other == *found)
                .count();
            if twins > 1 {
                // Which of them is meant only the whole name can say.
                let exact = self.lexicon.meaning(name) == Some(&Meaning::Quantity(concept));
                if !exact {
                    self.lexicon.put(name, Meaning::Expression(value));
                    continue;
                }
            }
            if change {
                self.lexicon.set_change(concept, value);
            } else {
                self.lexicon.set_value(concept, value);
            }
        }
        // Two of one kind, none of which has the plain name: the plain name
        // does not say which.
        for (_, _, found) in &named {
            let Some((concept, false)) = *found else {
                continue;
            };
            let plain =
                |symbol: &Symbol| self.lexicon.value(concept) == Some(&Expr::Symbol(*symbol));
            if !named.iter().any(|(symbol, _, _)| plain(symbol)) {
                let meant = named
                    .iter()
                    .filter(|(_, _, other)| *other == Some((concept, false)))
                    .map(|(symbol, _, _)| Expr::Symbol(*symbol))
                    .collect();
                self.lexicon.set_vague(concept, meant);
            }
        }
        for symbol in symbols {
            let letter = self.table.name(*symbol).to_owned();
            self.lexicon.letter(&letter, Expr::Symbol(*symbol));
        }
        let subject_value = Expr::Symbol(subject);
        let concept = self.lexicon.concept_of(&subject_value);
        let concept = match concept {
            Some(concept) => concept,
            None => {
                let concept = self
                    .lexicon
                    .quantity(&definition.term, subject_value.clone());
                self.lexicon.set_value(concept, subject_value);
                concept
            }
        };
        self.lexicon.synonym(&definition.term, concept);
        self.lexicon.set_subject(concept);
    }

    /// Units that stand for the quantity measured in them, where there is
    /// only one: of the definition's own if it has any, else the quantity that
    /// the unit is known for.
    pub(super) fn units(&mut self, formulary: &Formulary, symbols: &[Symbol]) {
        for (word, unit, known_for) in UNIT_WORDS {
            let Ok(unit) = read_unit(unit) else {
                continue;
            };
            let measures = |quantity: &Quantity| {
                let own = quantity.unit.as_ref();
                own.is_some_and(|own| own.dimension == unit.dimension && !own.dimension.is_none())
            };
            let measured: Vec<Symbol> = symbols
                .iter()
                .copied()
                .filter(|symbol| match self.topic.quantity(*symbol) {
                    Some(quantity) => measures(quantity),
                    None => self
                        .lexicon
                        .concept_of(&Expr::Symbol(*symbol))
                        .map(|concept| self.lexicon.name(concept))
                        .is_some_and(|name| {
                            formulary
                                .topics
                                .iter()
                                .flat_map(|topic| &topic.quantities)
                                .any(|quantity| quantity.name == name && measures(quantity))
                        }),
                })
                .collect();
            let usual = match self.lexicon.meaning(known_for) {
                Some(Meaning::Quantity(concept)) => self.lexicon.value(*concept).cloned(),
                _ => None,
            };
            let meant = match measured.as_slice() {
                [symbol] => Some(Expr::Symbol(*symbol)),
                [] => usual,
                several => usual.filter(
                    |usual| matches!(usual, Expr::Symbol(symbol) if several.contains(symbol)),
                ),
            };
            match meant {
                Some(value) => self.lexicon.add(word, Meaning::Unit(value)),
                // "Metres of displacement": what is counted is named.
                None => self.lexicon.add(&format!("{word} of"), Meaning::Count),
            }
        }
    }

    pub(super) fn foreign_changes(&mut self) {
        for concept in self.lexicon.concepts() {
            if self.lexicon.lacks_change(concept) {
                let name = format!("change of {}", self.lexicon.name(concept));
                let symbol = self.table.intern(&name, Domain::Positive);
                self.lexicon
                    .set_foreign_change(concept, Expr::Symbol(symbol));
            }
        }
    }

    pub(super) fn readings(&mut self, definition: &Definition) {
        for (said, value) in &definition.readings {
            for phrase in said.iter().flat_map(|phrase| alternatives(phrase)) {
                let phrase = phrase.as_str();
                if let Some((name, mark)) = phrase.split_once(" ... ") {
                    self.mark(name, mark, value);
                    continue;
                }
                match self.lexicon.meaning(phrase) {
                    // The plain name of a quantity brings its synonyms along.
                    Some(Meaning::Quantity(concept))
                        if self.lexicon.name(*concept).eq_ignore_ascii_case(phrase) =>
                    {
                        let concept = *concept;
                        self.lexicon.set_value(concept, value.clone());
                    }
                    _ => {
                        if let [(concept, true)] = self.lexicon.quantities(phrase)[..] {
                            self.lexicon.set_change(concept, value.clone());
                        }
                        self.lexicon.put(phrase, Meaning::Expression(value.clone()));
                    }
                }
            }
        }
    }

    /// "Speed ... in a vacuum": a name that only means something with words
    /// that come after it.
    fn mark(&mut self, name: &str, mark: &str, value: &Expr) {
        let concept = match self.lexicon.meaning(name) {
            Some(Meaning::Quantity(concept)) => *concept,
            _ => self.foreign(name),
        };
        let mut meant = self.lexicon.vague(concept).to_vec();
        if !meant.contains(value) {
            meant.push(value.clone());
        }
        let plain = format!("{name}, one or another");
        let symbol = self.table.intern(&plain, Domain::Positive);
        self.lexicon.set_value(concept, Expr::Symbol(symbol));
        self.lexicon.set_vague(concept, meant);
        self.lexicon.mark(mark, concept, value.clone());
    }

    /// Questions that stand for a quantity: "force times how far it moves".
    pub(super) fn asked(&mut self) {
        const MOVES: &str = "{|thing|light|sound|ultrasound|wave|waves|light wave|sound wave|electron|particle|body|object|car|ball|you|charge|something} {go|move|travel|is going|is moving|is travelling}";
        let plain = |lexicon: &Lexicon, name: &str| match lexicon.meaning(name) {
            Some(Meaning::Quantity(concept)) => Some(*concept),
            _ => None,
        };
        let own = |lexicon: &Lexicon, name: &str| {
            plain(lexicon, name).filter(|concept| lexicon.is_known(*concept))
        };
        let mut rows = vec![
            ("distance", "how far {|away|apart|along|off}".to_owned()),
            ("speed", format!("how fast {MOVES}")),
            ("extension", "how much {longer|further}".to_owned()),
            ("extension", "{how much|amount|how far} {|it|spring|wire|material|thing|something} {stretch|stretches|extend|extends}".to_owned()),
            ("length", "how long {|it|wire|thing} {was|is} {|originally|to start with|at first|to begin with|before}".to_owned()),
        ];
        // "A body turns through an angle": no number of turns.
        if own(&self.lexicon, "number of turns").is_none() {
            for verb in ["turn", "turns", "turns through"] {
                self.lexicon.put(verb, Meaning::Filler(true));
            }
        }
        let time = own(&self.lexicon, "time").is_some() || own(&self.lexicon, "length").is_none();
        if time {
            rows.push(("time", "how long".to_owned()));
        }
        for (name, pattern) in rows {
            let Some(concept) = plain(&self.lexicon, name) else {
                continue;
            };
            for phrase in alternatives(&pattern) {
                self.lexicon.synonym(&phrase, concept);
            }
        }
    }

    pub(super) fn needs(&mut self, needs: &[Need]) {
        for (number, need) in needs.iter().enumerate() {
            for phrase in need.iter().flat_map(|phrase| alternatives(phrase)) {
                self.lexicon.need(&phrase, number);
            }
        }
    }

    /// Who may say one word for "at right angles" may say them all.
    pub(super) fn at_right_angles(&mut self, definition: &Definition, needs: &[Need]) {
        const WORDS: [&str; 7] = [
            "perpendicular",
            "perpendicularly",
            "normal",
            "normally",
            "right",
            "at right angles",
            "angles",
        ];
        let says = |text: &str| {
            let text = text.to_lowercase();
            ["perpendicular", "right angle", "normal"]
                .iter()
                .any(|word| text.contains(word))
        };
        if says(&definition.sentence) || needs.iter().flatten().any(|phrase| says(phrase)) {
            for word in WORDS {
                self.lexicon.add(word, Meaning::Filler(true));
            }
        }
    }

    /// Words that make another thing of the term.
    pub(super) fn never(&mut self, definition: &Definition) {
        for phrase in definition
            .never
            .iter()
            .flat_map(|phrase| alternatives(phrase))
        {
            self.lexicon.put(&phrase, Meaning::Doubt);
        }
    }

    /// Lets the definition's own words be said.
    pub(super) fn sentence(&mut self, definition: &Definition) {
        for (concept, _) in self.lexicon.quantities(&definition.sentence) {
            self.lexicon.mention(concept);
        }
        for word in definition
            .sentence
            .split(|next: char| !next.is_alphanumeric())
        {
            self.lexicon.add(word, Meaning::Filler(true));
        }
    }
}
