//! How a figure was reckoned, on paper.

use unicode_width::UnicodeWidthStr;

use super::paper::Paper;
use crate::advice::say::reckoning::Told;
use crate::report::format::TEXT_WIDTH;

/// The claim, line under line, and what there is to say about it.
pub(super) fn text(paper: &mut Paper, told: &Told) {
    paper.paragraph("", &told.claim);
    for line in told.sums() {
        // A long name of a loop breaks its line.
        if line.width() <= TEXT_WIDTH { paper.line(&line) } else { paper.paragraph("  ", line.trim_start()) }
    }
    for (name, text) in told.rest() {
        paper.paragraph("  ", &format!("{name}: {text}"));
    }
}
