//! Another bench brought in by keys, and a choice made between what both say.

use std::fs;
use std::path::Path;

use evenbite::record::Sharpener;
use evenbite::round::Card;
use evenbite::units::mm;

use super::super::played::{Bench, COLOUR, start};

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// Two benches over copies of one folder, with a round that both went on with, and a card and a person that they tell otherwise.
fn two() -> (Bench, Bench) {
    let mut here = Bench::looked();
    here.run("enter 8.01\nkey *");
    let dir = crate::scratch::folder();
    copy(here.rack().root(), &dir.path().join("data"));
    let mut there = Bench::over(dir, (80, 24), COLOUR);
    here.run("key Esc\nkey Enter\nenter 8.02\nkey *\nkey Esc");
    there.run("key Enter\nenter 8.05\nenter 8.06\nkey *\nkey Esc");
    let rack = there.rack();
    let card = rack.card("twelve").unwrap();
    rack.change_card(&card, &Card { owner: "Odd".into(), ..card.clone() }, start().to_utc()).unwrap();
    for (rack, length_u) in [(rack, 0.05), (here.rack(), 0.03)] {
        rack.save_sharpener(&Sharpener { name: "Ina".into(), length_u: Some(mm(length_u)), ..Sharpener::default() })
            .unwrap();
    }
    (here, there)
}

#[test]
fn a_bench_is_brought_in_and_what_both_say_is_chosen() {
    let (mut here, there) = two();
    let folder = there.rack().root().display().to_string();
    here.run("key b").sees("It is only read, and shown first.").run(&format!("enter {folder}"));
    here.sees("This would be done. Nothing is written yet.").sees("twelve: rounds: 1 gone on with in two places");
    here.sees("sharpeners, the spread of lengths of Ina: 0.03 mm (in data); 0.05 mm (in ");
    // Enter is no yes, and to leave is to leave all as it was.
    here.run("key Enter").sees("bring it in").run("key Esc").sees("1 open to go on with");
    assert_eq!(here.rack().rounds("twelve").unwrap().len(), 1);
    here.run(&format!("key b\nenter {folder}\nkey *")).sees("Joined.").sees("Said differently, to be chosen: 2.");
    here.run("key Esc").sees("2 to choose, u").run("key Enter").sees("neither is written until one of them is chosen");
    here.run("key u").sees("1 of 2 to be chosen. Sharpeners, the spread of lengths of Ina: which?");
    here.run("key Right").sees("2 of 2 to be chosen. Loop twelve: a round was gone on with in two places");
    here.sees("> 14 entries")
        .run("key Down")
        .sees("> 13 entries")
        .run("key Enter")
        .sees("Kept. Still to be chosen: 1.");
    here.run("key Down\nkey Enter").sees("Kept. Nothing is left to choose.");
    assert_eq!(here.rack().sharpener("Ina").unwrap().length_u, Some(mm(0.05)));
    here.run("key Enter").sees("Cutter 3, left");
}
