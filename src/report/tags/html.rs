//! Tags as a page to print: ten a sheet, on A4 and on letter paper, with lines to cut along and a place for the string.

use maud::{Markup, html};

use super::{Tag, Tags};
use crate::report::not_read;
use crate::report::page::page_with;
use crate::units::Unit;

/// Tags on one sheet: two beside each other, 92 mm x 48 mm each, fit both papers with a margin of 10 mm.
const A_SHEET: usize = 10;

const STYLE: &str = "\
main{max-width:none}
.sheet{display:grid;grid-template-columns:repeat(2,92mm);grid-auto-rows:48mm;width:184mm;margin:0 auto 6mm}
.tag{box-sizing:border-box;border:.3mm dashed var(--soft);padding:2mm 3mm 2mm 9mm;overflow:hidden;position:relative;\
font-size:3.2mm;line-height:1.25}
.tag::before{content:\"\";position:absolute;left:2.5mm;top:2.5mm;width:4mm;height:4mm;border:.3mm solid var(--soft);\
border-radius:50%}
.tag h2{margin:0;font-size:4.6mm;white-space:nowrap;overflow:hidden;text-overflow:ellipsis}
.tag p{margin:0;overflow-wrap:anywhere}
.tag .stop{font-weight:700}
@media screen and (max-width:200mm){
.sheet{display:block;width:auto}
.tag{min-height:40mm;margin-bottom:4mm;font-size:1rem}
.tag h2{font-size:1.2rem;white-space:normal}
}
@media print{
@page{size:auto;margin:10mm}
h1{display:none}
.urgent{break-after:page}
.sheet{margin:0 auto;break-after:page;break-inside:avoid}
.sheet:last-child{break-after:auto}
}
";

impl Tags {
    /// The tags as a page that fetches nothing.
    pub fn html(&self, unit: Unit) -> String {
        let title =
            format!("Tags of {}, {}", crate::report::words::count(self.len(), "loop"), self.printed.format("%Y-%m-%d"));
        let body = html! {
            @for sheet in self.all.chunks(A_SHEET) {
                div class="sheet" { @for tag in sheet { (tag.html(unit)) } }
            }
        };
        not_read::page(&self.not_read, page_with(&title, STYLE, &body))
    }
}

impl Tag {
    fn html(&self, unit: Unit) -> Markup {
        html! {
            section class="tag" {
                h2 { (self.name) }
                p { (self.slug) }
                @for line in self.lines(unit) {
                    p class=[line.stop.then_some("stop")] { (line.text) }
                }
            }
        }
    }
}
