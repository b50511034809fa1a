//! Why a file could not be used, in plain words.

use std::io;

/// The reason as a clause. The number of a system's error says nothing to
/// anybody.
#[must_use]
pub fn why(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "I am not allowed to use it".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a folder on the way to it is a file".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        _ => {
            let told = error.to_string();
            told.split(" (os error").next().unwrap_or(&told).to_owned()
        }
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
