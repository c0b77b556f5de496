//! The one key table. What a key does, the footer, the key page and the help in every place come from these rows.
//!
//! A row belongs to a place. Letters act only while the field is empty; digits, signs and points always go to
//! the field. What is needed with a gloved hand is on the number pad too.

use std::sync::OnceLock;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// Where a row of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
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
    /// Something to read.
    Reading,
    /// The wear model.
    Model,
    /// The page of a saw.
    Saw,
    /// The checks of a saw.
    Checks,
    /// A short text being typed.
    Text,
    /// What a file of readings holds.
    Import,
}

impl Place {
    /// Heading on the key page.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Everywhere => "Everywhere",
            Self::Rack => "Rack",
            Self::Form => "Forms",
            Self::Round => "Round",
            Self::Closed => "A closed round",
            Self::Question => "A doubtful reading",
            Self::Reading => "Pages",
            Self::Model => "Wear model",
            Self::Saw => "Saw",
            Self::Checks => "Checks of a saw",
            Self::Text => "Typing a text",
            Self::Import => "Readings from a file",
        }
    }

    /// Name in a file of one's own keys.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Everywhere => "everywhere",
            Self::Rack => "rack",
            Self::Form => "form",
            Self::Round => "round",
            Self::Closed => "closed",
            Self::Question => "question",
            Self::Reading => "page",
            Self::Model => "model",
            Self::Saw => "saw",
            Self::Checks => "checks",
            Self::Text => "text",
            Self::Import => "import",
        }
    }

    /// All places, as the key page lists them.
    pub const ALL: [Self; 12] = [
        Self::Round,
        Self::Question,
        Self::Closed,
        Self::Checks,
        Self::Rack,
        Self::Saw,
        Self::Form,
        Self::Text,
        Self::Reading,
        Self::Import,
        Self::Model,
        Self::Everywhere,
    ];
}

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each row of the table says in words what its action does")]
pub enum Action {
    Next,
    TakeBack,
    Pause,
    Keep,
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
    View,
    SoFar,
    Abandon,
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
    Tags,
    Words,
    Settings,
    Scrap,
    Format,
    Keys,
    Close,
    Quit,
    Suspend,
}

/// One way to press something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Press {
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
pub struct Row {
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

const fn row(
    place: Place,
    action: Action,
    presses: &'static [Press],
    name: &'static str,
    help: &'static str,
    footer: bool,
) -> Row {
    Row { place, action, presses, name, help, footer }
}

const ENTER: &[Press] = &[key(KeyCode::Enter), ch(' '), key(KeyCode::PageDown), f(13)];
const ENTER_ONLY: &[Press] = &[key(KeyCode::Enter)];

/// All rows. Order is the order of the footer.
pub const TABLE: &[Row] = &[
    row(Place::Round, Action::Next, ENTER, "next", "Take what was typed and go on; alone, leave this out.", true),
    row(
        Place::Round,
        Action::TakeBack,
        &[ch('/'), ch('u'), key(KeyCode::PageUp)],
        "back",
        "Take the last entry back. Press again for the one before.",
        true,
    ),
    row(
        Place::Round,
        Action::Pause,
        &[ch('*'), ch('p')],
        "pause",
        "Stop for now. The round waits at this cutter.",
        true,
    ),
    row(Place::Round, Action::Damaged, &[ch('d')], "damaged", "Mark a cutter damaged and say how much must go.", true),
    row(Place::Round, Action::View, &[ch('v')], "view", "Next picture: cutter, angle, curve, lengths, signs.", true),
    row(Place::Round, Action::Enough, &[ch('e')], "enough", "Leave the rest of this part and go on.", true),
    row(Place::Round, Action::SoFar, &[ch('s')], "sheet", "Read the sheet as it stands.", true),
    row(Place::Round, Action::GoTo, &[ch('g')], "go to", "Go to a cutter or a part of the round.", true),
    row(Place::Round, Action::Note, &[ch('n')], "note", "Write a remark on this cutter or the loop.", true),
    row(Place::Round, Action::Causes, &[ch('c')], "causes", "From how the saw cuts to its cause, by this loop.", false),
    row(Place::Round, Action::Saw, &[ch('l')], "saw", "Look at the saw: bar, sprocket and tension.", false),
    row(
        Place::Round,
        Action::Again,
        &[ch('r')],
        "repeat",
        "Measure the last cutter once more; readings average.",
        false,
    ),
    row(Place::Round, Action::Missing, &[ch('x')], "missing", "Mark a cutter missing: it counts nowhere.", false),
    row(Place::Round, Action::Kept, &[ch('k')], "kept", "Mark a cutter healthy again.", false),
    row(Place::Round, Action::Zero, &[ch('z')], "zero", "Enter what the caliper shows with its jaws closed.", false),
    row(Place::Round, Action::Abandon, &[ctrl('x')], "give up", "End this round unfinished. Its readings stay.", false),
    row(Place::Round, Action::Up, &[key(KeyCode::Up)], "up", "One step more on the value in the field.", false),
    row(Place::Round, Action::Down, &[key(KeyCode::Down)], "down", "One step less.", false),
    row(Place::Round, Action::Clear, &[key(KeyCode::Esc)], "clear", "Empty the field.", false),
    row(
        Place::Closed,
        Action::Next,
        &[key(KeyCode::Enter), key(KeyCode::Esc), ch(' '), key(KeyCode::PageDown), f(13), ch('*')],
        "to the rack",
        "Back to the rack.",
        true,
    ),
    row(Place::Closed, Action::SoFar, &[ch('s')], "sheet", "Read the sheet of this round.", true),
    row(Place::Closed, Action::View, &[ch('v')], "view", "Next picture.", true),
    row(Place::Closed, Action::Causes, &[ch('c')], "causes", "From how the saw cuts to its cause.", true),
    row(
        Place::Question,
        Action::Keep,
        &[ch('*'), ch('a')],
        "keep it",
        "Keep the doubtful reading as it is. Enter never does.",
        true,
    ),
    row(
        Place::Question,
        Action::Refuse,
        &[ch('/'), key(KeyCode::Esc), key(KeyCode::Enter), ch(' '), key(KeyCode::PageDown), f(13)],
        "measure again",
        "Throw it away and measure again.",
        true,
    ),
    row(Place::Rack, Action::Next, ENTER_ONLY, "open", "Begin a round, or go on with the open one.", true),
    row(Place::Rack, Action::NewLoop, &[ch('n')], "new", "Take a loop into care.", true),
    row(Place::Rack, Action::Search, &[ch('/')], "search", "Only loops whose name, owner or saw holds the text.", true),
    row(Place::Rack, Action::Sheet, &[ch('s')], "sheet", "Read the sheet of the last round.", true),
    row(Place::Rack, Action::History, &[ch('h')], "history", "The loop's life: lengths by round, what is left.", true),
    row(Place::Rack, Action::Gaps, &[ch('t')], "table", "Raker gap by length; where the numbers come from.", true),
    row(Place::Rack, Action::Quit, &[ch('q')], "quit", "Leave the program.", true),
    row(Place::Rack, Action::Sort, &[ch('o')], "order", "Sort by name, life left, last round or owner.", true),
    row(
        Place::Rack,
        Action::Filter,
        &[ch('f')],
        "show",
        "In care, open, past changeover, near mark, due, next on saw, ...",
        true,
    ),
    row(
        Place::Rack,
        Action::Card,
        &[ch('e')],
        "card",
        "Change the loop's card: owner, saw, prices, own figures.",
        true,
    ),
    row(
        Place::Rack,
        Action::Gauge,
        &[ch('g')],
        "gauge",
        "Measure its reach, and what a plate gauge leaves on it.",
        false,
    ),
    row(
        Place::Rack,
        Action::Model,
        &[ch('m')],
        "model",
        "Watch a cutter wear: the model and six short lessons.",
        false,
    ),
    row(Place::Rack, Action::Causes, &[ch('c')], "causes", "From how the saw cuts to what causes it.", false),
    row(Place::Rack, Action::Saw, &[ch('l')], "saw", "Bar and sprocket of its saw; which loop to run next.", false),
    row(Place::Rack, Action::Tags, &[ch('p')], "tags", "Tags of the loops shown, to print and tie to them.", false),
    row(Place::Rack, Action::Import, &[ch('i')], "import", "Take readings in from a file; seen before kept.", false),
    row(Place::Rack, Action::NewProfile, &[ch('a')], "add chain", "New profile from a cutter in hand.", false),
    row(Place::Rack, Action::Words, &[ch('w')], "words", "Each trade word in one line.", false),
    row(Place::Rack, Action::Settings, &[ch(',')], "settings", "Colours, signs, bell, mouse.", false),
    row(Place::Rack, Action::Scrap, &[ch('x')], "scrap", "Take a loop out of care.", false),
    row(Place::Rack, Action::Up, &[key(KeyCode::Up)], "up", "Loop above.", false),
    row(Place::Rack, Action::Down, &[key(KeyCode::Down)], "down", "Loop below.", false),
    row(Place::Rack, Action::PageUp, &[key(KeyCode::PageUp)], "page up", "A page up.", false),
    row(Place::Rack, Action::PageDown, &[key(KeyCode::PageDown)], "page down", "A page down.", false),
    row(Place::Rack, Action::First, &[key(KeyCode::Home)], "first", "First loop.", false),
    row(Place::Rack, Action::Last, &[key(KeyCode::End)], "last", "Last loop.", false),
    row(Place::Form, Action::Next, ENTER_ONLY, "next field", "Take this field; on the last one, finish.", true),
    row(Place::Form, Action::Up, &[key(KeyCode::Up), key(KeyCode::BackTab)], "above", "Field above.", true),
    row(Place::Form, Action::Down, &[key(KeyCode::Down), key(KeyCode::Tab)], "below", "Field below.", true),
    row(Place::Form, Action::Left, &[key(KeyCode::Left)], "choice before", "Choice before, or cursor left.", false),
    row(
        Place::Form,
        Action::Right,
        &[key(KeyCode::Right), ch(' ')],
        "other choice",
        "Next choice, or cursor right.",
        true,
    ),
    row(
        Place::Form,
        Action::TakeBack,
        &[ctrl('d')],
        "row out",
        "Take the last row out, where a form keeps rows.",
        false,
    ),
    row(Place::Form, Action::Close, &[key(KeyCode::Esc)], "leave", "Leave without saving.", true),
    row(Place::Text, Action::Next, ENTER_ONLY, "done", "Take the text.", true),
    row(Place::Text, Action::Close, &[key(KeyCode::Esc)], "leave", "Leave without it.", true),
    row(Place::Text, Action::Up, &[key(KeyCode::Up)], "up", "Line above.", false),
    row(Place::Text, Action::Down, &[key(KeyCode::Down)], "down", "Line below.", false),
    row(
        Place::Reading,
        Action::Close,
        &[key(KeyCode::Esc), ch('q'), key(KeyCode::Enter)],
        "back",
        "Back to where you came from.",
        true,
    ),
    row(Place::Reading, Action::Down, &[key(KeyCode::Down), ch('j')], "line", "A line down.", true),
    row(Place::Reading, Action::Up, &[key(KeyCode::Up), ch('k')], "up", "A line up.", true),
    row(Place::Reading, Action::PageDown, &[key(KeyCode::PageDown), ch(' ')], "page down", "A page down.", false),
    row(Place::Reading, Action::PageUp, &[key(KeyCode::PageUp)], "page up", "A page up.", false),
    row(Place::Reading, Action::First, &[key(KeyCode::Home)], "top", "To the top.", false),
    row(Place::Reading, Action::Last, &[key(KeyCode::End)], "end", "To the end.", false),
    row(
        Place::Reading,
        Action::Format,
        &[ch('v')],
        "view",
        "Show the other version of this page, where there is one.",
        true,
    ),
    row(
        Place::Import,
        Action::Keep,
        &[ch('*'), ch('t')],
        "take it",
        "Record what is shown, all of it. Enter never does.",
        true,
    ),
    row(Place::Import, Action::TakeBack, &[ch('/'), ch('b')], "answers", "Back to the file and the answers.", true),
    row(Place::Import, Action::Close, &[key(KeyCode::Esc), ch('q')], "leave", "Leave; nothing is written.", true),
    row(Place::Import, Action::Down, &[key(KeyCode::Down), ch('j')], "line", "A line down.", true),
    row(Place::Import, Action::Up, &[key(KeyCode::Up), ch('k')], "up", "A line up.", false),
    row(Place::Import, Action::PageDown, &[key(KeyCode::PageDown), ch(' ')], "page", "A page down.", true),
    row(Place::Import, Action::PageUp, &[key(KeyCode::PageUp)], "page up", "A page up.", false),
    row(Place::Import, Action::First, &[key(KeyCode::Home)], "top", "To the top.", false),
    row(Place::Import, Action::Last, &[key(KeyCode::End)], "end", "To the end.", false),
    row(Place::Model, Action::Next, ENTER, "lesson", "Begin the lessons; check an answer and go on.", true),
    row(Place::Model, Action::Left, &[key(KeyCode::Left), ch('-')], "less", "Less of this setting.", true),
    row(Place::Model, Action::Right, &[key(KeyCode::Right), ch('+')], "more", "More of this setting.", true),
    row(Place::Model, Action::Down, &[key(KeyCode::Down), key(KeyCode::Tab)], "below", "Setting below.", true),
    row(Place::Model, Action::Up, &[key(KeyCode::Up), key(KeyCode::BackTab)], "above", "Setting above.", true),
    row(Place::Model, Action::View, &[ch('v')], "view", "Change the picture: cutter, close, curve, next cutter.", true),
    row(Place::Model, Action::Again, &[ch('r')], "afresh", "Put everything back to where it began.", false),
    row(Place::Model, Action::Close, &[key(KeyCode::Esc), ch('q')], "back", "Back to where you came from.", true),
    row(Place::Saw, Action::Next, ENTER_ONLY, "look", "Look at bar, sprocket and tension now.", true),
    row(Place::Saw, Action::Warm, &[ch('t')], "tension again", "Tension after 5 to 10 minutes of cutting.", true),
    row(Place::Saw, Action::NewBar, &[ch('b')], "new bar", "A new bar was fitted.", true),
    row(Place::Saw, Action::NewSprocket, &[ch('r')], "new sprocket", "A new sprocket was fitted.", true),
    row(
        Place::Saw,
        Action::TakeBack,
        &[ch('/'), ch('u')],
        "take back",
        "Take the last entry back. Press again for the one before.",
        true,
    ),
    row(Place::Saw, Action::Limit, &[ch('m')], "limit", "Enter the maker's limit of the sprocket's wear mark.", false),
    row(Place::Saw, Action::Note, &[ch('n')], "note", "Write a remark on this saw.", false),
    row(Place::Saw, Action::Close, &[key(KeyCode::Esc), ch('q')], "back", "Back to where you came from.", true),
    row(Place::Saw, Action::Down, &[key(KeyCode::Down), ch('j')], "line", "A line down.", false),
    row(Place::Saw, Action::Up, &[key(KeyCode::Up), ch('k')], "up", "A line up.", false),
    row(Place::Saw, Action::PageDown, &[key(KeyCode::PageDown), ch(' ')], "page down", "A page down.", false),
    row(Place::Saw, Action::PageUp, &[key(KeyCode::PageUp)], "page up", "A page up.", false),
    row(
        Place::Checks,
        Action::Next,
        ENTER,
        "next",
        "Take what was typed; alone, not looked at. At the end, store.",
        true,
    ),
    row(
        Place::Checks,
        Action::TakeBack,
        &[ch('/'), ch('u'), key(KeyCode::PageUp), key(KeyCode::Up)],
        "back",
        "Back to the part before.",
        true,
    ),
    row(
        Place::Checks,
        Action::Enough,
        &[ch('*'), ch('e')],
        "store",
        "Store what is answered, leave the rest out.",
        true,
    ),
    row(Place::Checks, Action::Note, &[ch('n')], "note", "Write a remark on this part.", true),
    row(Place::Checks, Action::Close, &[key(KeyCode::Esc)], "leave", "Leave without storing.", true),
    row(Place::Everywhere, Action::Keys, &[f(1), ch('?')], "keys", "This page.", true),
    row(
        Place::Everywhere,
        Action::Quit,
        &[ctrl('c')],
        "quit",
        "Leave the program. A round is paused, nothing is lost.",
        false,
    ),
    row(Place::Everywhere, Action::Suspend, &[ctrl('z')], "shell", "Go to the shell; fg comes back.", false),
];

/// The table in use: the one above, or the sharpener's own over it.
static OWN: OnceLock<Vec<Row>> = OnceLock::new();

/// Takes a changed table into use, once, before the first key.
pub fn take(rows: Vec<Row>) {
    let _ = OWN.set(rows);
}

/// The rows in use.
pub fn table() -> &'static [Row] {
    OWN.get().map_or(TABLE, Vec::as_slice)
}

/// Rows of a place, its own first, then those that hold everywhere.
pub fn rows(place: Place) -> impl Iterator<Item = &'static Row> {
    let own = table().iter().filter(move |row| row.place == place && place != Place::Everywhere);
    own.chain(table().iter().filter(|row| row.place == Place::Everywhere))
}

/// The action of a key in a place. While something stands in the field, plain characters belong to the field.
pub fn action(place: Place, event: KeyEvent, field_has_text: bool) -> Option<Action> {
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
    pub fn named(name: &str) -> Option<Self> {
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
    pub const fn is_for_readings(self) -> bool {
        !self.ctrl && matches!(self.code, KeyCode::Char('0'..='9' | '.' | ',' | '-' | '+'))
    }

    /// Name of the key as printed on it.
    pub fn label(self) -> String {
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
