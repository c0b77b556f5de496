//! Data folders joined: the same comes of it in whatever order, nothing is lost, nothing doubled, and what two folders say
//! differently is kept until somebody chooses.

mod chosen;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, TimeDelta};
use proptest::prelude::*;
use proptest::test_runner::Config;

use crate::invented::{at, card, header, whole_round, work};
use evenbite::care::Workshop;
use evenbite::record::join::{Join, JoinWish, Question};
use evenbite::record::{Rack, RackError, RecordError, Sharpener, Unwatched, read, unheard};
use evenbite::round::{Card, Event, Header, Release, Scrapped};
use evenbite::saw::{Grade, Part, SawEvent};
use evenbite::units::mm;

/// A folder with all that is in it.
fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

fn open(path: PathBuf) -> Rack {
    Rack::open(path).unwrap()
}

fn look(here: &Rack, there: &Rack) -> Join {
    let wish = JoinWish { here: here.called(), there: there.called(), ..JoinWish::default() };
    here.look_at(there, wish, &mut unheard).unwrap()
}

fn join(here: &Rack, there: &Rack) -> Join {
    let look = look(here, there);
    assert!(look.refused.is_empty() && look.twice.is_empty(), "{:?} {:?}", look.refused, look.twice);
    let done = here.join(&look, &mut unheard).unwrap();
    assert!(done.refused.is_empty(), "{:?}", done.refused);
    look
}

/// All that a folder holds, without how its files are called.
#[derive(Debug, PartialEq)]
struct Held {
    cards: Vec<Card>,
    /// The versions of every round that no other continues.
    rounds: BTreeSet<String>,
    people: Vec<Sharpener>,
    saws: BTreeMap<String, String>,
    /// Open questions: of what, each value with the folders that hold it.
    asked: BTreeSet<String>,
}

fn held(rack: &Rack) -> Held {
    let mut rounds = BTreeSet::new();
    let mut cards = Vec::new();
    for tag in rack.taken_tags().into_iter().collect::<BTreeSet<_>>() {
        cards.push(rack.card(&tag).unwrap());
        let folder = rack.root().join("loops").join(&tag);
        let older: Vec<PathBuf> = rack
            .history(&tag)
            .unwrap()
            .1
            .into_iter()
            .filter_map(|(path, problem)| {
                matches!(problem, RackError::Record(RecordError::Copy { .. })).then_some(path)
            })
            .collect();
        for path in evenbite::record::current(&folder).unwrap().into_iter().filter(|path| !older.contains(path)) {
            let contents = read::<Header, Event>(&path).unwrap();
            assert!(rounds.insert(format!("{:?} {:?}", contents.id, contents.entries)), "doubled: {}", path.display());
        }
    }
    let (questions, problems) = rack.questions(&mut Unwatched);
    assert!(problems.is_empty(), "{problems:?}");
    let asked = questions.iter().map(|question| match question {
        Question::Field { thing, open } => format!("{thing:?} {open:?}"),
        Question::Round { tag, versions } => {
            let of = versions.iter().map(|version| (version.entries, version.shared, version.last));
            format!("{tag} {:?}", of.collect::<BTreeSet<_>>())
        }
        Question::Open { tag, rounds } => {
            let of = rounds.iter().map(|round| (round.began, round.entries, round.last));
            format!("{tag} open {:?}", of.collect::<BTreeSet<_>>())
        }
    });
    let saws = rack.saws();
    assert!(saws.problems.is_empty(), "{:?}", saws.problems);
    let known = |name: &String| format!("{:?}", rack.saw(name).unwrap().unwrap().entries);
    Held {
        cards,
        rounds,
        people: rack.sharpeners().unwrap(),
        saws: saws.saws.keys().map(|name| (name.clone(), known(name))).collect(),
        asked: asked.collect(),
    }
}

/// What is done at a bench.
#[derive(Debug, Clone)]
enum Deed {
    /// The round that all benches hold goes on.
    GoOn,
    /// A round of this bench's own, on one of two loops.
    Begin(bool),
    Owner(u8),
    Gap(u8),
    Skill(u8),
    Look(u8),
    Scrap,
    Release,
    /// A loop that only this bench has.
    Take,
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        3 => Just(Deed::GoOn),
        2 => any::<bool>().prop_map(Deed::Begin),
        3 => (0..3u8).prop_map(Deed::Owner),
        2 => (0..3u8).prop_map(Deed::Gap),
        2 => (0..3u8).prop_map(Deed::Skill),
        2 => (0..3u8).prop_map(Deed::Look),
        1 => Just(Deed::Scrap),
        1 => Just(Deed::Release),
        1 => Just(Deed::Take),
    ]
}

fn change(rack: &Rack, when: DateTime<FixedOffset>, change: impl FnOnce(&mut Card)) {
    let read = rack.card("one").unwrap();
    let mut wish = read.clone();
    change(&mut wish);
    rack.change_card(&read, &wish, when.to_utc()).unwrap();
}

fn note(rack: &Rack, tag: &str, text: &str, when: DateTime<FixedOffset>) {
    if let Ok((mut file, _, _)) = rack.resume(tag, when.to_utc()) {
        file.append(when, &Event::Note { cutter: None, text: text.into() }, None).unwrap();
    }
}

fn happen(rack: &Rack, bench: usize, deed: &Deed, when: DateTime<FixedOffset>) {
    let of_bench = format!("bench {bench}");
    match deed {
        Deed::GoOn => note(rack, "one", &of_bench, when),
        Deed::Begin(other) => {
            let tag = if *other { "two" } else { "one" };
            let header = header(&rack.card(tag).unwrap(), when, &of_bench);
            if let Ok((file, _)) = rack.begin_round(&header) {
                drop(file);
                note(rack, tag, "first", when);
            }
        }
        Deed::Owner(n) => change(rack, when, |card| card.owner = ["", "Tove", "Odd"][usize::from(*n)].into()),
        Deed::Gap(n) => {
            change(rack, when, |card| card.own.base_gap = [None, Some(mm(0.5)), Some(mm(0.6))][usize::from(*n)]);
        }
        Deed::Skill(n) => {
            let length_u = [None, Some(mm(0.03)), Some(mm(0.05))][usize::from(*n)];
            rack.save_sharpener(&Sharpener { name: "Ina".into(), length_u, ..Sharpener::default() }).unwrap();
        }
        Deed::Look(n) => {
            let found = [Grade::Good, Grade::Watch, Grade::Bad][usize::from(*n)];
            let event = SawEvent::Checked { part: Part::Rails, found, mm: None, note: None, with: None };
            rack.add_to_saw("limbing saw", when, &[event]).unwrap();
        }
        Deed::Scrap => change(rack, when, |card| {
            card.scrapped.get_or_insert_with(|| Scrapped { at: when, reason: of_bench.clone() });
        }),
        Deed::Release => change(rack, when, |card| {
            let scrapped = card.scrapped.take();
            card.releases.push(Release {
                at: when,
                by: of_bench.clone(),
                replaced: "bar".into(),
                rounds: Vec::new(),
                scrapped,
            });
        }),
        Deed::Take => {
            let tag = format!("own-{bench}");
            let _ = rack.create_loop(&card(&tag, 24));
            whole_if_none(rack, &tag, when);
        }
    }
}

fn whole_if_none(rack: &Rack, tag: &str, when: DateTime<FixedOffset>) {
    if let Ok((file, _)) = rack.begin_round(&header(&rack.card(tag).unwrap(), when, "Ina")) {
        drop(file);
        note(rack, tag, "only here", when);
    }
}

/// The folder that every bench began with.
fn beginning(path: PathBuf) -> Rack {
    let rack = open(path);
    for tag in ["one", "two"] {
        rack.create_loop(&card(tag, 24)).unwrap();
    }
    rack.save_sharpener(&Sharpener { name: "Ina".into(), ..Sharpener::default() }).unwrap();
    let (file, _) = rack.begin_round(&header(&card("one", 24), at(1), "Ina")).unwrap();
    drop(file);
    note(&rack, "one", "together", at(1));
    rack
}

/// The benches joined in an order: into a copy of the first come the others.
fn joined(dir: &Path, name: &str, order: &[usize]) -> Rack {
    let first = format!("b{}", order[0]);
    let here = dir.join(name).join(&first);
    copy(&dir.join(&first), &here);
    let here = open(here);
    for bench in &order[1..] {
        join(&here, &open(dir.join(format!("b{bench}"))));
    }
    here
}

proptest! {
    // Each case writes and syncs some hundred small files: a fortieth of the usual number, more with PROPTEST_CASES.
    #![proptest_config(Config { cases: Config::default().cases / 40, max_shrink_iters: 60, ..Config::default() })]

    #[test]
    fn the_same_comes_of_joining_in_whatever_order(
        deeds in proptest::collection::vec(proptest::collection::vec(deed(), 0..5), 2..=5),
        turn in 0..5usize,
    ) {
        let dir = crate::scratch::folder();
        let start = beginning(dir.path().join("start"));
        for (bench, deeds) in deeds.iter().enumerate() {
            let rack = dir.path().join(format!("b{bench}"));
            copy(start.root(), &rack);
            let rack = open(rack);
            for (step, deed) in (0..).zip(deeds) {
                let when = at(2) + TimeDelta::minutes(i64::try_from(bench).unwrap() + 7 * step);
                happen(&rack, bench, deed, when);
            }
        }
        let mut order: Vec<usize> = (0..deeds.len()).collect();
        let straight = joined(dir.path(), "straight", &order);
        let result = held(&straight);
        order.rotate_left(turn % deeds.len());
        order[1..].reverse();
        let turned = joined(dir.path(), "turned", &order);
        prop_assert_eq!(&held(&turned), &result);
        // Joined in groups, and once more with all that is joined already: nothing is added.
        let last = joined(dir.path(), "last", &order[1..]);
        let first = joined(dir.path(), "first", &order[..1]);
        join(&first, &last);
        prop_assert_eq!(&held(&first), &result);
        for rack in [&turned, &last] {
            prop_assert!(look(&first, rack).told().next().is_none());
        }
        for bench in 0..deeds.len() {
            let again = look(&straight, &open(dir.path().join(format!("b{bench}"))));
            prop_assert!(again.is_nothing());
        }
    }
}

/// Two benches with a whole round, a loop of the second's own, and a card that each changed in its way.
fn two() -> (tempfile::TempDir, Rack, Rack) {
    let dir = crate::scratch::folder();
    let here = beginning(dir.path().join("here"));
    copy(here.root(), &dir.path().join("there"));
    let there = open(dir.path().join("there"));
    let own = card("own", 24);
    there.create_loop(&own).unwrap();
    whole_round(&there, &own, at(3), "Ina", 9.0);
    change(&here, at(4), |card| card.owner = "Tove's mill".into());
    change(&there, at(4), |card| card.owner = "Odd".into());
    (dir, here, there)
}

#[test]
fn a_join_that_is_stopped_writes_nothing_and_is_done_again() {
    let (_dir, here, there) = two();
    let files = || {
        let loops = fs::read_dir(here.root().join("loops")).unwrap().map(|entry| entry.unwrap().path());
        let names = loops.flat_map(|path| fs::read_dir(path).unwrap()).map(|entry| entry.unwrap().path());
        (names.collect::<BTreeSet<_>>(), fs::read_dir(here.root()).unwrap().count())
    };
    let before = files();
    let wish = || JoinWish { here: here.called(), there: there.called(), ..JoinWish::default() };
    let mut heard = 0;
    let mut stop = |done: usize, total: usize| {
        heard += 1;
        assert!(done == heard && total >= done);
        heard < 2
    };
    assert!(matches!(here.look_at(&there, wish(), &mut stop), Err(RackError::Stopped)));
    let look = here.look_at(&there, wish(), &mut unheard).unwrap();
    heard = 0;
    let mut stop = |done: usize, total: usize| {
        heard += 1;
        assert!(done == heard && total == 7, "{done} of {total}");
        heard < 4
    };
    assert!(matches!(here.join(&look, &mut stop), Err(RackError::Stopped)));
    assert_eq!(files(), before);
    here.join(&look, &mut unheard).unwrap();
    assert!(self::look(&here, &there).is_nothing());
}

#[test]
fn a_longer_round_takes_the_place_of_the_shorter_one_and_no_other() {
    let (_dir, here, there) = two();
    note(&there, "one", "gone on with", at(5));
    let (mut file, mut round, _) = here.resume("one", at(5).to_utc()).unwrap();
    let look = self::look(&here, &there);
    assert_eq!((look.rounds().longer, look.rounds().added), (1, 1));
    // It is at the bench here: it waits for the next join, everything else is taken.
    let done = here.join(&look, &mut unheard).unwrap();
    assert!(done.refused.iter().all(|(path, _)| path.ends_with("20260302T070000Z.round.toml")), "{:?}", done.refused);
    assert_eq!(done.refused.len(), 1);
    assert!(here.card("own").is_ok());
    work(&mut file, &mut round, 9.0, 1);
    drop(file);
    // Meanwhile it went on here too: now both stay.
    assert_eq!(here.join(&look, &mut unheard).unwrap().refused.len(), 2, "a file that is there is not written over");
    assert_eq!(join(&here, &there).rounds().differ, 1);
}

#[test]
fn loops_of_one_tag_that_were_taken_in_twice_are_asked_about_first() {
    let (_dir, here, there) = two();
    here.create_loop(&Card { created: at(0) + TimeDelta::hours(1), ..card("own", 24) }).unwrap();
    let look = look(&here, &there);
    assert_eq!(look.twice.iter().map(|twice| twice.tag.as_str()).collect::<Vec<_>>(), ["own"]);
    let wish = |one: &[&str], without: &[&str]| {
        let set = |tags: &[&str]| tags.iter().map(|tag| (*tag).to_owned()).collect();
        JoinWish { one: set(one), without: set(without), here: "here".into(), there: "there".into() }
    };
    let left = here.look_at(&there, wish(&[], &["own"]), &mut unheard).unwrap();
    assert!(left.twice.is_empty() && left.rounds().added == 0);
    let one = here.look_at(&there, wish(&["own"], &[]), &mut unheard).unwrap();
    assert_eq!((one.twice.len(), one.rounds().added), (0, 1));
    here.join(&one, &mut unheard).unwrap();
    assert_eq!(here.card("own").unwrap().created, at(0), "the earlier one");
    assert!(self::look(&here, &there).twice.is_empty(), "that is known now");
}

#[test]
fn folders_of_one_name_are_told_apart() {
    let dir = crate::scratch::folder();
    let [here, there] = [("a", "the mill", 0), ("b", "the school", 1)].map(|(place, owner, hours)| {
        let rack = open(dir.path().join(place).join("bench"));
        rack.create_loop(&Card { created: at(0) + TimeDelta::hours(hours), ..card("one", 24) }).unwrap();
        change(&rack, at(2), |card| card.owner = owner.into());
        rack
    });
    let care = Workshop::from(here);
    let look = |one: &[&str]| {
        let one = one.iter().map(|tag| (*tag).to_owned()).collect();
        care.look_at(there.root().to_owned(), JoinWish { one, ..JoinWish::default() })
    };
    // What each wrote down of its own card says nothing of the other's.
    assert_eq!(look(&[]).unwrap().twice.len(), 1);
    care.join(&look(&["one"]).unwrap()).unwrap();
    let (asked, problems) = care.questions();
    assert!(problems.is_empty(), "{problems:?}");
    let [Question::Field { open, .. }] = asked.as_slice() else { panic!("{asked:?}") };
    let from = |name: &str| BTreeSet::from([name.to_owned()]);
    assert_eq!(open.values.iter().map(|one| one.from.clone()).collect::<Vec<_>>(), [from("bench"), from("b/bench")]);
    assert!(look(&[]).unwrap().is_nothing(), "that they are one is known");
    let alike = JoinWish { there: "bench".into(), ..JoinWish::default() };
    assert!(care.look_at(there.root().to_owned(), alike).unwrap_err().to_string().contains("another name"));
}

#[test]
fn a_folder_that_cannot_be_joined_says_why() {
    let (dir, here, mut there) = two();
    let refused = |other: &Rack| here.look_at(other, JoinWish::default(), &mut unheard).unwrap_err().to_string();
    assert!(refused(&here).contains("is this very data folder"));
    assert!(refused(&open(dir.path().join("nothing"))).contains("is no data folder"));
    there.mark_demo().unwrap();
    assert!(refused(&there).contains("is an invented workshop"));
}

#[test]
fn what_cannot_be_read_is_named_and_the_rest_is_taken() {
    let (_dir, here, there) = two();
    let rounds = there.rounds("own").unwrap();
    let text = fs::read_to_string(&rounds[0]).unwrap();
    fs::write(&rounds[0], text.replacen("format = 1", "format = 2", 1)).unwrap();
    fs::write(there.root().join("sharpeners.toml"), "format = 2\n").unwrap();
    let look = look(&here, &there);
    let told: Vec<String> = look.refused.iter().map(|(_, error)| error.to_string()).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().any(|text| text.contains("sharpeners.toml:1: is of format 2")), "{told:?}");
    here.join(&look, &mut unheard).unwrap();
    assert!(here.card("own").is_ok() && here.rounds("own").unwrap().is_empty());
    assert_eq!(here.questions(&mut Unwatched).0.len(), 1);
}
