//! A rehearsal: keys from a script against the real application on an in-memory terminal with a clock of its own.
//!
//! One wish per line; `#` begins a remark.
//!
//! What is entered line after line is drawn once, when a key is pressed, the screen is shown or the script ends: as in a
//! terminal, where everything that waits is taken before the next frame.
//!
//! | line | what it does |
//! |---|---|
//! | `type TEXT` | types the text, key by key |
//! | `enter TEXT` | types the text and presses Enter; without text, Enter alone |
//! | `key NAME ...` | presses keys: `Enter`, `Esc`, `Up`, `F1`, `Ctrl-C`, `Space`, a character |
//! | `hold NAME TIMES` | the key is held down and comes that many times, 30 ms apart |
//! | `burst TEXT` | the text and Enter come as a keyboard adapter types them, 5 ms apart |
//! | `paste TEXT` | the text arrives in one piece |
//! | `line TEXT` | a whole line arrives, as from an instrument |
//! | `wait SECONDS` | time passes |
//! | `at TIME` | it is now that time, such as `2026-03-01T08:00:00+01:00` |
//! | `size WxH` | the window changes |
//! | `show NAME` | prints the screen under that name |

use chrono::{DateTime, FixedOffset, TimeDelta};
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::app::{App, Msg};
use super::desk::Desk;
use super::drive::{begin, drive};
use super::keys::Press;
use super::still;

/// Time that passes with each wish: readings closer together than a hand can make them would be taken for one sent twice.
const STEP: TimeDelta = TimeDelta::seconds(2);

/// Time between the characters of a keyboard adapter.
const BURST: TimeDelta = TimeDelta::milliseconds(5);

/// Time between the signs of a key that is held down.
const REPEAT: TimeDelta = TimeDelta::milliseconds(30);

/// A script that cannot be played.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {problem}")]
pub struct ScriptError {
    /// Line, from 1.
    pub line: usize,
    /// What was read and what is allowed.
    pub problem: String,
}

/// Plays scripts.
pub struct Rehearsal {
    /// The application.
    pub app: App,
    /// Its desk.
    pub desk: Desk,
    terminal: Terminal<TestBackend>,
    now: DateTime<FixedOffset>,
    /// Something was entered since the last frame.
    stale: bool,
    /// Bells rung so far.
    pub rings: usize,
}

/// `100x30` as columns and rows, 1 to 500 each.
pub fn size(text: &str) -> Option<(u16, u16)> {
    let (columns, rows) = text.split_once('x')?;
    let number = |text: &str| text.trim().parse::<u16>().ok().filter(|n| (1..=500).contains(n));
    Some((number(columns)?, number(rows)?))
}

/// Screens as text, each under its name.
pub fn as_text(screens: &[(String, String)]) -> String {
    screens.iter().map(|(name, screen)| format!("== {name} ==\n{screen}")).collect()
}

impl Rehearsal {
    /// The application in a window of that many columns and rows.
    pub fn new(mut app: App, mut desk: Desk, (columns, rows): (u16, u16), start: DateTime<FixedOffset>) -> Self {
        app.shared.now = start;
        let Ok(terminal) = Terminal::new(TestBackend::new(columns, rows));
        begin(&mut app, &mut desk);
        let mut rehearsal = Self { app, desk, terminal, now: start, stale: false, rings: 0 };
        rehearsal.draw();
        rehearsal
    }

    /// Plays a script and returns what its `show` lines print.
    ///
    /// # Errors
    /// [`ScriptError`] at the first line that cannot be played.
    pub fn play(&mut self, script: &str) -> Result<String, ScriptError> {
        Ok(as_text(&self.screens(script, Self::screen)?))
    }

    /// Plays a script and takes what is wanted from each screen that a `show` line names.
    ///
    /// # Errors
    /// [`ScriptError`] at the first line that cannot be played.
    pub fn screens<T>(&mut self, script: &str, take: impl Fn(&Self) -> T) -> Result<Vec<(String, T)>, ScriptError> {
        let mut out = Vec::new();
        for (index, line) in script.lines().enumerate() {
            let line = line.trim_end_matches('\r');
            let (verb, rest) = line.trim_start().split_once(' ').unwrap_or((line.trim(), ""));
            let wrong = |problem: String| ScriptError { line: index + 1, problem };
            if verb != "enter" {
                self.catch_up();
            }
            match verb {
                "" | "#" => {}
                _ if verb.starts_with('#') => {}
                "type" => self.types(rest),
                "enter" => self.enter(rest),
                "key" => {
                    for name in rest.split_whitespace() {
                        let key = key(name).ok_or_else(|| wrong(format!("\"{name}\" is not a key.")))?;
                        self.press(key);
                    }
                }
                "hold" => {
                    let (name, times) = rest.trim().split_once(' ').unwrap_or((rest.trim(), "10"));
                    let key = key(name).ok_or_else(|| wrong(format!("\"{name}\" is not a key.")))?;
                    let times = times.trim().parse().ok().filter(|n| (1..=1000).contains(n));
                    self.hold(key, times.ok_or_else(|| wrong(format!("\"{rest}\": allowed: 1 to 1000 times.")))?);
                }
                "burst" => self.burst(rest),
                "paste" => self.send(Msg::Paste(rest.to_owned())),
                "line" => self.send(Msg::Line(format!("{rest}\n"))),
                "sent" => self.send(Msg::Sent(rest.to_owned())),
                "wait" => {
                    let seconds = rest.trim().parse::<u32>();
                    let seconds = seconds.map_err(|_| wrong(format!("\"{rest}\" is not a number of seconds.")))?;
                    self.now += TimeDelta::seconds(i64::from(seconds));
                }
                "at" => {
                    let time = DateTime::parse_from_rfc3339(rest.trim());
                    self.now = time
                        .map_err(|_| wrong(format!("\"{rest}\" is not a time such as 2026-03-01T08:00:00+01:00.")))?;
                }
                "size" => {
                    let (columns, rows) =
                        size(rest).ok_or_else(|| wrong(format!("\"{rest}\" is not a size such as 80x24.")))?;
                    self.terminal.backend_mut().resize(columns, rows);
                    self.send(Msg::Resize);
                }
                "show" => out.push((rest.trim().to_owned(), take(self))),
                other => {
                    let allowed = "type, enter, key, hold, burst, paste, line, sent, wait, at, size, show";
                    return Err(wrong(format!("\"{other}\" is not a wish. Allowed: {allowed}.")));
                }
            }
        }
        self.catch_up();
        Ok(out)
    }

    fn enter(&mut self, text: &str) {
        for code in text.chars().map(KeyCode::Char).chain([KeyCode::Enter]) {
            self.take(STEP, Msg::Key(KeyEvent::from(code)));
        }
        self.stale = true;
    }

    /// Draws what was entered since the last frame.
    fn catch_up(&mut self) {
        if self.stale {
            self.draw();
        }
    }

    /// Types a text key by key; it is drawn once, after the last of them.
    pub fn types(&mut self, text: &str) {
        for c in text.chars() {
            self.take(STEP, Msg::Key(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE)));
        }
        self.draw();
    }

    /// Types a text and Enter as fast as a keyboard adapter does.
    pub fn burst(&mut self, text: &str) {
        self.now += STEP;
        let keys = text.chars().map(KeyCode::Char).chain([KeyCode::Enter]);
        for code in keys {
            self.after(BURST, Msg::Key(KeyEvent::from(code)));
        }
    }

    /// Presses a key.
    pub fn press(&mut self, key: KeyEvent) {
        self.send(Msg::Key(key));
    }

    /// Holds a key down: it comes `times` times, as fast as keyboards repeat.
    pub fn hold(&mut self, key: KeyEvent, times: usize) {
        self.press(key);
        for _ in 1..times {
            self.after(REPEAT, Msg::Key(key));
        }
    }

    /// Sends any message and draws.
    pub fn send(&mut self, msg: Msg) {
        self.after(STEP, msg);
    }

    fn after(&mut self, step: TimeDelta, msg: Msg) {
        self.take(step, msg);
        self.draw();
    }

    fn take(&mut self, step: TimeDelta, msg: Msg) {
        self.now += step;
        let effects = self.app.update(msg, self.now);
        drive(&mut self.app, &mut self.desk, effects);
        self.rings += usize::from(std::mem::take(&mut self.desk.rings));
    }

    fn draw(&mut self) {
        self.stale = false;
        let app = &self.app;
        let Ok(_) = self.terminal.draw(|frame| app.draw(frame));
        let effects = self.app.drawn();
        if !effects.is_empty() {
            drive(&mut self.app, &mut self.desk, effects);
            let app = &self.app;
            let Ok(_) = self.terminal.draw(|frame| app.draw(frame));
        }
    }

    /// The screen as text, one line per row, without blanks at line ends.
    pub fn screen(&self) -> String {
        let buffer = self.terminal.backend().buffer();
        let mut out = String::new();
        for y in 0..buffer.area.height {
            let row: String = (0..buffer.area.width).map(|x| buffer[(x, y)].symbol()).collect();
            out.push_str(row.trim_end());
            out.push('\n');
        }
        out
    }

    /// The screen as a picture.
    pub fn picture(&self) -> String {
        still::picture(self.terminal.backend().buffer(), self.app.shared.theme.ground)
    }

    /// The terminal, for tests that look at styles and the cursor.
    pub fn terminal(&mut self) -> &mut Terminal<TestBackend> {
        &mut self.terminal
    }
}

fn key(name: &str) -> Option<KeyEvent> {
    let press = Press::named(name)?;
    Some(KeyEvent::new(press.code, if press.ctrl { KeyModifiers::CONTROL } else { KeyModifiers::NONE }))
}
