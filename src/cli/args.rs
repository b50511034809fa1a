//! The arguments of the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::practice_args::{self, KindWord, Marks, marks};

/// `rejig`: a tutor in a terminal for upper-secondary physics.
#[derive(Debug, Parser)]
#[command(
    name = "rejig",
    version,
    about = "A tutor in a terminal for upper-secondary physics: changing the subject of a \
             formula, proving a result, defining a term, with each line checked.",
    disable_help_subcommand = true,
    subcommand_value_name = "VERB",
    subcommand_help_heading = "Verbs"
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Practise in the terminal, with hints and worked solutions.
    Drill(practice_args::Drill),
    /// Show every item with its state: secure, shaky or not met.
    Checklist(practice_args::Checklist),
    /// Forecast what comes on which day up to the exam.
    Plan(practice_args::Plan),
    /// Say where the journal is, or make two journals one.
    Journal(practice_args::Journal),
    /// Ask questions and mark answers that come in, one a line.
    Quiz(Quiz),
    /// Mark a class's answers to a quiz.
    Mark(Mark),
    /// Put questions on paper, with a mark scheme.
    Worksheet(Worksheet),
    /// Answer requests of another program: one JSON object a line.
    Judge,
    /// Change the subject of a formula, step by step.
    Rearrange(Rearrange),
    /// Check one line of algebra against the line before it.
    Step(Step),
    /// List the formulae that the sheets hold.
    Formulae(Formulae),
    /// Read formula sheets as a careful colleague would.
    Proofread(Proofread),
    /// Check a working that is to show a result, line by line.
    Prove(Prove),
    /// Show what joins the topics: formulae that share a quantity.
    Connect(Connect),
    /// Print what a shell needs to complete verbs, options and topics.
    Completions(Completions),
    /// Print the manual page.
    Manual,
}

/// The arguments of `completions`.
#[derive(Debug, Clone, Args)]
pub struct Completions {
    /// The shell: bash, zsh, fish, elvish or powershell.
    #[arg(value_name = "SHELL", value_enum, hide_possible_values = true)]
    pub shell: clap_complete::aot::Shell,
}

/// What is to be checked as a proof.
#[derive(Debug, Args)]
pub struct Prove {
    /// The file: lines `given ...`, `show ...`, then the working; `-` for
    /// standard input.
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// How the result comes out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json",
        hide_possible_values = true,
        default_value_t = PlainFormat::Text
    )]
    pub format: PlainFormat,
}

/// Which sheets are used.
#[derive(Debug, Clone, Args)]
pub struct Sheets {
    /// Add a formula sheet; it replaces a topic of the same name. May be given
    /// again.
    #[arg(long = "sheet", value_name = "FILE")]
    pub sheets: Vec<PathBuf>,
    /// Only this topic. May be given again.
    #[arg(long = "topic", value_name = "TOPIC")]
    pub topics: Vec<String>,
}

/// The arguments of `connect`.
#[derive(Debug, Clone, Args)]
pub struct Connect {
    /// Two quantities or topics: the shortest chains between them.
    #[arg(value_name = "FROM TO", num_args = 0..=2, conflicts_with = "suggest")]
    pub ends: Vec<String>,
    /// Suggest connections that no sheet has, the best first.
    #[arg(long)]
    pub suggest: bool,
    /// How many suggestions.
    #[arg(long, value_name = "N", requires = "suggest", value_parser = clap::value_parser!(u32).range(1..=1_000))]
    pub count: Option<u32>,
    /// Which sheets.
    #[command(flatten)]
    pub sheets: Sheets,
}

/// The values that quantities may take.
#[derive(Debug, Clone, Args)]
pub struct Domains {
    /// Quantities of either sign, such as `x,y`; others are positive.
    #[arg(long, value_name = "LETTERS")]
    pub real: Vec<String>,
    /// The values that a quantity may take: positive, nonnegative, real or
    /// acute.
    #[arg(long = "domain", value_name = "LETTER=DOMAIN")]
    pub domains: Vec<String>,
}

/// What is practised.
#[derive(Debug, Clone, Args)]
pub struct Practice {
    /// Where questions come from.
    #[command(flatten)]
    pub sheets: Sheets,
    /// Ask only from the sheets given with `--sheet`.
    #[arg(long, requires = "sheets")]
    pub only: bool,
    /// Ask about this formula instead of a sheet's.
    #[arg(long, value_name = "EQUATION", allow_hyphen_values = true, conflicts_with_all = ["sheets", "topics"])]
    pub formula: Option<String>,
    /// With `--formula`: the letter to make the subject.
    #[arg(long = "for", value_name = "LETTER", requires = "formula")]
    pub subject: Option<String>,
    /// The values that quantities of `--formula` may take.
    #[command(flatten)]
    pub domains: Domains,
    /// The number that decides the order of the questions.
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// How many questions.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    pub count: Option<u32>,
}

/// Which questions.
#[derive(Debug, Clone, Args)]
pub struct Choice {
    /// What is asked.
    #[command(flatten)]
    pub practice: Practice,
    /// The questions of this file, which `--questions --format json` wrote.
    #[arg(long, value_name = "FILE", conflicts_with_all = [
        "sheets", "topics", "only", "formula", "subject", "seed", "count", "kinds", "marks",
    ])]
    pub quiz: Option<PathBuf>,
    /// Only questions of this kind: rearrangement, proof, definition,
    /// connection or proportion. May be given again; the kinds then come in
    /// turn.
    #[arg(
        long = "kind",
        value_enum,
        value_name = "KIND",
        hide_possible_values = true,
        conflicts_with = "formula"
    )]
    pub kinds: Vec<KindWord>,
    /// Only questions worth so many marks, such as 2 or 2-4.
    #[arg(long, value_name = "MARKS", value_parser = marks, conflicts_with = "formula")]
    pub marks: Option<Marks>,
}

/// The arguments of `quiz`.
#[derive(Debug, Clone, Args)]
pub struct Quiz {
    /// Which questions.
    #[command(flatten)]
    pub choice: Choice,
    /// Print the questions and ask for no answers.
    #[arg(long)]
    pub questions: bool,
    /// An answer is one or more lines, up to a blank line; `skip` alone on a
    /// line leaves a question out. Always so where there are proofs or
    /// connections.
    #[arg(long)]
    pub working: bool,
    /// How the results come out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
}

/// The arguments of `mark`.
#[derive(Debug, Clone, Args)]
pub struct Mark {
    /// The quiz, which `quiz --questions --format json` wrote.
    #[arg(long, value_name = "FILE")]
    pub quiz: PathBuf,
    /// The answers; `-` for standard input.
    #[arg(value_name = "ANSWERS")]
    pub answers: PathBuf,
    /// How the results come out: text is an overview, csv each answer, json
    /// everything, one object a line.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
    /// Only this table: answers, students, questions or slips.
    #[arg(long, value_enum, value_name = "TABLE", hide_possible_values = true)]
    pub table: Option<Table>,
    /// How many answers are marked at once; as many as there are cores, if
    /// nothing is said.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub jobs: Option<u16>,
}

/// The arguments of `worksheet`.
#[derive(Debug, Clone, Args)]
pub struct Worksheet {
    /// Which questions.
    #[command(flatten)]
    pub choice: Choice,
    /// What stands at the head of the page.
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,
    /// What goes on the paper: questions, scheme or both.
    #[arg(
        long,
        value_enum,
        value_name = "PART",
        hide_possible_values = true,
        default_value_t = PaperPart::Both
    )]
    pub part: PaperPart,
    /// What is written: html (a page with MathML) or latex.
    #[arg(
        long,
        value_enum,
        value_name = "html|latex",
        hide_possible_values = true,
        default_value_t = PaperFormat::Html
    )]
    pub format: PaperFormat,
}

/// What goes on the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperPart {
    /// The questions.
    Questions,
    /// The mark scheme.
    Scheme,
    /// Both.
    Both,
}

/// How a worksheet is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperFormat {
    /// A page for a browser.
    Html,
    /// LaTeX.
    Latex,
}

/// One of the tables of `mark`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Table {
    /// Each answer.
    Answers,
    /// Each student's marks.
    Students,
    /// How each question went.
    Questions,
    /// The slips, with counts.
    Slips,
}

/// How a result comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Text for people.
    Text,
    /// JSON, for programs.
    Json,
    /// Comma-separated values, for spreadsheets.
    Csv,
}

/// How a result that is no table comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlainFormat {
    /// Text for people.
    Text,
    /// JSON, for programs.
    Json,
}

/// The arguments of `rearrange`.
#[derive(Debug, Clone, Args)]
pub struct Rearrange {
    /// The formula.
    #[arg(value_name = "EQUATION", allow_hyphen_values = true)]
    pub equation: String,
    /// The letter to make the subject.
    #[arg(long = "for", value_name = "LETTER")]
    pub subject: String,
    /// The values that quantities may take.
    #[command(flatten)]
    pub domains: Domains,
    /// How the result comes out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json",
        hide_possible_values = true,
        default_value_t = PlainFormat::Text
    )]
    pub format: PlainFormat,
}

/// The arguments of `step`.
#[derive(Debug, Clone, Args)]
pub struct Step {
    /// The line before.
    #[arg(value_name = "BEFORE", allow_hyphen_values = true)]
    pub before: String,
    /// The line to check.
    #[arg(value_name = "AFTER", allow_hyphen_values = true)]
    pub after: String,
    /// The values that quantities may take.
    #[command(flatten)]
    pub domains: Domains,
}

/// The arguments of `formulae`.
#[derive(Debug, Clone, Args)]
pub struct Formulae {
    /// Words or letters to look for.
    #[arg(value_name = "SEARCH")]
    pub search: Vec<String>,
    /// Only formulae with this letter; capitals matter.
    #[arg(long, value_name = "LETTER")]
    pub letter: Option<String>,
    /// Only formulae with a quantity of this unit, such as `m s^-1`.
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Only what the sheets given with `--sheet` hold.
    #[arg(long, requires = "sheets")]
    pub only: bool,
    /// Which sheets.
    #[command(flatten)]
    pub sheets: Sheets,
    /// How the list comes out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
}

/// The arguments of `proofread`.
#[derive(Debug, Clone, Args)]
pub struct Proofread {
    /// The sheets to read.
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// How the findings come out.
    #[arg(
        long,
        value_enum,
        value_name = "text|json|csv",
        hide_possible_values = true,
        default_value_t = Format::Text
    )]
    pub format: Format,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_definition_is_sound() {
        Arguments::command().debug_assert();
    }
}
