//! The chain types that come with the program.

use super::Profile;

/// Name and text of each built-in profile, smallest pitch first.
pub const BUILT_IN: [(&str, &str); 5] = [
    ("quarter-inch", include_str!("../../../profiles/quarter-inch.toml")),
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
    BUILT_IN.iter().map(|(name, text)| read(name, text)).collect()
}

/// One built-in profile by name.
///
/// # Panics
/// Never in a released program: the tests read every built-in file.
pub fn named(name: &str) -> Option<Profile> {
    BUILT_IN.iter().find(|(built_in, _)| *built_in == name).map(|(name, text)| read(name, text))
}

fn read(name: &str, text: &str) -> Profile {
    Profile::parse(&format!("profiles/{name}.toml"), text).unwrap_or_else(|error| panic!("built in: {error}"))
}
