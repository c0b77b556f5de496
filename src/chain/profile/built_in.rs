//! The chain types that come with the program.

use std::sync::OnceLock;

use super::Profile;

/// Name and text of each built-in profile, smallest pitch first.
pub const BUILT_IN: [(&str, &str); 7] = [
    ("quarter-inch-low", include_str!("../../../profiles/quarter-inch-low.toml")),
    ("quarter-inch", include_str!("../../../profiles/quarter-inch.toml")),
    ("three-eighths-narrow", include_str!("../../../profiles/three-eighths-narrow.toml")),
    ("three-eighths-low", include_str!("../../../profiles/three-eighths-low.toml")),
    ("point-325", include_str!("../../../profiles/point-325.toml")),
    ("three-eighths", include_str!("../../../profiles/three-eighths.toml")),
    ("four-oh-four", include_str!("../../../profiles/four-oh-four.toml")),
];

/// All built-in profiles.
///
/// # Panics
/// Never in a released program: the tests read every built-in file.
pub fn all() -> Vec<Profile> {
    (0..BUILT_IN.len()).map(parsed).cloned().collect()
}

/// Each is read once, and only when it is asked for: reading all of them takes longer than showing a rack.
fn parsed(at: usize) -> &'static Profile {
    static PARSED: [OnceLock<Profile>; BUILT_IN.len()] = [const { OnceLock::new() }; BUILT_IN.len()];
    let (name, text) = BUILT_IN[at];
    PARSED[at].get_or_init(|| read(name, text))
}

/// One built-in profile by name.
///
/// # Panics
/// Never in a released program: the tests read every built-in file.
pub fn named(name: &str) -> Option<Profile> {
    BUILT_IN.iter().position(|(known, _)| *known == name).map(parsed).cloned()
}

fn read(name: &str, text: &str) -> Profile {
    Profile::parse(&format!("profiles/{name}.toml"), text).unwrap_or_else(|error| panic!("built in: {error}"))
}
