//! Characters that would disturb a terminal, shown instead of sent.

use std::borrow::Cow;
use std::fmt::Write as _;

/// Whether a character is shown as an escape: a control character, a mark
/// that turns the direction of writing, or one that takes no room and could
/// hide something.
#[must_use]
pub fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{00AD}'
            | '\u{061C}'
            | '\u{180E}'
            | '\u{200B}'..='\u{200F}'
            | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}'
            | '\u{FEFF}'
            | '\u{FFF9}'..='\u{FFFB}'
            | '\u{E0000}'..='\u{E007F}')
}

/// The text with every hidden character written as `\u{1b}`. Text in any
/// script, wide or narrow, stays as it is.
#[must_use]
pub fn escape(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for character in text.chars() {
        push_escaped(&mut shown, character);
    }
    Cow::Owned(shown)
}

/// Adds one character to `shown`, as an escape if it is hidden.
pub fn push_escaped(shown: &mut String, character: char) {
    if is_hidden(character) {
        let _ = write!(shown, "\\u{{{:x}}}", u32::from(character));
    } else {
        shown.push(character);
    }
}
