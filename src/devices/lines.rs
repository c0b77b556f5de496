//! The one reader of lines: from standard input, a device, a pipe or a file.
//!
//! A line ends with LF, with CR, or with both; it is handed over at its CR, without waiting for what may follow. What the end of
//! the input cuts off is no line.

use std::io::{self, ErrorKind, Read};

/// What was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// A line, without its end; it may be blank.
    Whole(String),
    /// What stood before the end of the input without a line end: more may have been meant.
    Unfinished(String),
}

/// Lines out of bytes; of an over-long one only the beginning, while the rest is thrown away.
#[derive(Debug)]
pub struct Lines<R> {
    source: R,
    most: usize,
    chunk: Box<[u8; 4096]>,
    /// The part of the chunk that has not been looked at yet.
    rest: std::ops::Range<usize>,
    begun: Vec<u8>,
    after_cr: bool,
    /// The last read brought as much as it could: more is waiting.
    flooding: bool,
}

impl<R: Read> Lines<R> {
    /// Reads from a source; at most `most` bytes of a line are kept.
    pub fn new(source: R, most: usize) -> Self {
        let chunk = Box::new([0; 4096]);
        Self { source, most, chunk, rest: 0..0, begun: Vec::new(), after_cr: false, flooding: false }
    }

    /// The next line; `None` at the end of the input, which may be asked again where it can grow.
    ///
    /// # Errors
    /// The source cannot be read. What it had sent of a line comes first, as unfinished.
    pub fn read_line(&mut self) -> io::Result<Option<Line>> {
        loop {
            if self.rest.is_empty() {
                let read = match self.source.read(&mut self.chunk[..]) {
                    Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                    Err(error) if self.begun.is_empty() => return Err(error),
                    read => read.unwrap_or(0),
                };
                self.flooding = read == self.chunk.len();
                self.rest = 0..read;
                if read == 0 {
                    let text = self.take();
                    return Ok((!text.is_empty()).then_some(Line::Unfinished(text)));
                }
            }
            let byte = self.chunk[self.rest.start];
            self.rest.start += 1;
            let second_half = std::mem::take(&mut self.after_cr) && byte == b'\n';
            match byte {
                b'\n' if second_half => {}
                b'\n' | b'\r' => {
                    self.after_cr = byte == b'\r';
                    return Ok(Some(Line::Whole(self.take())));
                }
                byte if self.begun.len() < self.most => self.begun.push(byte),
                _ => {}
            }
        }
    }

    /// Goes on with an unfinished line, where its input grows.
    pub(super) fn go_on(&mut self, unfinished: &str) {
        self.begun = unfinished.as_bytes().to_vec();
    }

    /// True once after each read that left more waiting.
    pub(super) const fn is_flooding(&mut self) -> bool {
        std::mem::replace(&mut self.flooding, false)
    }

    fn take(&mut self) -> String {
        String::from_utf8_lossy(&std::mem::take(&mut self.begun)).into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives out its bytes in pieces of this many.
    struct Pieces<'a>(&'a [u8], usize);

    impl Read for Pieces<'_> {
        fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
            let n = self.1.min(self.0.len()).min(to.len());
            to[..n].copy_from_slice(&self.0[..n]);
            self.0 = &self.0[n..];
            Ok(n)
        }
    }

    fn read(bytes: &[u8], piece: usize) -> Vec<Line> {
        let mut lines = Lines::new(Pieces(bytes, piece), 8);
        std::iter::from_fn(|| lines.read_line().unwrap()).collect()
    }

    fn whole(text: &str) -> Line {
        Line::Whole(text.to_owned())
    }

    #[test]
    fn every_line_end_ends_one_line_however_the_bytes_come() {
        for end in ["\n", "\r", "\r\n"] {
            let bytes = ["8.05", "", "8.10", "8.15"].map(|line| format!("{line}{end}")).concat();
            for piece in [1, 2, 3, 5, 64] {
                assert_eq!(
                    read(bytes.as_bytes(), piece),
                    [whole("8.05"), whole(""), whole("8.10"), whole("8.15")],
                    "{end:?} {piece}"
                );
            }
        }
    }

    #[test]
    fn what_the_end_cuts_off_is_no_line() {
        assert_eq!(read(b"8.05\n7.9", 3), [whole("8.05"), Line::Unfinished("7.9".to_owned())]);
    }

    #[test]
    fn an_endless_line_is_one_line_and_no_flood() {
        let noise = [vec![b'x'; 10_000], b"\r8.05\r".to_vec()].concat();
        assert_eq!(read(&noise, 4096), [whole("xxxxxxxx"), whole("8.05")]);
    }

    #[test]
    fn a_line_is_handed_over_at_its_carriage_return() {
        struct Once(bool);
        impl Read for Once {
            fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
                assert!(!std::mem::replace(&mut self.0, true), "waits for what may follow");
                to[..3].copy_from_slice(b"8.\r");
                Ok(3)
            }
        }
        assert_eq!(Lines::new(Once(false), 8).read_line().unwrap(), Some(whole("8.")));
    }
}
