//! Two programs at two benches on one synced folder, each with a loop of its own: nothing has to be joined.

use std::io::Write;
use std::process::{Child, ChildStdin, Command, Stdio};

use crate::invented::{card, rack};
use evenbite::record::Rack;
use evenbite::round::Card;

fn start(rack: &Rack) -> (Child, ChildStdin) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenbite"));
    command.args(["--plain", "--data"]).arg(rack.root()).stdin(Stdio::piped()).stdout(Stdio::null());
    let mut child = command.spawn().unwrap();
    let input = child.stdin.take().unwrap();
    (child, input)
}

#[test]
fn two_programs_work_at_two_loops_of_one_folder_at_once() {
    let (_dir, rack) = rack();
    for tag in ["one", "two"] {
        // On no saw: none is asked about.
        rack.create_loop(&Card { saw: String::new(), ..card(tag, 24) }).unwrap();
    }
    let mut benches: Vec<(Child, ChildStdin, &str)> = ["one", "two"]
        .map(|tag| {
            let (child, input) = start(&rack);
            (child, input, tag)
        })
        .into();
    // Line by line in turn: both rounds are open all the time.
    let intake = ["any", "file", "mm", "length", "left"];
    for (_, input, tag) in &mut benches {
        writeln!(input, "{tag}\nhand of {tag}").unwrap();
    }
    let lines = intake.into_iter().chain(["1"; 7]).chain(["0.00"]).chain(["9.11", "9.12", "9.13", "9.14", "pause"]);
    for line in lines {
        for (_, input, _) in &mut benches {
            writeln!(input, "{line}").unwrap();
            input.flush().unwrap();
        }
    }
    for (mut child, input, tag) in benches {
        drop(input);
        assert!(child.wait().unwrap().success(), "{tag}");
    }
    let found = rack.shelves();
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    for tag in ["one", "two"] {
        let round = rack.read_round(&rack.rounds(tag).unwrap()[0]).unwrap();
        assert_eq!(round.header.sharpener, format!("hand of {tag}"));
        let lengths = round.cutters.iter().filter(|cutter| cutter.before.mean().is_some()).count();
        assert_eq!(lengths, 4, "{tag}");
    }
}
