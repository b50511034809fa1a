//! Help, and what is said about arguments that make no sense.

use std::io::{self, Write};

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::show::escape::escape;

use super::command::{command, plain};
use super::exit::Status;
use super::outcome::{Outcome, misunderstood};
use super::style::Style;

/// Prints the help that was asked for, or says what was wrong.
///
/// # Errors
/// The fault, unless help or the version was asked for.
pub fn explain(error: &clap::Error) -> Outcome {
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            let mut out = io::stdout().lock();
            write!(out, "{}", plain(&error.render().to_string()))?;
            out.flush()?;
            Ok(Status::Done)
        }
        _ => misunderstood(told(error)),
    }
}

/// What `rejig` alone says to a program.
///
/// # Errors
/// When writing fails.
pub fn short_help() -> Outcome {
    let help = command(Style::of_stdout().width).render_help().to_string();
    let help = plain(&help);
    writeln!(
        io::stderr(),
        "rejig: the drill needs a terminal; a program can use a verb.\n\n{help}"
    )?;
    Ok(Status::Misunderstood)
}

fn told(error: &clap::Error) -> String {
    let context = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(escape(text).into_owned()),
        Some(ContextValue::Strings(texts)) => Some(escape(&texts.join("`, `")).into_owned()),
        _ => None,
    };
    let mut told = match (
        error.kind(),
        context(ContextKind::InvalidSubcommand),
        context(ContextKind::InvalidArg),
        context(ContextKind::InvalidValue),
    ) {
        (ErrorKind::InvalidSubcommand, Some(verb), _, _) => {
            let near = context(ContextKind::SuggestedSubcommand)
                .map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
            format!("there is no verb `{verb}`.{near}")
        }
        (ErrorKind::UnknownArgument, _, Some(argument), _) => {
            let near = context(ContextKind::SuggestedArg)
                .map_or_else(String::new, |near| format!(" Did you mean `{near}`?"));
            format!("I don't know what `{argument}` means here.{near}")
        }
        (ErrorKind::MissingRequiredArgument, _, Some(argument), _) => {
            format!("`{argument}` is missing.")
        }
        (ErrorKind::ArgumentConflict, _, Some(argument), _) => {
            match context(ContextKind::PriorArg) {
                Some(other) => format!("`{argument}` and `{other}` don't go together."),
                None => format!("`{argument}` does not fit the other arguments."),
            }
        }
        (ErrorKind::InvalidValue, _, Some(argument), Some(value)) if value.is_empty() => {
            format!("`{argument}` needs a value.")
        }
        (ErrorKind::InvalidValue, _, Some(argument), Some(value)) => {
            let valid = context(ContextKind::ValidValue)
                .map_or_else(String::new, |valid| format!(" There are `{valid}`."));
            format!("`{value}` does not fit `{argument}`.{valid}")
        }
        (ErrorKind::ValueValidation, _, Some(argument), Some(value)) => {
            format!("`{value}` does not fit `{argument}`: it must be a whole number in its range.")
        }
        (ErrorKind::InvalidUtf8, ..) => "an argument is not text in UTF-8.".to_owned(),
        _ => {
            let text = error.render().to_string();
            let text = text.strip_prefix("error: ").unwrap_or(&text);
            let first = text.lines().next().unwrap_or_default();
            format!("{}.", escape(first.trim_end_matches('.')))
        }
    };
    if let Some(ContextValue::StyledStr(usage)) = error.get(ContextKind::Usage) {
        told.push('\n');
        told.push_str(&usage.to_string());
    }
    told.push_str("\n`rejig --help` lists the verbs, `rejig VERB --help` explains one.");
    told
}
