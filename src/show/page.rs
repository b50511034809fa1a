//! Text in a page for a browser.

use std::borrow::Cow;

use super::escape::{escape, is_hidden};

/// Text that means itself in a page, and shows what would be hidden.
#[must_use]
pub fn text(of: &str) -> Cow<'_, str> {
    let shown = if of.chars().any(is_hidden) {
        escape(of)
    } else {
        Cow::Borrowed(of)
    };
    if !shown.contains(['&', '<', '>', '"', '\'']) {
        return shown;
    }
    let mut out = String::with_capacity(shown.len() + 16);
    for character in shown.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    Cow::Owned(out)
}
