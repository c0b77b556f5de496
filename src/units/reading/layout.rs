//! Bursts that a keyboard adapter types when the keyboard settings of the computer do not suit it.

use std::fmt;

/// What is likely wrong with the keyboard settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LayoutHint {
    /// Top-row digits arrived as the signs on the same keys.
    ShiftedDigits,
    /// Keypad digits arrived as arrows, Home and End.
    NumLock,
}

impl fmt::Display for LayoutHint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::ShiftedDigits => {
                "Signs were read where digits are allowed. \
                 Check the keyboard layout and the Shift key, then send again."
            }
            Self::NumLock => {
                "Arrow keys were read where digits are allowed. Num Lock seems off: turn it on, then send again."
            }
        })
    }
}

/// Signs on the digit keys that never belong to a reading. From memory: the unshifted top row of
/// French and Czech keyboards, the shifted top row of US, British and German ones.
const ONLY_ON_DIGIT_KEYS: &str = "&é(è_çà)!@#$%^*§£ěščřžýáí";
/// Signs on the digit keys, or typed for the decimal point beside them, that may also be part of a reading.
const ALSO_ELSEWHERE: &str = "\"'-+/=.,;:";

/// True when a text holds no digit and no other letter than those that stand on digit keys, such as `è;à(` for `7.05`
/// on a French layout.
fn looks_like_shifted_digits(text: &str) -> bool {
    let text = text.trim();
    text.chars().all(|c| ONLY_ON_DIGIT_KEYS.contains(c) || ALSO_ELSEWHERE.contains(c))
        && text.chars().any(|c| ONLY_ON_DIGIT_KEYS.contains(c))
}

/// True when a text consists of nothing but the escape sequences of arrows, Home, End, Insert,
/// Delete and page keys: what a keypad sends without Num Lock.
fn looks_like_navigation(text: &str) -> bool {
    let mut rest = text.trim();
    let mut found = false;
    while let Some(after) = rest.strip_prefix('\u{1b}') {
        let Some(after) = after.strip_prefix(['[', 'O']) else { return false };
        let after = after.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';');
        let Some(after) = after.strip_prefix(['A', 'B', 'C', 'D', 'E', 'F', 'H', '~']) else { return false };
        rest = after;
        found = true;
    }
    found && rest.is_empty()
}

pub(super) fn hint(text: &str) -> Option<LayoutHint> {
    if looks_like_navigation(text) {
        Some(LayoutHint::NumLock)
    } else if looks_like_shifted_digits(text) {
        Some(LayoutHint::ShiftedDigits)
    } else {
        None
    }
}
