use super::*;

#[test]
fn no_key_has_two_meanings_in_one_place() {
    for place in Place::ALL {
        let mut seen: Vec<(Press, Action)> = Vec::new();
        for row in rows(place) {
            for press in row.presses {
                let taken = seen.iter().find(|(other, _)| other == press);
                assert!(taken.is_none(), "{place:?}: {} is both {taken:?} and {:?}", press.label(), row.action);
                seen.push((*press, row.action));
            }
        }
    }
}

#[test]
fn digits_always_belong_to_the_field() {
    for row in TABLE {
        for press in row.presses {
            let digit = matches!(press.code, KeyCode::Char(c) if c.is_ascii_digit() || c == '.');
            assert!(!digit, "{:?}", row.action);
        }
    }
}

#[test]
fn letters_act_only_on_an_empty_field() {
    let n = KeyEvent::from(KeyCode::Char('n'));
    assert_eq!(action(Place::Round, n, false), Some(Action::Note));
    assert_eq!(action(Place::Round, n, true), None);
    let slash = KeyEvent::from(KeyCode::Char('/'));
    assert_eq!(action(Place::Round, slash, true), Some(Action::TakeBack));
    let enter = KeyEvent::from(KeyCode::Enter);
    assert_eq!(action(Place::Question, enter, false), Some(Action::Refuse));
}

#[test]
fn the_shell_is_offered_only_where_there_is_a_way_back() {
    assert!(TABLE.iter().all(|row| is_offered(row.action, true)));
    let left_out: Vec<Action> =
        TABLE.iter().map(|row| row.action).filter(|action| !is_offered(*action, false)).collect();
    assert_eq!(left_out, [Action::Suspend]);
    assert_eq!(table().any(|row| row.action == Action::Suspend), CAN_SUSPEND);
}

#[test]
fn every_row_has_words() {
    for row in TABLE {
        assert!(!row.name.is_empty() && row.help.ends_with('.') && !row.presses.is_empty(), "{:?}", row.action);
    }
}

#[test]
fn keys_glossary_and_lessons_are_one_key_away_everywhere() {
    for place in Place::ALL {
        for has_text in [false, true] {
            let action = |n| action(place, KeyEvent::from(KeyCode::F(n)), has_text);
            assert_eq!(action(1), Some(Action::Keys), "{place:?}");
            assert_eq!(action(3), Some(Action::Model), "{place:?}");
            assert_eq!(action(4), Some(Action::Open(Leaf::Words)), "{place:?}");
        }
    }
}
