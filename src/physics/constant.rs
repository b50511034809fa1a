//! Published values of the constants of physics, and whether a written value
//! agrees with one to the figures that it writes.
//!
//! Source: CODATA 2022 recommended values. A test reads each row of the
//! published table.

/// A constant with its published value in coherent SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Published {
    /// Names in common use, in small letters, the usual one first.
    pub names: &'static [&'static str],
    /// The symbols that a sheet may use for it.
    pub symbols: &'static [&'static str],
    /// The value in the unit below.
    pub value: f64,
    /// The unit.
    pub unit: &'static str,
}

impl Published {
    /// Its usual name, people's names with a capital.
    #[must_use]
    pub fn shown(&self) -> String {
        let words: Vec<String> = self.names[0]
            .split(' ')
            .map(|word| match word {
                "planck" | "boltzmann" | "avogadro" | "newtonian" | "stefan" | "wien"
                | "faraday" | "rydberg" | "bohr" => {
                    format!("{}{}", word[..1].to_uppercase(), &word[1..])
                }
                other => other.to_owned(),
            })
            .collect();
        words
            .join(" ")
            .replace("Stefan Boltzmann", "Stefan-Boltzmann")
    }

    /// Who publishes it.
    #[must_use]
    pub fn source(&self) -> &'static str {
        if self.unit == STANDARD_GRAVITY.unit {
            "g_n, ISO 80000-3"
        } else {
            "CODATA 2022"
        }
    }

    /// Whether a value, in the unit above, is in use for a place on Earth, or
    /// is the round number that is commonly taken.
    #[must_use]
    pub fn is_local(&self, value: f64) -> bool {
        // From the equator to the poles, at the level of the sea, and 10.
        self.unit == STANDARD_GRAVITY.unit
            && ((9.78 - 1e-9..=9.84).contains(&value) || (value - 10.0).abs() < 1e-9)
    }
}

/// Free fall (3rd CGPM, 1901).
const STANDARD_GRAVITY: Published = published(
    &[
        "standard acceleration of free fall",
        "standard acceleration of gravity",
        "acceleration of free fall",
        "acceleration due to gravity",
        "free fall acceleration",
        "acceleration of gravity",
        "acceleration of free fall near earth surface",
        "acceleration due to gravity near earth surface",
        "acceleration of free fall on earth",
        "acceleration due to gravity on earth",
        "gravitational field strength near earth surface",
        "gravitational field strength at earth surface",
        "gravitational field strength on earth",
    ],
    &["g", "g_n"],
    9.806_65,
    "m s^-2",
);

const fn published(
    names: &'static [&'static str],
    symbols: &'static [&'static str],
    value: f64,
    unit: &'static str,
) -> Published {
    Published {
        names,
        symbols,
        value,
        unit,
    }
}

/// The published constants.
#[rustfmt::skip]
pub const PUBLISHED: &[Published] = &[
    STANDARD_GRAVITY,
    published(&["speed of light in vacuum", "speed of light", "speed of light in free space", "speed of electromagnetic waves in vacuum"], &["c"], 299_792_458.0, "m s^-1"),
    published(&["planck constant"], &["h"], 6.626_070_15e-34, "J s"),
    published(&["reduced planck constant"], &["ħ"], 1.054_571_817_646_156_5e-34, "J s"),
    published(&["elementary charge", "charge of electron", "electron charge", "electronic charge", "charge on electron", "charge of proton", "charge on proton", "magnitude of charge of electron", "size of charge of electron"], &["e"], 1.602_176_634e-19, "C"),
    published(&["boltzmann constant"], &["k", "k_B"], 1.380_649e-23, "J K^-1"),
    published(&["avogadro constant", "avogadro number"], &["N_A", "L"], 6.022_140_76e23, "mol^-1"),
    published(&["molar gas constant", "gas constant", "universal gas constant", "ideal gas constant"], &["R"], 8.314_462_618_153_24, "J mol^-1 K^-1"),
    published(&["newtonian constant of gravitation", "constant of gravitation", "gravitational constant", "universal gravitational constant", "universal constant of gravitation"], &["G"], 6.674_3e-11, "m^3 kg^-1 s^-2"),
    published(&["electron mass", "mass of electron", "rest mass of electron", "electron rest mass"], &["m_e"], 9.109_383_713_9e-31, "kg"),
    published(&["proton mass", "mass of proton", "rest mass of proton", "proton rest mass"], &["m_p"], 1.672_621_925_95e-27, "kg"),
    published(&["neutron mass", "mass of neutron", "rest mass of neutron", "neutron rest mass"], &["m_n"], 1.674_927_500_56e-27, "kg"),
    published(&["alpha particle mass", "mass of alpha particle"], &["m_α"], 6.644_657_345e-27, "kg"),
    published(&["atomic mass constant", "unified atomic mass unit", "atomic mass unit"], &["u", "m_u"], 1.660_539_068_92e-27, "kg"),
    published(&["electron volt", "electronvolt"], &["eV"], 1.602_176_634e-19, "J"),
    published(&["stefan boltzmann constant", "stefan constant"], &["σ"], 5.670_374_419_184_431_4e-8, "W m^-2 K^-4"),
    published(&["wien wavelength displacement law constant", "wien constant", "wien displacement constant", "wien displacement law constant"], &["b"], 0.002_897_771_955_185_172_7, "m K"),
    published(&["wien frequency displacement law constant"], &[], 58_789_257_576.468_254, "Hz K^-1"),
    published(&["vacuum electric permittivity", "permittivity of free space", "permittivity of vacuum", "electric constant"], &["ε_0"], 8.854_187_818_8e-12, "F m^-1"),
    published(&["vacuum mag permeability", "vacuum magnetic permeability", "permeability of free space", "permeability of vacuum", "magnetic constant"], &["μ_0"], 1.256_637_061_27e-6, "N A^-2"),
    published(&["faraday constant"], &["F"], 96_485.332_123_310_01, "C mol^-1"),
    published(&["rydberg constant"], &["R_inf", "R_∞"], 10_973_731.568_157, "m^-1"),
    published(&["bohr radius"], &["a_0"], 5.291_772_105_44e-11, "m"),
    published(&["fine structure constant"], &[], 0.007_297_352_564_3, "1"),
    published(&["electron charge to mass quotient"], &[], -175_882_000_838.0, "C kg^-1"),
    published(&["proton electron mass ratio", "mass of proton in electron masses"], &[], 1_836.152_673_426, "1"),
    published(&["atomic mass constant energy equivalent in mev", "atomic mass constant energy equivalent"], &[], 931.494_103_72, "MeV"),
];

/// The published constant that a name means, or without a name the one that a
/// symbol means. A name that no row has means none of them: `c` may be the
/// speed of light in glass.
pub fn find<'a>(
    name: Option<&str>,
    symbol: &'a str,
) -> impl Iterator<Item = &'static Published> + use<'a> {
    let wanted = name.map(plain_name);
    PUBLISHED.iter().filter(move |row| match &wanted {
        Some(wanted) => row.names.contains(&wanted.as_str()),
        None => row.symbols.contains(&symbol),
    })
}

/// Small letters without articles, possessives and punctuation.
fn plain_name(name: &str) -> String {
    let lower = name.to_lowercase().replace("'s", "").replace("’s", "");
    lower
        .split(|next: char| !next.is_alphanumeric())
        .filter(|word| !matches!(*word, "" | "the" | "a" | "an"))
        .collect::<Vec<_>>()
        .join(" ")
}

/// Whether a value written with so many significant figures is the rounded
/// `exact` one. `None` figures: it must agree to nine.
#[must_use]
pub fn agrees(written: f64, figures: Option<u32>, exact: f64) -> bool {
    if !written.is_finite() || exact == 0.0 {
        return false;
    }
    let Some(figures) = figures else {
        return (written - exact).abs() <= exact.abs() * 1e-9;
    };
    let figures = i32::try_from(figures.clamp(1, 15)).unwrap_or(15);
    #[allow(clippy::cast_possible_truncation)]
    let magnitude = written.abs().log10().floor() as i32;
    let half_unit = 0.5 * 10f64.powi(magnitude + 1 - figures);
    // A hair more than half: decimals are not exact in binary.
    (written - exact).abs() <= half_unit * (1.0 + 1e-9) + exact.abs() * 1e-15
}

/// The value with so many significant figures, as a sheet would write it.
#[must_use]
pub fn rounded(value: f64, figures: u32) -> String {
    let decimals = usize::try_from(figures.clamp(1, 12)).unwrap_or(3) - 1;
    let scientific = format!("{value:.decimals$e}");
    match scientific.split_once('e') {
        Some((digits, "0")) => digits.to_owned(),
        _ => scientific,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::unit::read_unit;

    #[test]
    fn each_row_of_the_published_table_agrees() {
        let table = include_str!("../../tests/outside/reference/codata2022.tsv");
        let mut rows = 0;
        for line in table.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let cells: Vec<&str> = line.split('\t').collect();
            let rows_found: Vec<&Published> = find(Some(cells[0]), "").collect();
            let value: f64 = cells[2].parse().unwrap_or(f64::NAN);
            let Some(unit) = read_unit(cells[4]).ok() else {
                continue;
            };
            let same = rows_found.iter().any(|row| {
                row.value == value
                    && read_unit(row.unit).is_ok_and(|own| {
                        own.dimension == unit.dimension && (own.scale - unit.scale).abs() < 1e-9
                    })
            });
            // A row that this table leaves out is none of a sheet's business.
            assert!(same || rows_found.is_empty(), "{line}");
            rows += usize::from(same);
        }
        assert_eq!(rows, PUBLISHED.len(), "every row has a published source");
    }

    #[test]
    fn free_fall_is_compared() {
        let check = |line: &str, told: Option<&str>| {
            let text = format!("topic t\nconstant {line}\nF = m g\n");
            let formulary = crate::physics::formulary::Formulary::from_text("t", &text);
            let faults = crate::physics::proofread::proofread(&formulary);
            let fault = faults
                .iter()
                .find(|fault| fault.kind == crate::physics::fault::FaultKind::Constant);
            let found = fault.map(|fault| fault.diagnostic.render());
            match (told, &found) {
                (None, None) => {}
                (Some(told), Some(found)) => assert!(found.contains(told), "{line}: {found}"),
                _ => panic!("{line}: {found:?}"),
            }
        };
        for value in ["9.8", "9.81", "9.80665", "10", "9.83", "9.807"] {
            check(&format!("g = {value} m s^-2"), None);
            check(
                &format!("g = {value} N kg^-1: acceleration due to gravity"),
                None,
            );
        }
        check("g = 9.18 m s^-2", Some("9.81"));
        check(
            "g = 98.1 m s^-2: acceleration of free fall",
            Some("ISO 80000-3"),
        );
        check("g = 981 cm s^-2", None);
        check(
            "g = 1.62 m s^-2: acceleration of free fall on the Moon",
            None,
        );
        check("h = 6.36e-34 J s", Some("Planck constant"));
    }

    #[test]
    fn agreement_is_to_the_figures_written() {
        let check = |written: f64, figures, exact, expected| {
            assert_eq!(agrees(written, figures, exact), expected, "{written}");
        };
        check(6.63e-34, Some(3), 6.626_070_15e-34, true);
        check(6.62e-34, Some(3), 6.626_070_15e-34, false);
        check(6.6e-34, Some(2), 6.626_070_15e-34, true);
        check(6.36e-34, Some(3), 6.626_070_15e-34, false);
        check(3e8, Some(1), 299_792_458.0, true);
        check(3.00e8, Some(3), 299_792_458.0, true);
        check(3.000e8, Some(4), 299_792_458.0, false);
        check(299_792_458.0, Some(9), 299_792_458.0, true);
        check(299_792_459.0, Some(9), 299_792_458.0, false);
        check(
            4.0 * std::f64::consts::PI * 1e-7,
            None,
            1.256_637_061_27e-6,
            true,
        );
        check(8.31, Some(3), 8.314_462_618_153_24, true);
        check(f64::NAN, Some(3), 1.0, false);
    }

    #[test]
    fn names_decide_before_symbols() {
        let first =
            |name: Option<&str>, symbol: &str| find(name, symbol).next().map(|row| row.names[0]);
        assert_eq!(
            first(Some("the Planck constant"), "q"),
            Some("planck constant")
        );
        assert_eq!(
            first(Some("Planck's constant"), "h"),
            Some("planck constant")
        );
        assert_eq!(
            first(Some("speed of light in a vacuum"), "c"),
            Some("speed of light in vacuum")
        );
        assert_eq!(first(Some("speed of light in glass"), "c"), None);
        assert_eq!(first(None, "G"), Some("newtonian constant of gravitation"));
        assert_eq!(first(None, "q"), None);
    }

    #[test]
    fn rounding_for_a_message() {
        assert_eq!(rounded(6.626_070_15e-34, 3), "6.63e-34");
        assert_eq!(rounded(8.314_462, 3), "8.31");
    }
}
