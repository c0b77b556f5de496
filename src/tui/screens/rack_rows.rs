//! One line of the rack: made once from a shelf, then only sorted, filtered and drawn.

use std::cmp::Ordering;

use chrono::{DateTime, FixedOffset};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::super::theme::{Role, Theme};
use crate::chain::{Profile, Stage, Wood};
use crate::record::shelves::{Shelf, name_order};
use crate::units::{clean::clean, mm};

/// A loop on the rack.
#[derive(Debug, Clone)]
pub struct RackRow {
    /// Tag of the loop.
    pub tag: String,
    name: String,
    /// What its name is put in order by.
    order: (String, u64, String),
    owner: String,
    saw: String,
    chain: String,
    /// Share of usable life left, where lengths are known.
    left: Option<f64>,
    stage: Option<Stage>,
    last: Option<DateTime<FixedOffset>>,
    state: State,
    /// The next round is due.
    due: bool,
    saw_says: SawSays,
}

/// What the saw of a loop has to say on the rack.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SawSays {
    /// What is known to be wrong with it.
    pub hint: Option<String>,
    /// This loop is to run next, of several.
    pub next: bool,
    /// Name of the loop that is to run before this one.
    pub first: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    New,
    Ready,
    Open,
    Rejected,
    Scrapped,
}

/// Which loops are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filter {
    /// All that are not scrapped.
    InCare,
    /// With an open round.
    Open,
    /// Past the changeover.
    Past,
    /// Less than a fifth of its life left.
    NearMark,
    /// Whose next round is due.
    Due,
    /// To run next on their saw.
    NextOnSaw,
    /// Rejected in the look-over.
    Rejected,
    /// Out of care.
    Scrapped,
}

/// How they are ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// By name.
    Name,
    /// Least life left first.
    Left,
    /// Longest without a round first.
    Last,
    /// By owner, then name.
    Owner,
}

impl Filter {
    /// The next one round.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::InCare => Self::Open,
            Self::Open => Self::Past,
            Self::Past => Self::NearMark,
            Self::NearMark => Self::Due,
            Self::Due => Self::NextOnSaw,
            Self::NextOnSaw => Self::Rejected,
            Self::Rejected => Self::Scrapped,
            Self::Scrapped => Self::InCare,
        }
    }

    /// In the heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::InCare => "in care",
            Self::Open => "with an open round",
            Self::Past => "past changeover",
            Self::NearMark => "near the witness mark",
            Self::Due => "due for a round",
            Self::NextOnSaw => "to run next on their saw",
            Self::Rejected => "rejected",
            Self::Scrapped => "out of care",
        }
    }

    /// True for a row to show.
    pub fn takes(self, row: &RackRow) -> bool {
        match self {
            Self::InCare => row.state != State::Scrapped,
            Self::Open => row.state == State::Open,
            Self::Past => row.state != State::Scrapped && row.stage.is_some_and(|stage| stage >= Stage::Worth),
            Self::NearMark => row.state != State::Scrapped && row.left.is_some_and(|left| left < 0.2),
            Self::Due => row.state == State::Ready && row.due,
            Self::NextOnSaw => row.saw_says.next,
            Self::Rejected => row.state == State::Rejected,
            Self::Scrapped => row.state == State::Scrapped,
        }
    }
}

impl Sort {
    /// The next one round.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Name => Self::Left,
            Self::Left => Self::Last,
            Self::Last => Self::Owner,
            Self::Owner => Self::Name,
        }
    }

    /// In the heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Left => "life left",
            Self::Last => "last round",
            Self::Owner => "owner",
        }
    }

    /// Order of two rows.
    pub fn order(self, a: &RackRow, b: &RackRow) -> Ordering {
        let by_name = || a.order.cmp(&b.order).then_with(|| a.tag.cmp(&b.tag));
        match self {
            Self::Name => by_name(),
            Self::Left => a.left.unwrap_or(2.0).total_cmp(&b.left.unwrap_or(2.0)).then_with(by_name),
            Self::Last => a.last.cmp(&b.last).then_with(by_name),
            Self::Owner => a.owner.to_lowercase().cmp(&b.owner.to_lowercase()).then_with(by_name),
        }
    }
}

impl RackRow {
    /// The row of a shelf.
    pub fn of(shelf: &Shelf, profile: Option<&Profile>) -> Self {
        let card = &shelf.card;
        let spec = profile.map(|profile| card.spec(profile.spec()));
        let length = shelf.median_mm.map(mm);
        let state = if card.scrapped.is_some() {
            State::Scrapped
        } else if shelf.open.is_some() {
            State::Open
        } else if shelf.rejected {
            State::Rejected
        } else if shelf.last.is_none() {
            State::New
        } else {
            State::Ready
        };
        Self {
            tag: card.tag.clone(),
            name: clean(&card.name),
            order: name_order(&card.name),
            owner: clean(&card.owner),
            saw: clean(&card.saw),
            chain: profile.map_or_else(|| clean(&card.profile), |profile| profile.title.clone()),
            left: spec.as_ref().zip(length).map(|(spec, length)| (1.0 - spec.life_spent(length)).clamp(0.0, 1.0)),
            stage: spec.as_ref().zip(length).map(|(spec, length)| spec.stage(Wood::Any, length)),
            last: shelf.open.as_ref().map(|open| open.touched).or_else(|| shelf.last.as_ref().map(|last| last.ended)),
            state,
            due: false,
            saw_says: SawSays::default(),
        }
    }

    /// The row with what is known at that time: whether its next round is due, and what its saw says.
    #[must_use]
    pub fn at(mut self, next: Option<DateTime<FixedOffset>>, now: DateTime<FixedOffset>, saw_says: SawSays) -> Self {
        self.due = next.is_some_and(|next| next <= now);
        self.saw_says = saw_says;
        self
    }

    /// Its name on screen.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// True with a round to go on with.
    pub fn is_open(&self) -> bool {
        self.state == State::Open
    }

    /// True where name, owner, saw or tag hold the text (lower case).
    pub fn holds(&self, text: &str) -> bool {
        text.is_empty()
            || [&self.name, &self.owner, &self.saw, &self.tag].iter().any(|s| s.to_lowercase().contains(text))
    }

    /// What to do with this loop, in a sentence.
    pub fn advice(&self) -> String {
        let says = &self.saw_says;
        let hint = says.hint.as_ref().map(|hint| format!("Saw: {hint}."));
        let turn = match (&says.first, says.next) {
            (_, true) => Some("Next on its saw.".to_owned()),
            (Some(first), false) => Some(format!("{first} runs first on its saw.")),
            (None, false) => None,
        };
        // The stage stands in its column: where the saw has something to say, one line has no room for both.
        let usual = self.state == State::Ready && !self.due && (hint.is_some() || turn.is_some());
        let what = (!usual).then(|| self.what_to_do());
        [what, hint, turn].into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    fn what_to_do(&self) -> String {
        match (self.state, self.stage) {
            (State::Open, _) => "Enter goes on with the open round.".to_owned(),
            (State::Scrapped, _) => "Out of care. h shows its history.".to_owned(),
            (State::Rejected, _) => {
                "Rejected in the look-over: not to go back on a saw. Enter looks it over again.".to_owned()
            }
            (State::New, _) => "Enter begins its first round.".to_owned(),
            (State::Ready, _) if self.due => "Its next round is due. Enter begins it.".to_owned(),
            (State::Ready, Some(stage)) => format!("{} Enter begins a round.", stage.sentence()),
            (State::Ready, None) => "Enter begins a round.".to_owned(),
        }
    }

    fn state_word(&self) -> (&'static str, Role) {
        match self.state {
            State::New => ("new", Role::Quiet),
            State::Ready => ("ready", Role::Good),
            State::Open => ("open", Role::Warn),
            State::Rejected => ("REJECTED", Role::Bad),
            State::Scrapped => ("scrapped", Role::Quiet),
        }
    }

    fn stage_word(&self) -> (&'static str, Role) {
        match self.stage {
            None => ("not measured", Role::Unmeasured),
            Some(Stage::Fixed) => ("fixed gap", Role::Text),
            Some(Stage::Worth) => ("scaled: worth it", Role::Warn),
            Some(Stage::Due) => ("scaled: due", Role::Warn),
            Some(Stage::Retire) => ("retire", Role::Bad),
        }
    }

    /// Names of the columns.
    pub fn heading(width: u16, theme: Theme) -> Line<'static> {
        let columns = Columns::of(width);
        Line::styled(
            columns.row("  Loop", "Chain", "Owner", "Life left", "Raker gap", "Last round", "State"),
            theme.style(Role::Quiet),
        )
    }

    /// The row as drawn.
    pub fn line(&self, width: u16, chosen: bool, theme: Theme) -> Line<'static> {
        let columns = Columns::of(width);
        let mark = if chosen { "> " } else { "  " };
        let left = self.left.map_or_else(|| "?".to_owned(), |left| format!("{:>3.0} % {}", left * 100.0, bar(left)));
        let last = self.last.map_or_else(String::new, |last| last.format("%Y-%m-%d").to_string());
        let (stage, stage_role) = self.stage_word();
        let (state, state_role) = self.state_word();
        let name = format!("{mark}{}", self.name);
        if chosen {
            return Line::styled(
                columns.row(&name, &self.chain, &self.owner, &left, stage, &last, state),
                theme.style(Role::Selected),
            );
        }
        let front = columns.front(&name, &self.chain, &self.owner, &left);
        Line::from(vec![
            Span::styled(front, theme.style(Role::Text)),
            Span::styled(fit(stage, columns.stage), theme.style(stage_role)),
            Span::styled(fit(&last, columns.last), theme.style(Role::Quiet)),
            Span::styled(state, theme.style(state_role)),
        ])
    }
}

/// Five steps: enough to compare rows at a glance.
fn bar(share: f64) -> &'static str {
    match share {
        x if x > 0.9 => "#####",
        x if x > 0.7 => "####.",
        x if x > 0.5 => "###..",
        x if x > 0.3 => "##...",
        x if x > 0.1 => "#....",
        _ => ".....",
    }
}

struct Columns {
    name: usize,
    chain: usize,
    owner: usize,
    left: usize,
    stage: usize,
    last: usize,
}

impl Columns {
    fn of(width: u16) -> Self {
        let wide = width >= 100;
        let last = if width >= 70 { 12 } else { 0 };
        let rest = usize::from(width).saturating_sub(if wide { 22 } else { 0 } + 13 + 18 + last + 9);
        if wide {
            let owner = rest / 2;
            Self { name: rest - owner, chain: 22, owner, left: 13, stage: 18, last }
        } else {
            Self { name: rest, chain: 0, owner: 0, left: 13, stage: 18, last }
        }
    }

    fn front(&self, name: &str, chain: &str, owner: &str, left: &str) -> String {
        [(name, self.name), (chain, self.chain), (owner, self.owner), (left, self.left)]
            .map(|(s, w)| fit(s, w))
            .concat()
    }

    #[allow(clippy::too_many_arguments, reason = "one argument a column, in their order")]
    fn row(&self, name: &str, chain: &str, owner: &str, left: &str, stage: &str, last: &str, state: &str) -> String {
        format!("{}{}{}{state}", self.front(name, chain, owner, left), fit(stage, self.stage), fit(last, self.last))
    }
}

/// Exactly so wide, one blank at the end at least; `~` where something was cut.
fn fit(text: &str, width: usize) -> String {
    if width == 0 {
        return String::new();
    }
    if text.width() < width {
        return format!("{text}{}", " ".repeat(width - text.width()));
    }
    let mut out = String::new();
    for c in text.chars() {
        if out.width() + 3 > width {
            break;
        }
        out.push(c);
    }
    format!("{out}~{}", " ".repeat(width.saturating_sub(out.width() + 1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_exact_for_any_text() {
        for text in ["", "short", "a very long name indeed", "wide 漢字漢字漢字"] {
            for width in [1, 2, 5, 9, 20] {
                assert!(fit(text, width).width() <= width.max(1), "{text:?} {width}");
            }
            assert_eq!(fit(text, 12).width(), 12);
        }
    }

    #[test]
    fn what_the_saw_says_fits_the_line_below_the_rack() {
        let at = DateTime::parse_from_rfc3339("2026-05-01T08:00:00+02:00").unwrap();
        let row = RackRow {
            tag: "a".into(),
            order: name_order("A"),
            name: "A".into(),
            owner: String::new(),
            saw: "big".into(),
            chain: String::new(),
            left: Some(0.5),
            stage: Some(Stage::Worth),
            last: Some(at),
            state: State::Ready,
            due: false,
            saw_says: SawSays::default(),
        };
        assert!(row.advice().ends_with("Enter begins a round."));
        let hint = Some("bar BAD, tension to look at again".to_owned());
        let says = SawSays { hint, next: false, first: Some("Hollow pine".to_owned()) };
        let said = row.at(None, at, says).advice();
        assert_eq!(said, "Saw: bar BAD, tension to look at again. Hollow pine runs first on its saw.");
        assert!(said.width() <= 80);
    }

    #[test]
    fn numbers_in_names_sort_as_numbers() {
        assert!(name_order("Saw 9") < name_order("saw 10"));
    }
}
