//! Every disk operation of a join made to go wrong in turn: nothing is lost meanwhile, and done again it is as if nothing
//! had happened.

use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};

use super::rack_sweep::{seen, target};
use crate::record::faults::testing::{Fault, clear, plan};
use crate::record::join::JoinWish;
use crate::record::{Rack, Sharpener, Unwatched, unheard};
use crate::round::Event;
use crate::units::mm;

fn at(time: &str) -> DateTime<FixedOffset> {
    time.parse().unwrap()
}

/// Every file of a folder but what is derived, with what it says.
fn files(root: &Path) -> BTreeMap<PathBuf, String> {
    let (mut found, mut folders) = (BTreeMap::new(), vec![root.to_owned()]);
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with("history.toml") {
                found.insert(path.strip_prefix(root).unwrap().to_owned(), fs::read_to_string(&path).unwrap());
            }
        }
    }
    found
}

fn lay(root: &Path, files: &BTreeMap<PathBuf, String>) {
    for (path, text) in files {
        fs::create_dir_all(root.join(path).parent().unwrap()).unwrap();
        fs::write(root.join(path), text).unwrap();
    }
}

fn note(rack: &Rack, text: &str) {
    let at = at("2026-05-01T09:00:00+02:00");
    let (mut file, _, _) = rack.resume("one", at.to_utc()).unwrap();
    file.append(at, &Event::Note { cutter: None, text: text.into() }, None).unwrap();
}

fn join(here: &Rack, there: &Rack) -> Result<(), String> {
    let wish = JoinWish { here: "here".into(), there: "there".into(), ..JoinWish::default() };
    let look = here.look_at(there, wish, &mut unheard).map_err(|error| error.to_string())?;
    here.join(&look, &mut unheard).map(drop).map_err(|error| error.to_string())
}

#[test]
fn a_join_may_stop_anywhere_and_is_done_again() {
    let dir = crate::scratch::folder();
    let there = Rack::open(dir.path().join("there")).unwrap();
    there.import(&seen(), &target("one")).unwrap();
    let before = files(there.root());
    note(&there, "gone on with there");
    there.import(&seen(), &target("two")).unwrap();
    let card = there.card("one").unwrap();
    let change = |rack: &Rack, owner: &str| {
        let wish = crate::round::Card { owner: owner.into(), ..card.clone() };
        rack.change_card(&card, &wish, at("2026-05-02T08:00:00+02:00").to_utc()).unwrap();
    };
    let ina = |length_u| Sharpener { name: "Ina".into(), length_u: Some(mm(length_u)), ..Sharpener::default() };
    change(&there, "Odd");
    there.save_sharpener(&ina(0.05)).unwrap();
    let whole = Rack::open(dir.path().join("whole")).unwrap();
    lay(whole.root(), &before);
    change(&whole, "Tove");
    whole.save_sharpener(&ina(0.03)).unwrap();
    let begun = files(whole.root());
    join(&whole, &there).unwrap();
    let wanted = (files(whole.root()), whole.questions(&mut Unwatched).0);
    assert_eq!(wanted.1.len(), 2, "{:?}", wanted.1);
    for fault in [Fault::Error, Fault::DieHalf] {
        let mut skip = 0;
        loop {
            let here = Rack::open(dir.path().join(format!("{fault:?}-{skip}")).join("whole")).unwrap();
            lay(here.root(), &begun);
            plan(skip, 1, fault);
            let result = catch_unwind(AssertUnwindSafe(|| join(&here, &there)));
            let all_passed = !clear();
            // Whatever lies there can be read.
            let shelves = here.shelves();
            assert!(shelves.problems.is_empty(), "{fault:?} {skip}: {:?}", shelves.problems);
            join(&here, &there).unwrap();
            let found = (files(here.root()), here.questions(&mut Unwatched).0);
            let differs: Vec<_> = found.0.iter().filter(|(path, text)| wanted.0.get(*path) != Some(*text)).collect();
            assert!(found == wanted, "{fault:?} after {skip}: {differs:?}");
            if all_passed {
                result.unwrap_or_else(|_| panic!("died without a fault")).unwrap();
                break;
            }
            fs::remove_dir_all(here.root()).unwrap();
            // A death is tried everywhere; a plain failure takes the same ways out.
            skip += if fault == Fault::Error { 3 } else { 1 };
        }
        assert!(skip > 30, "only {skip} operations");
    }
}
