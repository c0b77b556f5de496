//! What the screens show, line by line: each has its form in the plain face, a fact per line.

use evenbite::care::Workshop;
use evenbite::devices::Lines;
use evenbite::plain::{Bench, lead};
use evenbite::record::Rack;
use evenbite::units::Unit;

use super::limits::{BEGIN, at, said};

/// More than anybody keeps in mind while it is read out.
const LINE: usize = 260;

fn spoken(dir: &tempfile::TempDir, unit: Unit, lines: &str) -> String {
    let care = Workshop::from(Rack::open(dir.path().join("data")).unwrap());
    let mut out = Vec::new();
    let input = Lines::new(lines.as_bytes(), 4096);
    let bench = Bench { input, output: &mut out, clock: at, speech: None, by_hand: false, unit };
    lead(&care, bench, "").unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn every_screen_has_its_form_a_fact_a_line() {
    let taken_in = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n";
    let (dir, begun) = said(&format!("{taken_in}{BEGIN}{}\n8.00\n8.10\n", "1\n".repeat(7)));
    let file = dir.path().join("table.csv");
    let rows = (1..=10).map(|number| format!("{number},{},8.1\n", if number % 2 == 1 { "left" } else { "right" }));
    std::fs::write(&file, format!("cutter,side,length_mm\n{}", rows.collect::<String>())).unwrap();
    let lines = format!(
        "\nrack open\nrack lost\nabout twelve\nhistory Twelve\nsheet twelve\nowner twelve\ngaps twelve\ntag twelve\nhistory\nhistory tvelve\n\
         card twelve\nowner\nIna\nslope\n99\n\nlost\n\n\
         gauge twelve\n9.8\n6.1\n0.65\n14\n8.0\n8.4\n0.7\n\nback\n\n\
         saw big saw\nlook\n1\nenough\nlimit 9\nlimit 0.4\nnew bar\nback\n\n\
         causes twelve\n9\n2\nmodel twelve\nwear 2\nraker wear\nraker fast\nfog 1\n\n\
         lessons 99\nlessons 1\n1\n3,7\nwords\n\
         import nowhere.csv\nimport {}\nThirteen\nthree-eighths\n20\nIna\n\n\n\n\nno\n",
        file.display()
    );
    let told = spoken(&dir, Unit::Mm, &lines);
    for wanted in [
        "Type the tag or the name of a loop, or help.",
        "twelve: Twelve, open",
        "Allowed: rack, rack open",
        "  drive links: 20",
        "Rounds: 0 rounds, 0 signed off",
        "  1 left, before 8.00 mm, length",
        "  at 9.50 mm: fixed gap 0.65 mm, scaled gap 0.71 mm, plate gap 0.72 mm, round file 5.5 mm",
        "Type the loop after it, such as history TAG.",
        "The nearest is twelve.",
        "Owner is now Ina.",
        "99 was read. Allowed: 1 to 25 degrees.",
        "There is no entry lost. Allowed: name, owner,",
        "Kept: 2 measured.",
        "The plate leaves",
        "Kept: 1 measured.",
        "Bar groove, 2 of 7. Pull the chain to the side.",
        "Stored.",
        "9 was read. Allowed: 0 to 5 mm.",
        "9 was read. Allowed: 1 to 7.",
        "Left and right cutters are of different length.",
        "bite angle: 4.6 degrees, 73 % of a new cutter's",
        "raker: wear-scaled gap",
        "The raker can be: left untouched",
        "There is no setting fog.",
        "There is no lesson 99.",
        "More than that. Guess again.",
        "Right. The corner has then dropped",
        "witness mark: line on the cutter that ends its life",
        "nowhere.csv",
        "As they will be recorded, lengths in mm:",
        "Nothing was taken.",
    ] {
        assert!(told.contains(wanted), "{wanted} is not in\n{told}");
    }
    for line in begun.lines().chain(told.lines()).filter(|line| !line.contains("> ")) {
        assert!(line.chars().count() <= LINE, "{} letters: {line}", line.chars().count());
    }
    assert!(Rack::open(dir.path().join("data")).unwrap().card("thirteen").is_err());
}

#[test]
fn who_reads_inches_meets_no_millimetres() {
    let (dir, _) = said("");
    let begin = "new\nTwelve\nthree-eighths\n20\nfull\nleft\n0.3\n25 thou\n\n\n\nIna\nany\nfile\n\nlength\nleft\n";
    let told = spoken(
        &dir,
        Unit::Inch,
        &format!("{begin}{}\n309\nyes\n0.31\nabc\n12 thou\n9\nback\nsheet\ngaps\nhistory\n", "1\n".repeat(7)),
    );
    for wanted in [
        "0.3 was read. Allowed: 0.008 to 0.047 in.",
        "It looks like thousandths of an inch. Did you mean 0.3090?",
        "Cutter 1: 0.3090 in. 309 was taken as 0.3090 in.",
        "a length such as 0.317",
        "at 0.3900 in: fixed gap 0.0250 in",
        "round file 7/32 in",
    ] {
        assert!(told.contains(wanted), "{wanted} is not in\n{told}");
    }
    let more = spoken(
        &dir,
        Unit::Inch,
        "card twelve\n\ngauge twelve\n9\n\nmodel twelve\nwear 80 thou\n\ncauses twelve\n2\n\ntag twelve\n\
             owner twelve\nrack\nabout twelve\nperson Ina\ndrills\nIna\n1\nenough\n\n\nlessons 3\n\n\
             paper twelve\n2026-02-01\nIna\n\n\n0.314 - 0.026\n\n\n\n\n\n\n\n\n\n\nno\n\n\n\n\
             practice 12 5\n1\n1\n1\n1\n1\n1\n\n\n\n",
    );
    for wanted in ["Cutter length: 9 was read. Allowed:", "Written in mm or inch (Enter: inch)"] {
        assert!(more.contains(wanted), "{wanted} is not in\n{more}");
    }
    let told = told + &more;
    let metric: Vec<&str> = told.lines().filter(|line| line.contains(" mm") && !line.contains("mm or inch")).collect();
    assert!(metric.is_empty(), "{metric:#?}\n{told}");
    // The simulated instrument of practice is switched to inches and takes Enter for its reading.
    assert!(told.contains("Cutter 1: 0.") && told.contains("PRACTICE: Cutter 3, left. Measure its length."), "{told}");
}
