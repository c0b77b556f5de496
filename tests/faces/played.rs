//! A bench for tests: the real application over a fresh data folder, driven by keys.

use chrono::{DateTime, FixedOffset};
use evenbite::care::Workshop;
use evenbite::record::Rack;
use evenbite::round::Round;
use evenbite::tui::app::App;
use evenbite::tui::desk::Desk;
use evenbite::tui::look::Shared;
use evenbite::tui::rehearse::Rehearsal;
use evenbite::tui::settings::Settings;
use evenbite::tui::theme::{Colours, Glyphs, Theme};
use evenbite::units::Unit;

pub(crate) struct Bench {
    pub play: Rehearsal,
    dir: tempfile::TempDir,
}

pub(crate) const COLOUR: Theme = Theme::new(Colours::Few, Glyphs::Unicode);
pub(crate) const MONO: Theme = Theme::new(Colours::None, Glyphs::Unicode);
pub(crate) const ASCII: Theme = Theme::new(Colours::None, Glyphs::Ascii);

/// Keys that take a loop of so many links into care and begin a round; `readings` steps the choice of readings on.
pub(crate) fn intake(links: u16, tool_steps: usize, readings: usize) -> String {
    let right = |times: usize| if times == 0 { String::new() } else { format!("key {}\n", "Right ".repeat(times)) };
    format!(
        "key n\nenter Twelve\nenter\nenter\nenter\nenter {links}\n{}key Esc\nkey Enter\nenter Ina\nenter\n{}enter\nenter\n{}enter\nenter\nenter\n",
        "enter\n".repeat(11),
        right(tool_steps),
        right(readings),
    )
}

/// Keys that find the whole look-over sound, and leave the zero of the caliper out.
pub(crate) fn sound() -> String {
    "enter 1\n".repeat(7) + "enter\n"
}

/// Keys that measure so many cutters, every one a hundredth longer than the one before, from 8.00 to 8.04 over and over.
pub(crate) fn measured(count: u16) -> String {
    (1..=count).map(|n| ["enter 8.0", ["0", "1", "2", "3", "4"][usize::from(n % 5)], "\n"].concat()).collect()
}

/// When every bench begins.
pub(crate) fn start() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-03-02T08:00:00+01:00").unwrap()
}

/// The real application over a data folder, at its rack.
pub(crate) fn rehearsal(
    care: impl Into<Workshop>,
    size: (u16, u16),
    theme: Theme,
    start: DateTime<FixedOffset>,
) -> Rehearsal {
    rehearsal_in(care, Unit::Mm, size, theme, start)
}

/// The same in a workshop that reads this unit.
fn rehearsal_in(
    care: impl Into<Workshop>,
    units: Unit,
    size: (u16, u16),
    theme: Theme,
    start: DateTime<FixedOffset>,
) -> Rehearsal {
    let settings = Settings { theme, units, ..Settings::default() };
    let app = App::new(Shared::new(theme, units, start));
    Rehearsal::new(app, Desk::new(care, settings), size, start)
}

impl Bench {
    pub(crate) fn new(size: (u16, u16), theme: Theme) -> Self {
        Self::over(crate::scratch::folder(), size, theme)
    }

    /// Over the data folder in that folder, with inch as its setting.
    pub(crate) fn in_inches(dir: tempfile::TempDir, size: (u16, u16)) -> Self {
        let rack = Rack::open(dir.path().join("data")).unwrap();
        Self { play: rehearsal_in(rack, Unit::Inch, size, COLOUR, start()), dir }
    }

    /// Over the data folder in that folder.
    pub(crate) fn over(dir: tempfile::TempDir, size: (u16, u16), theme: Theme) -> Self {
        let rack = Rack::open(dir.path().join("data")).unwrap();
        Self { play: rehearsal(rack, size, theme, start()), dir }
    }

    /// The folder, for another bench over it.
    pub(crate) fn into_dir(self) -> tempfile::TempDir {
        self.dir
    }

    /// A round on 20 links (cutters 1 to 10, odd ones left) that is ready to be measured.
    pub(crate) fn looked() -> Self {
        let mut bench = Self::new((80, 24), COLOUR);
        bench.run(&intake(20, 0, 0)).run(&sound());
        bench
    }

    pub(crate) fn run(&mut self, script: &str) -> &mut Self {
        self.play.play(script).unwrap();
        self
    }

    pub(crate) fn screen(&self) -> String {
        self.play.screen()
    }

    pub(crate) fn sees(&mut self, words: &str) -> &mut Self {
        // Lines are broken where the window ends; words go on in the next.
        let flat = self.screen().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words:?} is not on the screen\n{}", self.screen());
        self
    }

    pub(crate) fn rack(&self) -> Rack {
        Rack::open(self.dir.path().join("data")).unwrap()
    }

    /// The round as its file tells it: what the screen shows is not enough.
    pub(crate) fn round(&self) -> Round {
        let rack = self.rack();
        let rounds = rack.rounds("twelve").unwrap();
        rack.read_round(rounds.last().unwrap()).unwrap()
    }
}
