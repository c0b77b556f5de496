//! Free text from people, files and instruments, made safe to print.
//!
//! A name or a note may carry escape sequences or characters that turn the text round; on a
//! terminal, in a page or in a spreadsheet they act instead of being read. They are shown as
//! `\u{..}` and never printed raw.

/// Longest free text kept, in characters.
pub const MAX_TEXT: usize = 200;

/// True for a character that must not be printed raw: control characters (C0, DEL, C1), bidirectional overrides and
/// isolates, zero-width characters and the byte-order mark.
pub fn is_unsafe(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}')
}

/// The text in one line, unsafe characters written out, at most [`MAX_TEXT`] characters of it.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars().take(MAX_TEXT) {
        match c {
            '\t' | '\n' | '\r' => out.push(' '),
            c if is_unsafe(c) => out.extend(c.escape_unicode()),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_and_turned_text_are_written_out() {
        assert_eq!(clean("\u{1b}[31mred"), "\\u{1b}[31mred");
        assert_eq!(clean("a\u{202e}b\u{200b}c\u{9b}d"), "a\\u{202e}b\\u{200b}c\\u{9b}d");
        assert_eq!(clean("  two\nlines\t "), "two lines");
    }

    #[test]
    fn long_text_is_cut() {
        assert_eq!(clean(&"x".repeat(500)).len(), MAX_TEXT);
    }
}
