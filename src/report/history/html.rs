//! The history as one page.

use maud::{Markup, html};

use super::text::{cut_since, ending, left_short};
use super::{History, Row};
use crate::report::data::Number;
use crate::report::page::{Column, figure, list, page, pairs, table};
use crate::report::words::{day, percent};
use crate::report::{demo, not_read};
use crate::units::{Unit, mm};

impl History {
    /// The history as one page that fetches nothing.
    pub fn html(&self, unit: Unit) -> String {
        let body = html! {
            (pairs(&self.head(unit)))
            @if let Some(fan) = self.fan(unit) {
                (figure(&fan, "Full: filed, hollow: ground. Ahead: the most likely way whole, the fewest rounds dotted and the most in dashes (90 %); they end where the first cutter is at its mark."))
            }
            @if let Some(steel) = self.steel(unit) {
                (figure(&steel, "Full: wear, strokes: damage, hollow: evening-up; all cutters together. At the right: left less right after the round."))
            }
            @for (title, lines) in self.sections(unit) { (list(title, &lines)) }
            @if !self.is_empty() { (self.rows_table(unit)) }
        };
        demo::page(self.demo, not_read::page(&self.not_read, page(&self.title(), &body)))
    }

    fn rows_table(&self, unit: Unit) -> Markup {
        let words = |head| Column { head, words: true };
        let numbers = |head| Column { head, words: false };
        let columns = [
            words("began"),
            words("sharpener"),
            words("tool"),
            words("wood"),
            numbers("median before"),
            numbers("median after"),
            numbers("wear"),
            numbers("spread before"),
            numbers("spread after"),
            numbers("left less right"),
            numbers("steel off"),
            numbers("evening-up"),
            numbers("strokes"),
            numbers("minutes"),
            words("ended"),
            words("how it cut"),
        ];
        let caption =
            format!("Round by round. Lengths in {}; steel off is of all cutters together.", unit.of_lengths());
        table(&caption, &columns, self.rounds.iter().map(|row| html_row(row, unit)))
    }
}

fn html_row(row: &Row, unit: Unit) -> Vec<(String, &'static str)> {
    let length = |number: Option<Number>| number.map_or("-".to_owned(), |n| unit.show(mm(n.0)));
    let aside = left_short(row).map(|aside| format!(" {aside}")).unwrap_or_default();
    let spread_after = format!("{}{aside}", length(row.spread_after_mm));
    let cells = [
        day(&row.started),
        row.sharpener.clone(),
        row.tool.to_string(),
        row.wood.word().to_owned(),
        length(row.median_before_mm),
        length(row.median_after_mm),
        length(row.wear_mm),
        length(row.spread_before_mm),
        spread_after,
        length(row.left_less_right_mm),
        length(row.removed.map(|removed| removed.all_mm)),
        row.evening_share().map_or("-".to_owned(), percent),
        row.strokes.map_or("-".to_owned(), |n| n.to_string()),
        row.minutes.map_or("-".to_owned(), |n| format!("{:.0}", n.0)),
        ending(row).unwrap_or("signed off").to_owned(),
        cut_since(row).unwrap_or_else(|| "-".to_owned()),
    ];
    cells.into_iter().map(|cell| (cell, "")).collect()
}
