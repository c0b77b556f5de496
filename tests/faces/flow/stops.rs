//! What stops a loop: a reject in the look-over or at any step, out of care, and giving it back. In both faces.

use evenbite::care::Workshop;
use evenbite::record::Rack;
use evenbite::round::{Closing, Finding, LookItem, Phase};

use super::super::played::{Bench, COLOUR, intake, measured};
use super::asks;
use super::limits::{BEGIN, at, said};

/// Lines that take a loop of ten cutters into care and begin a round on it.
fn begun() -> String {
    format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}")
}

/// What the plain face says to these lines, going on in that folder.
fn more(dir: &tempfile::TempDir, lines: &str) -> String {
    let care = Workshop::from(Rack::open(dir.path().join("data")).unwrap());
    let mut out = Vec::new();
    evenbite::plain::run(&care, lines.as_bytes(), &mut out, at, "", false).unwrap();
    String::from_utf8(out).unwrap()
}

fn all_sound() -> String {
    "1\n".repeat(LookItem::ALL.len())
}

#[test]
fn a_crack_and_a_passed_witness_mark_are_never_merely_worn() {
    for (before, item) in [(0, "look Cracks"), (5, "look Witness mark")] {
        let mut bench = Bench::new((80, 24), COLOUR);
        bench.run(&intake(20, 0, 0)).run(&"enter 1\n".repeat(before));
        assert_eq!(asks(&bench.round()), item);
        assert!(!bench.screen().contains("worn, but it may go on"), "{}", bench.screen());
        bench.run("enter 2\n").sees("Type 1 sound or 3 reject");
        assert_eq!(asks(&bench.round()), item);
        bench.run("enter 3\n");
        assert_eq!(asks(&bench.round()), "reject");
    }
    let (_dir, said) = said(&(begun() + "2\n1\n"));
    assert!(said.contains("Type 1 sound or 3 reject"), "{said}");
    assert!(said.contains("free it and look again; still stiff is a reject"), "{said}");
    let of_cracks = said.split("Look over 2").next().unwrap();
    assert!(!of_cracks.contains("may go on") && said.contains("2  worn, but it may go on"), "{said}");
}

#[test]
fn a_reject_at_any_step_names_cutter_and_part_and_leaves_nothing_but_closing() {
    let mut bench = Bench::looked();
    bench.run(&measured(3)).run("key j\n").sees("What is at fault?").run("enter nonsense\n").sees("comes first");
    bench.run("key Esc\nkey j\nenter rivets 11\n").sees("There is no cutter 11");
    bench.run("key j\nenter rivets 4 turns by hand\n").sees("REJECTED").sees("a rivet at cutter 4 (turns by hand)");
    assert_eq!(asks(&bench.round()), "reject");
    bench.run("enter 8.00\n");
    assert_eq!(asks(&bench.round()), "reject", "nothing is measured after a reject");
    bench.run("key /\n");
    assert_eq!(asks(&bench.round()), "4 length before", "it is taken back like any entry");
    bench.run("key j\nenter cutters 4\nenter 1\n");
    let round = bench.round();
    assert_eq!(round.closed, Some(Closing::Rejected));
    bench.run("key Enter\n").sees("REJECTED").sees("cutter 4");
}

#[test]
fn a_reject_is_a_word_in_the_plain_face() {
    let lines = format!("{}{}\n8.00\nreject\nreject drive links 3 bent\n8.00\n", begun(), all_sound());
    let (dir, said) = said(&lines);
    assert!(said.contains("What is at fault comes first") && said.contains("REJECTED"), "{said}");
    assert!(said.contains("  rejected: a drive link at cutter 3 (bent)"), "{said}");
    let said = more(&dir, "twelve\nback\n8.01\nreject cracks\n1\n");
    assert!(said.contains("TAKEN BACK: rejected: a drive link at cutter 3 (bent)"), "{said}");
    assert!(said.contains("REJECTED: recorded."), "{said}");
}

#[test]
fn the_look_over_is_gone_back_to_at_any_time_and_left_for_where_one_was() {
    let mut bench = Bench::looked();
    bench.run(&measured(10)).run("enter\nenter 7.92\n");
    assert_eq!(asks(&bench.round()), "3 length after");
    bench.run("key g\nenter look\n");
    assert_eq!(asks(&bench.round()), "look Cracks");
    bench.run("enter 1\nenter 2\nkey e\n");
    assert_eq!(asks(&bench.round()), "3 length after");
    assert_eq!(bench.round().looks[&LookItem::Rivets].0, Finding::Worn);
    bench.run("key g\nenter look\n").run(&"enter 1\n".repeat(LookItem::ALL.len()));
    assert_eq!((bench.round().phase(), asks(&bench.round()).as_str()), (Phase::First, "3 length after"));
    bench.run("key g\nenter look\nenter 3\n");
    assert_eq!(asks(&bench.round()), "reject");
    let (_dir, said) = said(&format!("{}{}\n8.00\ngo look\n1\n1\nenough\n", begun(), all_sound()));
    let after = said.split("Look over 3").last().unwrap();
    assert!(after.contains("Cutter 2, right"), "{said}");
}

/// A loop that was rejected at cutter 4 and closed, on the rack.
fn rejected() -> Bench {
    let mut bench = Bench::looked();
    bench.run("key j\nenter rivets 4 loose\nenter 1\nkey Enter\n");
    bench
}

#[test]
fn a_rejected_loop_stays_so_until_it_is_released() {
    let mut bench = rejected();
    bench.run("key Enter\n").sees("Not begun: rejected on 2026-03-02: a rivet at cutter 4 (loose). r releases it");
    assert_eq!(bench.rack().rounds("twelve").unwrap().len(), 1);
    bench.run("key r\n").sees("a rivet at cutter 4 (loose). Who releases it?").run("key Esc\n").sees("REJECTED");
    bench.run("key r\nenter Olo\n").sees("What was replaced or put right?").run("enter rivet and strap\n");
    assert!(!bench.screen().contains("REJECTED"), "{}", bench.screen());
    let card = bench.rack().card("twelve").unwrap();
    assert_eq!((card.releases[0].by.as_str(), card.releases[0].replaced.as_str()), ("Olo", "rivet and strap"));
    bench.run("key r\n").sees("Nothing holds");
    bench.run("key Enter\nenter Ina\n").run(&"enter\n".repeat(6));
    assert_eq!(asks(&bench.round()), "look Cracks");
    // The second rejection is not covered by the first release.
    bench.run("enter 3\nenter 1\nkey Enter\n").sees("REJECTED").run("key Enter\n").sees("Not begun");
}

#[test]
fn the_plain_face_begins_nothing_on_a_rejected_loop_and_releases_it() {
    let (dir, _) = said(&format!("{}reject cutters 2 cracked\n1\n", begun()));
    let said = more(&dir, "twelve\n");
    assert!(said.contains("twelve: Twelve, 20 links, rejected on 2026-03-02: cutter 2 (cracked)"), "{said}");
    assert!(said.contains("Not begun: rejected on 2026-03-02: cutter 2 (cracked). Type release twelve"), "{said}");
    assert!(!said.contains("Who files"), "{said}");
    let said = more(&dir, "release twelve\nOlo\ncutter 2 replaced\ntwelve\nIna\n");
    assert!(said.contains("Released.") && said.contains("Wood"), "{said}");
}

#[test]
fn scrapping_says_first_what_it_loses_and_can_be_undone() {
    let mut bench = Bench::over(demo(), (80, 24), COLOUR);
    let (tag, name, lost) = lively(&bench.rack());
    let tag = tag.as_str();
    bench.run(&format!("key /\ntype {name}\nkey Esc\n"));
    bench.run("key x\n").sees(&lost).sees("Esc leaves it in care").run("key Esc\n");
    assert_eq!(bench.rack().card(tag).unwrap().scrapped, None);
    bench.run("key x\nenter lost\n").sees("Taken out of care");
    let first = bench.rack().card(tag).unwrap().scrapped.unwrap();
    // Scrapping again keeps the first reason.
    let care = Workshop::from(bench.rack());
    assert!(care.scrap(tag, "again", first.at).is_err());
    assert_eq!(bench.rack().card(tag).unwrap().scrapped.unwrap(), first);
    care.release(tag, "Ina", "found again", first.at).unwrap();
    let card = bench.rack().card(tag).unwrap();
    assert_eq!((card.scrapped, card.releases[0].scrapped.as_ref()), (None, Some(&first)));
}

#[test]
fn the_plain_face_scraps_and_takes_back() {
    let dir = demo();
    let (tag, _, lost) = lively(&Rack::open(dir.path().join("data")).unwrap());
    let lines = "scrap TAG\n\nscrap TAG\nlost\nTAG\nscrap TAG\nrelease TAG\nIna\nfound\n".replace("TAG", &tag);
    let said = more(&dir, &lines);
    assert_eq!(said.matches(&lost).count(), 2, "{said}");
    assert!(said.contains(&format!("Not begun: out of care since 2026-03-02: lost. Type release {tag}")), "{said}");
    assert!(said.contains("was taken out of care") && said.contains("Released."), "{said}");
}

/// Tag and name of a loop with rounds left and no open one, and what scrapping it would lose.
fn lively(rack: &Rack) -> (String, String, String) {
    let care = Workshop::from(rack.clone());
    let shelves = rack.shelves().shelves;
    let free = shelves.into_iter().filter(|shelf| shelf.card.scrapped.is_none() && shelf.open.is_none());
    let mut found = free.filter_map(|shelf| {
        let said = care.before_scrapping(&shelf.card.tag).unwrap();
        let (_, lost) = said.split_once(" out of care. ")?;
        Some((shelf.card.tag, shelf.card.name, lost.to_owned()))
    });
    found.next().unwrap()
}

/// A copy of the demo's folder.
fn demo() -> tempfile::TempDir {
    let dir = crate::scratch::folder();
    let from = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop");
    copy(&from, &dir.path().join("data"));
    dir
}

fn copy(from: &std::path::Path, to: &std::path::Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap().map(Result::unwrap) {
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// Everything up to the look along the edges, in the plain face.
fn to_the_light() -> String {
    let filed = "8.00\n".repeat(10) + "\n" + &"7.92\n".repeat(5) + "\n" + &"7.92\n".repeat(5);
    format!("{}{}\n{filed}1\n{}", begun(), all_sound(), "0.65\n".repeat(10))
}

#[test]
fn edges_are_asked_about_and_a_dull_one_goes_to_redo() {
    let mut bench = Bench::new((80, 24), COLOUR);
    bench.run(&intake(20, 0, 0)).run(&"enter 1\n".repeat(6)).sees("worn round, or hit");
    bench.run("enter 3\n").sees("Type 1 only dull or 2 worn or hit").run("enter 2\nenter\n").run(&measured(10));
    bench.run("enter\n").run(&"enter 7.92\n".repeat(5)).run("enter\n").run(&"enter 7.92\n".repeat(5));
    bench.run("enter 1\n").run(&"enter 0.65\n".repeat(10));
    bench.sees("Look along every edge against the light").run("enter 11\n").sees("There is no cutter 11");
    bench.run("enter 3,8\n").sees("DULL").sees("its edge shines: sharpen it again").run("enter\n");
    assert_eq!(asks(&bench.round()), "3 length after");
    bench.run("enter 7.90\n");
    assert!(!bench.round().light.unwrap().dull.contains(&evenbite::chain::nth(3)));
    bench.run("key g\nenter prove\n").sees("its edge shines: sharpen it again");
    let (_dir, said) = said(&(to_the_light() + "x\n3\n0\n1\n"));
    assert!(said.contains("The numbers of the cutters") && said.contains("3  its edge shines"), "{said}");
}
