//! Free text from people, files and instruments, made safe to print.
//!
//! A name or a note may carry escape sequences or characters that turn the text round; on a
//! terminal, in a page or in a spreadsheet they act instead of being read. They are shown as
//! `\u{..}` and never printed raw.

/// Longest free text kept, in characters.
pub(crate) const MAX_TEXT: usize = 200;

/// True for a character that must not be printed raw: control characters (C0, DEL, C1), bidirectional overrides and
/// isolates, zero-width characters and the byte-order mark.
pub fn is_unsafe(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}')
}

/// The text in one line, unsafe characters written out, at most [`MAX_TEXT`] characters of it.
pub(crate) fn clean(text: &str) -> String {
    let text = text.trim();
    // Nearly all texts are clean and short: they are copied as they stand.
    if text.len() <= MAX_TEXT && !text.chars().any(is_unsafe) {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut kept = 0;
    for c in text.chars() {
        let piece = match c {
            '\t' | '\n' | '\r' => " ".to_owned(),
            c if is_unsafe(c) => c.escape_unicode().to_string(),
            c => c.to_string(),
        };
        kept += piece.chars().count();
        if kept > MAX_TEXT {
            break;
        }
        out.push_str(&piece);
    }
    out.truncate(out.trim_end().len());
    out
}

/// The text with its lines, unsafe characters written out.
pub(crate) fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c != '\n' && is_unsafe(c) { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    out
}

/// True for what Windows takes for a device, with any ending and in any folder: nothing may be called that on any
/// system, so that a data folder can be carried there.
fn is_device(name: &str) -> bool {
    let numbered = |number: &str| matches!(number.as_bytes(), [b'0'..=b'9']);
    matches!(name, "con" | "prn" | "aux" | "nul")
        || name.strip_prefix("com").or_else(|| name.strip_prefix("lpt")).is_some_and(numbered)
}

/// True for a name that is safe as a file name everywhere: 1 to 40 of `a-z`, `0-9` and `-`, not starting or
/// ending with `-`.
pub(crate) fn is_slug(name: &str) -> bool {
    (1..=40).contains(&name.len())
        && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !name.starts_with('-')
        && !name.ends_with('-')
        && !is_device(name)
}

/// A slug made from free text, `None` where nothing of it can be kept.
pub(crate) fn slug(text: &str) -> Option<String> {
    let mut out = String::new();
    for c in text.chars().map(|c| c.to_ascii_lowercase()) {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    out.truncate(40);
    let out = out.trim_end_matches('-').to_owned();
    is_slug(&out).then_some(out)
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
    fn a_slug_never_leaves_its_folder() {
        for bad in ["", ".", "..", "a/b", "a\\b", "-x", "x-", "con", "Big", "a b"] {
            assert!(!is_slug(bad), "{bad}");
        }
        assert_eq!(slug("Big saw, No. 2 "), Some("big-saw-no-2".to_owned()));
        assert_eq!(slug("../.."), None);
    }

    #[test]
    fn nothing_is_called_like_a_device() {
        let numbered = ["com", "lpt"].into_iter().flat_map(|device| (0..=9).map(move |n| format!("{device}{n}")));
        for device in ["con", "prn", "aux", "nul"].into_iter().map(str::to_owned).chain(numbered) {
            assert!(!is_slug(&device), "{device}");
            assert_eq!(slug(&device.to_uppercase()), None, "{device}");
        }
        for name in ["com", "com10", "lpt-1", "console", "nul-2"] {
            assert!(is_slug(name), "{name}");
        }
    }

    #[test]
    fn long_text_is_cut() {
        assert_eq!(clean(&"x".repeat(500)).len(), MAX_TEXT);
        for text in ["x \u{1b}".repeat(99), " a ".repeat(99)] {
            assert_eq!(clean(&clean(&text)), clean(&text));
        }
    }
}
