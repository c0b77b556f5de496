//! Lessons are taken up where they were left, on another day too, by whoever left them.

use evenbite::care::Workshop;
use evenbite::plain;
use evenbite::record::{Checked, Rack, check_file, unheard};

use crate::invented::{at, card, header, rack};

fn led(rack: &Rack, lines: &str) -> String {
    let mut out = Vec::new();
    plain::run(&Workshop::from(rack.clone()), lines.as_bytes(), &mut out, || at(3), "", false).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn a_lesson_that_was_left_goes_on_on_another_day() {
    let (_dir, rack) = rack();
    // The first is answered, two guesses at the second are too small.
    let first = led(&rack, "lessons\n3.69\n0.1\n0.1\n\n");
    assert!(
        first.contains("Lesson 1 of 10") && first.contains("Right. ") && first.contains("More than that."),
        "{first}"
    );
    let on = led(&rack, "lessons\n0.1\n\n");
    assert!(on.contains("Going on at lesson 2. Type lesson 1 to begin again."), "{on}");
    assert!(!on.contains("Lesson 1 of 10") && on.contains("Lesson 2 of 10"), "{on}");
    // The guesses of the other day count: this was the third, which tells by how much.
    assert!(on.contains("Not yet: "), "{on}");
    assert_eq!(check_file(&rack.root().join("lessons.toml")).unwrap(), Checked::Lessons(1));
    assert!(led(&rack, "lesson 1\n\n").contains("Lesson 1 of 10"));
}

#[test]
fn each_person_has_a_place_of_their_own_and_it_goes_with_the_name() {
    let (_dir, rack) = rack();
    let card = card("one", 24);
    rack.create_loop(&card).unwrap();
    for (day, who) in [(1, "Ina"), (2, "Uma")] {
        drop(rack.begin_round(&header(&card, at(day), who)).unwrap());
        let lines = if who == "Ina" { "one\nlesson 4\n0.2\n\ngive up\n" } else { "one\nlessons\n\ngive up\n" };
        let out = led(&rack, lines);
        assert_eq!(out.contains("Lesson 1 of 10"), who == "Uma", "{out}");
    }
    assert_eq!(check_file(&rack.root().join("lessons.toml")).unwrap(), Checked::Lessons(2));
    rack.forget("Ina", &mut unheard).unwrap();
    let text = std::fs::read_to_string(rack.root().join("lessons.toml")).unwrap();
    assert!(!text.contains("Ina") && text.contains("former sharpener 1") && text.contains("Uma"), "{text}");
    assert_eq!(rack.reached("Ina").unwrap(), evenbite::advice::lesson::Reached::default());
    // A file that cannot be understood is kept beside, and the lessons begin anew.
    std::fs::write(rack.root().join("lessons.toml"), "person = 3\n").unwrap();
    assert!(check_file(&rack.root().join("lessons.toml")).is_err());
    assert!(led(&rack, "lessons\n3.69\n\n").contains("Right. "));
    assert_eq!(check_file(&rack.root().join("lessons.toml")).unwrap(), Checked::Lessons(1));
    let aside = std::fs::read_dir(rack.root()).unwrap().filter(|entry| {
        let name = entry.as_ref().unwrap().file_name().to_string_lossy().into_owned();
        name.starts_with("lessons.toml.")
    });
    assert_eq!(aside.count(), 1, "the file of before is not there");
}
