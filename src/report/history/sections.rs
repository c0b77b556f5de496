//! What the history says in sentences, the same for text and page.

use super::{History, Removed};
use crate::advice::Agreement;
use crate::advice::say::status;
use crate::report::format::capital;
use crate::report::words::{ahead_of, count, day, length, minutes, percent};
use crate::units::Unit;

impl History {
    pub(super) fn title(&self) -> String {
        let name = if self.name == self.tag { self.tag.clone() } else { format!("{} ({})", self.name, self.tag) };
        format!("Life of loop {name}")
    }

    pub(super) fn head(&self, unit: Unit) -> Vec<(&'static str, String)> {
        let mut head = Vec::new();
        head.extend(self.owner.clone().map(|owner| ("Owner", owner)));
        let span =
            format!("new {}, witness mark {}", length(unit, self.new_length_mm), length(unit, self.mark_length_mm));
        head.push(("Chain", format!("{}, {span}", self.profile)));
        head.push(("Rounds", format!("{}, {} signed off", count(self.len(), "round"), self.signed)));
        head.extend(self.saw.as_ref().map(|saw| {
            let hint = saw.hint.as_ref().map(|hint| format!(": {hint}")).unwrap_or_default();
            ("Saw", format!("{}{hint}", saw.name))
        }));
        if let Some(retired) = &self.retired {
            head.push(("Scrapped", format!("{}: {}", day(&retired.at), retired.reason)));
        }
        head.extend(self.held.as_ref().map(|held| ("Held back", format!("{}.", capital(held)))));
        head.extend(self.releases.iter().map(|release| ("Released", release.line.clone())));
        head
    }

    /// Headings with their sentences.
    pub(super) fn sections(&self, unit: Unit) -> Vec<(&'static str, Vec<String>)> {
        let all = [
            ("How long it will last", self.ahead_lines(unit)),
            ("Where the steel went", steel_lines(&self.removed, unit)),
            ("File against grinder", self.tool_lines(unit)),
            ("The cut as the judge", self.cut_lines()),
            ("Cost", self.cost_lines()),
        ];
        all.into_iter().filter(|(_, lines)| !lines.is_empty()).collect()
    }

    fn ahead_lines(&self, unit: Unit) -> Vec<String> {
        if let Some(retired) = &self.retired {
            let line = match retired.early_by {
                Some(left) => format!("Retired early: about {} were left.", count(left as usize, "round")),
                None => "Retired with no round known to be left.".to_owned(),
            };
            return vec![line];
        }
        if self.held.is_some() {
            return vec![status::NOT_COUNTED.to_owned()];
        }
        let ahead = &self.ahead;
        let mut lines = vec![format!("{} Wear of a round: {}.", ahead.line, length(unit, ahead.per_round_mm))];
        lines.extend(ahead.rounds_to_changeover.map(|rounds| match rounds {
            0 => "Within a round of the changeover, or past it.".to_owned(),
            rounds => format!("About {} to the changeover.", count(rounds as usize, "round")),
        }));
        let ended = self.rounds.last().map(|row| row.ended.as_str());
        lines.extend(ahead.date.as_ref().map(|date| format!("Witness mark {}.", ahead_of(ended, date))));
        lines
    }

    fn tool_lines(&self, unit: Unit) -> Vec<String> {
        let mut lines: Vec<String> = self
            .tools
            .iter()
            .map(|part| {
                let mut words = vec![format!("{}: {}", part.tool, count(part.rounds, "round"))];
                words.extend(part.wear_mm.map(|mm| format!("wear {} a round", length(unit, mm))));
                words.extend(part.spread_after_mm.map(|mm| format!("left {} uneven", length(unit, mm))));
                words.extend(part.evening_share.map(|share| format!("{} of the steel for evening-up", percent(share))));
                words.extend(part.minutes.map(|time| format!("{} at the bench", minutes(time))));
                format!("{}.", crate::report::format::capital(&words.join(", ")))
            })
            .collect();
        let compared = &self.compared;
        let interval = match (compared.wear_mm, compared.low_mm, compared.high_mm) {
            (Some(by), Some(low), Some(high)) => {
                let bare = |n: crate::report::data::Number| unit.show(crate::units::mm(n.0));
                format!(" File less grinder: {} ({} to {}).", length(unit, by), bare(low), bare(high))
            }
            _ => String::new(),
        };
        if !self.is_empty() {
            lines.push(format!("{}{interval}", compared.line));
        }
        lines
    }

    fn cut_lines(&self) -> Vec<String> {
        let line = |whose: &str, cut: Agreement| cut.words().map(|words| format!("{whose}: {words}."));
        let whose = if self.cut.in_part {
            "The workshop's loops that could be read, as the rack last knew them"
        } else {
            "All loops of the workshop, as the rack last knew them"
        };
        let workshop = self.cut.workshop.and_then(|cut| line(whose, cut));
        line("This loop cut", self.cut.of_loop).into_iter().chain(workshop).collect()
    }

    fn cost_lines(&self) -> Vec<String> {
        let Some(cost) = &self.cost else { return Vec::new() };
        let mut lines: Vec<String> = cost.line.clone().into_iter().collect();
        let each =
            cost.to_date_each.map(|each| format!(", {:.2} for each round signed off", each.0)).unwrap_or_default();
        lines.push(format!("To date, new loop and rounds: {:.2}{each}.", cost.to_date.0));
        lines.extend(cost.unevenness.zip(cost.new_loop).map(|(waste, new)| {
            format!("Evening-up has cost {:.2} so far, of the {:.2} that a new loop costs.", waste.0, new.0)
        }));
        lines
    }
}

fn steel_lines(removed: &Removed, unit: Unit) -> Vec<String> {
    let Some(share) = removed.evening_share else { return Vec::new() };
    let part = |name: &str, mm| format!("{}: {}.", name, length(unit, mm));
    vec![
        format!(
            "All cutters of all signed rounds together, as far as measured: {} of length.",
            length(unit, removed.all_mm)
        ),
        part("Wear (dull edges)", removed.wear_mm),
        part("Damage", removed.damage_mm),
        format!(
            "Evening-up: {}, {} of it all. That is what unevenness cost.",
            length(unit, removed.evening_mm),
            percent(share)
        ),
    ]
}
