//! A page that needs nothing else: no scripts, nothing fetched; light, dark and printed.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::made::GENERATOR;
use super::picture;

const STYLE: &str = "\
:root{color-scheme:light dark;--ink:#1b1b1b;--paper:#fdfdfb;--soft:#5c5c5c;--line:#c9c9c4;--band:#e4e9e2;\
--good:#1a6b2d;--warn:#8a5a00;--bad:#a01515;--one:#0b5ea8;--two:#9a4a00}
@media (prefers-color-scheme:dark){:root{--ink:#ececec;--paper:#161616;--soft:#a8a8a8;--line:#474747;--band:#26302a;\
--good:#7fd08f;--warn:#ffc45c;--bad:#ff8a80;--one:#7cc0ff;--two:#ffb066}}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.4 system-ui,sans-serif}
main{max-width:60rem;margin:0 auto;padding:1rem;overflow-wrap:break-word}
h1{font-size:1.5rem;margin:0 0 .4rem}
h2{font-size:1.05rem;margin:1rem 0 .2rem}
p{margin:.2rem 0}
ul{margin:.2rem 0;padding-left:1.2rem}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.1rem .8rem;margin:.4rem 0}
dt{color:var(--soft)}
dd{margin:0}
.urgent{border-left:.3rem solid var(--bad);padding-left:.6rem;font-weight:600}
figure{margin:.8rem 0}
figcaption{color:var(--soft);font-size:.9rem}
svg{width:100%;height:auto;display:block}
.grid{stroke:var(--line)}
.soft{stroke:var(--soft)}
.band{fill:var(--band);stroke:none}
.one{stroke:var(--one)}
.two{stroke:var(--two)}
.good{color:var(--good)}
.warn{color:var(--warn)}
.bad{color:var(--bad);font-weight:700}
.quiet{color:var(--soft)}
.table{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.85rem;font-variant-numeric:tabular-nums}
caption{text-align:left;color:var(--soft)}
th,td{text-align:right;padding:.1em .4em;border-bottom:1px solid var(--line);white-space:nowrap}
thead th{vertical-align:bottom;white-space:normal}
th[scope=row]{white-space:nowrap}
.w{text-align:left;white-space:normal}
@media print{
@page{size:A4;margin:12mm}
:root{color-scheme:light;--ink:#000;--paper:#fff;--soft:#333;--line:#999;--band:#e6e6e6;--good:#000;--warn:#000;\
--bad:#000;--one:#000;--two:#000}
body{font-size:3.2mm;line-height:1.3}
main{max-width:none;padding:0}
h1{font-size:5mm}
h2{font-size:3.6mm;break-after:avoid}
figure,tr,li{break-inside:avoid}
p{orphans:3;widows:3}
caption,thead{break-inside:avoid;break-after:avoid}
tbody tr:first-child,tbody tr:nth-child(2){break-before:avoid}
svg{max-height:75mm}
thead{display:table-header-group}
.table{overflow:visible}
table{font-size:2.5mm}
th,td{padding:.1em .25em;white-space:normal}
figcaption{font-size:2.8mm}
}
";

/// A column of a table of people.
pub(super) struct Column<'a> {
    /// Heading.
    pub head: &'a str,
    /// Words stand to the left, numbers to the right.
    pub words: bool,
}

/// The whole page round its body.
pub(super) fn page(title: &str, body: &Markup) -> String {
    page_with(title, "", body)
}

/// As [`page`], with more style after the common one.
pub(super) fn page_with(title: &str, style: &str, body: &Markup) -> String {
    // An icon of nothing, or the browser would fetch one.
    let head = html! {
        link rel="icon" href="data:,";
        style { (PreEscaped(STYLE)) (PreEscaped(&inks())) (PreEscaped(style)) }
    };
    document(title, &head, body)
}

/// The colours of pictures: on paper, on a dark screen, in print.
fn inks() -> String {
    let (light, dark, print) = (picture::LIGHT, picture::DARK, picture::PRINT);
    format!(
        ":root{{{light}}}\n@media (prefers-color-scheme:dark){{:root{{{dark}}}}}\n@media print{{:root{{{print}}}}}\n{}\n",
        picture::STYLE
    )
}

/// A page with a head of its own.
pub(super) fn document(title: &str, head: &Markup, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(GENERATOR);
                title { (title) }
                (head)
            }
            body { main { h1 { (title) } (body) } }
        }
    };
    page.into_string()
}

/// Labels and values.
pub(super) fn pairs(pairs: &[(&str, String)]) -> Markup {
    html! { dl { @for (label, value) in pairs { dt { (label) } dd { (value) } } } }
}

/// A heading with a list under it.
pub(super) fn list<S: AsRef<str>>(title: &str, items: &[S]) -> Markup {
    html! { h2 { (title) } ul { @for item in items { li { (item.as_ref()) } } } }
}

/// A heading with one paragraph under it.
pub(super) fn paragraph(title: &str, text: &str) -> Markup {
    html! { h2 { (title) } p { (text) } }
}

/// What must be read before anything else; empty without texts.
pub(super) fn urgent(texts: &[String]) -> Markup {
    html! { @for text in texts { p class="urgent" { (text) } } }
}

/// A drawing with the words under it.
pub(super) fn figure(svg: &Markup, caption: &str) -> Markup {
    html! { figure { (svg) figcaption { (caption) } } }
}

/// A table; the first cell of each row is its heading. Cells are plain text, each with the name of its look.
pub(super) fn table(
    caption: &str,
    columns: &[Column],
    rows: impl Iterator<Item = Vec<(String, &'static str)>>,
) -> Markup {
    let classes = |column: &Column, look: &'static str| {
        let classes = [if column.words { "w" } else { "" }, look];
        let classes: Vec<&str> = classes.into_iter().filter(|class| !class.is_empty()).collect();
        (!classes.is_empty()).then(|| classes.join(" "))
    };
    html! {
        div class="table" {
            table {
                caption { (caption) }
                thead { tr { @for column in columns {
                    th scope="col" class=[classes(column, "")] { (column.head) }
                } } }
                tbody { @for row in rows { tr { @for (i, ((cell, look), column)) in row.iter().zip(columns).enumerate() {
                    @if i == 0 {
                        th scope="row" class=[classes(column, look)] { (cell) }
                    } @else {
                        td class=[classes(column, look)] { (cell) }
                    }
                } } } }
            }
        }
    }
}
