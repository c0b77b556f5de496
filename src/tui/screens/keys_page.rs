//! The key page: every key of the place one came from, then all the others, from the one table.

use super::super::keys::{Place, table};
use super::page::Page;

/// All keys, those of `from` first.
pub(super) fn keys_page(from: Place) -> Page {
    Page::new("Keys", &[text(from)])
}

/// The key page as text.
fn text(from: Place) -> String {
    let others = Place::ALL.into_iter().filter(|place| *place != from && *place != Place::Everywhere);
    let order = [from, Place::Everywhere].into_iter().chain(others);
    let mut out = String::new();
    let mut seen = Vec::new();
    for place in order {
        if seen.contains(&place) {
            continue;
        }
        seen.push(place);
        out.push_str(&format!("\n{}\n", place.title()));
        for row in table().filter(|row| row.place == place) {
            let presses: Vec<String> = row.presses.iter().map(|press| press.label()).collect();
            // Many presses are wider than their column: two blanks separate them from the help all the same.
            out.push_str(&format!("  {:<22}  {}\n", presses.join("  "), row.help));
        }
    }
    out
}
