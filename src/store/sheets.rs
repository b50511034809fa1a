//! The formula sheets: embedded in the program, or read from disk.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::fault::why_of;
use crate::physics::formulary::{Formulary, Loaded};
use crate::practice::paper::{Paper, SheetText};
use crate::text::sheet::MAX_SHEET;

/// The sheets that the program carries: file name and text.
pub const EMBEDDED: &[(&str, &str)] = &[
    (
        "measurement.sheet",
        include_str!("../../formulae/measurement.sheet"),
    ),
    ("motion.sheet", include_str!("../../formulae/motion.sheet")),
    (
        "projectiles.sheet",
        include_str!("../../formulae/projectiles.sheet"),
    ),
    ("forces.sheet", include_str!("../../formulae/forces.sheet")),
    ("energy.sheet", include_str!("../../formulae/energy.sheet")),
    (
        "momentum.sheet",
        include_str!("../../formulae/momentum.sheet"),
    ),
    ("fluids.sheet", include_str!("../../formulae/fluids.sheet")),
    (
        "materials.sheet",
        include_str!("../../formulae/materials.sheet"),
    ),
    (
        "circular-motion.sheet",
        include_str!("../../formulae/circular-motion.sheet"),
    ),
    (
        "oscillations.sheet",
        include_str!("../../formulae/oscillations.sheet"),
    ),
    (
        "rotation.sheet",
        include_str!("../../formulae/rotation.sheet"),
    ),
    (
        "gravitation.sheet",
        include_str!("../../formulae/gravitation.sheet"),
    ),
    ("waves.sheet", include_str!("../../formulae/waves.sheet")),
    (
        "standing-waves.sheet",
        include_str!("../../formulae/standing-waves.sheet"),
    ),
    (
        "interference.sheet",
        include_str!("../../formulae/interference.sheet"),
    ),
    (
        "refraction.sheet",
        include_str!("../../formulae/refraction.sheet"),
    ),
    ("lenses.sheet", include_str!("../../formulae/lenses.sheet")),
    (
        "electricity.sheet",
        include_str!("../../formulae/electricity.sheet"),
    ),
    (
        "circuits.sheet",
        include_str!("../../formulae/circuits.sheet"),
    ),
    (
        "capacitors.sheet",
        include_str!("../../formulae/capacitors.sheet"),
    ),
    (
        "electric-fields.sheet",
        include_str!("../../formulae/electric-fields.sheet"),
    ),
    (
        "magnetic-fields.sheet",
        include_str!("../../formulae/magnetic-fields.sheet"),
    ),
    (
        "induction.sheet",
        include_str!("../../formulae/induction.sheet"),
    ),
    (
        "alternating.sheet",
        include_str!("../../formulae/alternating.sheet"),
    ),
    (
        "thermal.sheet",
        include_str!("../../formulae/thermal.sheet"),
    ),
    ("gases.sheet", include_str!("../../formulae/gases.sheet")),
    (
        "engines.sheet",
        include_str!("../../formulae/engines.sheet"),
    ),
    (
        "quantum.sheet",
        include_str!("../../formulae/quantum.sheet"),
    ),
    (
        "radioactivity.sheet",
        include_str!("../../formulae/radioactivity.sheet"),
    ),
    ("nuclei.sheet", include_str!("../../formulae/nuclei.sheet")),
    (
        "particles.sheet",
        include_str!("../../formulae/particles.sheet"),
    ),
    (
        "radiation.sheet",
        include_str!("../../formulae/radiation.sheet"),
    ),
    ("stars.sheet", include_str!("../../formulae/stars.sheet")),
    (
        "relativity.sheet",
        include_str!("../../formulae/relativity.sheet"),
    ),
];

/// Sheets without a topic: words for the quantities of all topics, and what
/// joins them.
const SHARED: &[(&str, &str)] = &[
    ("words.sheet", include_str!("../../formulae/words.sheet")),
    (
        "connections.sheet",
        include_str!("../../formulae/connections.sheet"),
    ),
];

/// The formulary of the embedded sheets.
#[must_use]
pub fn embedded() -> Formulary {
    let mut formulary = Formulary::new();
    for (name, text) in SHARED.iter().chain(EMBEDDED) {
        formulary.add(name, text.as_bytes(), &mut load_embedded);
    }
    formulary
}

/// The same without the maths of proofs: see [`Formulary::proofs_later`].
#[must_use]
pub fn embedded_without_proofs() -> Formulary {
    let mut formulary = Formulary::new();
    formulary.proofs_later = true;
    for (name, text) in SHARED.iter().chain(EMBEDDED) {
        formulary.add(name, text.as_bytes(), &mut load_embedded);
    }
    formulary.proofs_later = false;
    formulary
}

/// One embedded sheet, whole.
#[must_use]
pub fn embedded_sheet(name: &str) -> Option<Formulary> {
    let (name, text) = EMBEDDED.iter().find(|(own, _)| *own == name)?;
    let mut formulary = Formulary::new();
    formulary.add(name, text.as_bytes(), &mut load_embedded);
    Some(formulary)
}

/// An embedded sheet that includes another.
fn load_embedded(_from: &str, wanted: &str) -> Result<Loaded, String> {
    EMBEDDED
        .iter()
        .find(|(name, _)| *name == wanted)
        .map(|(name, text)| Loaded {
            name: (*name).to_owned(),
            bytes: text.as_bytes().to_vec(),
        })
        .ok_or_else(|| format!("there is no embedded sheet `{wanted}`"))
}

/// The embedded sheets with those that a quiz brings along.
#[must_use]
pub fn with_those_of(paper: &Paper) -> Formulary {
    let mut formulary = embedded();
    for sheet in paper.sheets.iter().filter(|sheet| !sheet.included) {
        let mut loader = |from: &str, wanted: &str| brought_along(&paper.sheets, from, wanted);
        formulary.add(&sheet.name, sheet.text.as_bytes(), &mut loader);
    }
    formulary
}

/// A sheet that another one of a quiz includes: the one of this name, or the
/// only one whose file is called so.
fn brought_along(sheets: &[SheetText], from: &str, wanted: &str) -> Result<Loaded, String> {
    let path = beside(from, wanted);
    let exact = sheets.iter().find(|sheet| Path::new(&sheet.name) == path);
    let mut alike = sheets.iter().filter(|sheet| {
        let name = Path::new(&sheet.name).file_name();
        name.is_some() && name == path.file_name()
    });
    let alike = alike.next().filter(|_| alike.next().is_none());
    exact
        .or(alike)
        .map(|sheet| Loaded {
            name: sheet.name.clone(),
            bytes: sheet.text.as_bytes().to_vec(),
        })
        .ok_or_else(|| format!("the quiz has no sheet `{wanted}`"))
}

/// The sheets of a formulary from `first` on, to travel with a quiz; `roots`
/// are those that no other had to include. Their names say nothing of the
/// folders of this machine.
#[must_use]
pub fn to_bring_along(formulary: &Formulary, first: usize, roots: &[usize]) -> Vec<SheetText> {
    let mut folder = PathBuf::new();
    let sources = formulary.sources.iter().enumerate().skip(first);
    sources
        .map(|(place, source)| {
            let path = Path::new(&source.name);
            let included = !roots.contains(&place);
            if !included {
                folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
            }
            let name = match path.strip_prefix(&folder) {
                Ok(name) => name.as_os_str(),
                Err(_) => path.file_name().unwrap_or_default(),
            };
            SheetText {
                name: name.to_string_lossy().into_owned(),
                included,
                text: source.lines.join("\n") + "\n",
            }
        })
        .collect()
}

/// Adds a sheet on disk, and those that it includes, to a formulary. Topics
/// of the same key are replaced.
///
/// # Errors
/// A sentence, if the file itself can't be read. Faults inside it, and
/// included sheets that can't be read, are in the formulary's list.
pub fn add_from_disk(formulary: &mut Formulary, path: &Path) -> Result<(), String> {
    let bytes = read_bounded(path)?;
    let name = plain(path).to_string_lossy().into_owned();
    formulary.add(&name, &bytes, &mut load_from_disk);
    Ok(())
}

/// An included sheet, looked for beside the one that includes it.
fn load_from_disk(from: &str, wanted: &str) -> Result<Loaded, String> {
    let path = beside(from, wanted);
    let bytes = read_bounded(&path)?;
    Ok(Loaded {
        name: path.to_string_lossy().into_owned(),
        bytes,
    })
}

/// Where a sheet looks for another one.
fn beside(from: &str, wanted: &str) -> PathBuf {
    let folder = Path::new(from).parent().unwrap_or(Path::new(""));
    plain(&folder.join(wanted))
}

/// The path without `.` and, where that is safe, `..`, so that one file has
/// one name.
fn plain(path: &Path) -> PathBuf {
    use std::path::Component;
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir
                if matches!(plain.components().next_back(), Some(Component::Normal(_))) =>
            {
                plain.pop();
            }
            other => plain.push(other),
        }
    }
    plain
}

/// The bytes of a file, at most one more than a sheet may have.
fn read_bounded(path: &Path) -> Result<Vec<u8>, String> {
    let shown = path.to_string_lossy();
    let because = |error: std::io::Error| why_of(&shown, &error);
    let kind = std::fs::metadata(path).map_err(because)?;
    // A pipe or a device may never end.
    if !kind.is_file() {
        return Err(format!("`{shown}` is not a file"));
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MAX_SHEET as u64 + 1).read_to_end(&mut bytes))
        .map_err(because)?;
    // A mark that some editors put at the beginning of a file.
    if bytes.starts_with(b"\xef\xbb\xbf") {
        bytes.drain(..3);
    }
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err(format!(
            "`{shown}` is text in UTF-16: save it as UTF-8, which editors offer when saving"
        ));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::proofread::proofread;

    #[test]
    fn proofs_can_wait() {
        let (whole, light) = (embedded(), embedded_without_proofs());
        assert!(light.faults.is_empty());
        let names = |formulary: &Formulary| -> Vec<String> {
            let topics = formulary.topics.iter();
            topics
                .flat_map(|topic| {
                    let formulae = topic.formulae.iter().map(|own| own.name.clone());
                    let proofs = topic.proofs.iter().map(|own| own.name.clone());
                    let definitions = topic.definitions.iter();
                    let definitions =
                        definitions.map(|own| format!("{} {}", own.term, own.equation.is_some()));
                    formulae.chain(proofs).chain(definitions)
                })
                .collect()
        };
        assert_eq!(names(&whole), names(&light));
        for topic in &light.topics {
            let own = embedded_sheet(&light.sources[topic.origin.file].name).unwrap();
            let own = own.topic(&topic.key).unwrap();
            for proof in &topic.proofs {
                assert!(proof.goal.equations.is_empty());
                assert_eq!(Some(&own.proof(&proof.name).unwrap().goal.equations), {
                    let whole = whole.topic(&topic.key).unwrap();
                    whole.proof(&proof.name).map(|proof| &proof.goal.equations)
                });
            }
        }
    }

    #[test]
    fn the_embedded_sheets_have_no_fault_and_draw_no_remark() {
        let formulary = embedded();
        let faults: Vec<String> = proofread(&formulary)
            .iter()
            .map(|fault| fault.diagnostic.render())
            .collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
        assert_eq!(formulary.topics.len(), EMBEDDED.len());
        assert!(formulary.formula_count() >= 250);
    }
}
