use super::super::super::theme::Theme;
use super::super::drawing::{BARE, LINES, at_every_size, draw, press, shown};
use super::*;
use crate::coach::causes::tests::findings_of_a_curved_cut;

/// Types a number and takes it.
fn choose(causes: &mut Causes, number: char) {
    press(causes, KeyCode::Char(number));
    press(causes, KeyCode::Enter);
}

#[test]
fn a_number_leads_to_the_causes_and_esc_back_again() {
    let mut causes = Causes::default();
    assert!(shown(&causes, (80, 24), LINES).contains("How does the saw cut?"));
    press(&mut causes, KeyCode::Char('2'));
    assert_eq!(
        (causes.chosen, causes.cursor.at()),
        (None, 1),
        "a number alone opens nothing: Enter would close it again"
    );
    press(&mut causes, KeyCode::Enter);
    assert_eq!(causes.chosen, Some(Symptom::Pulls));
    let text = shown(&causes, (80, 24), LINES);
    assert!(text.contains("1.  Left and right cutters are of different length."), "{text}");
    assert!(text.contains("Source: trainer's article"));
    press(&mut causes, KeyCode::Char('1'));
    assert_eq!(causes.chosen, Some(Symptom::Pulls), "a digit is no command on a page");
    press(&mut causes, KeyCode::Esc);
    assert_eq!((causes.chosen, causes.cursor.at()), (None, 1));
    assert!(matches!(press(&mut causes, KeyCode::Esc)[..], [Effect::Go(Step::Close)]));
}

#[test]
fn arrows_and_enter_choose_too_and_a_wrong_number_is_told() {
    let mut causes = Causes::default();
    press(&mut causes, KeyCode::Char('9'));
    assert!(causes.chosen.is_none() && shown(&causes, (80, 24), LINES).contains("from 1 to 7"));
    for _ in 0..20 {
        press(&mut causes, KeyCode::Down);
    }
    assert!(!shown(&causes, (80, 24), LINES).contains("from 1 to 7"));
    press(&mut causes, KeyCode::Enter);
    assert_eq!(causes.chosen, Some(Symptom::Smokes));
}

#[test]
fn a_loops_own_readings_come_first_and_say_so() {
    let mut causes = Causes::of(Case { findings: Some(findings_of_a_curved_cut()), ..Case::default() });
    choose(&mut causes, '2');
    let text = shown(&causes, (80, 24), LINES);
    let (shows, second) = (text.find("Your readings show it: Left cutters").unwrap(), text.find("2.  ").unwrap());
    assert!(shows < second, "{text}");
    let buf = draw(&causes, (80, 24), LINES);
    let row = u16::try_from(text[..shows].lines().count() - 1).unwrap();
    assert_eq!(Some(buf[(6, row)].fg), LINES.style(Role::Warn).fg);
}

#[test]
fn long_answers_scroll_and_stop_at_their_end() {
    let mut causes = Causes::default();
    choose(&mut causes, '4');
    let first = shown(&causes, (60, 12), LINES);
    assert!(first.contains("lines more below"));
    press(&mut causes, KeyCode::End);
    let last = shown(&causes, (60, 12), LINES);
    assert!(last.contains("5.  ") && !last.contains("more below"), "{last}");
    for _ in 0..50 {
        press(&mut causes, KeyCode::Down);
    }
    press(&mut causes, KeyCode::Up);
    assert_ne!(shown(&causes, (60, 12), LINES), last, "one key up moves at once");
    press(&mut causes, KeyCode::Char('v'));
    assert!(!shown(&causes, (60, 30), LINES).contains("Source:"));
}

#[test]
fn no_size_panics() {
    let all = ["", "2", "2-", "2-4"].map(|keys| {
        let mut causes = Causes::of(Case { findings: Some(findings_of_a_curved_cut()), ..Case::default() });
        for key in keys.chars() {
            if key == '-' {
                press(&mut causes, KeyCode::Esc);
            } else {
                choose(&mut causes, key);
            }
        }
        causes
    });
    at_every_size(|size| {
        for (causes, theme) in all.iter().zip([BARE, LINES, BARE, LINES]) {
            draw(causes, size, theme);
        }
    });
}

#[test]
fn drawings_at_the_usual_sizes() {
    let mut causes = Causes::of(Case { findings: Some(findings_of_a_curved_cut()), ..Case::default() });
    let look: [((u16, u16), &str, Theme); 4] =
        [((60, 20), "", LINES), ((80, 24), "", LINES), ((120, 40), "", LINES), ((80, 24), "ascii-", BARE)];
    for number in [None, Some('2')] {
        if let Some(number) = number {
            choose(&mut causes, number);
        }
        let part = if number.is_some() { "answer" } else { "list" };
        for ((columns, rows), glyphs, theme) in look {
            insta::assert_snapshot!(format!("{part}-{glyphs}{columns}x{rows}"), shown(&causes, (columns, rows), theme));
        }
    }
}
