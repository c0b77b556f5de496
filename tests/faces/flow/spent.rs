//! A loop whose kept cutters are all at their witness marks is never ready: both faces say so and close it as rejected.

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::record::Rack;
use evenbite::round::Closing;

use super::super::played::{Bench, COLOUR, intake, sound};
use super::limits::{BEGIN, at};

/// Ten cutters of 3.05 mm, each read twice as it comes so near its mark, filed to 2.95 mm and read twice again.
fn lines() -> String {
    let filed = "2.95\n2.95\n".repeat(5);
    format!("{}\n{}2.95\nkeep\n{filed}\n{filed}1\n", "1\n".repeat(7), "3.05\n3.05\n".repeat(10))
}

#[test]
fn the_plain_face_refuses_sign_off_and_records_that_it_is_spent() {
    let dir = crate::scratch::folder();
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let gaps = "\n".repeat(10);
    let begin = format!("new\nTwelve\nthree-eighths\n20\nfull\nleft\n\n\n\n\n{BEGIN}{}{gaps}", lines());
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack), format!("{begin}0\n\n1\n").as_bytes(), &mut out, at, "", false).unwrap();
    let said = String::from_utf8(out).unwrap();
    assert!(said.contains("AT ITS MARK?: cutter 1, 3.05 mm"), "{said}");
    assert!(said.contains("NOT READY: every cutter kept is at its witness mark"), "{said}");
    let rack = Rack::open(dir.path().join("data")).unwrap();
    let round = rack.read_round(rack.rounds("twelve").unwrap().last().unwrap()).unwrap();
    assert_eq!(round.closed, Some(Closing::Rejected), "{said}");
}

#[test]
fn the_screen_says_not_ready_and_closes_it_as_rejected() {
    let mut bench = Bench::new((100, 32), COLOUR);
    let keys = |readings: &str| readings.lines().map(|line| format!("enter {line}\n")).collect::<String>();
    bench.run(&intake(20, 0, 0)).run(&sound()).run(&keys(&"3.05\n3.05\n".repeat(10)));
    bench.run("enter\n").sees("No choice is recommended");
    bench.run("enter 2.95\n").sees("at or below the witness mark").run("key *\n");
    let filed = keys(&"2.95\n2.95\n".repeat(5));
    bench.run(&filed).run("enter").run(&filed).run("enter 1\n").run(&"enter\n".repeat(10)).run("enter 0\nenter\n");
    bench.sees("NOT READY: every cutter kept is at its witness mark");
    bench.run("enter 1\n");
    assert_eq!(bench.round().closed, Some(Closing::Rejected));
}
