//! Running the binary: what goes in, what comes out.

// Each test file uses its own part of this.
#![allow(dead_code)]

pub mod desk;

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// What a run of the program gave.
pub struct Ran {
    pub stdout: String,
    pub stderr: String,
    pub status: i32,
}

/// The program in a plain environment: Unicode, no terminal, no colour asked
/// for.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rejig"));
    for variable in [
        "LC_ALL",
        "LC_CTYPE",
        "NO_COLOR",
        "CLICOLOR",
        "CLICOLOR_FORCE",
        "COLUMNS",
        "TERM",
    ] {
        command.env_remove(variable);
    }
    command
        .env("LANG", "en_GB.UTF-8")
        // No test touches the user's own journal, or that of another run.
        .env("XDG_DATA_HOME", fresh_folder())
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// A folder that no other command has; it is made when it is needed.
pub fn fresh_folder() -> PathBuf {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(std::process::id().to_string())
        .join(format!("data-{}", COUNT.fetch_add(1, Ordering::Relaxed)))
}

/// Runs a command with this on standard input.
pub fn run_command(mut command: Command, input: &[u8]) -> Ran {
    let mut child = command.spawn().expect("the program starts");
    let mut stdin = child.stdin.take().expect("there is a pipe");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || {
        // The program may end before it has read everything.
        let _ = stdin.write_all(&input);
    });
    let Output {
        status,
        stdout,
        stderr,
    } = child.wait_with_output().expect("the program ends");
    writer.join().expect("writing ends");
    Ran {
        stdout: String::from_utf8(stdout).expect("standard output is text"),
        stderr: String::from_utf8(stderr).expect("standard error is text"),
        status: status.code().expect("the program was not killed"),
    }
}

/// Runs the program with this on standard input.
pub fn run(arguments: &[&str], input: &str) -> Ran {
    run_command(command(arguments), input.as_bytes())
}

/// A file of this run's own with this text.
pub fn file(name: &str, text: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(std::process::id().to_string());
    std::fs::create_dir_all(&folder).expect("a folder for the run");
    let path = folder.join(name);
    std::fs::write(&path, text).expect("a file for the run");
    path
}

/// Standard output, standard error and status must be exactly these.
#[track_caller]
pub fn check(arguments: &[&str], input: &str, stdout: &str, stderr: &str, status: i32) {
    let ran = run(arguments, input);
    assert_eq!(ran.stdout, stdout, "standard output of {arguments:?}");
    assert_eq!(ran.stderr, stderr, "standard error of {arguments:?}");
    assert_eq!(ran.status, status, "status of {arguments:?}");
}
