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
    parsed().to_vec()
}

/// They are read once: reading them takes longer than showing a rack.
fn parsed() -> &'static [Profile] {
    static PARSED: OnceLock<Vec<Profile>> = OnceLock::new();
    PARSED.get_or_init(|| BUILT_IN.iter().map(|(name, text)| read(name, text)).collect())
}

/// One built-in profile by name.
///
/// # Panics
/// Never in a released program: the tests read every built-in file.
pub fn named(name: &str) -> Option<Profile> {
    parsed().iter().find(|profile| profile.name == name).cloned()
}

fn read(name: &str, text: &str) -> Profile {
    Profile::parse(&format!("profiles/{name}.toml"), text).unwrap_or_else(|error| panic!("built in: {error}"))
}
