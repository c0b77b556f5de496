//! What another window changed meanwhile, in words.

use crate::record::Changed;
use crate::report::fields::name;

/// One change: `owner is now Tove`.
fn change(changed: &Changed) -> String {
    match (changed.field.as_str(), changed.theirs.as_str()) {
        ("scrapped", "") => "the loop is back in care".to_owned(),
        ("scrapped", reason) => format!("the loop is out of care: {reason}"),
        ("releases", _) => "the loop was released".to_owned(),
        (field, "") => format!("{} is now empty", name(field)),
        (field, theirs) => format!("{} is now {theirs}", name(field)),
    }
}

/// What was changed elsewhere and kept, in a sentence; nothing where nothing was.
pub fn words(changed: &[Changed]) -> String {
    let changes: Vec<String> = changed.iter().map(change).collect();
    if changes.is_empty() {
        return String::new();
    }
    format!("Another window changed: {}. That is kept.", changes.join("; "))
}
