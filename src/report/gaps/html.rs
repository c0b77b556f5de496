//! The table as one page: no scripts, nothing fetched, light, dark and printed on one sheet of A4.

use maud::{Markup, PreEscaped, html};

use super::{GapRow, GapTable};
use crate::advice::cautions::ALWAYS;
use crate::report::demo;
use crate::report::page::{document, list};
use crate::units::Unit;

/// Height on paper that is left for the table beside the drawing and the foot, in mm.
const TABLE_ON_PAPER_MM: f64 = 130.0;
/// Tallest and lowest printed row, in mm. Below the lowest the table goes on to a second sheet.
const ROW_ON_PAPER_MM: (f64, f64) = (4.8, 2.4);

const STYLE: &str = "\
:root{color-scheme:light dark;--ink:#1b1b1b;--paper:#fdfdfb;--soft:#5c5c5c;--line:#c9c9c4;--band:#eeeee9;\
--fixed:#1b1b1b;--scaled:#0b5ea8;--plate:#9a4a00}
@media (prefers-color-scheme:dark){:root{--ink:#ececec;--paper:#161616;--soft:#a8a8a8;--line:#474747;--band:#262626;\
--fixed:#ececec;--scaled:#7cc0ff;--plate:#ffb066}}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.4 system-ui,sans-serif}
main{max-width:60rem;margin:0 auto;padding:1rem}
h1{font-size:1.5rem;margin:0 0 .4rem}
h2{font-size:1rem;margin:.8rem 0 .2rem}
p{margin:.2rem 0}
ul{margin:.2rem 0;padding-left:1.2rem}
figure{margin:.6rem 0}
svg{width:100%;height:auto}
.grid{stroke:var(--line)}
.turn{stroke:var(--soft);stroke-width:1.2}
.rule.fixed{stroke:var(--fixed)}
.rule.scaled{stroke:var(--scaled)}
.rule.plate{stroke:var(--plate)}
.table{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
caption{text-align:left;color:var(--soft)}
th,td{text-align:right;padding:.1em .5em;border-bottom:1px solid var(--line);white-space:nowrap}
thead th{vertical-align:bottom;white-space:normal}
tbody th[scope=rowgroup]{text-align:left;background:var(--band)}
th:last-child,td:last-child{text-align:left}
@media print{
@page{size:A4;margin:10mm}
:root{color-scheme:light;--ink:#000;--paper:#fff;--soft:#333;--line:#999;--band:#eee;--fixed:#000;--scaled:#000;--plate:#000}
body{font-size:2.6mm;line-height:1.25}
main{max-width:none;padding:0}
h1{font-size:5mm;margin:0 0 1mm}
h2{font-size:2.9mm;margin:1.2mm 0 .3mm}
p,ul{margin:.3mm 0}
figure{margin:1mm 0}
svg{max-height:58mm}
table{font-size:calc(var(--row)*.7)}
th,td{height:var(--row);line-height:1;padding:0 1mm;box-sizing:border-box}
thead th{height:auto}
tr{break-inside:avoid}
}
";

impl GapTable {
    /// The table as one page with a drawing of the gaps.
    pub fn html(&self, unit: Unit) -> String {
        let head = html! { style { (PreEscaped(STYLE)) } };
        let body = html! {
            @for text in self.lead(unit) { p { (text) } }
            figure { (self.curve(unit)) }
            (self.table(unit))
            (list("Reading the table", &self.notes(unit)))
            (list("How far the numbers can be trusted", &self.standing_lines()))
            (list("Cautions", &ALWAYS))
        };
        demo::page(self.demo, document(&format!("Raker gap by cutter length: {}", self.title), &head, &body))
    }

    fn table(&self, unit: Unit) -> Markup {
        let columns = self.columns(true).count();
        let lines = self.rows().len() + self.groups().count() + 3;
        let row = (TABLE_ON_PAPER_MM / lines as f64).min(ROW_ON_PAPER_MM.0).max(ROW_ON_PAPER_MM.1);
        html! {
            div class="table" {
                table style=(format!("--row:{row:.2}mm")) {
                    caption { "Longest cutter first. Lengths in " (unit.of_lengths()) ", bite in degrees." }
                    thead { tr { @for column in self.columns(true) {
                        th scope="col" { (column.head.join(" ").trim_start()) }
                    } } }
                    @for (stage, rows) in self.groups() {
                        tbody {
                            tr { th scope="rowgroup" colspan=(columns) { (self.group_title(stage, unit)) } }
                            @for row in rows { (self.table_row(row, unit)) }
                        }
                    }
                }
            }
        }
    }

    fn table_row(&self, row: &GapRow, unit: Unit) -> Markup {
        let cells = self.columns(true).map(|column| (column.cell)(row, unit));
        html! {
            tr { @for (i, cell) in cells.enumerate() {
                @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
            } }
        }
    }
}
