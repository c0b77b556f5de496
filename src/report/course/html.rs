//! The course as one page that fetches nothing; printed, each learner begins a sheet.

use maud::{Markup, html};

use super::text::sets;
use super::{Course, LearnerPage, SAFETY, WHAT};
use crate::report::page::{Column, list, page_with, pairs, paragraph, table};
use crate::report::{demo, not_read};
use crate::units::Unit;

const STYLE: &str = "\
.learner+.learner{border-top:1px solid var(--line);margin-top:1rem;padding-top:1rem}
.tick{list-style:none;padding-left:0}
.sign{margin-top:2rem;display:flex;gap:2rem;flex-wrap:wrap}
.sign span{flex:1 1 14rem;border-top:1px solid var(--ink)}
@media print{.learner+.learner{break-before:page;border:0;margin:0;padding:0}}
";

impl Course {
    /// The pages as HTML.
    pub fn html(&self, unit: Unit) -> String {
        let body = html! { @for page in &self.learners { (self.page_of(page, unit)) } };
        demo::page(self.demo, not_read::page(&self.not_read, page_with("Practice at the bench", STYLE, &body)))
    }

    fn page_of(&self, page: &LearnerPage, unit: Unit) -> Markup {
        let columns = ["Drill", "sets", "passed", "told", "last set"].map(|head| Column { head, words: true });
        let rows = page.drills.iter().map(|line| {
            let passed = line.passed.clone().unwrap_or_else(|| "not yet".to_owned());
            vec![
                (line.name.to_owned(), ""),
                (sets(line.sets), ""),
                (passed, ""),
                (line.stage.to_owned(), ""),
                (line.words(unit), ""),
            ]
        });
        let better = page.better(unit);
        html! {
            section class="learner" {
                (pairs(&self.head(page, unit)))
                p { (WHAT) }
                @if page.drills.is_empty() { p { "No whole set was done." } }
                @else { (table("Drills. Sets that were broken off are not counted.", &columns, rows)) }
                @if !better.is_empty() { (list("What went better", &better)) }
                (paragraph("Next", &page.next_words()))
                (paragraph("Not assessed", &page.not_assessed_words()))
                h2 { "Lessons done" }
                @for lesson in page.lessons_words() { p { (lesson) } }
                p { "________________________________________________" }
                h2 { "Seen by the instructor" }
                ul class="tick" { @for point in SAFETY { li { "\u{2610} " (point) } } }
                div class="sign" { span { "Learner" } span { "Instructor" } }
            }
        }
    }
}
