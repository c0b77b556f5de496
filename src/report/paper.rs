//! A page of text: at most 80 columns, plain letters where asked.

use unicode_width::UnicodeWidthStr;

use crate::report::format::{TEXT_WIDTH, wrap};

/// Text growing line by line.
#[derive(Debug, Clone, Default)]
pub(super) struct Paper {
    out: String,
    ascii: bool,
}

impl Paper {
    /// An empty page.
    pub(super) fn new(ascii: bool) -> Self {
        Self { out: String::new(), ascii }
    }

    /// The text written.
    pub(super) fn finish(self) -> String {
        self.out
    }

    /// One line as it is.
    pub(super) fn line(&mut self, text: &str) {
        self.out.push_str(crate::report::format::plain(text, self.ascii).trim_end());
        self.out.push('\n');
    }

    /// A paragraph, wrapped; lines after the first stand under the first letter after `mark`.
    pub(super) fn paragraph(&mut self, mark: &str, text: &str) {
        for line in wrap(&format!("{mark}{text}"), TEXT_WIDTH, mark.width()) {
            self.line(&line);
        }
    }

    /// Paragraphs each with the same mark.
    pub(super) fn list(&mut self, mark: &str, texts: &[String]) {
        for text in texts {
            self.paragraph(mark, text);
        }
    }

    /// An empty line and a heading in a line across the page.
    pub(super) fn heading(&mut self, title: &str) {
        let stroke = if self.ascii { "-" } else { "─" };
        let start = format!("{stroke} {title} ");
        self.line("");
        self.line(&format!("{start}{}", stroke.repeat(TEXT_WIDTH.saturating_sub(start.width()))));
    }

    /// Label and value side by side, the value wrapped under itself.
    pub(super) fn pair(&mut self, label: &str, value: &str) {
        const LABEL: usize = 12;
        for (i, line) in wrap(value, TEXT_WIDTH - LABEL, 0).iter().enumerate() {
            self.line(&format!("{:<LABEL$}{line}", if i == 0 { label } else { "" }));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_wider_than_the_page() {
        for ascii in [false, true] {
            let mut paper = Paper::new(ascii);
            paper.heading("What was found");
            paper.pair("Sharpener", &"a rather long name ".repeat(9));
            paper.list("- ", &["word ".repeat(40), "x".repeat(200)]);
            let text = paper.finish();
            assert!(text.lines().all(|line| line.width() <= TEXT_WIDTH), "{text}");
            assert_eq!(text.is_ascii(), ascii);
        }
    }
}
