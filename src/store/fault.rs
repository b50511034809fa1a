//! Why a file could not be used, in plain words.

use std::io;

/// The reason as a clause about `it`, which was named before. The number of a
/// system's error says nothing to anybody.
#[must_use]
pub fn why(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "I am not allowed to use it".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a folder on the way to it is a file".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "nothing can be written there".to_owned(),
        io::ErrorKind::FileTooLarge => "it may not grow any more".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        _ => {
            let told = error.to_string();
            told.split(" (os error").next().unwrap_or(&told).to_owned()
        }
    }
}

/// The same with the file's name in front, for a sentence of its own.
#[must_use]
pub fn why_of(shown: &str, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => format!("there is no file `{shown}`"),
        io::ErrorKind::PermissionDenied => format!("I am not allowed to use `{shown}`"),
        _ => format!("`{shown}` can't be used: {}", why(error)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_number_of_the_system() {
        // 2, 13 and 40 are "no entry", "no access" and "too many links".
        for (number, expected) in [
            (2, "there is no such file"),
            (13, "I am not allowed to use it"),
            (40, "Too many levels of symbolic links"),
        ] {
            let error = io::Error::from_raw_os_error(number);
            if cfg!(target_os = "linux") {
                assert_eq!(why(&error), expected);
            }
        }
    }
}
