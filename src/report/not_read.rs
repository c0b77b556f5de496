//! What could not be read is named on the page that would rest on it.

use maud::html;

use super::format::{TEXT_WIDTH, plain, wrap};

/// What stands before the names.
const HEAD: &str = "Not everything could be read. What is said here rests on the rest.";
/// The same for those who read no file names.
const FOR_OWNER: &str = "Not all of the workshop's records could be read. What is said here rests on the rest.";

/// A text, with the files first that it had to do without; `ascii` keeps to plain letters.
pub(super) fn text(not_read: &[String], ascii: bool, text: String) -> String {
    if not_read.is_empty() {
        return text;
    }
    let lines = not_read.iter().flat_map(|file| wrap(&format!("! {file}"), TEXT_WIDTH, 2));
    let lines: String = wrap(HEAD, TEXT_WIDTH, 0).into_iter().chain(lines).map(|line| line + "\n").collect();
    plain(&format!("{lines}\n"), ascii) + &text
}

/// A page, with the files before everything that is read.
pub(super) fn page(not_read: &[String], page: String) -> String {
    let lines = html! { div class="urgent" { p { (HEAD) } ul { @for file in not_read { li { (file) } } } } };
    before(not_read, page, &lines.into_string())
}

/// An owner's text that had to do without some files.
pub(super) fn owner_text(not_read: &[String], text: String) -> String {
    if not_read.is_empty() {
        return text;
    }
    let lines: String = wrap(FOR_OWNER, TEXT_WIDTH, 0).into_iter().map(|line| line + "\n").collect();
    format!("{lines}\n{text}")
}

/// An owner's page that had to do without some files.
pub(super) fn owner_page(not_read: &[String], page: String) -> String {
    before(not_read, page, &html! { p class="urgent" { (FOR_OWNER) } }.into_string())
}

fn before(not_read: &[String], page: String, lines: &str) -> String {
    const BEGIN: &str = "<main>";
    if not_read.is_empty() { page } else { page.replacen(BEGIN, &format!("{BEGIN}{lines}"), 1) }
}
