//! Units of measurement: read from text, with their dimension and their size
//! in base units.
//!
//! Sources: SI Brochure, 9th edition (2019), tables 2, 4, 7 and 8; CODATA
//! 2022 for the electronvolt and the atomic mass unit.

use super::dimension::Dimension;
use crate::algebra::number::Number;

/// A unit that was read: what it measures and how large it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// The text that it was read from, without outer spaces.
    pub text: String,
    /// What it measures.
    pub dimension: Dimension,
    /// How many coherent base units it is: 1000 for a kilometre. Rounded to a
    /// double: good for comparing a constant with its published value, not
    /// for exact algebra.
    pub scale: f64,
    /// Whether it is the degree Celsius standing alone, whose zero is not the
    /// zero of its quantity.
    pub celsius: bool,
}

/// Why a text is not a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitFaultKind {
    /// Nothing that could be a unit.
    Empty,
    /// A name that no unit has.
    Unknown,
    /// A character that has no place in a unit.
    Character,
    /// A bracket without its partner, or nested more than once.
    Bracket,
    /// Two units after one slash: `J/kg K` can be read in two ways.
    Slash,
    /// A power that is not a small number.
    Power,
}

impl UnitFaultKind {
    /// A sentence for the reader, about the part that `text` quotes.
    #[must_use]
    pub fn sentence(self, text: &str) -> String {
        match self {
            UnitFaultKind::Empty => "a unit is missing here".to_owned(),
            UnitFaultKind::Unknown => format!("`{text}` is not a unit that I know"),
            UnitFaultKind::Character => format!("`{text}` has no place in a unit"),
            UnitFaultKind::Bracket => "this bracket has no partner".to_owned(),
            UnitFaultKind::Slash => {
                "a slash with two units after it can be read in two ways".to_owned()
            }
            UnitFaultKind::Power => format!("`{text}` is not a power that a unit can have"),
        }
    }
}

/// A fault in a unit: what, where in the text (bytes), and a likely mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitFault {
    /// What is wrong.
    pub kind: UnitFaultKind,
    /// First byte of the faulty part.
    pub start: usize,
    /// One past its last byte.
    pub end: usize,
    /// What was probably meant in place of the faulty part.
    pub mend: Option<String>,
}

/// Characters that a unit may have.
pub const MAX_UNIT: usize = 120;

struct Row {
    symbols: &'static [&'static str],
    names: &'static [&'static str],
    exponents: [i64; 7],
    scale: f64,
    prefixes: bool,
}

const fn row(
    symbols: &'static [&'static str],
    names: &'static [&'static str],
    exponents: [i64; 7],
    scale: f64,
    prefixes: bool,
) -> Row {
    Row {
        symbols,
        names,
        exponents,
        scale,
        prefixes,
    }
}

/// Joules in an electronvolt: exact since 2019.
const ELECTRONVOLT: f64 = 1.602_176_634e-19;
/// Kilograms in an atomic mass unit: CODATA 2022.
const ATOMIC_MASS: f64 = 1.660_539_068_92e-27;
const SPEED_OF_LIGHT: f64 = 299_792_458.0;
const YEAR: f64 = 365.25 * 86_400.0;
const DEGREE: f64 = std::f64::consts::PI / 180.0;

// Exponents of kg, m, s, A, K, mol, cd.
const NONE: [i64; 7] = [0; 7];
const LENGTH: [i64; 7] = [0, 1, 0, 0, 0, 0, 0];
const TIME: [i64; 7] = [0, 0, 1, 0, 0, 0, 0];
const MASS: [i64; 7] = [1, 0, 0, 0, 0, 0, 0];
const PER_TIME: [i64; 7] = [0, 0, -1, 0, 0, 0, 0];
const ENERGY: [i64; 7] = [1, 2, -2, 0, 0, 0, 0];
const PRESSURE: [i64; 7] = [1, -1, -2, 0, 0, 0, 0];
const VOLUME: [i64; 7] = [0, 3, 0, 0, 0, 0, 0];

#[rustfmt::skip]
const ROWS: &[Row] = &[
    row(&["m"], &["metre", "meter"], LENGTH, 1.0, true),
    row(&["s"], &["second"], TIME, 1.0, true),
    row(&["g"], &["gram", "gramme"], MASS, 1e-3, true),
    row(&["A"], &["ampere", "amp"], [0, 0, 0, 1, 0, 0, 0], 1.0, true),
    row(&["K"], &["kelvin"], [0, 0, 0, 0, 1, 0, 0], 1.0, true),
    row(&["mol"], &["mole"], [0, 0, 0, 0, 0, 1, 0], 1.0, true),
    row(&["cd"], &["candela"], [0, 0, 0, 0, 0, 0, 1], 1.0, true),
    row(&["rad"], &["radian"], NONE, 1.0, true),
    row(&["sr"], &["steradian"], NONE, 1.0, true),
    row(&["Hz"], &["hertz"], PER_TIME, 1.0, true),
    row(&["N"], &["newton"], [1, 1, -2, 0, 0, 0, 0], 1.0, true),
    row(&["Pa"], &["pascal"], PRESSURE, 1.0, true),
    row(&["J"], &["joule"], ENERGY, 1.0, true),
    row(&["W"], &["watt"], [1, 2, -3, 0, 0, 0, 0], 1.0, true),
    row(&["C"], &["coulomb"], [0, 0, 1, 1, 0, 0, 0], 1.0, true),
    row(&["V"], &["volt"], [1, 2, -3, -1, 0, 0, 0], 1.0, true),
    row(&["F"], &["farad"], [-1, -2, 4, 2, 0, 0, 0], 1.0, true),
    row(&["Ω", "\u{2126}"], &["ohm"], [1, 2, -3, -2, 0, 0, 0], 1.0, true),
    row(&["S"], &["siemens"], [-1, -2, 3, 2, 0, 0, 0], 1.0, true),
    row(&["Wb"], &["weber"], [1, 2, -2, -1, 0, 0, 0], 1.0, true),
    row(&["T"], &["tesla"], [1, 0, -2, -1, 0, 0, 0], 1.0, true),
    row(&["H"], &["henry", "henrie"], [1, 2, -2, -2, 0, 0, 0], 1.0, true),
    row(&["lm"], &["lumen"], [0, 0, 0, 0, 0, 0, 1], 1.0, true),
    row(&["lx"], &["lux"], [0, -2, 0, 0, 0, 0, 1], 1.0, true),
    row(&["Bq"], &["becquerel"], PER_TIME, 1.0, true),
    row(&["Gy"], &["gray"], [0, 2, -2, 0, 0, 0, 0], 1.0, true),
    row(&["Sv"], &["sievert"], [0, 2, -2, 0, 0, 0, 0], 1.0, true),
    row(&["kat"], &["katal"], [0, 0, -1, 0, 0, 1, 0], 1.0, true),
    row(&["°C", "℃", "degC"], &[], [0, 0, 0, 0, 1, 0, 0], 1.0, false),
    row(&["°", "deg"], &["degree"], NONE, DEGREE, false),
    row(&["rev"], &["revolution"], NONE, 2.0 * std::f64::consts::PI, false),
    row(&["min"], &["minute"], TIME, 60.0, false),
    row(&["h", "hr"], &["hour"], TIME, 3_600.0, false),
    row(&["d"], &["day"], TIME, 86_400.0, false),
    row(&["yr", "a"], &["year"], TIME, YEAR, true),
    row(&["l", "L"], &["litre", "liter"], VOLUME, 1e-3, true),
    row(&["t"], &["tonne"], MASS, 1e3, true),
    row(&["ha"], &["hectare"], [0, 2, 0, 0, 0, 0, 0], 1e4, false),
    row(&["bar"], &[], PRESSURE, 1e5, true),
    row(&["atm"], &["atmosphere"], PRESSURE, 101_325.0, false),
    row(&["mmHg"], &[], PRESSURE, 133.322_387_415, false),
    row(&["eV"], &["electronvolt"], ENERGY, ELECTRONVOLT, true),
    row(&["Wh"], &[], ENERGY, 3_600.0, true),
    row(&["cal"], &["calorie"], ENERGY, 4.184, true),
    row(&["u", "Da"], &["dalton"], MASS, ATOMIC_MASS, false),
    row(&["c"], &[], [0, 1, -1, 0, 0, 0, 0], SPEED_OF_LIGHT, false),
    row(&["Å", "\u{212B}"], &["angstrom"], LENGTH, 1e-10, false),
    row(&["AU", "au"], &[], LENGTH, 149_597_870_700.0, false),
    row(&["ly"], &["lightyear"], LENGTH, SPEED_OF_LIGHT * YEAR, true),
    row(&["pc"], &["parsec"], LENGTH, 3.085_677_581_491_367e16, true),
    row(&["D"], &["dioptre"], [0, -1, 0, 0, 0, 0, 0], 1.0, false),
    row(&["dB"], &["decibel"], NONE, 1.0, false),
    row(&["%"], &["percent"], NONE, 1e-2, false),
];

const PREFIXES: [(&str, &str, f64); 18] = [
    ("da", "deca", 1e1),
    ("P", "peta", 1e15),
    ("E", "exa", 1e18),
    ("T", "tera", 1e12),
    ("G", "giga", 1e9),
    ("M", "mega", 1e6),
    ("k", "kilo", 1e3),
    ("h", "hecto", 1e2),
    ("d", "deci", 1e-1),
    ("c", "centi", 1e-2),
    ("m", "milli", 1e-3),
    ("µ", "micro", 1e-6),
    ("μ", "micro", 1e-6),
    ("u", "micro", 1e-6),
    ("n", "nano", 1e-9),
    ("p", "pico", 1e-12),
    ("f", "femto", 1e-15),
    ("a", "atto", 1e-18),
];

/// What people write for a unit although it is not its symbol.
const SLIPS: [(&str, &str); 12] = [
    ("sec", "s"),
    ("secs", "s"),
    ("Kg", "kg"),
    ("KG", "kg"),
    ("kgs", "kg"),
    ("hrs", "h"),
    ("mins", "min"),
    ("cc", "cm^3"),
    ("kph", "km/h"),
    ("mph", "m s^-1"),
    ("Amps", "A"),
    ("rpm", "rev/min"),
];

/// Dimension, scale and whether the symbol is the degree Celsius.
fn look_up(word: &str) -> Option<([i64; 7], f64, bool)> {
    for row in ROWS {
        if row.symbols.contains(&word) {
            return Some((row.exponents, row.scale, row.symbols[0] == "°C"));
        }
    }
    for row in ROWS.iter().filter(|row| row.prefixes) {
        for symbol in row.symbols {
            if let Some(prefix) = word.strip_suffix(symbol)
                && let Some((_, _, factor)) = PREFIXES.iter().find(|entry| entry.0 == prefix)
            {
                return Some((row.exponents, row.scale * factor, false));
            }
        }
    }
    // In full: `metre`, `metres`, `kilometres`, `Newton`.
    let lower = word.to_lowercase();
    for row in ROWS {
        for name in row.names {
            for ending in ["", "s"] {
                let Some(stem) = lower.strip_suffix(ending) else {
                    continue;
                };
                let Some(prefix) = stem.strip_suffix(name) else {
                    continue;
                };
                if prefix.is_empty() {
                    return Some((row.exponents, row.scale, false));
                }
                if row.prefixes
                    && let Some((_, _, factor)) = PREFIXES.iter().find(|entry| entry.1 == prefix)
                {
                    return Some((row.exponents, row.scale * factor, false));
                }
            }
        }
    }
    None
}

/// What was probably meant by a word that is no unit.
fn mend(word: &str) -> Option<String> {
    if let Some((_, meant)) = SLIPS.iter().find(|(slip, _)| *slip == word) {
        return Some((*meant).to_owned());
    }
    let wrong_case: Vec<&str> = ROWS
        .iter()
        .flat_map(|row| row.symbols)
        .copied()
        .filter(|symbol| symbol.to_lowercase() == word.to_lowercase())
        .collect();
    if let [only] = wrong_case[..] {
        return Some(only.to_owned());
    }
    // `Nm` for `N m`, `kgms` for `kg m s`: the SI wants a space between.
    split_run(word, 4)
}

fn split_run(word: &str, parts: usize) -> Option<String> {
    if look_up(word).is_some() {
        return Some(word.to_owned());
    }
    if parts <= 1 || word.chars().count() > 12 {
        return None;
    }
    // The longest first part is the likeliest: `kgm` is `kg m`.
    let mut cuts: Vec<usize> = word.char_indices().map(|(at, _)| at).skip(1).collect();
    cuts.reverse();
    for cut in cuts {
        if look_up(&word[..cut]).is_some()
            && let Some(rest) = split_run(&word[cut..], parts - 1)
        {
            return Some(format!("{} {rest}", &word[..cut]));
        }
    }
    None
}

/// Reads a unit: `m s^-1`, `m/s`, `J kg^-1 K^-1`, `J/(kg K)`, `kg·m²`, `1`.
///
/// A slash divides by the one unit after it, or by what its brackets hold.
///
/// # Errors
/// A [`UnitFault`] with the place of the first fault.
pub fn read_unit(text: &str) -> Result<Unit, UnitFault> {
    let trimmed = text.trim();
    let lead = text.len() - text.trim_start().len();
    let shift = |mut fault: UnitFault| {
        fault.start += lead;
        fault.end += lead;
        fault
    };
    if trimmed.is_empty() {
        return Err(shift(fault(UnitFaultKind::Empty, 0, 0)));
    }
    if trimmed.chars().count() > MAX_UNIT {
        return Err(shift(fault(UnitFaultKind::Unknown, 0, trimmed.len())));
    }
    if matches!(
        trimmed,
        "1" | "no unit" | "no units" | "none" | "number" | "ratio" | "dimensionless"
    ) {
        return Ok(Unit {
            text: trimmed.to_owned(),
            dimension: Dimension::NONE,
            scale: 1.0,
            celsius: false,
        });
    }
    Reader::new(trimmed).read().map_err(shift)
}

fn fault(kind: UnitFaultKind, start: usize, end: usize) -> UnitFault {
    UnitFault {
        kind,
        start,
        end,
        mend: None,
    }
}

struct Reader<'a> {
    text: &'a str,
    position: usize,
}

impl<'a> Reader<'a> {
    fn new(text: &'a str) -> Self {
        Reader { text, position: 0 }
    }

    fn peek(&self) -> Option<char> {
        self.text[self.position..].chars().next()
    }

    fn take_while(&mut self, accept: impl Fn(char) -> bool) -> &'a str {
        let start = self.position;
        while let Some(next) = self.peek().filter(|next| accept(*next)) {
            self.position += next.len_utf8();
        }
        &self.text[start..self.position]
    }

    fn skip_separators(&mut self) {
        self.take_while(|next| next.is_whitespace() || matches!(next, '·' | '.' | '*' | '×' | '⋅'));
    }

    fn read(mut self) -> Result<Unit, UnitFault> {
        let mut dimension = Dimension::NONE;
        let mut scale = 1.0;
        let mut divides = false;
        let mut open: Option<(usize, bool)> = None;
        let mut since_slash: Option<(usize, usize)> = None;
        let mut factors = 0;
        let mut celsius_factors = 0;
        let mut only_power_one = true;
        loop {
            self.skip_separators();
            let start = self.position;
            let Some(next) = self.peek() else { break };
            match next {
                '/' => {
                    self.position += 1;
                    if divides {
                        return Err(fault(UnitFaultKind::Empty, start, self.position));
                    }
                    divides = true;
                    if open.is_none() {
                        since_slash = Some((start, 0));
                    }
                    continue;
                }
                '(' | '[' => {
                    if open.is_some() {
                        return Err(fault(UnitFaultKind::Bracket, start, start + 1));
                    }
                    self.position += 1;
                    open = Some((start, divides));
                    divides = false;
                    continue;
                }
                ')' | ']' => {
                    if open.take().is_none() || divides {
                        return Err(fault(UnitFaultKind::Bracket, start, start + 1));
                    }
                    self.position += 1;
                    if let Some((_, count)) = &mut since_slash {
                        *count += 1;
                    }
                    continue;
                }
                _ => {}
            }
            let word = self.word();
            if word.is_empty() {
                self.position = start + next.len_utf8();
                if next == '1' {
                    factors += 1;
                    continue;
                }
                return Err(fault(UnitFaultKind::Character, start, self.position));
            }
            if word == "per" {
                if divides {
                    return Err(fault(UnitFaultKind::Empty, start, self.position));
                }
                divides = true;
                if open.is_none() {
                    since_slash = Some((start, 0));
                }
                continue;
            }
            let Some((exponents, size, celsius)) = look_up(word) else {
                return Err(UnitFault {
                    mend: mend(word),
                    ..fault(UnitFaultKind::Unknown, start, self.position)
                });
            };
            if open.is_none()
                && let Some((_, count)) = &mut since_slash
            {
                *count += 1;
                if *count > 1 {
                    return Err(UnitFault {
                        mend: Some(
                            "brackets, as in J/(kg K), or powers, as in J kg^-1 K^-1".into(),
                        ),
                        ..fault(UnitFaultKind::Slash, 0, self.position)
                    });
                }
            }
            let power = self.power()?;
            only_power_one = only_power_one && power.is_one();
            let outside = open.is_some_and(|(_, divides)| divides);
            let signed = if divides == outside { power } else { -&power };
            dimension = dimension.combine(&Dimension::from_exponents(exponents), &signed);
            scale *= size.powf(signed.to_f64());
            divides = false;
            factors += 1;
            celsius_factors += usize::from(celsius);
        }
        if let Some((start, _)) = open {
            return Err(fault(UnitFaultKind::Bracket, start, start + 1));
        }
        if divides || factors == 0 {
            return Err(fault(UnitFaultKind::Empty, self.position, self.position));
        }
        Ok(Unit {
            text: self.text.to_owned(),
            dimension,
            scale,
            celsius: factors == 1 && celsius_factors == 1 && only_power_one,
        })
    }

    fn word(&mut self) -> &'a str {
        let start = self.position;
        self.take_while(|next| {
            (next.is_alphabetic() && superscript(next).is_none()) || matches!(next, '°' | '℃' | '%')
        });
        &self.text[start..self.position]
    }

    /// The power after a unit, 1 if there is none.
    fn power(&mut self) -> Result<Number, UnitFault> {
        let start = self.position;
        let rest = &self.text[start..];
        if rest.starts_with(|next| superscript(next).is_some()) {
            let raised = self.take_while(|next| superscript(next).is_some());
            let plain: String = raised.chars().filter_map(superscript).collect();
            return self.number(&plain, start);
        }
        let mut caret = false;
        if rest.starts_with("**") {
            self.position += 2;
            caret = true;
        } else if rest.starts_with('^') {
            self.position += 1;
            caret = true;
        }
        if caret && self.text[self.position..].starts_with(['(', '{']) {
            let inside_start = self.position + 1;
            let Some(length) = self.text[inside_start..].find([')', '}']) else {
                return Err(fault(
                    UnitFaultKind::Bracket,
                    self.position,
                    self.position + 1,
                ));
            };
            let inside = &self.text[inside_start..inside_start + length];
            self.position = inside_start + length + 1;
            return self.number(&inside.replace(' ', ""), start);
        }
        // Without a caret a sign must be followed by a digit: `s-1`, `m2`.
        let after_sign = self.text[self.position..].trim_start_matches(['-', '−', '+']);
        if !caret && !after_sign.starts_with(|next: char| next.is_ascii_digit()) {
            return Ok(Number::ONE);
        }
        let digits_start = self.position;
        self.take_while(|next| matches!(next, '-' | '−' | '+'));
        self.take_while(|next| next.is_ascii_digit());
        if self.position == digits_start {
            // `m^x`: the letters belong to what is quoted.
            self.take_while(|next| !next.is_whitespace() && next != '/');
        }
        let digits = &self.text[digits_start..self.position];
        self.number(digits, start)
    }

    fn number(&self, text: &str, start: usize) -> Result<Number, UnitFault> {
        let text = text.replace('−', "-").replace('⁄', "/");
        let wrong = || fault(UnitFaultKind::Power, start, self.position);
        let (numerator, denominator) = text.split_once('/').unwrap_or((&text, "1"));
        let numerator: i64 = numerator.parse().map_err(|_| wrong())?;
        let denominator: i64 = denominator.parse().map_err(|_| wrong())?;
        if !(1..=12).contains(&denominator) || numerator.abs() > 24 {
            return Err(wrong());
        }
        Ok(Number::new(numerator, denominator))
    }
}

fn superscript(character: char) -> Option<char> {
    Some(match character {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁻' => '-',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dimension(text: &str) -> Dimension {
        match read_unit(text) {
            Ok(unit) => unit.dimension,
            Err(fault) => panic!("{text}: {fault:?}"),
        }
    }

    /// Rows of the SI Brochure's tables; see tests/outside/reference.
    #[test]
    fn each_row_of_the_published_table_agrees() {
        let table = include_str!("../../tests/outside/reference/si_units.tsv");
        let mut rows = 0;
        for line in table.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let cells: Vec<&str> = line.split('\t').collect();
            let (name, symbol, base) = (cells[0], cells[1], cells[3]);
            let expected = dimension(base);
            assert_eq!(dimension(symbol), expected, "{symbol}");
            assert_eq!(read_unit(symbol).map(|unit| unit.scale), Ok(1.0));
            if name != "degree Celsius" {
                assert_eq!(dimension(name), expected, "{name}");
            }
            rows += 1;
        }
        assert!(rows >= 28, "{rows} rows");
    }

    #[test]
    fn ways_of_writing_one_unit_agree() {
        let check = |left: &str, right: &str| {
            assert_eq!(dimension(left), dimension(right), "{left} and {right}");
        };
        for same in [
            "m/s",
            "m s-1",
            "m s⁻¹",
            "m·s^-1",
            "m.s^{-1}",
            "metres per second",
            "m s**-1",
            "km/h",
        ] {
            check(same, "m s^-1");
        }
        for same in ["J/(kg K)", "J/kg/K", "J kg⁻¹ K⁻¹", "J/(kg °C)"] {
            check(same, "m^2 s^-2 K^-1");
        }
        check("N m", "J");
        check("kg m^2 s^-2", "J");
        check("eV", "J");
        check("kWh", "J");
        check("kW h", "J");
        check("u", "kg");
        check("MeV/c^2", "kg");
        check("litre", "m^3");
        check("cm^3", "ml");
        check("bar", "Pa");
        check("1/s", "Hz");
        check("°", "rad");
        check("rad s^-1", "s^-1");
        check("metres per second per second", "m s^-2");
        check("kΩ", "V/A");
        check("m^(1/2) m^(1/2)", "m");
        check("%", "1");
    }

    #[test]
    fn sizes_are_in_base_units() {
        let check = |text: &str, expected: f64| {
            let scale = read_unit(text).map(|unit| unit.scale).unwrap_or(f64::NAN);
            assert!(
                (scale - expected).abs() <= expected * 1e-14,
                "{text}: {scale} is not {expected}"
            );
        };
        check("km/h", 1000.0 / 3600.0);
        check("cm^2", 1e-4);
        check("mm", 1e-3);
        check("g cm^-3", 1e3);
        check("kWh", 3.6e6);
        check("MeV", 1.602_176_634e-13);
        check("nm", 1e-9);
        check("µF", 1e-6);
        check("uF", 1e-6);
        check("ms", 1e-3);
        check("Pa", 1.0);
        check("min", 60.0);
    }

    #[test]
    fn faults_have_a_kind_a_place_and_a_mend() {
        let check = |text: &str, kind: UnitFaultKind, quoted: &str, mend: Option<&str>| {
            let Err(fault) = read_unit(text) else {
                panic!("{text} was read");
            };
            assert_eq!(fault.kind, kind, "{text}");
            assert_eq!(&text[fault.start..fault.end], quoted, "{text}");
            assert_eq!(fault.mend.as_deref(), mend, "{text}");
        };
        check("m sec^-1", UnitFaultKind::Unknown, "sec", Some("s"));
        check(" Nm", UnitFaultKind::Unknown, "Nm", Some("N m"));
        check("kgm s^-1", UnitFaultKind::Unknown, "kgm", Some("kg m"));
        check("j", UnitFaultKind::Unknown, "j", Some("J"));
        check("blob", UnitFaultKind::Unknown, "blob", None);
        check("m s^x", UnitFaultKind::Power, "^x", None);
        check("m^99", UnitFaultKind::Power, "^99", None);
        check("m^1/0", UnitFaultKind::Character, "0", None);
        check("", UnitFaultKind::Empty, "", None);
        check("m/", UnitFaultKind::Empty, "", None);
        check("m$", UnitFaultKind::Character, "$", None);
        check("J/(kg K", UnitFaultKind::Bracket, "(", None);
        check(
            "J/kg K)",
            UnitFaultKind::Slash,
            "J/kg K",
            Some("brackets, as in J/(kg K), or powers, as in J kg^-1 K^-1"),
        );
    }

    #[test]
    fn only_a_lone_degree_celsius_has_a_shifted_zero() {
        for (text, expected) in [
            ("°C", true),
            ("degC", true),
            ("J/°C", false),
            ("K", false),
            ("°C^2", false),
        ] {
            assert_eq!(
                read_unit(text).map(|unit| unit.celsius),
                Ok(expected),
                "{text}"
            );
        }
    }

    #[test]
    fn a_unit_beyond_the_limit_is_refused() {
        let at = "m ".repeat(MAX_UNIT / 2);
        assert!(read_unit(&at).is_ok());
        let past = format!("{at} mm");
        assert!(read_unit(&past).is_err());
    }
}
