//! The list for the ear: each loop with its facts, one a line.

use super::{LoopPart, Loops, percent, stage_word, state_word};
use crate::report::words::day;

impl Loops {
    /// A line for each loop: tag, name, how it stands, what is left of it.
    pub fn lines(&self) -> Vec<String> {
        let line = |one: &LoopPart| {
            let left = one
                .life_left
                .map_or_else(|| "not measured".to_owned(), |left| format!("{} of its life left", percent(left.0)));
            let state = state_word(one.state, one.status.as_ref().map(|status| status.word)).to_lowercase();
            let open = if one.open && state != "open" { ", open round" } else { "" };
            format!("{}: {}, {state}{open}, {left}", one.tag, one.name)
        };
        self.shown.iter().map(line).chain(self.not_read.iter().cloned()).collect()
    }

    /// All that is known of each loop, a fact per line.
    pub fn facts(&self) -> Vec<String> {
        self.shown.iter().flat_map(LoopPart::facts).chain(self.not_read.iter().cloned()).collect()
    }
}

impl LoopPart {
    fn facts(&self) -> Vec<String> {
        let said = |label: &str, text: &str| (!text.is_empty()).then(|| format!("  {label}: {text}"));
        let state = state_word(self.state, self.status.as_ref().map(|status| status.word)).to_lowercase();
        let facts = [
            Some(format!("{} (tag {})", self.name, self.tag)),
            said("chain", &self.chain),
            Some(format!("  drive links: {}", self.links)),
            said("owner", &self.owner),
            said("saw", &self.saw),
            self.life_left.map(|left| format!("  life left: {}", percent(left.0))),
            said("raker gap", stage_word(self.state, self.stage)),
            self.last.as_deref().map(|last| format!("  last round: {}", day(last))),
            Some(format!("  state: {state}")),
        ];
        facts.into_iter().flatten().chain(self.notes().into_iter().map(|note| format!("  {note}"))).collect()
    }
}
