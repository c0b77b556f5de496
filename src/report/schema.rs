//! What each machine-readable output holds, as JSON Schema (draft 2020-12).

use strum::{EnumMessage, EnumString, IntoStaticStr, VariantArray};

/// An output as JSON, by the name of what makes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, EnumMessage, EnumString, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "lowercase")]
pub enum Output {
    /// The table of gaps.
    #[strum(message = "gaps --format json")]
    Gaps,
    /// The sheet of a round.
    #[strum(message = "sheet --format json")]
    Sheet,
    /// The life of a loop.
    #[strum(message = "history --format json")]
    History,
    /// The page of a saw.
    #[strum(message = "saw --format json")]
    Saw,
    /// Tags.
    #[strum(message = "tags --format json")]
    Tags,
    /// The list of loops.
    #[strum(message = "loops --format json")]
    Loops,
    /// The pages of a course day.
    #[strum(message = "course --format json")]
    Course,
    /// A line of an export.
    #[strum(message = "export: each of its lines")]
    Export,
}

impl Output {
    /// Its schema.
    pub const fn schema(self) -> &'static str {
        match self {
            Self::Gaps => include_str!("schema/gaps.json"),
            Self::Sheet => include_str!("schema/sheet.json"),
            Self::History => include_str!("schema/history.json"),
            Self::Saw => include_str!("schema/saw.json"),
            Self::Tags => include_str!("schema/tags.json"),
            Self::Loops => include_str!("schema/loops.json"),
            Self::Course => include_str!("schema/course.json"),
            Self::Export => include_str!("schema/export.json"),
        }
    }
}
