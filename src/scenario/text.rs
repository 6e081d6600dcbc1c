//! Text that stays on its line, whoever wrote it.

/// Text on one line: control characters escaped, cut after `most` characters.
#[must_use]
pub fn printable(text: &str, most: usize) -> String {
    let mut out = String::new();
    for (i, c) in text.chars().enumerate() {
        if i == most {
            out.push('…');
            break;
        }
        if is_plain(c) { out.push(c) } else { out.extend(c.escape_default()) }
    }
    out
}

/// Whether a character stands on its line and leaves its neighbours where they are: no control characters, no marks that
/// turn the direction of the text around.
pub(super) fn is_plain(c: char) -> bool {
    !c.is_control() && !matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}
