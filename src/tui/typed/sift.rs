//! Takes a terminal's own replies out of what is typed.
//!
//! Keys and replies both begin with Esc and are told apart by what follows (ECMA-48: control sequences end with a byte
//! from `@` to `~`, strings with ST; the replies are those that xterm's list of control sequences names). What turns out
//! to be neither, because somebody pressed Alt and a bracket, is handed on as it came: nothing typed is lost.
//!
//! A line may be so slow that Esc comes alone. Then it is a key, since nobody waits longer for one, but the rest is still
//! known by how it begins and is no text: only the key was pressed.

use std::time::{Duration, Instant};

/// For this long a lone Esc may still be the beginning of a sequence: longer than a network takes between two halves of one,
/// shorter than anybody waits for.
const ESC_ALONE: Duration = Duration::from_millis(120);
/// For this long the rest of a reply is waited for; then what is typed counts again.
const LATE: Duration = Duration::from_secs(10);
/// Most bytes of a reply, and of a paste.
const LONGEST: usize = 4096;
const LONGEST_PASTE: usize = 1 << 20;

const ESC: u8 = 0x1b;
const BEL: u8 = 0x07;
const PASTE: &[u8] = b"\x1b[200~";
const PASTE_END: &[u8] = b"\x1b[201~";

/// What is left of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    /// Bytes of one key or of the mouse; of a letter beyond ASCII one by one.
    Key(Vec<u8>),
    /// A pasted text.
    Paste(String),
}

/// Where in a sequence the next byte stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Within {
    #[default]
    Nothing,
    /// After Esc.
    Escape,
    /// After `Esc O`: one byte more.
    Third,
    /// After `Esc [`.
    Control,
    /// In three bytes of the mouse that mean nothing by themselves; so many are still to come.
    Mouse(u8),
    /// After what may begin a string.
    MaybeText,
    /// In a string that is a reply.
    Text,
    /// In a string, after Esc.
    TextEnd,
    /// In a pasted text.
    Paste,
}

/// Sifts byte by byte.
#[derive(Debug, Default)]
pub(super) struct Sift {
    within: Within,
    /// Bytes of the sequence so far.
    held: Vec<u8>,
    /// When the last byte came.
    last: Option<Instant>,
    /// What was handed on as a key, with nothing since: what follows may still be the rest of a reply.
    after: After,
    /// The Esc of what is held was handed on already.
    handed: bool,
}

/// What of a reply was handed on because its rest did not come in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum After {
    #[default]
    Nothing,
    /// A lone Esc.
    Escape,
    /// The letter of a string behind it.
    Letter,
}

impl Sift {
    /// How long to wait for the next byte before [`Sift::quiet`] is due; none where nothing is in doubt.
    pub(super) fn patience(&self) -> Option<Duration> {
        (self.within == Within::Escape || self.is_letter()).then_some(ESC_ALONE)
    }

    /// A letter after a lone Esc is held: one that a hand typed, or the beginning of a string.
    fn is_letter(&self) -> bool {
        self.handed && matches!(self.held[..], [ESC, b'P' | b'_'])
    }

    /// Nothing came for that long: Esc was a key of its own.
    pub(super) fn quiet(&mut self, out: &mut Vec<Piece>) {
        if self.within == Within::Escape {
            self.hand_on(out);
            self.after = After::Escape;
        } else if self.is_letter() {
            self.as_typed(out);
            self.after = After::Letter;
        }
    }

    /// Takes a byte that came at that time.
    pub(super) fn take(&mut self, byte: u8, now: Instant, out: &mut Vec<Piece>) {
        let pause = self.last.replace(now).map_or(Duration::ZERO, |last| now.duration_since(last));
        let after = std::mem::take(&mut self.after);
        let after = if pause <= LATE { after } else { After::Nothing };
        // The rest never came.
        if pause > LATE && !matches!(self.within, Within::Nothing | Within::Paste) {
            self.drop_held();
        }
        match self.within {
            Within::Nothing => self.begin(byte, after, out),
            Within::Escape => self.escape(byte, out),
            Within::Third => self.end(byte, out),
            Within::Control => self.control(byte, out),
            Within::Mouse(left) => {
                self.held.push(byte);
                self.within = Within::Mouse(left - 1);
                if left == 1 {
                    self.hand_on(out);
                }
            }
            Within::MaybeText => self.maybe_text(byte, out),
            Within::Text => self.text(byte),
            Within::TextEnd if byte == b'\\' => self.drop_held(),
            Within::TextEnd => {
                self.drop_held();
                // Right behind it a key that begins with Esc; later, one that stands alone.
                self.within = if pause < ESC_ALONE { Within::Escape } else { Within::Nothing };
                self.held = if pause < ESC_ALONE { vec![ESC] } else { Vec::new() };
                self.take(byte, now, out);
            }
            Within::Paste => self.paste(byte, out),
        }
    }

    fn begin(&mut self, byte: u8, after: After, out: &mut Vec<Piece>) {
        match (byte, after) {
            (ESC, _) => {
                self.held = vec![ESC];
                self.within = Within::Escape;
            }
            (b'[' | b']' | b'P' | b'_', After::Escape) => {
                (self.held, self.handed) = (vec![ESC], true);
                self.escape(byte, out);
            }
            // Nobody begins a word like that.
            (b'>' | b'!', After::Letter) => {
                (self.held, self.handed) = (vec![ESC, b'P'], true);
                self.maybe_text(byte, out);
            }
            _ => out.push(Piece::Key(vec![byte])),
        }
    }

    fn escape(&mut self, byte: u8, out: &mut Vec<Piece>) {
        if byte == ESC {
            out.push(Piece::Key(vec![ESC]));
            return;
        }
        self.held.push(byte);
        self.within = match byte {
            b'[' => Within::Control,
            b'O' => Within::Third,
            b']' | b'P' | b'_' => Within::MaybeText,
            // Alt and a key.
            _ => return self.hand_on(out),
        };
    }

    fn end(&mut self, byte: u8, out: &mut Vec<Piece>) {
        self.held.push(byte);
        self.hand_on(out);
    }

    fn control(&mut self, byte: u8, out: &mut Vec<Piece>) {
        self.held.push(byte);
        let body = &self.held[2..];
        match body {
            // Function keys of the Linux console: `Esc [ [ A`.
            b"[" => {}
            [b'[', _] => self.hand_on(out),
            b"M" => self.within = Within::Mouse(3),
            _ if self.held == PASTE => {
                self.within = Within::Paste;
                self.held.clear();
            }
            [.., 0x40..=0x7e] if is_key(body) => self.hand_on(out),
            [.., 0x40..=0x7e] => self.drop_held(),
            [.., 0x30..=0x3f] if !body.iter().any(|byte| matches!(byte, 0x20..=0x2f)) && body.len() < LONGEST => {}
            [.., 0x20..=0x2f] if body.len() < LONGEST => {}
            _ => self.as_typed(out),
        }
    }

    fn maybe_text(&mut self, byte: u8, out: &mut Vec<Piece>) {
        self.held.push(byte);
        let sure = match &self.held[1..] {
            [b']', b'l' | b'L'] | [b'_', b'G'] | [b']', _, .., b';'] | [b'P', .., b'>' | b'!' | b'$' | b'+' | b'|'] => {
                Some(true)
            }
            [b']', .., b'0'..=b'9'] | [b'P', .., b'0'..=b'9' | b';'] => None,
            _ => Some(false),
        };
        match sure {
            Some(true) => self.within = Within::Text,
            Some(false) => self.as_typed(out),
            None => {}
        }
    }

    fn text(&mut self, byte: u8) {
        self.held.push(byte);
        match byte {
            ESC => self.within = Within::TextEnd,
            // BEL ends it; any other control byte is none of a reply, so its end was lost, and the key that shows it with it.
            BEL | 0..=0x1f => self.drop_held(),
            _ if self.held.len() > LONGEST => self.drop_held(),
            _ => {}
        }
    }

    fn paste(&mut self, byte: u8, out: &mut Vec<Piece>) {
        self.held.push(byte);
        let ended = self.held.ends_with(PASTE_END);
        if ended || self.held.len() > LONGEST_PASTE {
            let text = if ended { &self.held[..self.held.len() - PASTE_END.len()] } else { &[] };
            out.push(Piece::Paste(String::from_utf8_lossy(text).into_owned()));
            self.drop_held();
        }
    }

    /// What is held is one key.
    fn hand_on(&mut self, out: &mut Vec<Piece>) {
        (self.within, self.handed) = (Within::Nothing, false);
        out.push(Piece::Key(std::mem::take(&mut self.held)));
    }

    /// What is held is no sequence at all: Alt and a key, and the keys after it.
    fn as_typed(&mut self, out: &mut Vec<Piece>) {
        let held = std::mem::take(&mut self.held);
        self.within = Within::Nothing;
        // An Esc that was a key by itself is not pressed once more.
        let alone = std::mem::take(&mut self.handed);
        let (first, rest) = held.split_at(held.len().min(2));
        out.push(Piece::Key(if alone { first[1..].to_vec() } else { first.to_vec() }));
        out.extend(rest.iter().map(|byte| Piece::Key(vec![*byte])));
    }

    fn drop_held(&mut self) {
        (self.within, self.handed) = (Within::Nothing, false);
        self.held.clear();
    }
}

/// True where the rest of a control sequence is that of a key or of the mouse.
fn is_key(body: &[u8]) -> bool {
    let Some((last, between)) = body.split_last() else { return false };
    let numbers = between.iter().all(|byte| matches!(byte, b'0'..=b'9' | b';' | b':'));
    match last {
        b'A'..=b'F' | b'H' | b'P' | b'Q' | b'S' | b'Z' | b'~' | b'u' => numbers,
        b'M' | b'm' => between.first() == Some(&b'<') || (numbers && *last == b'M'),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Replies of terminals, as xterm's list of control sequences has them.
    const REPLIES: [&str; 16] = [
        "\x1b]11;rgb:1e1e/1e1e/2e2e\x1b\\",
        "\x1b]10;rgb:ffff/ffff/ffff\x07",
        "\x1b]4;1;rgb:cdcd/0000/0000\x07",
        "\x1b]52;c;aGVsbG8=\x1b\\",
        "\x1b]lterminal\x1b\\",
        "\x1b[12;40R",
        "\x1b[?12;40;1R",
        "\x1b[?62;4;22c",
        "\x1b[>41;354;0c",
        "\x1bP!|00000000\x1b\\",
        "\x1bP>|terminal 1.2\x1b\\",
        "\x1bP1$r0m\x1b\\",
        "\x1b[?2026;2$y",
        "\x1b[8;24;80t",
        "\x1b[I",
        "\x1b[O",
    ];

    /// Feeds the parts with that pause between them; what is left, as text.
    fn left(parts: &[&str], pause: Duration) -> String {
        let (mut sift, mut out, mut now) = (Sift::default(), Vec::new(), Instant::now());
        for part in parts {
            for byte in part.bytes() {
                sift.take(byte, now, &mut out);
            }
            if sift.patience().is_some_and(|patience| patience <= pause) {
                sift.quiet(&mut out);
            }
            now += pause;
        }
        let bytes = out.into_iter().flat_map(|piece| match piece {
            Piece::Key(bytes) => bytes,
            Piece::Paste(text) => format!("<{text}>").into_bytes(),
        });
        String::from_utf8(bytes.collect()).unwrap()
    }

    #[test]
    fn a_reply_leaves_nothing_whole_or_in_pieces_at_once_or_late() {
        for reply in REPLIES {
            for (before, after) in [("", "8"), ("8", "."), ("\r", "\x1b[A")] {
                let whole = left(&[before, reply, after], Duration::from_millis(5));
                assert_eq!(whole, format!("{before}{after}"), "{reply:?}");
            }
            for at in 1..reply.len() {
                let (head, tail) = reply.split_at(at);
                for pause in [50, 100, 1000, 5000].map(Duration::from_millis) {
                    // A lone Esc that nothing follows for that long is a key; still none of the rest is typed.
                    let key = if at == 1 && pause >= ESC_ALONE { "\x1b" } else { "" };
                    let late = left(&[head, tail, "8"], pause);
                    assert_eq!(late, format!("{key}8"), "{head:?} {tail:?} {pause:?}");
                }
            }
        }
    }

    #[test]
    fn the_rest_of_a_reply_whose_esc_came_alone_is_no_text_however_it_is_cut() {
        for reply in REPLIES {
            for at in 2..reply.len() {
                for pause in [130, 1000, 5000].map(Duration::from_millis) {
                    let late = left(&[&reply[..1], &reply[1..at], &reply[at..], "8"], pause);
                    // The letter of a string that comes alone too is a letter, as if a hand had typed it.
                    let letter = at == 2 && reply.starts_with("\x1bP") && !reply.starts_with("\x1bP1");
                    let typed = if letter { "\x1bP8" } else { "\x1b8" };
                    if !(at == 2 && reply.starts_with("\x1bP1")) {
                        assert_eq!(late, typed, "{reply:?} {at} {pause:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_a_hand_types_after_esc_comes_once_and_whole() {
        for pause in [130, 300, 2000].map(Duration::from_millis) {
            for typed in ["[8,56\r", "]8\r", "Peter\r", "P.8\r", "_8\r", "8.56\r"] {
                assert_eq!(left(&["\x1b", typed], pause), format!("\x1b{typed}"), "{pause:?}");
                let keys: Vec<&str> = std::iter::once("\x1b").chain(typed.split_inclusive(|_| true)).collect();
                assert_eq!(left(&keys, pause), format!("\x1b{typed}"), "{pause:?}");
            }
        }
    }

    #[test]
    fn keys_pass_as_they_come() {
        let keys = [
            "8.56\r",
            "\x1b[A",
            "\x1b[1;5D",
            "\x1bOP",
            "\x1b[15~",
            "\x1b[[A",
            "\x1b[<0;3;4M",
            "\x1b[M !!",
            "\x1bx",
            "ä",
        ];
        for key in keys {
            assert_eq!(left(&[key], Duration::from_millis(1)), key, "{key:?}");
        }
        assert_eq!(left(&["\x1b", "8"], Duration::from_millis(200)), "\x1b8");
        assert_eq!(left(&["\x1b\x1b"], Duration::from_millis(200)), "\x1b\x1b");
        assert_eq!(left(&["\x1b[200~8.1\n\x1b[A\x1b[201~8"], Duration::ZERO), "<8.1\n\x1b[A>8");
    }

    #[test]
    fn nothing_typed_is_lost_where_somebody_pressed_alt_and_a_bracket() {
        assert_eq!(left(&["\x1b]", "8.56\r"], Duration::from_millis(300)), "\x1b]8.56\r");
        assert_eq!(left(&["\x1b[", "8,56\r"], Duration::from_millis(300)), "\x1b[8,56\r");
        assert_eq!(left(&["\x1bP", "eter\r"], Duration::from_millis(300)), "\x1bPeter\r");
    }

    #[test]
    fn a_reply_without_its_end_does_not_take_what_is_typed_much_later() {
        assert_eq!(left(&["\x1b]11;rgb:1e1e", "8.56\r"], Duration::from_secs(11)), "8.56\r");
        // Sooner, the Enter that shows it is not taken for an answer.
        assert_eq!(left(&["\x1b]11;rgb:1e1e", "8.56\r", "8"], Duration::from_secs(1)), "8");
    }
}
