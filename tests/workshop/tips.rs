//! Tips while a round is worked: which hand they name, how often they come, and whether they are said to have helped.

use std::cell::RefCell;
use std::io::{self, Write};
use std::rc::Rc;

use crate::crooked::{intake_of, several};
use crate::invented::{at, rack};
use evenbite::care::Workshop;
use evenbite::plain::{self, Bench, Hear, Heard};
use evenbite::units::Unit;

/// What is said to these lines: every line that has a tip in it, or what came of one, from its first word on.
fn tips(lines: &[String]) -> Vec<String> {
    let (_dir, rack) = rack();
    let mut talk = Vec::new();
    let lines = lines.concat();
    plain::run(&Workshop::from(rack), lines.as_bytes(), &mut talk, || at(3), "", false).unwrap();
    of(&String::from_utf8(talk).unwrap())
}

/// Tips and what came of them, out of what was said.
fn of(talk: &str) -> Vec<String> {
    let from =
        |line: &str| ["Tip, ", "The tip "].iter().find_map(|word| line.find(word)).map(|at| line[at..].to_owned());
    talk.lines().filter_map(from).collect()
}

/// Sixteen cutters measured, and the length taken that is recommended.
fn measured(readings: &str) -> String {
    intake_of(32, "file", readings) + &several(16, "8.11") + "\n"
}

#[test]
fn a_wrist_turned_on_one_side_is_named_once_and_told_whether_it_came_right() {
    let left = [several(4, "8.00\n31.8"), several(4, "8.00\n30.2")].concat();
    assert_eq!(
        tips(&[measured("angle"), left]),
        [
            "Tip, left side: angles run 1.8 deg large. Elbow along the line, then push. Saves up to 0.16 mm in all.",
            "The tip helped, left side: angles off by 0.2 now, 1.8 deg then.",
        ]
    );
}

/// What was said so far.
#[derive(Clone, Default)]
struct Said(Rc<RefCell<Vec<u8>>>);

impl Write for Said {
    fn write(&mut self, text: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().write(text)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Types what was written down, then reads and files rakers by what is asked.
struct Hand<'a> {
    script: std::vec::IntoIter<&'a str>,
    said: Said,
    heard: usize,
    /// What a raker of that cutter is filed to.
    files_to: fn(u16) -> &'static str,
}

impl Hear for Hand<'_> {
    fn hear(&mut self) -> io::Result<Heard> {
        if let Some(line) = self.script.next() {
            return Ok(Heard::Line(line.to_owned()));
        }
        let said = String::from_utf8_lossy(&self.said.0.borrow()[self.heard..]).into_owned();
        self.heard = self.said.0.borrow().len();
        let cutter = said.rsplit_once("Cutter ").and_then(|(_, rest)| rest.split_once(','));
        let number = cutter.and_then(|(number, _)| number.parse().ok()).unwrap_or(0);
        Ok(match said.lines().last() {
            Some("raker gap, mm> ") => Heard::Line("0.52".to_owned()),
            Some("raker gap after filing, mm> ") => Heard::Line((self.files_to)(number).to_owned()),
            _ => Heard::End,
        })
    }
}

/// The tips while rakers are filed, each come too high.
fn tips_at_rakers(files_to: fn(u16) -> &'static str) -> Vec<String> {
    let (_dir, rack) = rack();
    let script = measured("length") + "go rakers\n1\n";
    let said = Said::default();
    let hand = Hand { script: script.lines().collect::<Vec<_>>().into_iter(), said: said.clone(), heard: 0, files_to };
    let bench =
        Bench { input: hand, output: said.clone(), clock: || at(3), speech: None, by_hand: false, unit: Unit::Mm };
    plain::lead(&Workshop::from(rack), bench, "").unwrap();
    let said = String::from_utf8(said.0.borrow().clone()).unwrap();
    of(&said)
}

#[test]
fn rakers_that_one_side_gets_low_are_named_once_and_told_whether_they_came_right() {
    let then_better = |number: u16| if number % 2 == 1 && number < 9 { "0.70" } else { "0.65" };
    assert_eq!(
        tips_at_rakers(then_better),
        [
            "Tip, left side: 4 rakers end 0.05 low. Two strokes, then look. Saves up to 0.57 mm of tooth in all.",
            "The tip helped, left side: rakers low by 0.00 now, 0.05 mm then.",
        ]
    );
}

#[test]
fn a_fault_that_holds_the_round_has_its_tip_once_it_is_answered() {
    // Each is far under the length: the fault is asked about first, and left.
    let short = several(4, "7.80\n0");
    let said = tips(&[measured("length"), short, several(4, "8.00")]);
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(said[0].starts_with("Tip, left side: 4 ended 0.1") && said[1].starts_with("The tip helped"), "{said:?}");
}
