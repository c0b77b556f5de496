//! Bytes of keys and of the mouse as events, after xterm's list of control sequences.

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

/// Makes events; keeps the beginning of a letter whose bytes come one by one.
#[derive(Debug, Default)]
pub(super) struct Keys {
    letter: Vec<u8>,
}

impl Keys {
    /// The event of a piece; none for what means nothing here.
    pub(super) fn event(&mut self, bytes: &[u8]) -> Option<Event> {
        match bytes {
            [0x1b] => Some(Event::Key(KeyCode::Esc.into())),
            [0x1b, b'[', rest @ ..] if !rest.is_empty() => control(rest),
            [0x1b, b'O', last] => letter(*last).map(|code| Event::Key(code.into())),
            [0x1b, rest @ ..] => match self.event(rest)? {
                Event::Key(key) => Some(Event::Key(KeyEvent { modifiers: key.modifiers | KeyModifiers::ALT, ..key })),
                other => Some(other),
            },
            [byte] if byte.is_ascii() => {
                self.letter.clear();
                Some(Event::Key(plain(*byte)))
            }
            _ => self.beyond_ascii(bytes),
        }
    }

    fn beyond_ascii(&mut self, bytes: &[u8]) -> Option<Event> {
        self.letter.extend_from_slice(bytes);
        match std::str::from_utf8(&self.letter) {
            Ok(text) => {
                let key = text.chars().next().map(of_char);
                self.letter.clear();
                key.map(Event::Key)
            }
            Err(error) => {
                // No letter, however it went on.
                if error.error_len().is_some() {
                    self.letter.clear();
                }
                None
            }
        }
    }
}

fn of_char(c: char) -> KeyEvent {
    KeyEvent::new(KeyCode::Char(c), if c.is_uppercase() { KeyModifiers::SHIFT } else { KeyModifiers::NONE })
}

fn plain(byte: u8) -> KeyEvent {
    let control = |c: u8| KeyEvent::new(KeyCode::Char(char::from(c)), KeyModifiers::CONTROL);
    match byte {
        b'\r' => KeyCode::Enter.into(),
        b'\t' => KeyCode::Tab.into(),
        0x7f => KeyCode::Backspace.into(),
        0 => control(b' '),
        1..=0x1a => control(byte - 1 + b'a'),
        0x1c..=0x1f => control(byte - 0x1c + b'4'),
        _ => of_char(char::from(byte)),
    }
}

/// Keys by the last letter of their sequence.
const fn letter(last: u8) -> Option<KeyCode> {
    Some(match last {
        b'A' => KeyCode::Up,
        b'B' => KeyCode::Down,
        b'C' => KeyCode::Right,
        b'D' => KeyCode::Left,
        b'E' => KeyCode::KeypadBegin,
        b'F' => KeyCode::End,
        b'H' => KeyCode::Home,
        b'M' => KeyCode::Enter,
        b'P'..=b'S' => KeyCode::F(1 + last - b'P'),
        b'Z' => KeyCode::BackTab,
        _ => return None,
    })
}

/// Keys by the number before `~`.
const fn numbered(number: u32) -> Option<KeyCode> {
    // Up to a hundred.
    #[allow(clippy::cast_possible_truncation, reason = "numbers of function keys")]
    let number = number as u8;
    Some(match number {
        1 | 7 => KeyCode::Home,
        2 => KeyCode::Insert,
        3 => KeyCode::Delete,
        4 | 8 => KeyCode::End,
        5 => KeyCode::PageUp,
        6 => KeyCode::PageDown,
        11..=15 => KeyCode::F(number - 10),
        17..=21 => KeyCode::F(number - 11),
        23..=26 => KeyCode::F(number - 12),
        28..=29 => KeyCode::F(number - 13),
        31..=34 => KeyCode::F(number - 14),
        _ => return None,
    })
}

/// What follows `Esc [`, its last byte included.
fn control(rest: &[u8]) -> Option<Event> {
    let (last, between) = rest.split_last()?;
    if let [b'[', console @ b'A'..=b'E'] = rest {
        return Some(Event::Key(KeyCode::F(1 + console - b'A').into()));
    }
    let between = std::str::from_utf8(between).ok()?;
    if let Some(place) = between.strip_prefix('<') {
        return mouse(place, *last == b'M').map(Event::Mouse);
    }
    // Numbers of one parameter are separated by colons: a code and its like, a mask and what became of the key.
    let parameter = |at: usize| between.split(';').nth(at).unwrap_or("");
    let number = |text: &str, sub: usize| text.split(':').nth(sub).and_then(|n| n.parse::<u32>().ok());
    let (first, mask) = (number(parameter(0), 0), number(parameter(1), 0).unwrap_or(1));
    let code = match last {
        b'~' if first == Some(27) => coded(number(parameter(2), 0)?),
        b'~' => numbered(first?),
        b'u' => coded(first?),
        b'R' => None,
        letters => letter(*letters),
    }?;
    let shifted = if code == KeyCode::BackTab { KeyModifiers::SHIFT } else { KeyModifiers::NONE };
    let kind = match number(parameter(1), 1) {
        Some(2) => KeyEventKind::Repeat,
        Some(3) => KeyEventKind::Release,
        _ => KeyEventKind::Press,
    };
    Some(Event::Key(KeyEvent::new_with_kind(code, masked(mask) | shifted, kind)))
}

/// A key by the number of its character.
fn coded(number: u32) -> Option<KeyCode> {
    Some(match number {
        9 => KeyCode::Tab,
        13 => KeyCode::Enter,
        27 => KeyCode::Esc,
        127 => KeyCode::Backspace,
        other => KeyCode::Char(char::from_u32(other)?),
    })
}

/// Modifiers of a mask, which is one more than their sum.
fn masked(mask: u32) -> KeyModifiers {
    let held = mask.saturating_sub(1);
    let known = [(1, KeyModifiers::SHIFT), (2, KeyModifiers::ALT), (4, KeyModifiers::CONTROL)];
    known.into_iter().filter(|(bit, _)| held & bit != 0).map(|(_, modifier)| modifier).collect()
}

/// `button;column;row`, and whether it went down.
fn mouse(place: &str, down: bool) -> Option<MouseEvent> {
    let mut numbers = place.split(';').map(|n| n.parse::<u16>().ok());
    let (code, column, row) = (numbers.next()??, numbers.next()??, numbers.next()??);
    let button = match code & 0b11 {
        0 => MouseButton::Left,
        1 => MouseButton::Middle,
        _ => MouseButton::Right,
    };
    let kind = match (code & 0b1100_0000, code & 0b10_0000 != 0, code & 0b11) {
        (64, _, 0) => MouseEventKind::ScrollUp,
        (64, _, 1) => MouseEventKind::ScrollDown,
        (64.., _, _) => return None,
        (_, true, 3) => MouseEventKind::Moved,
        (_, true, _) => MouseEventKind::Drag(button),
        (_, false, _) if down => MouseEventKind::Down(button),
        (_, false, _) => MouseEventKind::Up(button),
    };
    let (column, row) = (column.saturating_sub(1), row.saturating_sub(1));
    Some(MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(bytes: &str) -> (KeyCode, KeyModifiers) {
        let mut keys = Keys::default();
        match keys.event(bytes.as_bytes()) {
            Some(Event::Key(key)) => (key.code, key.modifiers),
            other => panic!("{bytes:?}: {other:?}"),
        }
    }

    #[test]
    fn keys_are_what_terminals_send_for_them() {
        let (none, ctrl) = (KeyModifiers::NONE, KeyModifiers::CONTROL);
        for (bytes, code, modifiers) in [
            ("8", KeyCode::Char('8'), none),
            ("Q", KeyCode::Char('Q'), KeyModifiers::SHIFT),
            ("\r", KeyCode::Enter, none),
            ("\x03", KeyCode::Char('c'), ctrl),
            ("\x1f", KeyCode::Char('7'), ctrl),
            ("\x7f", KeyCode::Backspace, none),
            ("\x1b", KeyCode::Esc, none),
            ("\x1bx", KeyCode::Char('x'), KeyModifiers::ALT),
            ("\x1b[", KeyCode::Char('['), KeyModifiers::ALT),
            ("\x1b[A", KeyCode::Up, none),
            ("\x1bOA", KeyCode::Up, none),
            ("\x1b[1;5D", KeyCode::Left, ctrl),
            ("\x1b[Z", KeyCode::BackTab, KeyModifiers::SHIFT),
            ("\x1bOP", KeyCode::F(1), none),
            ("\x1b[11~", KeyCode::F(1), none),
            ("\x1b[[B", KeyCode::F(2), none),
            ("\x1b[15~", KeyCode::F(5), none),
            ("\x1b[17~", KeyCode::F(6), none),
            ("\x1b[24~", KeyCode::F(12), none),
            ("\x1b[25~", KeyCode::F(13), none),
            ("\x1b[5~", KeyCode::PageUp, none),
            ("\x1b[3;2~", KeyCode::Delete, KeyModifiers::SHIFT),
            ("\x1b[27;5;13~", KeyCode::Enter, ctrl),
            ("\x1b[105;5u", KeyCode::Char('i'), ctrl),
            ("ä", KeyCode::Char('ä'), none),
        ] {
            assert_eq!(key(bytes), (code, modifiers), "{bytes:?}");
        }
    }

    #[test]
    fn a_letter_in_two_bytes_is_one_key_and_half_of_one_is_none() {
        let mut keys = Keys::default();
        let [first, second] = *"ä".as_bytes() else { panic!("two bytes") };
        assert_eq!(keys.event(&[first]), None);
        assert_eq!(keys.event(&[second]), Some(Event::Key(KeyCode::Char('ä').into())));
        assert_eq!(keys.event(&[first]), None);
        assert_eq!(keys.event(b"8"), Some(Event::Key(KeyCode::Char('8').into())));
        assert_eq!(keys.event(&[second]), None);
    }

    #[test]
    fn the_mouse_tells_its_button_and_place() {
        let mut keys = Keys::default();
        let mut event = |bytes: &str| match keys.event(bytes.as_bytes()) {
            Some(Event::Mouse(mouse)) => Some((mouse.kind, mouse.column, mouse.row)),
            _ => None,
        };
        assert_eq!(event("\x1b[<0;5;24M"), Some((MouseEventKind::Down(MouseButton::Left), 4, 23)));
        assert_eq!(event("\x1b[<0;5;24m"), Some((MouseEventKind::Up(MouseButton::Left), 4, 23)));
        assert_eq!(event("\x1b[<64;1;1M"), Some((MouseEventKind::ScrollUp, 0, 0)));
        assert_eq!(event("\x1b[<65;1;1M"), Some((MouseEventKind::ScrollDown, 0, 0)));
        assert_eq!(event("\x1b[<35;2;2M"), Some((MouseEventKind::Moved, 1, 1)));
    }
}
