//! Arrows between the rooms only point down: each rule that the map states is held, and seen to fail on a planted break.

mod names;
mod rules;

use std::fs;
use std::path::Path;

use rules::{HOUSE, PARTS, Source, WORDS, breaks};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every source file of the program.
fn sources() -> Vec<Source> {
    let (mut found, mut folders) = (Vec::new(), vec![root().join("src")]);
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ext| ext == "rs") {
                let place = path.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/");
                found.push((place, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    found
}

#[test]
fn every_rule_of_the_map_holds() {
    let found = breaks(&sources());
    assert!(found.is_empty(), "{} breaks\n{}", found.len(), found.join("\n"));
}

/// The map is told in three places: here, in the crate's page and in the contributor's guide.
#[test]
fn the_map_is_told_alike_everywhere() {
    let mut told: Vec<&str> = HOUSE.iter().map(|room| room.name).collect();
    let rooms = |text: &str, mark: (&str, &str)| -> Vec<String> {
        let rows = text.lines().filter_map(|line| line.trim_start_matches("//! ").strip_prefix("| "));
        let cells = rows.filter_map(|row| row.split(" | ").next().map(str::to_owned));
        let named = cells.flat_map(|cell| cell.split(", ").map(str::to_owned).collect::<Vec<_>>());
        named.filter_map(|name| Some(name.strip_prefix(mark.0)?.split_once(mark.1)?.0.to_owned())).collect()
    };
    let read = |file: &str| fs::read_to_string(root().join(file)).unwrap();
    let page = rooms(&read("src/lib.rs"), ("[`", "`]"));
    let guide: Vec<String> =
        rooms(&read("DEVELOPERS.md"), ("`src/", "/`")).into_iter().filter(|name| !name.contains('*')).collect();
    told.sort_unstable();
    for mut place in [page, guide] {
        place.sort_unstable();
        assert_eq!(place, told);
    }
}

/// The breaks that one planted file makes.
fn planted(path: &str, text: &str) -> Vec<String> {
    breaks(&[(path.to_owned(), text.to_owned())])
}

#[test]
fn a_room_that_looks_up_is_refused() {
    for room in HOUSE {
        let path = format!("src/{}/planted.rs", room.name);
        for other in HOUSE.iter().filter(|other| other.name != room.name) {
            let found = planted(&path, &format!("use crate::{}::{{self, Thing}};", other.name));
            let up = format!("`{}` may use", room.name);
            let refused = found.iter().any(|one| one.contains(&up));
            assert_eq!(refused, !room.uses.contains(&other.name), "{} to {}: {found:?}", room.name, other.name);
        }
        for not in room.not.iter().copied().flatten() {
            let found = planted(&path, &format!("fn f() {{ {not}::thing(); }}"));
            assert!(found.iter().any(|one| one.contains("must not know it")), "{} and {not}: {found:?}", room.name);
        }
    }
    assert_eq!(planted("src/attic/mod.rs", ""), ["src/attic/mod.rs: `attic` is a room that the map does not name"]);
}

#[test]
fn a_break_in_a_part_of_the_house_is_refused() {
    for part in PARTS {
        for (under, not) in part.under.iter().flat_map(|under| part.not.iter().map(move |not| (under, not))) {
            let found = planted(&format!("{under}/planted.rs"), &format!("use {not};"));
            assert!(found.iter().any(|one| one.ends_with(part.says)), "{under} and {not}: {found:?}");
        }
        for save in part.save {
            let path =
                if Path::new(save).extension().is_some() { (*save).to_owned() } else { format!("{save}/planted.rs") };
            let found = planted(&path, &format!("use {};", part.not[0]));
            assert!(!found.iter().any(|one| one.ends_with(part.says)), "{found:?}");
        }
    }
    for rule in WORDS {
        for (under, word) in rule.under.iter().flat_map(|under| rule.words.iter().map(move |word| (under, word))) {
            let code = match *word {
                float if float.starts_with("parse") => format!("fn f() {{ text.trim() . {float} ( ) }}"),
                call if call.ends_with("from_str") => format!("fn f() {{ {call}(text) }}"),
                cfg if cfg.contains('!') => format!("fn f() {{ if {cfg}) {{}} }}"),
                "target_os" => "#[cfg(any(target_os = \"linux\"))] fn f() {}".to_owned(),
                not if not.contains("not(") => format!("#[{not}))] fn f() {{}}"),
                cfg => format!("#[{cfg})] fn f() {{}}"),
            };
            let found = planted(&format!("{under}/planted.rs"), &code);
            assert!(found.iter().any(|one| one.ends_with(rule.says)), "{under} and {word}: {found:?}");
        }
    }
}

/// The same arrow up, from `coach` to `tui::screens`, in every way that one can write it.
#[test]
fn an_arrow_is_seen_however_it_is_written() {
    for (path, text) in [
        ("src/coach/mod.rs", "use crate::tui::screens::Rack;"),
        ("src/coach/mod.rs", "use crate::{chain::Side, tui::{app, screens::{self as faces}}};"),
        ("src/coach/mod.rs", "use super::tui::screens;"),
        ("src/coach/said.rs", "use super::super::tui::screens::*;"),
        ("src/coach/causes/table.rs", "pub use super::super::super::tui::screens;"),
        ("src/coach/causes/mod.rs", "fn f() -> super::super::tui::screens::Rack { todo!() }"),
        ("src/coach/said.rs", "mod deep { fn f() { super::super::super::tui::screens::g() } }"),
        ("src/coach/said.rs", "fn f() { let x = vec![format!(\"{}\", crate::tui::screens::g())]; }"),
        ("src/coach/said.rs", "macro_rules! m { () => { $crate::tui::screens::g() } }"),
        ("src/coach/said.rs", "use evenbite::tui::screens;"),
        ("src/coach/said.rs", "pub(in crate::tui::screens) fn f() {}"),
    ] {
        let found = planted(path, text);
        let names = |one: &String| one.contains("names crate::tui::screens");
        assert!(found.iter().any(names), "{text}: {found:?}");
    }
    let short = "use std::{fs as disk, path::Path};\nuse disk::File;\nfn f() { File::create(p); }";
    let found = planted("src/care/x.rs", short);
    assert!(found.iter().any(|one| one.starts_with("src/care/x.rs:3 names std::fs::File::create")), "{found:?}");
}

#[test]
fn words_comments_and_tests_are_no_arrows() {
    for text in [
        "//! Handed to [`crate::tui`].\n/// And to `crate::cli::main`.\nfn f() {}",
        "fn f() { g(\"crate::tui::app\"); } /* crate::tui::app */",
        "#[cfg(test)]\nmod tests {\n    use crate::tui::app;\n}",
        "#[cfg(test)]\nuse crate::{tui::app, cli};\nfn f() {}",
        "use super::chain::Side;\nuse crate::round::Round;\nfn f() { self::g(); super::h() }",
        "fn f(tui: &T) { tui.app(); other.crate_tui::<u8>() }",
    ] {
        assert_eq!(planted("src/coach/planted.rs", text), [""; 0], "{text}");
    }
    let apart = [
        ("src/coach/mod.rs".to_owned(), "#[cfg(test)]\npub(crate) mod played;".to_owned()),
        ("src/coach/played.rs".to_owned(), "use crate::tui::app;".to_owned()),
        ("src/coach/played/deep.rs".to_owned(), "use std::fs;".to_owned()),
    ];
    assert_eq!(breaks(&apart), [""; 0]);
    assert_eq!(breaks(&apart[1..]).len(), 2, "without the word that they are for tests");
}
