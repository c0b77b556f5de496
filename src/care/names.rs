//! Which loop is meant: by its tag, by its name on screen, or by something near one of them.

use super::{CareError, Workshop};
use crate::record::RackError;
use crate::units::clean::is_slug;

/// How alike two names must be (1 is equal, by the edits between them) for the one to be offered for the other.
const NEAR: f64 = 0.6;

impl Workshop {
    /// Tag and name of every loop whose card can be read, by tag. Nothing is written.
    pub fn loop_names(&self) -> Vec<(String, String)> {
        self.shelves().shelves.into_iter().map(|shelf| (shelf.card.tag, shelf.card.name)).collect()
    }

    /// The tag of the loop that `text` stands for: the tag itself, or the name on screen in any case of letters.
    ///
    /// # Errors
    /// No loop has it, with the one that comes nearest; several loops have that name, with their tags.
    pub fn tag_of(&self, text: &str) -> Result<String, CareError> {
        if is_slug(text) && !matches!(self.rack.card(text), Err(RackError::NoLoop(_))) {
            return Ok(text.to_owned());
        }
        let loops = self.loop_names();
        let wanted = text.trim().to_lowercase();
        let mut found: Vec<&String> =
            loops.iter().filter(|(_, name)| name.to_lowercase() == wanted).map(|(tag, _)| tag).collect();
        match found.len() {
            0 => Err(CareError::NoSuchLoop { asked: text.to_owned(), near: nearest(&wanted, &loops) }),
            1 => Ok(found.remove(0).clone()),
            _ => Err(CareError::SeveralLoops {
                name: text.to_owned(),
                tags: found.iter().map(|tag| tag.as_str()).collect::<Vec<_>>().join(", "),
            }),
        }
    }
}

/// The tag of the loop whose tag or name is most like what was asked for, where one is near.
fn nearest(wanted: &str, loops: &[(String, String)]) -> Option<String> {
    let alike = |name: &str| strsim::normalized_damerau_levenshtein(wanted, &name.to_lowercase());
    loops
        .iter()
        .map(|(tag, name)| (alike(tag).max(alike(name)), tag))
        .filter(|(alike, _)| *alike >= NEAR)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, tag)| tag.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn loops() -> Vec<(String, String)> {
        [("mill-lane", "Mill Lane 3"), ("yard-2", "Yard 2")].map(|(tag, name)| (tag.to_owned(), name.to_owned())).into()
    }

    #[test]
    fn a_slip_is_offered_the_loop_that_comes_nearest_and_a_stranger_none() {
        assert_eq!(nearest("mil-lane", &loops()).as_deref(), Some("mill-lane"));
        assert_eq!(nearest("yrad 2", &loops()).as_deref(), Some("yard-2"));
        assert_eq!(nearest("harbour", &loops()), None);
    }
}
