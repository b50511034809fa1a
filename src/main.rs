//! The binary: maps an outcome to an exit status and nothing else.

fn main() -> std::process::ExitCode {
    rejig::cli::run()
}
