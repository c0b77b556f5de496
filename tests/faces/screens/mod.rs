//! Every screen at six sizes, in colour, without colour and in plain ASCII: how it reads (at three of them), what carries
//! meaning, where the cursor stands, and that nothing is cut off or missing (`whole`).

mod whole;

use std::sync::LazyLock;

use crate::played::{ASCII, Bench, COLOUR, MONO, intake, measured, sound};
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Position;
use ratatui::style::{Color, Modifier};

const SIZES: [(u16, u16); 3] = [(60, 20), (80, 24), (120, 40)];

/// Larger windows: what they say is not read by eye, but must be whole.
const ROOMY: [(u16, u16); 3] = [(100, 30), (140, 45), (200, 60)];

/// Name of a screen, the keys that lead to it, and what stands left of the cursor, where it has a field.
fn screens() -> Vec<(&'static str, String, Option<&'static str>)> {
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
        ("rack-empty", String::new(), None),
        ("rack", measure() + "enter 8.01\nkey *\n", None),
        ("rack-search", measure() + "key *\nkey /\ntype twe\n", Some("Search: twe")),
        ("new-loop", "key n\nenter Twelve\nenter\nenter\nenter\ntype 66\n".to_owned(), Some("66")),
        ("card", measure() + "key *\nkey e\nenter\ntype Tove\n", Some("Tove")),
        (
            "gauge",
            measure()
                + "key *\nkey g\nenter 9.8\nenter 6.1\nenter 0.66\nenter 16\nenter\nenter 7.4\nenter 8.8\nenter 0.83\nenter\nenter\n",
            None,
        ),
        ("new-profile", "key a\nenter Crew chain\nenter\nenter 9,8\n".to_owned(), None),
        ("import-file", "key i\nenter /no/such/folder/cutters.csv\n".to_owned(), Some("cutters.csv")),
        ("import-asks", read("asks.csv") + "enter\nenter Twelve\nenter\nenter 24\n", None),
        (
            "import",
            read("good.csv") + "enter\nenter Twelve\nenter\nenter 24\nenter Ina\nenter\nenter\nenter\nenter\n",
            None,
        ),
        (
            "import-refused",
            read("bad.csv") + "enter\nenter Twelve\nenter\nenter 24\nenter Ina\nenter\nenter\nenter\nenter\n",
            None,
        ),
        ("intake", round().split("enter Ina").next().unwrap_or_default().to_owned() + "type In\n", Some("In")),
        ("look-over", round(), Some("found >")),
        ("zero", round() + &"enter 1\n".repeat(7) + "enter 8.01\ntype 0.02\n", Some("0.02")),
        ("saw-checks", round() + "key l\nenter Big saw\nenter 1\nenter 0.3\nenter 3\nenter 1\n", None),
        ("saw-figure", round() + "key l\nenter Big saw\nenter 2\ntype 0.2\n", Some("mm: 0.2")),
        ("saw", saw() + "key * Home l\n", None),
        ("measure", measure() + "enter 8.01\ntype 8,0\n", Some("8,0")),
        ("picture", measure() + "enter 8.01\nkey v\n", None),
        ("picture-curve", rakers() + "key v v v\n", None),
        ("question", measure() + "enter 1.9\n", Some("1.9")),
        ("refused", measure() + "enter 8..1\n", Some("8..1")),
        ("note", measure() + "key n\ntype hit a stone\n", Some("hit a stone")),
        ("plan", plan(), Some("mm >")),
        ("filing", file() + "enter 3\ntype 7.9\n", Some("7.9")),
        ("long", file() + "enter 1\nenter 8.3\n", None),
        ("fault", file() + "enter 3\nenter 7.5\n", Some("choice >")),
        ("choose-again", file() + "enter 3\nenter 7.5\nenter 4\n", Some("mm >")),
        ("rakers", rakers(), Some("mm >")),
        ("proof", proof(), Some("0 >")),
        ("sign-off", sign(), Some("or 1 >")),
        ("signed", sign() + "enter 1\n", None),
        ("keys", "key F1\n".to_owned(), None),
        ("words", "key w\n".to_owned(), None),
        ("settings", "key ,\n".to_owned(), None),
        ("gaps", measure() + "key *\nkey t\n", None),
        ("sheet", proof() + "key s\n", None),
        ("history", sign() + "enter 1\nkey Enter\nkey h\n", None),
        ("model", "key m\n".to_owned(), None),
        ("causes", "key c\n".to_owned(), None),
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

/// Screens whose words are put together when they are opened: they are opened anew in each look.
const WRITTEN: [&str; 5] = ["gaps", "sheet", "history", "settings", "saw"];

/// Every screen at every size, by look; each is reached once and then looked at in windows of three sizes, in every look.
fn shots() -> ([Shots; 3], Shots) {
    let (mut all, mut roomy) = ([Shots::new(), Shots::new(), Shots::new()], Shots::new());
    for (name, script, before) in screens() {
        let mut at: Option<Bench> = None;
        for (theme, shots) in [COLOUR, MONO, ASCII].into_iter().zip(&mut all) {
            let mut bench = at.take().filter(|_| !WRITTEN.contains(&name)).unwrap_or_else(|| {
                let mut bench = Bench::new((80, 24), theme);
                bench.run(&script);
                bench
            });
            bench.play.app.shared.theme = theme;
            for (size, to) in SIZES.map(|size| (size, true)).into_iter().chain(ROOMY.map(|size| (size, false))) {
                bench.run(&format!("size {}x{}", size.0, size.1));
                let (text, terminal) = (bench.screen(), bench.play.terminal());
                let cursor = terminal.get_cursor_position().unwrap();
                let shot = Shot { name, before, size, text, buffer: terminal.backend().buffer().clone(), cursor };
                if to { &mut *shots } else { &mut roomy }.push(shot);
            }
            at = Some(bench);
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
