//! Every screen at six sizes, in colour, without colour and in plain ASCII: how it reads (at three of them), what carries
//! meaning, where the cursor stands, and that nothing is cut off or missing (`whole`).

mod whole;

use std::sync::LazyLock;

use crate::played::{ASCII, Bench, COLOUR, MONO, intake, measured, sound, start};
use chrono::{DateTime, FixedOffset, TimeDelta};
use evenbite::tui::theme::Theme;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Position;
use ratatui::style::{Color, Modifier};

const SIZES: [(u16, u16); 3] = [(60, 20), (80, 24), (120, 40)];

/// Larger windows: what they say is not read by eye, but must be whole.
const ROOMY: [(u16, u16); 3] = [(100, 30), (140, 45), (200, 60)];

/// How a screen is reached.
enum Way {
    /// By these keys, on a bench of its own.
    From(String),
    /// By these keys, from the screen before it in the list.
    On(String),
}

use Way::{From, On};

/// Name of a screen, the way to it, and what stands left of the cursor, where it has a field.
fn screens() -> Vec<(&'static str, Way, Option<&'static str>)> {
    let round = || intake(72, 0, 1);
    let measure = || round() + &sound();
    let saw = || {
        round()
            + "key l\nenter Big saw\nenter 0.3\nenter 3\nenter 1\nenter 1\nkey Enter\nenter 0.55\nenter 2\nenter 1\nenter 1\nkey Enter\n"
    };
    let plan = || measure() + &measured(36);
    let file = || plan() + "enter\n";
    let filed = || file() + &"enter 3\nenter 7.92\n".repeat(18) + "enter\n" + &"enter 3\nenter 7.92\n".repeat(18);
    let rakers = || filed() + "enter\nkey *\nenter 0.88\nenter 0.60\n";
    let proof =
        || filed() + "enter 1\nenter 0.85\nenter 0\nenter 0.40\nenter\n" + &"enter 0.65\n".repeat(34) + "enter 0\n";
    let sign = || filed() + "enter 1\n" + &"enter 0.65\n".repeat(36) + "enter 0\nenter\n";
    let read = |name: &str| format!("key i\nenter tests/faces/screens/files/{name}\n");
    vec![
        ("rack-empty", From(String::new()), None),
        ("rack", From(measure() + "enter 8.01\nkey *\n"), None),
        ("rack-search", From(measure() + "key *\nkey /\ntype twe\n"), Some("Search: twe")),
        ("new-loop", From("key n\nenter Twelve\nenter\nenter\nenter\ntype 66\n".to_owned()), Some("66")),
        ("card", From(measure() + "key *\nkey e\nenter\ntype Tove\n"), Some("Tove")),
        (
            "gauge",
            From(
                measure()
                    + "key *\nkey g\nenter 9.8\nenter 6.1\nenter 0.66\nenter 16\nenter\nenter 7.4\nenter 8.8\nenter 0.83\nenter\nenter\n",
            ),
            None,
        ),
        ("new-profile", From("key a\nenter Crew chain\nenter\nenter 9,8\n".to_owned()), None),
        ("import-file", From("key i\nenter /no/such/folder/cutters.csv\n".to_owned()), Some("cutters.csv")),
        ("import-asks", From(read("asks.csv") + "enter\nenter Twelve\nenter\nenter 24\n"), None),
        (
            "import",
            From(read("good.csv") + "enter\nenter Twelve\nenter\nenter 24\nenter Ina\nenter\nenter\nenter\nenter\n"),
            None,
        ),
        (
            "import-refused",
            From(read("bad.csv") + "enter\nenter Twelve\nenter\nenter 24\nenter Ina\nenter\nenter\nenter\nenter\n"),
            None,
        ),
        ("intake", From(round().split("enter Ina").next().unwrap_or_default().to_owned() + "type In\n"), Some("In")),
        ("look-over", From(round()), Some("found >")),
        ("zero", On("enter 1\n".repeat(7) + "enter 8.01\ntype 0.02\n"), Some("0.02")),
        ("saw-checks", From(round() + "key l\nenter Big saw\nenter 1\nenter 0.3\nenter 3\nenter 1\n"), None),
        ("saw-figure", From(round() + "key l\nenter Big saw\nenter 2\ntype 0.2\n"), Some("mm: 0.2")),
        ("saw", From(saw() + "key * Home l\n"), None),
        ("measure", From(measure() + "enter 8.01\ntype 8,0\n"), Some("8,0")),
        ("picture", From(measure() + "enter 8.01\nkey v\n"), None),
        ("question", From(measure() + "enter 1.9\n"), Some("1.9")),
        ("refused", From(measure() + "enter 8..1\n"), Some("8..1")),
        ("note", From(measure() + "key n\ntype hit a stone\n"), Some("hit a stone")),
        ("plan", From(plan()), Some("mm >")),
        ("filing", On("enter\nenter 3\ntype 7.9\n".to_owned()), Some("7.9")),
        ("long", From(file() + "enter 1\nenter 8.3\n"), None),
        ("fault", From(file() + "enter 3\nenter 7.5\n"), Some("choice >")),
        ("choose-again", On("enter 4\n".to_owned()), Some("mm >")),
        ("rakers", From(rakers()), Some("mm >")),
        ("picture-curve", On("key v v v\n".to_owned()), None),
        ("proof", From(proof()), Some("0 >")),
        ("sheet", On("key s\n".to_owned()), None),
        ("sign-off", From(sign()), Some("or 1 >")),
        ("signed", On("enter 1\n".to_owned()), None),
        ("history", On("key Enter\nkey h\n".to_owned()), None),
        ("keys", From("key F1\n".to_owned()), None),
        ("words", From("key w\n".to_owned()), None),
        ("settings", From("key ,\n".to_owned()), None),
        ("gaps", From(measure() + "key *\nkey t\n"), None),
        ("model", From("key m\n".to_owned()), None),
        ("causes", From("key c\n".to_owned()), None),
    ]
}

/// A screen as drawn: its name, size, text, cells and cursor.
struct Shot {
    name: &'static str,
    before: Option<&'static str>,
    size: (u16, u16),
    text: String,
    buffer: Buffer,
    cursor: Position,
}

/// Every screen at every size in one look.
type Shots = Vec<Shot>;

/// The key that opens a screen whose words are put together when it is opened: it is opened again in each look.
fn written(name: &str) -> Option<&'static str> {
    let keys = [("gaps", "t"), ("sheet", "s"), ("history", "h"), ("saw", "l"), ("settings", ",")];
    keys.into_iter().find(|(written, _)| *written == name).map(|(_, key)| key)
}

/// Puts this look on what is drawn and on what is written.
fn wear(bench: &mut Bench, theme: Theme) {
    bench.play.app.shared.theme = theme;
    bench.play.desk.settings.theme = theme;
}

/// Back in a window of the usual size, in this look and so many seconds before a time: what was looked at meanwhile left no trace.
fn back(bench: &mut Bench, theme: Theme, before: i64, time: DateTime<FixedOffset>) -> &mut Bench {
    wear(bench, theme);
    let time = time - TimeDelta::seconds(before);
    bench.run(&format!("size 80x24\nat {}\n", time.to_rfc3339()))
}

/// Every screen at every size, by look; each is reached once and then looked at in windows of six sizes, in every look.
fn shots() -> ([Shots; 3], Shots) {
    let (mut all, mut roomy) = ([Shots::new(), Shots::new(), Shots::new()], Shots::new());
    let mut bench = Bench::new((80, 24), COLOUR);
    let mut reached = start();
    for (name, way, before) in screens() {
        match way {
            From(script) => {
                bench = Bench::new((80, 24), COLOUR);
                bench.run(&script);
            }
            On(script) => {
                back(&mut bench, COLOUR, 0, reached).run(&script);
            }
        }
        reached = bench.play.app.shared.now;
        for (look, (theme, shots)) in [COLOUR, MONO, ASCII].into_iter().zip(&mut all).enumerate() {
            if let (1.., Some(key)) = (look, written(name)) {
                // Two keys, two seconds each.
                back(&mut bench, theme, 4, reached).run(&format!("key Esc {key}"));
            }
            wear(&mut bench, theme);
            for (size, to) in SIZES.map(|size| (size, true)).into_iter().chain(ROOMY.map(|size| (size, false))) {
                bench.run(&format!("size {}x{}", size.0, size.1));
                let (text, terminal) = (bench.screen(), bench.play.terminal());
                let cursor = terminal.get_cursor_position().unwrap();
                let shot = Shot { name, before, size, text, buffer: terminal.backend().buffer().clone(), cursor };
                if to { &mut *shots } else { &mut roomy }.push(shot);
            }
        }
    }
    (all, roomy)
}

static SHOTS: LazyLock<([Shots; 3], Shots)> = LazyLock::new(shots);

fn coloured() -> &'static [Shot] {
    &SHOTS.0[0]
}

fn mono() -> &'static [Shot] {
    &SHOTS.0[1]
}

fn ascii() -> &'static [Shot] {
    &SHOTS.0[2]
}

/// Every screen in its largest window, by name, for the phrase book.
pub(crate) fn told() -> impl Iterator<Item = (&'static str, &'static str)> {
    let largest = mono().iter().filter(|shot| Some(&shot.size) == SIZES.last());
    largest.map(|shot| (shot.name, shot.text.as_str()))
}

#[test]
fn screens_read_as_they_should() {
    for (theme, shots) in [("unicode", coloured()), ("ascii", ascii())] {
        for sizes in shots.chunks(SIZES.len()) {
            let text: String =
                sizes.iter().map(|shot| format!("{}x{}\n{}\n", shot.size.0, shot.size.1, shot.text)).collect();
            insta::assert_snapshot!(format!("{}-{theme}", sizes[0].name), text);
        }
    }
}

/// What is said: shapes are filled with colours or with textures, words stay.
fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect()
}

#[test]
fn nothing_is_said_by_colour_alone() {
    for (colour, mono) in coloured().iter().zip(mono()) {
        // The settings say which colours are on, and so must differ.
        if colour.name != "settings" {
            let (words, bare) = (words(&colour.text), words(&mono.text));
            assert_eq!(words, bare, "{} {:?}: the words differ without colour", colour.name, colour.size);
        }
        let bare = |cell: &Cell| cell.fg == Color::Reset && cell.bg == Color::Reset;
        assert!(mono.buffer.content.iter().all(bare), "{} {:?}: a colour", mono.name, mono.size);
        // Shapes are filled; a word has nothing behind it. The line of what is aimed at is drawn in x.
        let ground = |cell: &Cell| cell.bg == Color::Reset || words(cell.symbol()).iter().all(|word| *word == "x");
        assert!(colour.buffer.content.iter().all(ground), "{} {:?}: a background", colour.name, colour.size);
    }
}

#[test]
fn ascii_is_ascii() {
    for shot in ascii() {
        let other = shot.text.chars().find(|c| !c.is_ascii());
        assert!(other.is_none(), "{} {:?}: {other:?}\n{}", shot.name, shot.size, shot.text);
    }
}

#[test]
fn the_cursor_stands_in_the_field() {
    for shot in coloured() {
        let Some(before) = shot.before else { continue };
        let left: String = (0..shot.cursor.x).map(|x| shot.buffer[(x, shot.cursor.y)].symbol()).collect();
        assert!(left.trim_end().ends_with(before), "{} {:?}: cursor after {left:?}", shot.name, shot.size);
    }
}

#[test]
fn the_field_and_the_cutter_in_hand_are_marked_without_colour() {
    for shot in mono().iter().filter(|shot| shot.name == "measure") {
        let field = &shot.buffer[(shot.cursor.x - 1, shot.cursor.y)];
        assert!(!field.modifier.is_empty(), "{:?}: the field looks like plain text", shot.size);
        let reversed = shot.buffer.content.iter().any(|cell| cell.modifier.contains(Modifier::REVERSED));
        assert!(reversed, "{:?}: nothing is reversed", shot.size);
    }
}
