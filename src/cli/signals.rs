//! Signals that end the drill: the attempt that is open is written to the
//! journal first, and the terminal is left as it was found.
//!
//! A thread of its own waits for them, since the drill waits for a line most
//! of the time. What it would have to write is laid ready after every line.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::store::journal::Journal;
use crate::store::record::Record;

/// A journal, and records for it in their order.
type Slot = Option<(PathBuf, Vec<Record>)>;

/// Records that are to be written if the program must end now.
#[derive(Debug, Clone, Default)]
pub struct Ready {
    slot: Arc<Mutex<Slot>>,
}

/// Nothing ends the program while this is held.
pub struct Held<'a>(MutexGuard<'a, Slot>);

impl Ready {
    /// Holds the end off, to write what is laid ready in the usual way.
    #[must_use]
    pub fn hold(&self) -> Held<'_> {
        // Whoever panicked with it in hand left it whole.
        Held(self.slot.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Held<'_> {
    /// Lays these records ready in place of others.
    pub fn lay(&mut self, journal: PathBuf, records: Vec<Record>) {
        *self.0 = (!records.is_empty()).then_some((journal, records));
    }

    /// Takes away what is ready: it is written, or there is nothing to write.
    pub fn clear(&mut self) {
        *self.0 = None;
    }

    fn write(&mut self) {
        let Some((path, records)) = self.0.take() else {
            return;
        };
        if let Ok(mut journal) = Journal::open(&path) {
            for record in &records {
                if journal.append(record).is_err() {
                    break;
                }
            }
        }
    }
}

/// Watches for signals from now on.
#[cfg(unix)]
pub fn watch(ready: &Ready) {
    use std::io::IsTerminal;

    use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    let stdin = std::io::stdin();
    let found = stdin
        .is_terminal()
        .then(|| rustix::termios::tcgetattr(&stdin).ok())
        .flatten();
    // Without a watch, a signal ends the program as it ends any other.
    let Ok(mut signals) = Signals::new([SIGHUP, SIGINT, SIGQUIT, SIGTERM]) else {
        return;
    };
    let ready = ready.clone();
    std::thread::spawn(move || {
        if let Some(signal) = signals.forever().next() {
            // Held to the end: the drill must not write the same once more.
            let mut held = ready.hold();
            held.write();
            if let Some(found) = found {
                restore(&found);
            }
            let _ = emulate_default_handler(signal);
        }
    });
}

/// The terminal as it was found: lines, echo, pastes that are not marked.
#[cfg(unix)]
fn restore(found: &rustix::termios::Termios) {
    use rustix::termios::{OptionalActions, tcsetattr};

    let _ = tcsetattr(std::io::stdin(), OptionalActions::Now, found);
    // Past the buffer, whose lock the drill may hold.
    let _ = rustix::io::write(rustix::stdio::stdout(), b"\x1b[?2004l\r\n");
}

/// Elsewhere a signal ends the program as it ends any other.
#[cfg(not(unix))]
pub fn watch(_ready: &Ready) {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::attempt::AttemptId;
    use crate::practice::day::Day;

    fn record() -> Record {
        Record::Exam {
            id: AttemptId {
                sitting: 7,
                number: 1,
            },
            moment: 0,
            day: Day::parse("2027-05-17"),
        }
    }

    #[test]
    fn what_is_ready_is_written_once() {
        let folder = std::env::temp_dir().join(format!("rejig-signals-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let path = folder.join("journal.jsonl");
        let ready = Ready::default();
        ready.hold().lay(path.clone(), vec![record()]);
        ready.hold().write();
        ready.hold().write();
        ready.hold().lay(path.clone(), vec![record()]);
        ready.hold().clear();
        ready.hold().write();
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(text.lines().count(), 1);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
