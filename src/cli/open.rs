//! Opening the faces: data folder, terminal, demo copy.

use std::io::{IsTerminal, stdin, stdout};
use std::sync::Once;

use anyhow::{Context as _, Result};
use chrono::Local;
use include_dir::{Dir, include_dir};

use super::{Shared, Usage, output, plainly, progress};
use crate::care::Workshop;
use crate::care::files::default_data_dir;
use crate::practice::{CUTTERS, NoSuchLoop, Set};
use crate::report::format::Told;
use crate::tui::app::App;
use crate::tui::desk::Desk;
use crate::tui::look::Shared as Look;
use crate::tui::settings::Settings;
use crate::tui::theme::{Glyphs, Theme, Told as Env};
use crate::tui::{keys, remap, session};

/// The invented workshop that comes with the program.
static WORKSHOP: Dir = include_dir!("$CARGO_MANIFEST_DIR/demo/workshop");

/// The data folder asked for, or the platform's.
pub(super) fn care(shared: &Shared) -> Result<Workshop> {
    let dir = match &shared.data {
        Some(dir) => dir.clone(),
        None => default_data_dir().context("no data folder is known on this platform: name one with --data DIR")?,
    };
    Ok(Workshop::open(dir)?)
}

/// As [`care`], its long work shown on the terminal.
pub(super) fn heard(shared: &Shared) -> Result<Workshop> {
    let care = care(shared)?;
    let ascii = settings(shared, &care).theme.ascii();
    progress::shown(care, ascii)
}

/// A throw-away copy of the invented workshop; it goes when dropped.
pub(super) fn workshop() -> Result<(tempfile::TempDir, Workshop)> {
    let dir =
        tempfile::Builder::new().prefix("evenbite-demo-").tempdir().context("cannot make a folder for the demo")?;
    WORKSHOP.extract(dir.path()).context("cannot copy the demo workshop")?;
    let mut care = Workshop::open(dir.path().to_path_buf())?;
    care.mark_demo().context("cannot mark the copy as the demo's")?;
    Ok((dir, care))
}

/// What the environment says of colours and signs.
fn environment() -> Theme {
    let get = |name: &str| std::env::var(name).ok();
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().filter_map(get).find(|value| !value.is_empty());
    let names = ["NO_COLOR", "TERM", "COLORTERM", "COLORFGBG"].map(get);
    let [no_color, term, colorterm, colorfgbg] = names.each_ref().map(Option::as_deref);
    Theme::from_env(&Env { no_color, term, colorterm, colorfgbg, locale: locale.as_deref() })
}

/// Settings of the data folder under the options of this call. What is wrong with them is said on standard error, once: a page
/// in other units than those set must not come without a word.
pub(super) fn settings(shared: &Shared, care: &Workshop) -> Settings {
    static SAID: Once = Once::new();
    let (settings, problem) = settings_told(shared, care);
    if let Some(problem) = problem {
        SAID.call_once(|| output::complain(&format!("evenbite: {problem}")));
    }
    settings
}

/// As [`settings`], for a face, which says itself what is wrong with them.
pub(super) fn settings_told(shared: &Shared, care: &Workshop) -> (Settings, Option<String>) {
    let (mut settings, problem) = Settings::load(care, environment());
    if let Some(colour) = shared.colour {
        settings.theme.colours = colour;
    }
    if shared.ascii {
        settings.theme.glyphs = Glyphs::Ascii;
    }
    if let Some(units) = shared.units {
        settings.units = units;
    }
    (settings, problem)
}

/// Takes the sharpener's own keys into use, where there are any; what is wrong with them, in a sentence.
fn own_keys(care: &Workshop) -> Option<String> {
    match care.kept_text(&remap::FILE) {
        Err(error) => Some(error.to_string()),
        Ok(None) => None,
        Ok(Some(text)) => match remap::parse(&text) {
            Err(error) => Some(error.to_string()),
            Ok(rows) => {
                keys::take(rows);
                None
            }
        },
    }
}

/// What is wrong with several files, in one notice.
fn together(one: Option<String>, other: Option<String>) -> Option<String> {
    one.into_iter().chain(other).reduce(|said, more| format!("{said} {more}"))
}

/// The application at its rack.
pub(super) fn application(settings: Settings, banner: Option<String>, notice: Option<String>) -> App {
    App::new(look(settings, banner, notice))
}

fn look(settings: Settings, banner: Option<String>, notice: Option<String>) -> Look {
    Look { notice, banner, ..Look::new(settings.theme, settings.units, Local::now().fixed_offset()) }
}

/// True where it is to go line by line: asked for, or the terminal can do nothing else.
fn is_plain(shared: &Shared) -> Result<bool> {
    let there = stdin().is_terminal() && stdout().is_terminal();
    if !(shared.plain || there) {
        return Err(Usage("this is not a terminal. Use --plain to be led line by line.".to_owned()).into());
    }
    Ok(shared.plain || std::env::var("TERM").is_ok_and(|term| term == "dumb"))
}

/// The full-screen or the plain face over a data folder.
pub(super) fn face(shared: &Shared, care: Workshop, banner: Option<String>) -> Result<()> {
    if is_plain(shared)? {
        return plainly::run(shared, &care, banner);
    }
    let (settings, problem) = settings_told(shared, &care);
    let problem = together(problem, own_keys(&care));
    show(shared, care, settings, application(settings, banner, problem))
}

/// Practice in either face. The data folder only supplies settings and keys.
pub(super) fn practice(shared: &Shared, cutters: u16, seed: Option<u32>) -> Result<()> {
    let Told::Text = shared.format_of("practice")?;
    if !CUTTERS.contains(&cutters) {
        return Err(Usage(NoSuchLoop(cutters).to_string()).into());
    }
    let care = care(shared)?;
    let (settings, problem) = settings_told(shared, &care);
    let fresh = Set::at(Local::now().fixed_offset());
    let set = Set { cutters, seed: seed.unwrap_or(fresh.seed), unit: settings.units, ..fresh };
    if is_plain(shared)? {
        return plainly::practise(shared, &care, &set);
    }
    let notice = together(problem, own_keys(&care));
    let app = App::practising(&set, look(settings, None, notice))?;
    show(shared, care, settings, app)
}

/// The full-screen face.
fn show(shared: &Shared, care: Workshop, settings: Settings, mut app: App) -> Result<()> {
    let mut desk = Desk::new(care, settings);
    let wakes = session::wakes();
    if let Some(command) = &shared.speak {
        desk.speak_by(command, wakes.0.clone());
    }
    if let Some(path) = &shared.source {
        desk.listen_to(path.clone(), wakes.0.clone());
    }
    session::run(&mut app, &mut desk, wakes)
}
