//! `rejig connect`: what joins the topics.

use std::io::{self, Write};

use crate::physics::connection::link;
use crate::practice::connections::{Connecting, Graph, suggestions};
use crate::show::connections::{parts, picture, suggestion};
use crate::show::escape::escape;
use crate::show::wrap::wrapped;
use crate::text::suggest::nearest;

use super::args::Connect;
use super::asking;
use super::exit::Status;
use super::outcome::{Outcome, misunderstood};
use super::output::Output;
use super::sheets;
use super::style::Style;

/// Chains that are shown.
const MOST_CHAINS: usize = 3;

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or writing fails.
pub fn run(arguments: &Connect, style: &Style) -> Outcome {
    let loaded = sheets::load(&arguments.sheets)?;
    let mut out = Output::new(io::stdout().lock(), style.spelling);
    if arguments.suggest {
        let most = arguments.count.map_or(10, |count| count as usize);
        let found = suggestions(&loaded.formulary, |topic| loaded.wants(topic), most);
        for (number, own) in found.iter().enumerate() {
            let text = suggestion(number + 1, own, style.spelling, style.width);
            writeln!(out, "{text}\n")?;
        }
        let told = match found.len() {
            0 => "No formulae of different topics share a quantity here.",
            _ => {
                "Which of these make physics is for a teacher to say. A `connect` entry in a \
                  sheet blesses one."
            }
        };
        writeln!(out, "{}", wrapped(told, "", "", style.width))?;
        return Ok(Status::Done);
    }
    if let [from, to] = arguments.ends.as_slice() {
        let graph = Graph::new(&loaded.formulary);
        for word in [from, to] {
            if !graph.knows(word) {
                let near = nearest(&word.to_lowercase(), graph.names());
                let mend = near.map_or_else(String::new, |(name, _)| {
                    format!(" Did you mean `{}`?", escape(name))
                });
                return misunderstood(format!(
                    "No quantity or topic is called `{}`.{mend}",
                    escape(word)
                ));
            }
        }
        let chains = graph.chains(from, to, MOST_CHAINS);
        if chains.is_empty() {
            writeln!(out, "No formulae lead from one to the other.")?;
        }
        for (number, chain) in chains.iter().enumerate() {
            if number > 0 {
                writeln!(out)?;
            }
            write!(out, "{}", picture(chain, style.spelling, style.width))?;
        }
        return Ok(Status::Done);
    }
    if !arguments.ends.is_empty() {
        return misunderstood(
            "Two quantities or topics are needed: rejig connect momentum wavelength".to_owned(),
        );
    }
    let mut status = Status::Done;
    for connection in &loaded.formulary.connections {
        let linked = match link(&loaded.formulary, connection) {
            Ok(linked) => linked,
            Err(loose) => {
                status = Status::Faults;
                let name = escape(&connection.name);
                writeln!(io::stderr(), "rejig: {name}: {}", escape(&loose.message))?;
                continue;
            }
        };
        if !linked.parts.iter().any(|part| loaded.wants(part.topic)) {
            continue;
        }
        match Connecting::new(linked) {
            Ok(own) => {
                let asked = asking::Connection {
                    title: None,
                    sentence: Some(&connection.sentence),
                    formulae: parts(&own, style.spelling, style.width),
                    condition: connection.condition.as_deref(),
                    joint: &own.joint,
                };
                writeln!(out, "{}", style.heading(&connection.name))?;
                asking::print_connection_itself(&mut out, &asked, style)?;
                writeln!(out)?;
            }
            Err(_) => {
                status = Status::Faults;
                let name = escape(&connection.name);
                writeln!(
                    io::stderr(),
                    "rejig: {name}: what the sheet shows does not come out of these formulae"
                )?;
            }
        }
    }
    Ok(status)
}
