//! What a row of the key table is made of: where it holds, what it does, how it is pressed, what it is called.
//!
//! What the file is for: the values, and the keys that mean the same on many screens. It must not know any row.

use crossterm::event::KeyCode;

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

/// A screen that a key alone opens, from wherever its row stands: it shows the same whatever is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Leaf {
    /// Each trade word in one line.
    Words,
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

pub(super) const fn key(code: KeyCode) -> Press {
    Press { code, ctrl: false }
}

pub(super) const fn ch(c: char) -> Press {
    key(KeyCode::Char(c))
}

pub(super) const fn ctrl(c: char) -> Press {
    Press { code: KeyCode::Char(c), ctrl: true }
}

pub(super) const fn f(n: u8) -> Press {
    key(KeyCode::F(n))
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

pub(super) const fn row(
    place: Place,
    action: Action,
    presses: &'static [Press],
    name: &'static str,
    help: &'static str,
    footer: bool,
) -> Row {
    Row { place, action, presses, name, help, footer }
}

pub(super) const ENTER: &[Press] = &[key(KeyCode::Enter), ch(' '), key(KeyCode::PageDown), f(13)];
pub(super) const ENTER_ONLY: &[Press] = &[key(KeyCode::Enter)];

/// Opens how a figure was reckoned where a field is empty or there is none; F2 does so everywhere.
pub(super) const WHY: &[Press] = &[ch('=')];
pub(super) const WHY_HELP: &str = "How this was reckoned: its numbers, how sure it is, what would change it.";

/// The same where there may be none.
pub(super) const WHERE_HELP: &str = "Of a round, a loop or a saw: how its figures were reckoned.";
