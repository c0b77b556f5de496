//! A form: fields one below the other, one of them with the cursor. Used by every screen that asks for more than a reading.

use crossterm::event::{Event, KeyEvent};
use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};
use tui_input::Input;
use tui_input::backend::crossterm::EventHandler;
use unicode_width::UnicodeWidthChar;

use super::super::keys::Action;
use super::super::theme::{Role, Theme};
use super::fields::Fault;
use crate::report::format::wrap;
use crate::units::Unit;
use crate::units::clean::{MAX_TEXT, clean};

/// Longest path taken, in characters: the common limit of systems.
pub(crate) const MAX_PATH: usize = 4096;

/// Said below a field that the program filled in.
const REPLACES: &str = "Typing replaces it; End or an arrow edits it.";

/// One field.
#[derive(Debug, Clone)]
pub(crate) struct Field {
    /// Name of the field, for the screen that reads it.
    pub key: &'static str,
    label: String,
    hint: String,
    kind: Kind,
    /// Why the last try was not taken.
    pub error: Option<String>,
    /// Not wanted as the form stands: neither drawn nor stepped on.
    hidden: bool,
}

#[derive(Debug, Clone)]
enum Kind {
    Text {
        input: Input,
        /// Most characters taken.
        most: usize,
        /// Filled in by the program: what is typed takes its place, a key that moves the cursor edits it.
        prefilled: bool,
    },
    Choice {
        options: Vec<String>,
        at: usize,
    },
}

impl Field {
    /// A field to type into.
    pub(crate) fn text(key: &'static str, label: &str, value: &str, hint: &str) -> Self {
        let kind = Kind::Text { input: Input::new(value.to_owned()), most: MAX_TEXT, prefilled: !value.is_empty() };
        Self { key, label: label.to_owned(), hint: hint.to_owned(), kind, error: None, hidden: false }
    }

    /// An empty field for the path of a file, which may be long.
    pub(crate) fn path(key: &'static str, label: &str, hint: &str) -> Self {
        let kind = Kind::Text { input: Input::default(), most: MAX_PATH, prefilled: false };
        Self { kind, ..Self::text(key, label, "", hint) }
    }

    /// A field to choose in.
    pub(crate) fn choice<S: Into<String>>(
        key: &'static str,
        label: &str,
        options: impl IntoIterator<Item = S>,
        at: usize,
        hint: &str,
    ) -> Self {
        let options: Vec<String> = options.into_iter().map(Into::into).collect();
        let at = at.min(options.len().saturating_sub(1));
        let kind = Kind::Choice { options, at };
        Self { key, label: label.to_owned(), hint: hint.to_owned(), kind, error: None, hidden: false }
    }
}

/// Fields in order.
#[derive(Debug, Clone)]
pub(crate) struct Form {
    title: String,
    /// Unit of a length whose text names none.
    unit: Unit,
    fields: Vec<Field>,
    at: usize,
}

/// What a key made of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// Still being filled in.
    Open,
    /// Enter on the last field.
    Finished,
    /// Left.
    Left,
}

impl Form {
    /// A form with its cursor on the first field.
    pub(crate) fn new(title: &str, fields: Vec<Field>) -> Self {
        Self { title: title.to_owned(), unit: Unit::Mm, fields, at: 0 }
    }

    /// The same with its lengths in that unit.
    #[must_use]
    pub(crate) const fn in_unit(mut self, unit: Unit) -> Self {
        self.unit = unit;
        self
    }

    /// Unit of a length whose text names none.
    pub(crate) const fn unit(&self) -> Unit {
        self.unit
    }

    /// What a field holds, trimmed and safe; the option's words for a choice.
    pub(crate) fn value(&self, key: &str) -> String {
        match self.field(key).map(|field| &field.kind) {
            Some(Kind::Text { input, .. }) => clean(input.value()),
            Some(Kind::Choice { options, at }) => options.get(*at).cloned().unwrap_or_default(),
            None => String::new(),
        }
    }

    /// What a text field holds as it was typed: for a path, in which every character counts.
    pub(crate) fn raw(&self, key: &str) -> String {
        match self.field(key).map(|field| &field.kind) {
            Some(Kind::Text { input, .. }) => input.value().to_owned(),
            _ => String::new(),
        }
    }

    /// Says something else below a field.
    pub(crate) fn hint(&mut self, key: &str, hint: &str) {
        if let Some(field) = self.fields.iter_mut().find(|field| field.key == key) {
            hint.clone_into(&mut field.hint);
        }
    }

    /// Which option of a choice.
    pub(crate) fn chosen(&self, key: &str) -> usize {
        match self.field(key).map(|field| &field.kind) {
            Some(Kind::Choice { at, .. }) => *at,
            _ => 0,
        }
    }

    /// Puts a value into a text field.
    pub(crate) fn set(&mut self, key: &str, value: &str) {
        if let Some(Field { kind: Kind::Text { input, prefilled, .. }, .. }) =
            self.fields.iter_mut().find(|field| field.key == key)
        {
            *input = Input::new(value.to_owned());
            *prefilled = !value.is_empty();
        }
    }

    /// Says why a field is not taken, and goes there.
    pub(crate) fn refuse(&mut self, key: &str, why: impl Into<String>) {
        if let Some(at) = self.fields.iter().position(|field| field.key == key) {
            self.at = at;
            self.fields[at].error = Some(why.into());
        }
    }

    /// What follows from a form that was finished: `then`, or the field at fault with the reason.
    pub(crate) fn finished<T, E>(&mut self, read: Result<T, Fault>, then: impl FnOnce(T) -> Vec<E>) -> Vec<E> {
        match read {
            Ok(value) => then(value),
            Err((key, why)) => {
                self.refuse(key, why);
                Vec::new()
            }
        }
    }

    /// Takes a field out of the form, or back in.
    pub(crate) fn hide(&mut self, key: &str, hidden: bool) {
        if let Some(field) = self.fields.iter_mut().find(|field| field.key == key) {
            field.hidden = hidden;
        }
    }

    /// The next field shown after the present one, or before it.
    fn beside(&self, forward: bool) -> Option<usize> {
        let shown = |at: &usize| self.fields.get(*at).is_some_and(|field| !field.hidden);
        if forward { (self.at + 1..self.fields.len()).find(shown) } else { (0..self.at).rev().find(shown) }
    }

    /// Back to the first field.
    pub(crate) fn restart(&mut self) {
        self.at = 0;
    }

    /// Key of the field with the cursor.
    pub(crate) fn current(&self) -> &'static str {
        self.fields.get(self.at).map_or("", |field| field.key)
    }

    /// True where a key leaves this field, or takes the whole form.
    pub(crate) fn leaves(&self, key: &str, action: Action) -> bool {
        action == Action::Keep || self.current() == key && matches!(action, Action::Next | Action::Down)
    }

    fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.key == key)
    }

    /// True while the cursor stands in a text field: characters belong to it.
    pub(crate) fn is_typing(&self) -> bool {
        matches!(self.fields.get(self.at).map(|field| &field.kind), Some(Kind::Text { .. }))
    }

    /// A key of the table.
    pub(crate) fn act(&mut self, action: Action) -> Outcome {
        let (before, after) = (self.beside(false), self.beside(true));
        let Some(field) = self.fields.get_mut(self.at) else { return Outcome::Finished };
        match (action, &mut field.kind) {
            (Action::Close, _) => return Outcome::Left,
            (Action::Keep, _) => return Outcome::Finished,
            (Action::Next, _) if after.is_none() => return Outcome::Finished,
            (Action::Next | Action::Down, _) => self.at = after.unwrap_or(self.at),
            (Action::Up, _) => self.at = before.unwrap_or(self.at),
            (Action::Left, Kind::Choice { options, at }) => {
                *at = (*at + options.len().saturating_sub(1)) % options.len().max(1);
            }
            (Action::Right, Kind::Choice { options, at }) => *at = (*at + 1) % options.len().max(1),
            (Action::Left, Kind::Text { input, prefilled, .. }) => {
                *prefilled = false;
                input.handle(tui_input::InputRequest::GoToPrevChar);
            }
            (Action::Right, Kind::Text { input, prefilled, .. }) => {
                *prefilled = false;
                input.handle(tui_input::InputRequest::GoToNextChar);
            }
            _ => {}
        }
        Outcome::Open
    }

    /// A key for the field with the cursor. In a choice, a letter goes to the next option that begins with it.
    pub(crate) fn edit(&mut self, key: KeyEvent) {
        let Some(field) = self.fields.get_mut(self.at) else { return };
        field.error = None;
        match &mut field.kind {
            Kind::Text { input, most, prefilled } => {
                if std::mem::take(prefilled) && matches!(key.code, crossterm::event::KeyCode::Char(_)) {
                    *input = Input::default();
                }
                if input.value().chars().count() < *most || !matches!(key.code, crossterm::event::KeyCode::Char(_)) {
                    input.handle_event(&Event::Key(key));
                }
            }
            Kind::Choice { options, at } => {
                if let crossterm::event::KeyCode::Char(c) = key.code {
                    let wanted = c.to_lowercase().to_string();
                    let begins = |option: &String| option.to_lowercase().starts_with(&wanted);
                    let order = (1..=options.len()).map(|step| (*at + step) % options.len());
                    if let Some(found) = order.into_iter().find(|&i| options.get(i).is_some_and(begins)) {
                        *at = found;
                    }
                }
            }
        }
    }

    /// Draws the form and says where the cursor stands.
    pub(crate) fn draw(&self, frame: &mut Frame, area: Rect, theme: Theme) -> Option<Position> {
        let widest = self.fields.iter().map(|field| Line::from(field.label.as_str()).width()).max().unwrap_or(0);
        let label_width = u16::try_from(widest + 2).unwrap_or(20).min(area.width / 2);
        let mut lines = vec![(Line::styled(self.title.clone(), theme.style(Role::Title)), None), (Line::raw(""), None)];
        let widths = (usize::from(label_width), usize::from(area.width));
        for (index, field) in self.fields.iter().enumerate().filter(|(_, field)| !field.hidden) {
            self.push_field(&mut lines, index, field, widths, theme);
        }
        let focus = lines.iter().position(|(_, cursor)| cursor.is_some()).unwrap_or(0);
        let height = usize::from(area.height);
        let skip = (focus + 3).saturating_sub(height);
        let mut cursor = None;
        for (row, (line, at)) in lines.into_iter().skip(skip).take(height).enumerate() {
            let y = area.y + u16::try_from(row).unwrap_or(0);
            let place = Rect { y, height: 1, ..area };
            if let Some(column) = at {
                let x = area.x.saturating_add(label_width).saturating_add(column);
                cursor = Some(Position { x: x.min(area.right().saturating_sub(1)), y });
            }
            frame.render_widget(line, place);
        }
        cursor
    }

    fn push_field<'a>(
        &self,
        lines: &mut Vec<(Line<'a>, Option<u16>)>,
        index: usize,
        field: &'a Field,
        (label_width, width): (usize, usize),
        theme: Theme,
    ) {
        let here = index == self.at;
        let style = theme.style(if here { Role::Field } else { Role::Text });
        let label = Span::styled(format!("{:<label_width$}", field.label), theme.style(Role::Quiet));
        let (value, column) = match &field.kind {
            Kind::Text { input, .. } => {
                // What is too long is seen where the cursor stands.
                let scroll = input.visual_scroll(width.saturating_sub(label_width + 2).max(1));
                let shown: String = skip_columns(input.value(), scroll);
                (format!("{shown} "), u16::try_from(input.visual_cursor().saturating_sub(scroll)).unwrap_or(0))
            }
            Kind::Choice { options, at } => (format!("< {} >", options.get(*at).map_or("", String::as_str)), 2),
        };
        lines.push((Line::from(vec![label, Span::styled(value, style)]), here.then_some(column)));
        let prefilled = matches!(field.kind, Kind::Text { prefilled: true, .. });
        let below = match &field.error {
            Some(error) => Some((error.clone(), Role::Bad)),
            None if here && prefilled => {
                Some((format!("{} {REPLACES}", field.hint).trim_start().to_owned(), Role::Quiet))
            }
            None if here && !field.hint.is_empty() => Some((field.hint.clone(), Role::Quiet)),
            None => None,
        };
        if let Some((text, role)) = below {
            for piece in wrap(&text, width.saturating_sub(label_width).max(16), 0) {
                lines.push((Line::styled(format!("{:label_width$}{piece}", ""), theme.style(role)), None));
            }
        }
    }
}

/// The text from a column on; a wide character that begins before it is left out.
fn skip_columns(text: &str, columns: usize) -> String {
    let mut at = 0;
    let seen = |c: &char| {
        let before = at;
        at += c.width().unwrap_or(0);
        before >= columns
    };
    text.chars().filter(seen).collect()
}
