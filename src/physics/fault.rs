//! What a careful colleague would say about a sheet.

use crate::text::Diagnostic;

/// The kind of thing that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaultKind {
    /// A line, or maths in it, that can't be read.
    Syntax,
    /// An included sheet that is missing, includes itself, or is too deep.
    Include,
    /// A unit that no one knows.
    Unit,
    /// The two sides, or two terms of a sum, have different dimensions; or the
    /// argument of a function or an exponent has a unit.
    Dimension,
    /// A symbol used with two meanings.
    Meaning,
    /// Something said twice.
    Duplicate,
    /// A constant that differs from its published value.
    Constant,
    /// A part that is missing, or that refers to nothing.
    Incomplete,
    /// Found by a check of a higher layer: a subject without a closed form, a
    /// proof whose own route does not pass.
    Working,
    /// A remark: a quantity that nothing uses.
    Unused,
    /// A remark: a symbol that nothing declares although others are declared.
    Undeclared,
    /// A remark: a line that can be read in two ways.
    Ambiguous,
    /// A remark: a unit that may not be the one that is meant.
    DoubtfulUnit,
}

impl FaultKind {
    /// Whether it is a remark only: the sheet works as it is.
    #[must_use]
    pub fn is_remark(self) -> bool {
        matches!(
            self,
            FaultKind::Unused
                | FaultKind::Undeclared
                | FaultKind::Ambiguous
                | FaultKind::DoubtfulUnit
        )
    }

    /// A word for the kind, for tables and the machine interface.
    #[must_use]
    pub fn keyword(self) -> &'static str {
        match self {
            FaultKind::Syntax => "syntax",
            FaultKind::Include => "include",
            FaultKind::Unit => "unit",
            FaultKind::Dimension => "dimension",
            FaultKind::Meaning => "meaning",
            FaultKind::Duplicate => "duplicate",
            FaultKind::Constant => "constant",
            FaultKind::Incomplete => "incomplete",
            FaultKind::Working => "working",
            FaultKind::Unused => "unused",
            FaultKind::Undeclared => "undeclared",
            FaultKind::Ambiguous => "ambiguous",
            FaultKind::DoubtfulUnit => "doubtful-unit",
        }
    }
}

/// A fault or a remark, with its place in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What kind.
    pub kind: FaultKind,
    /// Message, file, line, column, caret, likely mend.
    pub diagnostic: Diagnostic,
}

impl Fault {
    /// The line, counted from 1.
    #[must_use]
    pub fn line(&self) -> usize {
        self.diagnostic.place.as_ref().map_or(1, |place| place.line)
    }

    /// The file.
    #[must_use]
    pub fn file(&self) -> &str {
        self.diagnostic
            .place
            .as_ref()
            .and_then(|place| place.file.as_deref())
            .unwrap_or("")
    }
}

/// Puts faults in order: file by file as first met, then by line and column,
/// each once.
pub fn in_order(faults: &mut Vec<Fault>) {
    let mut files: Vec<String> = Vec::new();
    for fault in faults.iter() {
        if files.last().map(String::as_str) != Some(fault.file())
            && !files.iter().any(|file| file == fault.file())
        {
            files.push(fault.file().to_owned());
        }
    }
    let column = |fault: &Fault| {
        fault
            .diagnostic
            .place
            .as_ref()
            .map_or(1, |place| place.column)
    };
    faults.sort_by_cached_key(|fault| {
        let file = files.iter().position(|file| file == fault.file());
        (file, fault.line(), column(fault), fault.kind)
    });
    faults.dedup();
}
