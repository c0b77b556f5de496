//! What joined folders say differently, until somebody chooses.

use std::collections::BTreeSet;
use std::fs;

use super::{card, change, copy, held, join, note, two, whole_if_none};
use crate::invented::at;
use evenbite::record::join::{Question, Thing};
use evenbite::record::{RackError, Unwatched};
use evenbite::round::Closing;

#[test]
fn what_both_changed_is_asked_for_and_what_was_chosen_stays() {
    let (_dir, here, there) = two();
    let before = held(&there);
    let look = join(&here, &there);
    assert_eq!(look.rounds().added, 1);
    assert_eq!(held(&there), before, "the other folder is only read");
    let (asked, _) = here.questions(&mut Unwatched);
    let [question @ Question::Field { thing: Thing::Card(tag), open }] = asked.as_slice() else { panic!("{asked:?}") };
    assert_eq!((tag.as_str(), open.field.join(".")), ("one", "owner".to_owned()));
    let told: Vec<_> =
        open.values.iter().map(|one| (one.value.clone().unwrap().to_string(), one.from.clone())).collect();
    let from = |name: &str| BTreeSet::from([name.to_owned()]);
    assert_eq!(told, [("\"Odd\"".to_owned(), from("there")), ("\"Tove's mill\"".to_owned(), from("here"))]);
    here.choose(question, 1, at(5)).unwrap();
    assert_eq!(here.card("one").unwrap().owner, "Tove's mill");
    assert!(here.questions(&mut Unwatched).0.is_empty());
    assert!(matches!(here.choose(question, 0, at(6)), Err(RackError::NotAsked)));
    // The same folder once more asks nothing; one that took over the answer neither.
    assert!(super::look(&here, &there).is_nothing());
    join(&there, &here);
    assert_eq!(held(&there), held(&here));
    // What is changed since is news.
    change(&there, at(7), |card| card.owner = "Marek".into());
    join(&here, &there);
    assert_eq!(here.card("one").unwrap().owner, "Marek");
    assert!(here.questions(&mut Unwatched).0.is_empty());
}

#[test]
fn a_round_gone_on_with_in_two_places_is_kept_twice_until_one_is_chosen() {
    let (_dir, here, there) = two();
    note(&here, "one", "here", at(5));
    note(&there, "one", "there", at(5));
    note(&there, "one", "there again", at(6));
    let look = join(&here, &there);
    assert_eq!((look.rounds().differ, look.rounds().added), (1, 1));
    assert!(here.resume("one", at(7).to_utc()).is_err(), "neither is written");
    let (asked, _) = here.questions(&mut Unwatched);
    let round = asked.iter().find(|one| matches!(one, Question::Round { .. })).unwrap();
    let Question::Round { versions, .. } = round else { unreachable!() };
    assert_eq!(versions.iter().map(|one| (one.entries, one.shared)).collect::<Vec<_>>(), [(3, 1), (2, 1)]);
    here.choose(round, 1, at(7)).unwrap();
    let (_, chosen, _) = here.resume("one", at(7).to_utc()).unwrap();
    assert_eq!(chosen.entries.len(), 2);
    // What was set aside stays so, here and in the folder that held it.
    assert!(super::look(&here, &there).is_nothing());
    join(&there, &here);
    assert_eq!(held(&there).rounds, held(&here).rounds);
    let (_, goes_on, _) = there.resume("one", at(8).to_utc()).unwrap();
    assert_eq!(goes_on.entries.len(), 2);
    let folder = there.root().join("loops/one");
    let aside = fs::read_dir(folder)
        .unwrap()
        .filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().contains(".left-"));
    assert_eq!(aside.count(), 1);
}

#[test]
fn rounds_begun_on_two_benches_are_open_until_one_is_chosen() {
    let (_dir, here, there) = two();
    here.create_loop(&card("mine", 24)).unwrap();
    copy(&here.root().join("loops/mine"), &there.root().join("loops/mine"));
    whole_if_none(&here, "mine", at(5));
    whole_if_none(&there, "mine", at(6));
    join(&here, &there);
    assert!(here.resume("mine", at(7).to_utc()).unwrap_err().to_string().contains("chosen which goes on"));
    let (asked, problems) = here.questions(&mut Unwatched);
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(here.shelves().shelves.iter().map(|shelf| shelf.asked).sum::<usize>(), asked.len());
    let open = asked.iter().find(|one| matches!(one, Question::Open { .. })).unwrap();
    let Question::Open { rounds, .. } = open else { unreachable!() };
    assert_eq!(rounds.iter().map(|round| (round.began, round.entries)).collect::<Vec<_>>(), [(at(5), 1), (at(6), 1)]);
    here.choose(open, 1, at(7)).unwrap();
    assert_eq!(here.questions(&mut Unwatched).0.len(), asked.len() - 1);
    let (_, round, _) = here.resume("mine", at(7).to_utc()).unwrap();
    assert_eq!(round.header.started, at(6));
    let (history, _) = here.history("mine").unwrap();
    assert_eq!(history.rows[0].summary.how, Some(Closing::Abandoned), "ended as it stood, and kept");
}
