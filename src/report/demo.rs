//! What is printed from the invented workshop says so in its first line.

use maud::html;

/// The line.
pub(super) const LINE: &str = "DEMO: an invented workshop. This is no real loop.";

/// A text, with the line first where it is of the demo.
pub(super) fn text(demo: bool, text: String) -> String {
    if demo { format!("{LINE}\n\n{text}") } else { text }
}

/// A page, with the line before everything that is read where it is of the demo.
pub(super) fn page(demo: bool, page: String) -> String {
    const BEGIN: &str = "<main>";
    if !demo {
        return page;
    }
    let line = html! { p { strong { (LINE) } } }.into_string();
    page.replacen(BEGIN, &format!("{BEGIN}{line}"), 1)
}
