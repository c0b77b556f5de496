//! Lines from standard input, with a thread of its own that waits for them: a person at a keyboard, an instrument that types, or a
//! script.

use std::io::{self, Read};
use std::thread;
use std::time::{Duration, Instant};

use super::lines::{Line, Lines};

/// Longest line kept; more is not an answer.
const MOST: usize = 4096;
/// A blank line that comes within this time of another is the second half of its end: a terminal turns CR LF into two line ends, and
/// no hand is that fast.
const SECOND_HALF: Duration = Duration::from_millis(120);

/// What is heard of standard input.
#[derive(Debug)]
pub(crate) enum Typed {
    /// A line.
    Line(Line),
    /// Nothing more will come, with the error where that is why.
    End(io::Result<()>),
}

/// Starts listening. `by_hand` where a terminal sends; `tell` returns false once nobody listens any more.
pub(crate) fn listen(from: impl Read + Send + 'static, by_hand: bool, tell: impl Fn(Typed) -> bool + Send + 'static) {
    thread::spawn(move || {
        let mut lines = Lines::new(from, MOST);
        let mut last: Option<Instant> = None;
        loop {
            let line = match lines.read_line() {
                Ok(Some(line)) => line,
                end => {
                    tell(Typed::End(end.map(drop)));
                    return;
                }
            };
            let now = Instant::now();
            let before = last.take();
            if line != Line::Whole(String::new()) {
                last = Some(now);
            } else if by_hand && before.is_some_and(|before| now.duration_since(before) < SECOND_HALF) {
                continue;
            }
            if !tell(Typed::Line(line)) {
                return;
            }
        }
    });
}
