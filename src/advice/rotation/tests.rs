use super::*;

fn runner(tag: &str, spent: Option<f64>, rounds_left: Option<u32>) -> Runner {
    Runner {
        tag: tag.into(),
        name: tag.to_uppercase(),
        pitch: "3/8 inch".into(),
        spent,
        rounds_left,
        last: None,
        held: None,
    }
}

fn day(day: u32) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(&format!("2026-05-{day:02}T08:00:00+02:00")).unwrap()
}

#[test]
fn the_loop_with_most_life_left_runs_until_the_others_are_level() {
    let found = rotation(&[runner("a", Some(0.55), Some(4)), runner("b", Some(0.2), Some(8))], None);
    assert_eq!(found.next.as_deref(), Some("b"));
    // b wears a tenth of life a turn: after four turns it stands at 0.6 and a, at 0.55, has its turn.
    assert_eq!(found.turns, ["b", "b", "b", "b", "a", "b"]);
    assert!((found.apart.unwrap() - 0.35).abs() < 1e-12);
    assert!(found.told.contains(&Told::FarApart));
}

#[test]
fn turns_bring_loops_together_whatever_they_wear() {
    let all = [runner("a", Some(0.1), Some(9)), runner("b", Some(0.3), Some(14)), runner("c", Some(0.25), Some(5))];
    let mut spent: Vec<f64> = all.iter().map(Runner::spent).collect();
    let before = spread(&spent);
    for tag in rotation(&all, None).turns {
        let at = all.iter().position(|r| r.tag == tag).unwrap();
        spent[at] += all[at].turn();
    }
    assert!(spread(&spent) < before, "{spent:?}");
}

fn spread(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::MIN, f64::max) - values.iter().copied().fold(f64::MAX, f64::min)
}

#[test]
fn of_two_alike_the_one_that_lay_longest_runs() {
    let at = |tag, last| Runner { last, ..runner(tag, Some(0.3), None) };
    let found = rotation(&[at("a", Some(day(9))), at("b", Some(day(2)))], None);
    assert_eq!((found.next.as_deref(), &found.turns[..2]), (Some("b"), &["b".to_owned(), "a".to_owned()][..]));
}

#[test]
fn a_worn_out_sprocket_turns_the_order_round_and_new_loops_wait() {
    let all = [runner("new", None, None), runner("half", Some(0.5), Some(5)), runner("old", Some(0.9), Some(1))];
    let found = rotation(&all, Some(Grade::Bad));
    assert_eq!(found.turns, ["old", "half", "half", "half", "half", "half"]);
    assert_eq!(found.wait, ["new"]);
    assert!(found.told[0].words().contains("worn out"));
    assert_eq!(rotation(&all[..1], Some(Grade::Bad)).next, None);
    // With a sprocket that is good, or that nobody looked at, the new loop is next.
    for sprocket in [None, Some(Grade::Good), Some(Grade::NotLooked)] {
        assert_eq!(rotation(&all, sprocket).next.as_deref(), Some("new"));
    }
    // On a worn one it waits as long as there are others, and these go on by life left.
    let worn = rotation(&all, Some(Grade::Watch));
    assert_eq!((worn.next.as_deref(), &worn.wait[..]), (Some("half"), &["new".to_owned()][..]));
    assert_eq!(rotation(&all[..1], Some(Grade::Watch)).next.as_deref(), Some("new"));
}

#[test]
fn what_may_not_run_does_not() {
    let held = |tag, why| Runner { held: Some(why), ..runner(tag, Some(0.0), None) };
    let all = [held("a", "rejected"), held("b", OUT_OF_CARE), runner("c", Some(1.0), Some(0))];
    let found = rotation(&all, None);
    assert_eq!((found.next, found.turns.len()), (None, 0));
    assert_eq!(found.told[0].words(), "No loop of this saw can run now.");
}

#[test]
fn loops_of_another_pitch_are_told() {
    let other = Runner { pitch: ".325 inch".into(), ..runner("b", None, None) };
    let found = rotation(&[runner("a", None, None), other.clone()], None);
    assert_eq!((&found.pitches[..], found.next), (&[".325 inch".to_owned(), "3/8 inch".to_owned()][..], None));
    let scrapped = Runner { held: Some(OUT_OF_CARE), ..other };
    assert!(rotation(&[runner("a", None, None), scrapped], None).pitches.is_empty());
}

#[test]
fn nothing_and_nonsense_are_taken() {
    assert_eq!(rotation(&[], None).next, None);
    let odd = rotation(&[runner("a", Some(f64::NAN), Some(3)), runner("b", Some(-4.0), Some(0))], None);
    assert_eq!(odd.next.as_deref(), Some("a"));
}
