//! What to show where a round ends: at the proof, at a loop that is spent, at the sign-off.

use super::{JUDGE_BY_FIT, Prompt, choices, plain};
use crate::advice::{AngleWord, CutterFinding, Findings, GapWord, LengthWord, cautions};
use crate::coach::Coach;
use crate::round::{Cutter, Step};

/// What is done after the last stroke, before the loop runs again.
///
/// Source: operator manuals (burrs off with hardwood; filings cleaned off; groove and oil hole cleaned, the bar turned).
const BEFORE_IT_RUNS: [(&str, &str); 3] = [
    ("burrs", "draw hardwood along the edges"),
    ("clean", "filings off the loop; groove and oil hole of the bar"),
    ("bar", "turn it over, rail burrs off; oil the chain"),
];

impl Coach {
    pub(super) fn prove_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let count = findings.redo.len();
        let mut prompt = plain(step, "Proof", "", "");
        prompt.field = "cutter, or 0".into();
        if count == 0 {
            prompt.now = "Nothing to redo. Enter goes on to sign-off.".into();
            prompt.enter = "go on to sign-off";
        } else {
            let what = if count == 1 { "One thing".to_owned() } else { format!("{count} things") };
            prompt.now = format!("{what} to redo. Enter goes to the first; 0 goes on as it is.");
            prompt.enter = "go to the first";
        }
        let open = not_proven(findings);
        if !open.is_empty() {
            prompt.facts.push(("not proven".to_owned(), open));
        }
        let left_low = |found: &&CutterFinding| {
            found.gap.word == GapWord::Low && self.round.cutter(found.number).is_some_and(Cutter::is_raker_left)
        };
        let low: Vec<String> = findings.cutters.iter().filter(left_low).map(|found| found.number.to_string()).collect();
        if !low.is_empty() {
            prompt.facts.push(("left too low".to_owned(), format!("raker of {}", low.join(", "))));
        }
        if let Some(whole) = &findings.gaps.whole {
            prompt.facts.push(("all rakers".to_owned(), whole.words(self.round.header.units)));
            let fits = whole.fits().map(|rule| (JUDGE_BY_FIT.to_owned(), format!("judge them by the {}", rule.word())));
            prompt.choices.extend(fits);
        }
        for redo in &findings.redo {
            prompt.choices.push((redo.cutter.to_string(), redo.words(self.round.header.units)));
        }
        prompt
    }

    pub(super) fn spent_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let now = "NOT READY: every cutter kept is at its witness mark. It can be closed as spent, not signed off.";
        let mut prompt = plain(step, "Spent", now, "");
        prompt.field = "record it".into();
        prompt.facts.push(("changeover".to_owned(), findings.changeover.words(self.round.header.units)));
        prompt.choices = choices(&[("1", "record that it is spent and end this round")]);
        prompt
    }

    pub(super) fn sign_prompt(&self, step: Step, findings: &Findings) -> Prompt {
        let mut prompt = plain(step, "Sign off", "Read the sheet first. Type 1 and Enter to sign off.", "");
        if findings.status.is_stop() {
            prompt.now = format!("{}. Type 1 and Enter to sign off what was done.", findings.status.line());
        }
        prompt.field = "sign off".into();
        if self.asks_new_length() {
            // What stops the loop is said first.
            if findings.status.is_stop() {
                prompt.facts.push(("new cutter".to_owned(), self.new_length_question()));
            } else {
                prompt.now = self.new_length_question();
            }
            prompt.field = "new cutter, or 1".into();
        }
        prompt.facts.push(("changeover".to_owned(), findings.changeover.words(self.round.header.units)));
        prompt.choices = choices(&[("1", "sign this round off")]);
        prompt.facts.extend(BEFORE_IT_RUNS.map(|(name, text)| (name.to_owned(), text.to_owned())));
        let called_for = findings.cautions.iter().map(|caution| caution.words(self.round.header.units));
        let cautions = cautions::ALWAYS.iter().map(|text| (*text).to_owned()).chain(called_for);
        prompt.facts.extend(cautions.map(|text| ("caution".to_owned(), text)));
        prompt
    }
}

/// What stays too close to call, in a line: a proof says that as well.
fn not_proven(findings: &Findings) -> String {
    let of = |what: &str, is_open: &dyn Fn(&CutterFinding) -> bool| {
        let numbers: Vec<String> =
            findings.cutters.iter().filter(|found| is_open(found)).map(|found| found.number.to_string()).collect();
        match numbers.len() {
            0 => None,
            n if n > 6 => Some(format!("{what} of {n} cutters")),
            _ => Some(format!("{what} of {}", numbers.join(", "))),
        }
    };
    let length = |found: &CutterFinding| found.target.is_some() && found.length.word == LengthWord::Again;
    let parts = [
        of("length", &length),
        of("angle", &|found| found.angle.word == AngleWord::Again),
        of("gap", &|found| found.gap.word == GapWord::Again),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}
