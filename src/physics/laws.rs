//! The usual names of laws, for searches. The sheets name formulae after what
//! they say; many people look for whose law it is.

use super::formulary::{Formula, Topic};

/// Words of a name, and the keys of the formulae that it stands for.
const LAWS: &[(&str, &[&str])] = &[
    (
        "suvat equations of uniformly accelerated motion constant uniform acceleration",
        &[
            "motion/velocity-time",
            "motion/displacement-mean",
            "motion/displacement-start",
            "motion/displacement-end",
            "motion/velocity-displacement",
        ],
    ),
    (
        "newton newtons second law of motion",
        &["forces/second-law", "momentum/impulse-momentum"],
    ),
    (
        "newton newtons law of gravitation gravity universal",
        &["gravitation/attraction"],
    ),
    ("ohm ohms law", &["electricity/resistance"]),
    (
        "kirchhoff kirchhoffs kirchoff first law junction current",
        &["circuits/junction"],
    ),
    (
        "kirchhoff kirchhoffs kirchoff second law loop voltage",
        &["circuits/source", "circuits/terminal"],
    ),
    (
        "snell snells law of refraction",
        &["refraction/law", "refraction/law-speeds"],
    ),
    (
        "hooke hookes law of elasticity",
        &["materials/spring", "oscillations/restoring-force"],
    ),
    (
        "young youngs modulus",
        &["materials/modulus", "materials/stretched-wire"],
    ),
    (
        "young youngs double slit slits fringes",
        &["interference/double-slit"],
    ),
    ("bragg braggs law", &["interference/crystal"]),
    ("malus law", &["waves/polarisation"]),
    (
        "doppler effect shift",
        &["waves/moving-source", "stars/shift-speed"],
    ),
    (
        "coulomb coulombs law",
        &["electric-fields/force-between-charges"],
    ),
    (
        "faraday faradays law neumann lenz lenzs law of induction",
        &["induction/induced"],
    ),
    ("boyle boyles law", &["gases/constant-temperature"]),
    ("charles law", &["gases/constant-pressure"]),
    ("gay lussac pressure law", &["gases/constant-volume"]),
    (
        "ideal gas law equation of state",
        &["gases/ideal-moles", "gases/ideal-molecules"],
    ),
    (
        "kepler keplers third law",
        &["gravitation/orbit-period", "gravitation/two-orbits"],
    ),
    ("first law of thermodynamics", &["thermal/first-law"]),
    (
        "de broglie wavelength",
        &["quantum/matter-wave", "quantum/matter-wave-speed"],
    ),
    (
        "einstein einsteins photoelectric equation effect",
        &["quantum/photoelectric"],
    ),
    ("planck plancks relation equation", &["quantum/photon"]),
    (
        "einstein einsteins mass energy equivalence",
        &["nuclei/mass-energy"],
    ),
    ("archimedes principle", &["fluids/upthrust"]),
    (
        "bernoulli bernoullis equation principle",
        &["fluids/level-flow"],
    ),
    ("stokes law", &["fluids/drag"]),
    ("stefan boltzmann law", &["stars/luminosity"]),
    ("wien wiens displacement law", &["stars/hottest-colour"]),
    ("hubble hubbles lemaitre law", &["stars/recession"]),
    ("schwarzschild radius", &["stars/horizon"]),
    ("rydberg formula", &["quantum/hydrogen"]),
];

/// Words that many names have, so that alone they say nothing.
const COMMON: [&str; 12] = [
    "law",
    "laws",
    "of",
    "the",
    "equation",
    "equations",
    "first",
    "second",
    "third",
    "principle",
    "effect",
    "s",
];

/// The keys of the formulae that a name of a law stands for: each of its words
/// must be one of the name's, or begin one.
pub(super) fn called(typed: &[String]) -> Vec<&'static str> {
    let telling = |word: &&String| !COMMON.contains(&word.as_str()) && word.chars().count() > 2;
    if !typed.iter().any(|word| telling(&word)) {
        return Vec::new();
    }
    LAWS.iter()
        .filter(|(name, _)| {
            typed.iter().all(|word| {
                let common = COMMON.contains(&word.as_str());
                let ordinal = matches!(word.as_str(), "first" | "second" | "third");
                common && !ordinal
                    || name
                        .split(' ')
                        .any(|own| own == word || !common && own.starts_with(word.as_str()))
            })
        })
        .flat_map(|(_, keys)| keys.iter().copied())
        .collect()
}

/// Whether a formula is one of these keys'.
pub(super) fn is_called(topic: &Topic, formula: &Formula, keys: &[&str]) -> bool {
    keys.iter().any(|key| {
        key.split_once('/')
            .is_some_and(|(own, name)| own == topic.key && name == formula.name)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_key_is_a_formula_of_the_sheets() {
        for (name, keys) in LAWS {
            assert!(!keys.is_empty(), "{name}");
            for key in *keys {
                let (topic, formula) = key.split_once('/').unwrap();
                let path = format!("{}/formulae/{topic}.sheet", env!("CARGO_MANIFEST_DIR"));
                let sheet = std::fs::read_to_string(&path).unwrap();
                assert!(sheet.contains(&format!("\nformula {formula}:")), "{key}");
            }
        }
    }

    #[track_caller]
    fn check(typed: &str, first: &str, count: usize) {
        let words: Vec<String> = typed.split(' ').map(str::to_owned).collect();
        let found = called(&words);
        assert_eq!(found.first().copied().unwrap_or(""), first, "{typed}");
        assert_eq!(found.len(), count, "{typed}: {found:?}");
    }

    #[test]
    fn names_of_laws() {
        check("suvat", "motion/velocity-time", 5);
        check("newton s second law", "forces/second-law", 2);
        check("newtons second law", "forces/second-law", 2);
        check("ohm s law", "electricity/resistance", 1);
        check("kirchhoff", "circuits/junction", 3);
        check("kirchhoff s second law", "circuits/source", 2);
        check("snell", "refraction/law", 2);
        check("hooke", "materials/spring", 2);
        check("law", "", 0);
        check("second law", "", 0);
        check("of", "", 0);
        check("zebra law", "", 0);
    }
}
