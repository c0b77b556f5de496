//! How a figure was reckoned, on paper.

use super::paper::Paper;
use crate::advice::say::reckoning::Told;

/// The claim, line under line, and what there is to say about it.
pub(super) fn text(paper: &mut Paper, told: &Told) {
    paper.paragraph("", &told.claim);
    for line in told.sums() {
        paper.line(&line);
    }
    for (name, text) in told.rest() {
        paper.paragraph("  ", &format!("{name}: {text}"));
    }
}
