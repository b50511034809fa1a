//! The journal: an append-only file of what was asked and what came of it.
//!
//! Every record is on disk before [`Journal::append`] comes back. Nothing that
//! stands in the file is ever rewritten: a line that was cut short stays, and
//! the next record begins on a line of its own. Two programs may append to one
//! journal: each locks it for the moment of writing.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rustc_hash::{FxHashMap, FxHashSet};

use super::record::{self, Record, Unread};
use crate::practice::attempt::{Attempt, AttemptId};
use crate::practice::day::Day;

/// Bytes that a journal may have: more than a million attempts.
pub const MAX_JOURNAL: u64 = 512 << 20;
/// Bytes that a line may have; a longer one is damaged.
pub const MAX_RECORD: usize = 64 << 10;

/// How often, and how long apart, a lock is tried: two seconds in all. A lock
/// is held for one write only, so that more means that something hangs.
const LOCK_TRIES: u32 = 100;
const LOCK_PAUSE: Duration = Duration::from_millis(20);

/// Why the journal can't be used.
#[derive(Debug)]
pub enum Fault {
    /// It is not a file, but a folder, a pipe or a device.
    NotAFile,
    /// It has more bytes than are read.
    TooLarge,
    /// Another program keeps it locked.
    Locked,
    /// The system says no.
    System(io::Error),
}

impl From<io::Error> for Fault {
    fn from(error: io::Error) -> Self {
        Fault::System(error)
    }
}

/// What was found while reading.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Findings {
    /// Lines with something on them.
    pub lines: usize,
    /// Whether the last line was cut short: a program or the machine stopped
    /// while it was written.
    pub torn: bool,
    /// Numbers of the lines that are damaged, a torn last one not included.
    pub damaged: Vec<usize>,
    /// Lines that a newer version wrote.
    pub newer: usize,
    /// Lines that say again what an earlier one said.
    pub repeated: usize,
    /// Attempts that were taken back.
    pub taken_back: usize,
}

/// What a journal says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Contents {
    /// The attempts that count, in their order.
    pub attempts: Vec<Attempt>,
    /// The day of the exam, as it was said last.
    pub exam: Option<Day>,
    /// What was found.
    pub findings: Findings,
}

/// Reads a journal; one that is not there says nothing.
///
/// # Errors
/// When it can't be read. Damaged lines are no error.
pub fn read(path: &Path) -> Result<Contents, Fault> {
    Ok(understand(&[&bytes_of(path)?]))
}

/// Reads several journals of one student as one: what stands in two of them
/// counts once.
///
/// # Errors
/// When one can't be read.
pub fn read_together(paths: &[PathBuf]) -> Result<Contents, Fault> {
    let files = paths
        .iter()
        .map(|path| bytes_of(path))
        .collect::<Result<Vec<_>, _>>()?;
    let slices: Vec<&[u8]> = files.iter().map(Vec::as_slice).collect();
    Ok(understand(&slices))
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, Fault> {
    // A pipe would block on opening already.
    match fs::metadata(path) {
        Ok(what) if !what.is_file() => return Err(Fault::NotAFile),
        Ok(what) if what.len() > MAX_JOURNAL => return Err(Fault::TooLarge),
        Ok(_) => {}
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error.into()),
    }
    let file = File::open(path)?;
    // Shared with other readers: a writer's line is seen whole or not at all.
    let locked = lock(|| file.try_lock_shared());
    if let Err(Fault::System(error)) = locked {
        return Err(error.into());
    }
    let mut bytes = Vec::new();
    (&file).take(MAX_JOURNAL + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MAX_JOURNAL {
        return Err(Fault::TooLarge);
    }
    Ok(bytes)
}

/// Tries a lock for a while. Where the file system has no locks, appending in
/// one write is all that protects a line, and has to do.
fn lock(attempt: impl Fn() -> Result<(), TryLockError>) -> Result<(), Fault> {
    for _ in 0..LOCK_TRIES {
        match attempt() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) => std::thread::sleep(LOCK_PAUSE),
            Err(TryLockError::Error(error)) => {
                return match error.kind() {
                    ErrorKind::Unsupported => Ok(()),
                    _ => Err(error.into()),
                };
            }
        }
    }
    Err(Fault::Locked)
}

/// Without the mark that some editors put at the beginning of a file.
fn unmarked(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// What the bytes of one or more journals say.
#[must_use]
pub fn understand(files: &[&[u8]]) -> Contents {
    let mut attempts: Vec<Attempt> = Vec::new();
    let mut seen: FxHashSet<AttemptId> = FxHashSet::default();
    let mut taken_back: FxHashSet<AttemptId> = FxHashSet::default();
    let mut exams: Vec<(i64, Option<Day>)> = Vec::new();
    let mut findings = Findings::default();
    for bytes in files {
        let bytes = unmarked(bytes);
        let ends = bytes.last().is_none_or(|last| *last == b'\n');
        let mut lines = bytes.split(|byte| *byte == b'\n').enumerate().peekable();
        while let Some((number, line)) = lines.next() {
            if line.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            findings.lines += 1;
            let last = lines.peek().is_none() && !ends;
            let read = if line.len() > MAX_RECORD {
                Err(Unread::Damaged)
            } else {
                record::read(line)
            };
            let record = match read {
                Ok(record) => record,
                Err(Unread::Newer) => {
                    findings.newer += 1;
                    continue;
                }
                Err(Unread::Damaged) if last => {
                    findings.torn = true;
                    continue;
                }
                Err(Unread::Damaged) => {
                    findings.damaged.push(number + 1);
                    continue;
                }
            };
            if !seen.insert(record.id()) {
                findings.repeated += 1;
                continue;
            }
            match record {
                Record::Attempt(attempt) => attempts.push(*attempt),
                Record::TakenBack { attempt, .. } => {
                    taken_back.insert(attempt);
                }
                Record::Exam { moment, day, .. } => exams.push((moment, day)),
            }
        }
    }
    if !taken_back.is_empty() {
        let before = attempts.len();
        attempts.retain(|attempt| !taken_back.contains(&attempt.id));
        findings.taken_back = before - attempts.len();
    }
    if !attempts.is_sorted_by_key(Attempt::order) {
        attempts.sort_by_key(Attempt::order);
    }
    // Of two said in one second, the later line counts.
    let exam = exams
        .into_iter()
        .max_by_key(|(moment, _)| *moment)
        .and_then(|(_, day)| day);
    Contents {
        attempts,
        exam,
        findings,
    }
}

/// A journal that can be added to.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
}

impl Journal {
    /// Opens a journal for adding to it; makes it, and the folders above it,
    /// if they are not there.
    ///
    /// # Errors
    /// When the place can't be written to.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        match fs::metadata(path) {
            Ok(what) if !what.is_file() => return Err(Fault::NotAFile),
            _ => {}
        }
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty());
        if let Some(folder) = folder {
            fs::create_dir_all(folder)?;
        }
        let mut options = OpenOptions::new();
        options.read(true).append(true).create(true);
        #[cfg(unix)]
        {
            use std::os::unix::fs::OpenOptionsExt;
            // How well somebody did is nobody else's business.
            options.mode(0o600);
        }
        let new = !path.exists();
        let file = options.open(path)?;
        if new {
            // The name must be on disk too, or the file could vanish whole.
            #[cfg(unix)]
            if let Ok(folder) = File::open(folder.unwrap_or(Path::new("."))) {
                let _ = folder.sync_all();
            }
        }
        Ok(Journal {
            path: path.to_owned(),
            file,
        })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Adds a record. When this comes back without an error, the record is on
    /// disk. When it comes back with one, the journal is as it was before, or
    /// has a damaged line at its end that the next record does not touch.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn append(&mut self, record: &Record) -> Result<(), Fault> {
        let text = record::write(record);
        lock(|| self.file.try_lock())?;
        let written = self.append_locked(text.as_bytes());
        let _ = self.file.unlock();
        written
    }

    fn append_locked(&mut self, text: &[u8]) -> Result<(), Fault> {
        let before = self.file.metadata()?.len();
        let mut bytes = Vec::with_capacity(text.len() + 1);
        if !self.ends_with_break(before)? {
            bytes.push(b'\n');
        }
        bytes.extend_from_slice(text);
        let written = self
            .file
            .write_all(&bytes)
            .and_then(|()| self.file.sync_data());
        if let Err(error) = written {
            // A full disk may have taken half of the line. What another
            // program wrote meanwhile, where there are no locks, stays.
            let after = self.file.metadata()?.len();
            if after <= before + bytes.len() as u64 {
                let _ = self.file.set_len(before);
            }
            return Err(error.into());
        }
        Ok(())
    }

    fn ends_with_break(&mut self, length: u64) -> io::Result<bool> {
        if length == 0 {
            return Ok(true);
        }
        let mut last = [0];
        self.file.seek(SeekFrom::Start(length - 1))?;
        self.file.read_exact(&mut last)?;
        Ok(last == *b"\n")
    }

    /// Adds the records of another journal of the same student that this one
    /// lacks, and says how many they were. Lines of a newer version come along
    /// as they are; damaged ones stay behind.
    ///
    /// # Errors
    /// When the other can't be read, or this one can't be written.
    pub fn merge(&mut self, other: &Path) -> Result<usize, Fault> {
        fs::metadata(other)?;
        let theirs = bytes_of(other)?;
        lock(|| self.file.try_lock())?;
        let merged = self.merge_locked(&theirs);
        let _ = self.file.unlock();
        merged
    }

    fn merge_locked(&mut self, theirs: &[u8]) -> Result<usize, Fault> {
        let mut ours = Vec::new();
        self.file.seek(SeekFrom::Start(0))?;
        (&self.file).take(MAX_JOURNAL + 1).read_to_end(&mut ours)?;
        if (ours.len() + theirs.len()) as u64 > MAX_JOURNAL {
            return Err(Fault::TooLarge);
        }
        let theirs = unmarked(theirs);
        let mut lines: FxHashMap<&[u8], ()> = FxHashMap::default();
        let mut ids: FxHashSet<AttemptId> = FxHashSet::default();
        for line in unmarked(&ours).split(|byte| *byte == b'\n') {
            lines.insert(line, ());
            if let Ok(record) = record::read(line) {
                ids.insert(record.id());
            }
        }
        let mut text = Vec::new();
        let mut added = 0;
        for line in theirs.split(|byte| *byte == b'\n') {
            let wanted = line.len() <= MAX_RECORD
                && match record::read(line) {
                    Ok(record) => ids.insert(record.id()),
                    Err(Unread::Newer) => lines.insert(line, ()).is_none(),
                    Err(Unread::Damaged) => false,
                };
            if wanted {
                text.extend_from_slice(line);
                text.push(b'\n');
                added += 1;
            }
        }
        if added > 0 {
            self.append_locked(&text)?;
        }
        Ok(added)
    }
}

#[cfg(test)]
#[path = "journal_tests.rs"]
mod tests;
