//! One line of the rack as drawn.

use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::super::theme::{Role, Theme};
use crate::advice::StatusWord;
use crate::care::{Row, Standing};
use crate::chain::Stage;
use crate::report::loops::{percent, stage_word, state_word};

const fn state_role(row: &Row) -> Role {
    match row.state {
        Standing::Ready => match &row.status {
            Some(status) => match status.word {
                StatusWord::Ready => Role::Good,
                StatusWord::DoNotUse => Role::Bad,
                StatusWord::Watch | StatusWord::NotFinished | StatusWord::NotMeasured => Role::Warn,
            },
            None => Role::Warn,
        },
        Standing::Open | Standing::Practice => Role::Warn,
        Standing::Rejected => Role::Bad,
        Standing::New | Standing::Scrapped => Role::Quiet,
    }
}

const fn stage_role(row: &Row) -> Role {
    match row.stage {
        None => Role::Unmeasured,
        Some(Stage::Fixed) => Role::Text,
        Some(Stage::Worth | Stage::Due) => Role::Warn,
        Some(Stage::Retire) => Role::Bad,
    }
}

/// Names of the columns.
pub(super) fn heading(width: u16, by_day: bool, theme: Theme) -> Line<'static> {
    let columns = Columns::of(width);
    let last = if by_day { "Promised" } else { "Last round" };
    Line::styled(
        columns.row(
            "  Loop",
            "Chain",
            "Owner",
            if columns.is_narrow() { "Left" } else { "Life left" },
            "Raker gap",
            last,
            "State",
        ),
        theme.style(Role::Quiet),
    )
}

/// The day that a loop is promised for, with a sign once it is past.
fn promised(row: &Row) -> String {
    let day = row.waits_for().map(|day| day.to_string()).unwrap_or_default();
    if row.overdue { format!("{day}!") } else { day }
}

/// The row as drawn; with the day that it is promised for in place of its last round, where that is asked for.
pub(super) fn line(row: &Row, width: u16, chosen: bool, by_day: bool, theme: Theme) -> Line<'static> {
    let columns = Columns::of(width);
    let mark = if chosen { "> " } else { "  " };
    let left = row.left.map_or_else(
        || "?".to_owned(),
        |left| format!("{:>5} {}", percent(left), if columns.is_narrow() { "" } else { bar(left) }),
    );
    let last = if by_day {
        promised(row)
    } else {
        row.last.map_or_else(String::new, |last| last.format("%Y-%m-%d").to_string())
    };
    let stage = stage_word(row.state, row.stage);
    let state = state_word(row.state, row.status.as_ref().map(|status| status.word));
    let name = format!("{mark}{}", row.name);
    if chosen {
        return Line::styled(
            columns.row(&name, &row.chain, &row.owner, &left, stage, &last, state),
            theme.style(Role::Selected),
        );
    }
    let front = columns.front(&name, &row.chain, &row.owner, &left);
    Line::from(vec![
        Span::styled(front, theme.style(Role::Text)),
        Span::styled(fit(stage, columns.stage), theme.style(stage_role(row))),
        Span::styled(
            fit(&last, columns.last),
            theme.style(if by_day && row.overdue { Role::Bad } else { Role::Quiet }),
        ),
        Span::styled(state, theme.style(state_role(row))),
    ])
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

/// Below this the name keeps its room, and what follows from it stands below the rows.
pub(super) const NARROW: u16 = 60;

impl Columns {
    fn of(width: u16) -> Self {
        if width < NARROW {
            let name = usize::from(width).saturating_sub(7 + 9);
            return Self { name, chain: 0, owner: 0, left: 7, stage: 0, last: 0 };
        }
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

    const fn is_narrow(&self) -> bool {
        self.stage == 0
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

/// Exactly this wide, with at least one blank at the end; `~` where something was cut.
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
    fn no_window_of_a_phone_drops_a_name() {
        for width in [32, 40, 52] {
            let columns = Columns::of(width);
            assert!(columns.name >= 16, "{width}: {}", columns.name);
            assert!(columns.row("> A loop", "", "", " 84 %", "", "", "REJECTED").width() <= usize::from(width));
        }
    }

    #[test]
    fn columns_are_exact_for_any_text() {
        for text in ["", "short", "a very long name indeed", "wide 漢字漢字漢字"] {
            for width in [1, 2, 5, 9, 20] {
                assert!(fit(text, width).width() <= width.max(1), "{text:?} {width}");
            }
            assert_eq!(fit(text, 12).width(), 12);
        }
    }
}
