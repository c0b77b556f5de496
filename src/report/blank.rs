//! A blank bench sheet: the cutters of a loop by side, with boxes to write into, for the day without a computer.
//!
//! It states the order in which the boxes are typed in afterwards: every face that takes the sheet goes through [`order`].

use maud::html;
use serde::Serialize;

use crate::chain::{CutterNumber, Layout, Profile, Side};
use crate::report::demo;
use crate::report::format::{PageFormat, capital, plain};
use crate::report::page::page_with;
use crate::report::words::count;
use crate::round::Card;
use crate::units::clean::clean;

/// What is written into the boxes of a cutter, in their order.
pub const BOXES: [&str; 3] = ["length", "angle", "gap"];

/// A blank sheet of one loop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BenchSheet {
    tag: String,
    name: String,
    owner: String,
    chain: String,
    links: u16,
    start_mark: String,
    /// The side that is filed first, then the other, each with its cutters.
    sides: [(Side, Vec<CutterNumber>); 2],
    demo: bool,
}

/// The cutters in the order of the sheet: the side filed first from its first cutter to its last, then the other.
pub(crate) fn order(layout: &Layout, begin: Side) -> [(Side, Vec<CutterNumber>); 2] {
    [begin, begin.other()].map(|side| (side, layout.of_side(side).collect()))
}

impl BenchSheet {
    /// The sheet of a loop of which that side is filed first.
    pub fn new(card: &Card, profile: Option<&Profile>, layout: &Layout, begin: Side) -> Self {
        Self {
            tag: card.tag.clone(),
            name: clean(&card.name),
            owner: clean(&card.owner),
            chain: profile.map_or_else(|| clean(&card.profile), |profile| clean(&profile.title)),
            links: card.links,
            start_mark: clean(&card.start_mark),
            sides: order(layout, begin),
            demo: false,
        }
    }

    /// The same, of the invented workshop or not.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// The sheet in a format.
    pub fn render(&self, format: PageFormat, ascii: bool) -> String {
        match format {
            PageFormat::Text => self.text(ascii),
            PageFormat::Html => self.html(),
        }
    }

    /// What loop it is for, line by line.
    fn about(&self) -> Vec<String> {
        let cutters: usize = self.sides.iter().map(|(_, cutters)| cutters.len()).sum();
        let chain = format!("{}, {} drive links, {}", self.chain, self.links, count(cutters, "cutter"));
        let mark = match self.start_mark.as_str() {
            "" => "Cutter 1: ____________________________ (mark it on the loop)".to_owned(),
            mark => format!("Cutter 1 is found by: {mark}"),
        };
        let owner = Some(&self.owner).filter(|owner| !owner.is_empty()).cloned();
        owner.into_iter().chain([chain, mark]).collect()
    }

    /// At most 80 columns; `ascii` keeps to plain letters.
    pub fn text(&self, ascii: bool) -> String {
        const SIDE: usize = 40;
        let mut lines = vec![format!("Bench sheet of {} [{}]", self.name, self.tag)];
        lines.extend(self.about());
        lines.push(String::new());
        lines.push("Day ____________  By ______________  File or grinder _________  mm or inch ____".into());
        lines.push("Looked over: cracks __ rivets __ links __ straps __ cutters __ marks __ edges __".into());
        lines.push(String::new());
        let rows = self.sides.iter().map(|(_, cutters)| cutters.len()).max().unwrap_or(0);
        let head =
            |side: Side| format!("{:<7} {:<9} {:<7} {:<9}", capital(&side.to_string()), "length", "angle", "gap");
        lines.push(self.sides.iter().map(|(side, _)| format!("{:<SIDE$}", head(*side))).collect());
        for row in 0..rows {
            let cell = |(_, cutters): &(Side, Vec<CutterNumber>)| {
                let boxes = |number: &CutterNumber| {
                    format!("{:>4}    {:<9} {:<7} {:<9}", number.get(), "________", "______", "________")
                };
                format!("{:<SIDE$}", cutters.get(row).map(boxes).unwrap_or_default())
            };
            lines.push(self.sides.iter().map(cell).collect());
            // A line between, so that there is room to write.
            lines.push(String::new());
        }
        lines.push("Remarks: ______________________________________________________________________".into());
        let text: String = lines.into_iter().map(|line| line.trim_end().to_owned() + "\n").collect();
        demo::text(self.demo, plain(&text, ascii))
    }

    /// A page for A4 or letter paper that fetches nothing.
    pub fn html(&self) -> String {
        let title = format!("Bench sheet of {} ({})", self.name, self.tag);
        let body = html! {
            @for line in self.about() { p { (line) } }
            p class="fill" { "Day " span {} " By " span class="long" {} " File or grinder " span {} " mm or inch " span {} }
            p class="fill" {
                "Looked over: "
                @for item in ["cracks", "rivets", "links", "straps", "cutters", "marks", "edges"] {
                    (item) " " span class="short" {} " "
                }
            }
            div class="sides" {
                @for (side, cutters) in &self.sides {
                    table {
                        caption { (capital(&side.to_string())) ": " (count(cutters.len(), "cutter")) }
                        thead { tr {
                            th scope="col" { "cutter" }
                            @for name in BOXES { th scope="col" { (name) } }
                        } }
                        tbody { @for number in cutters { tr {
                            th scope="row" { (number) }
                            @for _ in BOXES { td {} }
                        } } }
                    }
                }
            }
            p class="fill" { "Remarks " span class="whole" {} }
        };
        demo::page(self.demo, page_with(&title, STYLE, &body))
    }
}

const STYLE: &str = "\
.fill{margin:.6rem 0}
.fill span{display:inline-block;border-bottom:.3mm solid var(--ink);width:6rem}
.fill .short{width:1.6rem}
.fill .long{width:11rem}
.fill .whole{width:80%}
.sides{display:grid;grid-template-columns:1fr 1fr;gap:1.5rem;align-items:start}
.sides table{font-size:1rem}
.sides caption{font-weight:700;color:var(--ink)}
.sides th,.sides td{border:.3mm solid var(--ink);height:1.5rem;text-align:center;padding:0 .3rem}
.sides td{width:28%}
@media print{
.sides{gap:6mm}
.sides table{font-size:3.2mm}
.sides th,.sides td{height:6.2mm}
.fill{margin:2.5mm 0}
}
";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::Sequence;

    #[test]
    fn the_side_filed_first_comes_first_and_each_runs_from_its_first_cutter() {
        let layout = Layout::new(24, &Sequence::Full, Side::Left).unwrap();
        let [(first, rights), (second, lefts)] = order(&layout, Side::Right);
        assert_eq!((first, second), (Side::Right, Side::Left));
        let numbers = |of: &[CutterNumber]| of.iter().map(|number| number.get()).collect::<Vec<_>>();
        assert_eq!((numbers(&rights), numbers(&lefts)), (vec![2, 4, 6, 8, 10, 12], vec![1, 3, 5, 7, 9, 11]));
    }
}
