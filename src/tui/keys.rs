//! The one key table. What a key does, the footer, the key page and the help in every place come from these rows.
//!
//! A row belongs to a place. Letters act only while the field is empty; digits, signs and points always go to
//! the field. What is needed with a gloved hand is on the number pad too.

mod table;

use std::sync::OnceLock;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

pub(crate) use table::{Leaf, TABLE};

use crate::system::CAN_SUSPEND;

/// Where a row of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    /// Everywhere.
    Everywhere,
    /// The rack of loops.
    Rack,
    /// A form with fields.
    Form,
    /// The round.
    Round,
    /// A round that is closed.
    Closed,
    /// A question about a doubtful reading.
    Question,
    /// The same, where it is plain what was meant.
    Meant,
    /// Something to read.
    Reading,
    /// The wear model.
    Model,
    /// The page of a saw.
    Saw,
    /// The checks of a saw.
    Checks,
    /// Who learns.
    Group,
    /// Drills of a learner.
    Drill,
    /// A short text being typed.
    Text,
    /// What a file of readings holds.
    Import,
    /// What bringing a data folder in comes to.
    Join,
    /// Long work that can be stopped.
    Working,
    /// What joined folders say differently.
    Choose,
    /// How a figure was reckoned.
    Why,
}

impl Place {
    /// Heading on the key page.
    pub(crate) const fn title(self) -> &'static str {
        match self {
            Self::Everywhere => "Everywhere",
            Self::Rack => "Rack",
            Self::Form => "Forms",
            Self::Round => "Round",
            Self::Closed => "A closed round",
            Self::Question => "A doubtful reading",
            Self::Meant => "A likely slip",
            Self::Reading => "Pages",
            Self::Model => "Wear model",
            Self::Saw => "Saw",
            Self::Checks => "Checks of a saw",
            Self::Group => "Who learns",
            Self::Drill => "Drills",
            Self::Text => "Typing a text",
            Self::Import => "Readings from a file",
            Self::Join => "A bench to bring in",
            Self::Working => "Long work",
            Self::Choose => "Said differently",
            Self::Why => "How it was reckoned",
        }
    }

    /// Name in a file of one's own keys.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Everywhere => "everywhere",
            Self::Rack => "rack",
            Self::Form => "form",
            Self::Round => "round",
            Self::Closed => "closed",
            Self::Question => "question",
            Self::Meant => "slip",
            Self::Reading => "page",
            Self::Model => "model",
            Self::Saw => "saw",
            Self::Checks => "checks",
            Self::Group => "group",
            Self::Drill => "drills",
            Self::Text => "text",
            Self::Import => "import",
            Self::Join => "join",
            Self::Working => "working",
            Self::Choose => "choose",
            Self::Why => "why",
        }
    }

    /// All places, as the key page lists them.
    pub(crate) const ALL: [Self; 19] = [
        Self::Round,
        Self::Question,
        Self::Meant,
        Self::Closed,
        Self::Checks,
        Self::Rack,
        Self::Saw,
        Self::Group,
        Self::Drill,
        Self::Form,
        Self::Text,
        Self::Reading,
        Self::Import,
        Self::Join,
        Self::Working,
        Self::Choose,
        Self::Why,
        Self::Model,
        Self::Everywhere,
    ];
}

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each row of the table says in words what its action does")]
pub(crate) enum Action {
    Next,
    TakeBack,
    Pause,
    Keep,
    TakeMeant,
    Refuse,
    Clear,
    Up,
    Down,
    Left,
    Right,
    PageUp,
    PageDown,
    First,
    Last,
    Note,
    Damaged,
    Missing,
    Kept,
    GoTo,
    Enough,
    Again,
    Zero,
    HandOver,
    View,
    Why,
    SoFar,
    Abandon,
    Reject,
    NewLoop,
    NewProfile,
    Import,
    Search,
    Sort,
    Filter,
    Sheet,
    History,
    Gaps,
    Card,
    Gauge,
    Model,
    Causes,
    Saw,
    Warm,
    Limit,
    NewBar,
    NewSprocket,
    Repaired,
    Tags,
    Paper,
    Drills,
    Practice,
    Skip,
    /// Bring another data folder into this one.
    JoinFolder,
    /// Choose between what joined folders say.
    Questions,
    Told,
    /// The page of a person.
    Person,
    /// The names away from the screen, and back.
    Blank,
    Open(Leaf),
    Settings,
    Scrap,
    Release,
    Format,
    Keys,
    Close,
    Quit,
    Suspend,
}

/// One way to press something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Press {
    /// The key.
    pub code: KeyCode,
    /// Ctrl held.
    pub ctrl: bool,
}

const fn key(code: KeyCode) -> Press {
    Press { code, ctrl: false }
}

const fn ch(c: char) -> Press {
    key(KeyCode::Char(c))
}

const fn ctrl(c: char) -> Press {
    Press { code: KeyCode::Char(c), ctrl: true }
}

const fn f(n: u8) -> Press {
    key(KeyCode::F(n))
}

/// A row of the table.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    /// Where it holds.
    pub place: Place,
    /// What it does.
    pub action: Action,
    /// The keys, the one to show first.
    pub presses: &'static [Press],
    /// Name in the footer.
    pub name: &'static str,
    /// Sentence on the key page.
    pub help: &'static str,
    /// Shown in the footer.
    pub footer: bool,
}

/// The table in use: the one of the program, or the sharpener's own over it.
static OWN: OnceLock<Vec<Row>> = OnceLock::new();

/// Takes a changed table into use, once, before the first key.
pub(crate) fn take(rows: Vec<Row>) {
    let _ = OWN.set(rows);
}

/// The rows in use, without those that this system cannot do.
pub(crate) fn table() -> impl Iterator<Item = &'static Row> {
    OWN.get().map_or(TABLE, Vec::as_slice).iter().filter(|row| is_offered(row.action, CAN_SUSPEND))
}

fn is_offered(action: Action, can_suspend: bool) -> bool {
    can_suspend || action != Action::Suspend
}

/// Rows of a place, its own first, then those that hold everywhere.
pub(crate) fn rows(place: Place) -> impl Iterator<Item = &'static Row> {
    let own = table().filter(move |row| row.place == place && place != Place::Everywhere);
    own.chain(table().filter(|row| row.place == Place::Everywhere))
}

/// The action of a key in a place. While something stands in the field, plain characters belong to the field.
pub(crate) fn action(place: Place, event: KeyEvent, field_has_text: bool) -> Option<Action> {
    let held = event.modifiers.contains(KeyModifiers::CONTROL);
    let code = match event.code {
        KeyCode::Char(c) if held => KeyCode::Char(c.to_ascii_lowercase()),
        code => code,
    };
    let for_field = matches!(code, KeyCode::Char(_)) && !held;
    let types = place == Place::Text || field_has_text;
    rows(place)
        .find(|row| {
            row.presses.iter().any(|press| {
                press.code == code
                    && press.ctrl == held
                    && !(types && for_field && !acts_on_text(place, row.action, code))
            })
        })
        .map(|row| row.action)
}

/// Characters that act though the field holds something: the space of a foot switch, and the number pad's
/// take-back and pause, which no reading contains.
fn acts_on_text(place: Place, action: Action, code: KeyCode) -> bool {
    place == Place::Round
        && match action {
            Action::Next => true,
            Action::TakeBack => code == KeyCode::Char('/'),
            Action::Pause => code == KeyCode::Char('*'),
            _ => false,
        }
}

impl Press {
    /// The key of that name: a character, `Enter`, `Esc`, `F1`, `Ctrl-C` and the like.
    pub(crate) fn named(name: &str) -> Option<Self> {
        if let Some(rest) = name.strip_prefix("Ctrl-") {
            return rest.chars().next().filter(|_| rest.chars().count() == 1).map(|c| ctrl(c.to_ascii_lowercase()));
        }
        let code = match name {
            "Enter" => KeyCode::Enter,
            "Esc" => KeyCode::Esc,
            "Space" => KeyCode::Char(' '),
            "Tab" => KeyCode::Tab,
            "Shift-Tab" => KeyCode::BackTab,
            "Up" => KeyCode::Up,
            "Down" => KeyCode::Down,
            "Left" => KeyCode::Left,
            "Right" => KeyCode::Right,
            "PgUp" => KeyCode::PageUp,
            "PgDn" => KeyCode::PageDown,
            "Home" => KeyCode::Home,
            "End" => KeyCode::End,
            "Backspace" => KeyCode::Backspace,
            "Delete" => KeyCode::Delete,
            _ => {
                let mut chars = name.chars();
                match (chars.next(), chars.as_str()) {
                    (Some(c), "") => KeyCode::Char(c),
                    (Some('F'), number) => KeyCode::F(number.parse().ok().filter(|n| (1..=24).contains(n))?),
                    _ => return None,
                }
            }
        };
        Some(key(code))
    }

    /// True for what readings are made of: digits, points, commas, signs.
    pub(crate) const fn is_for_readings(self) -> bool {
        !self.ctrl && matches!(self.code, KeyCode::Char('0'..='9' | '.' | ',' | '-' | '+'))
    }

    /// Name of the key as printed on it.
    pub(crate) fn label(self) -> String {
        let name = match self.code {
            KeyCode::Char(' ') => "Space".to_owned(),
            KeyCode::Char(c) => c.to_string(),
            KeyCode::F(n) => format!("F{n}"),
            KeyCode::Esc => "Esc".to_owned(),
            KeyCode::PageDown => "PgDn".to_owned(),
            KeyCode::PageUp => "PgUp".to_owned(),
            KeyCode::BackTab => "Shift-Tab".to_owned(),
            other => format!("{other:?}"),
        };
        if self.ctrl { format!("Ctrl-{}", name.to_uppercase()) } else { name }
    }
}

#[cfg(test)]
mod tests;
