//! The sheet as one page: sentences, drawings and the table, or the owner's half page.

use maud::{Markup, html};

use super::model::{CutterPart, Sheet, WhyPart};
use super::owner::Matter;
use super::sections::Topic;
use super::signs::{self, Sign};
use crate::report::data::Number;
use crate::report::page::{Column, figure, list, page, pairs, paragraph, table, urgent};
use crate::report::words::percent;
use crate::report::{demo, not_read};
use crate::units::mm;

impl Sheet {
    /// The owner's half page as one page that fetches nothing.
    pub fn owner_html(&self) -> String {
        let head = self.owner_head();
        let (title, rest) =
            head.split_first().map_or(("Your saw chain", &[][..]), |(first, rest)| (first.as_str(), rest));
        let parts = self.owner_parts();
        let body = html! {
            @for line in rest { p { (line) } }
            @for part in parts.iter().filter(|part| part.matter == Matter::Stop) { (urgent(&part.lines)) }
            @if let Some((drawn, words)) = self.usual_cutter() { (figure(&drawn, &words)) }
            @for part in parts.iter().filter(|part| part.matter != Matter::Stop) {
                (paragraph(part.matter.into(), &part.lines.join(" ")))
            }
        };
        demo::page(self.demo, not_read::owner_page(&self.not_read, page(title, &body)))
    }

    /// The full sheet as one page that fetches nothing.
    pub fn html(&self) -> String {
        let sections = self.sections();
        let body = html! {
            (pairs(&self.head()))
            (urgent(self.urgent_cautions()))
            @for section in &sections {
                (list(section.topic.into(), &section.lines))
                @match section.topic {
                    Topic::Even => (self.length_figures()),
                    Topic::Rakers => (self.raker_figures()),
                    _ => {},
                }
            }
            // Without a reading there is no section that the drawings belong to.
            @if !sections.iter().any(|section| section.topic == Topic::Even) { (self.length_figures()) }
            @for why in &self.reckonings {
                (list(&format!("Why: {}", why.line), &why_lines(why)))
            }
        };
        let page = page(&format!("Sharpening sheet: {}", self.name()), &body);
        demo::page(self.demo, not_read::page(&self.not_read, page))
    }

    fn length_figures(&self) -> Markup {
        let map = figure(
            &self.loop_map(),
            "The loop as it lies on the bar: left cutters outside the line, right ones inside. = right, > long, < short, / angle off, ^ raker high, v raker TOO LOW, ? measure again, s left short, x missing, . not measured.",
        );
        let profile = figure(
            &self.length_profile(),
            "Hollow as it came, full after filing; left cutters round, right ones square. The band is the tolerance.",
        );
        html! { (map) (profile) }
    }

    fn raker_figures(&self) -> Markup {
        let curve = figure(
            &self.gap_curve(),
            "Full: right or to measure again. Hollow: too high or too low. Above the line the raker is too low, which raises kickback.",
        );
        html! {
            (curve)
            @if let (Some(worst), Some(drawn)) = (&self.worst, self.worst_cutter()) { (figure(&drawn, &worst.why)) }
            (self.cutter_table())
        }
    }

    fn cutter_table(&self) -> Markup {
        let words = |head| Column { head, words: true };
        let numbers = |head| Column { head, words: false };
        let columns = [
            numbers("No"),
            words("side"),
            words("state"),
            numbers("length before"),
            numbers("length after"),
            numbers("wear"),
            numbers("angle"),
            numbers("gap before"),
            numbers("gap now"),
            numbers("target gap"),
            numbers("bite"),
            words("length is"),
            numbers("sure"),
            words("angle is"),
            words("gap is"),
        ];
        let caption = format!(
            "Cutter by cutter. Lengths in {}, angles in degrees. Sure: probability that the length is within tolerance. Again: measure again. Gap high or LOW: the raker is too high or too low.",
            self.units.of_lengths()
        );
        table(&caption, &columns, self.cutters.iter().map(|cutter| self.html_row(cutter)))
    }

    fn html_row(&self, cutter: &CutterPart) -> Vec<(String, &'static str)> {
        let plain = |text: String| (text, "");
        let length = |value: Option<Number>| plain(value.map_or("-".to_owned(), |n| self.units.show(mm(n.0))));
        let angle = |value: Option<Number>| plain(value.map_or("-".to_owned(), |n| format!("{:.1}", n.0)));
        let said = |verdict: &str, sign: Sign| {
            let word = match verdict {
                "unmeasured" => "-",
                "low" => "LOW",
                word => word,
            };
            (word.to_owned(), sign.look)
        };
        let verdicts = cutter.verdicts;
        vec![
            plain(cutter.number.to_string()),
            plain(cutter.side.to_string()),
            plain(cutter.state.to_string()),
            length(cutter.before_mm),
            length(cutter.after_mm),
            length(cutter.wear_mm),
            angle(cutter.angle_deg),
            length(cutter.gap_before_mm),
            length(cutter.gap_mm),
            length(cutter.target_gap_mm),
            angle(cutter.bite_deg),
            said(verdicts.length.into(), signs::length(verdicts.length)),
            plain(cutter.conformity.map_or("-".to_owned(), percent)),
            said(verdicts.angle.into(), signs::angle(verdicts.angle)),
            said(verdicts.gap.into(), signs::gap(verdicts.gap)),
        ]
    }
}

/// Step by step, then where the numbers come from and how sure it is.
fn why_lines(why: &WhyPart) -> Vec<String> {
    let rest = why.told.rest().into_iter().map(|(name, text)| format!("{name}: {text}"));
    why.steps.iter().cloned().chain(rest).collect()
}
