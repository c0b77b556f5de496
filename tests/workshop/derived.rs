//! Derived files: made anew when missing, stale or wrong, and only what changed is read.

use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::invented::{answer, at, card, header, put, rack, shelves_of, whole_round, work};
use evenbite::care::{Filter, Listing, Sort, Workshop};
use evenbite::chain::Origin;
use evenbite::record::{Rack, Sharpener, Shelf, Watch};
use evenbite::round::Scrapped;
use evenbite::round::{Card, Event, When};
use evenbite::units::{deg, mm};

/// Makes a file look changed, but long ago, so that what is derived from it may be believed at once.
fn age(path: &Path) {
    static SECONDS: AtomicU64 = AtomicU64::new(1_700_000_000);
    let file = fs::File::open(path).unwrap();
    let long_ago = std::time::Duration::from_secs(SECONDS.fetch_add(1, Ordering::Relaxed));
    file.set_modified(std::time::SystemTime::UNIX_EPOCH + long_ago).unwrap();
}

pub(crate) fn settle(rack: &Rack, tag: &str) {
    let folder = rack.root().join("loops").join(tag);
    age(&folder.join("loop.toml"));
    age(&folder);
}

#[test]
fn a_damaged_round_is_told_every_time_and_hides_nothing_else() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    whole_round(&rack, &kept, at(2), "Ina", 8.5);
    let path = rack.rounds("one").unwrap().remove(0);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("mm = 9.01", "mm = 9.81", 1)).unwrap();
    for _ in 0..2 {
        let found = rack.refresh();
        assert_eq!(found.shelves[0].rounds, 1);
        let (at_fault, problem) = &found.problems[0];
        assert!(*at_fault == path && problem.to_string().contains("check sum"), "{problem}");
        settle(&rack, "one");
    }
}

type Spoil = fn(&str) -> Option<String>;

#[test]
fn derived_files_are_made_anew_when_missing_stale_or_wrong() {
    let (_dir, rack) = rack();
    for (tag, rounds) in [("one", 3), ("two", 1)] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        for day in 0..rounds {
            whole_round(&rack, &kept, at(day), "Ina", 9.0 - 0.5 * f64::from(i32::try_from(day).unwrap()));
        }
    }
    let shelves = shelves_of(&rack);
    let past = rack.past("one", "Ina", "three-eighths").unwrap();
    let (index, history) = (rack.root().join("rack.jsonl"), rack.root().join("loops/one/history.toml"));
    let both = [fs::read_to_string(&index).unwrap(), fs::read_to_string(&history).unwrap()];
    let spoil: [(&str, Spoil); 5] = [
        ("missing", |_| None),
        ("empty", |_| Some(String::new())),
        ("cut short", |text| Some(text[..text.len() / 2].to_owned())),
        ("a digit changed", |text| Some(text.replacen("9.0", "9.1", 1).replacen("8.6", "8.7", 1))),
        ("not text", |_| Some("\u{0}\u{1}".repeat(100))),
    ];
    for (how, spoil) in spoil {
        for (path, good) in [(&index, &both[0]), (&history, &both[1])] {
            match spoil(good) {
                None => fs::remove_file(path).unwrap(),
                Some(bad) => fs::write(path, bad).unwrap(),
            }
            settle(&rack, "one");
            settle(&rack, "two");
            assert_eq!(shelves_of(&rack), shelves, "{how}");
            assert_eq!(rack.past("one", "Ina", "three-eighths").unwrap(), past, "{how}");
            fs::remove_file(&index).unwrap();
            assert_eq!(shelves_of(&rack), shelves, "{how}");
            assert_eq!(fs::read_to_string(&history).unwrap(), both[1], "{how}");
        }
    }
}

/// Hears what is read again.
struct Heard(Vec<(usize, usize)>);

impl Watch for Heard {
    fn read(&mut self, done: usize, total: usize, _: Option<&Shelf>) -> bool {
        self.0.push((done, total));
        true
    }
}

/// Stops after so many loops, and keeps what was known before and what was read.
struct Stops(usize, Vec<String>);

impl Watch for Stops {
    fn known(&mut self, shelves: &mut dyn Iterator<Item = &Shelf>, _: usize) {
        self.1.extend(shelves.map(|shelf| shelf.card.tag.clone()));
    }

    fn read(&mut self, done: usize, _: usize, shelf: Option<&Shelf>) -> bool {
        self.1.extend(shelf.map(|shelf| shelf.card.tag.clone()));
        done < self.0
    }
}

#[test]
fn a_reading_that_is_stopped_keeps_its_histories_and_leaves_no_index_of_a_part() {
    let (_dir, rack) = rack();
    for tag in ["one", "three", "two"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", 9.0);
        fs::remove_file(rack.root().join("loops").join(tag).join("history.toml")).unwrap();
    }
    let mut stops = Stops(2, Vec::new());
    let found = rack.refresh_with(&mut stops);
    assert!(found.stopped);
    assert_eq!((found.shelves.len(), stops.1), (2, vec!["one".to_owned(), "three".to_owned()]));
    let has = |tag: &str| rack.root().join("loops").join(tag).join("history.toml").exists();
    assert_eq!((has("one"), has("three"), has("two")), (true, true, false));
    assert!(!rack.root().join("rack.jsonl").exists());
    assert_eq!(shelves_of(&rack).len(), 3);
}

#[test]
fn a_glance_is_the_first_loops_in_care_by_name_and_nothing_where_it_cannot_be_trusted() {
    let (_dir, rack) = rack();
    assert_eq!(rack.glance(), None);
    for n in 1..=100 {
        let mut kept = card(&format!("loop-{n}"), 24);
        if n == 2 {
            kept.scrapped = Some(Scrapped { at: at(1), reason: "worn out".into() });
        }
        rack.create_loop(&kept).unwrap();
    }
    let all = shelves_of(&rack);
    let glance = rack.glance().unwrap();
    assert_eq!((glance.loops, glance.in_care, glance.open), (100, 99, 0));
    let tags: Vec<&str> = glance.first.iter().map(|shelf| shelf.card.tag.as_str()).collect();
    assert_eq!(tags[..3], ["loop-1", "loop-3", "loop-4"]);
    assert!(tags.len() < all.len() && glance.first.iter().all(|shelf| all.contains(shelf)));
    let index = rack.root().join("rack.jsonl");
    let text = fs::read_to_string(&index).unwrap();
    for bad in [
        text.replacen("loop-4", "loop-5", 1),
        text.replacen("\"format\":11", "\"format\":99", 1),
        text[..300].to_owned(),
    ] {
        fs::write(&index, bad).unwrap();
        assert_eq!(rack.glance(), None);
    }
}

#[test]
fn only_what_changed_is_read_again() {
    let (_dir, rack) = rack();
    for tag in ["one", "two", "three"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", 9.0);
        settle(&rack, tag);
    }
    let read = |rack: &Rack| {
        let mut heard = Heard(Vec::new());
        let found = rack.refresh_with(&mut heard);
        assert!(found.problems.is_empty() && !found.stopped);
        (heard.0, found.shelves)
    };
    assert_eq!(read(&rack).0, [(1, 3), (2, 3), (3, 3)]);
    assert_eq!(read(&rack).0, []);
    let mut kept = card("two", 24);
    kept.name = "Loop TWO".into(); // as long as before
    rack.save_card(&kept).unwrap();
    let (heard, shelves) = read(&rack);
    assert_eq!((heard, shelves[2].card.name.as_str()), (vec![(1, 1)], "Loop TWO"));
    fs::remove_dir_all(rack.root().join("loops/three")).unwrap();
    settle(&rack, "two");
    read(&rack);
    assert_eq!((read(&rack).0, read(&rack).1.len()), (vec![], 2));

    // An open round grows without its folder changing.
    let (mut file, mut round) = rack.begin_round(&header(&card("one", 24), at(5), "Ina")).unwrap();
    work(&mut file, &mut round, 8.5, 3);
    settle(&rack, "one");
    assert_eq!(read(&rack).0, [(1, 1)]);
    work(&mut file, &mut round, 8.5, 2);
    let (heard, shelves) = read(&rack);
    assert_eq!((heard, shelves[0].open.as_ref().unwrap().standing.entries), (vec![(1, 1)], 5));

    // The rounds themselves: none is read twice.
    let mut heard = Vec::new();
    rack.refresh_history("one", &mut |done, total| heard.push((done, total))).unwrap();
    assert_eq!(heard, []);
    fs::remove_file(rack.root().join("loops/one/history.toml")).unwrap();
    rack.refresh_history("one", &mut |done, total| heard.push((done, total))).unwrap();
    assert_eq!(heard, [(1, 2), (2, 2)]);
}

#[test]
fn a_moved_data_folder_still_finds_its_open_round() {
    let (dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let (file, _) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    drop(file);
    shelves_of(&rack);
    settle(&rack, "one");
    shelves_of(&rack);
    let moved = dir.path().join("elsewhere");
    fs::rename(rack.root(), &moved).unwrap();
    let rack = Rack::open(moved.clone()).unwrap();
    let open = shelves_of(&rack).remove(0).open.unwrap();
    assert!(open.path.starts_with(&moved) && open.path.exists());
}

#[test]
fn filings_come_from_the_same_hand_on_other_loops() {
    let (_dir, rack) = rack();
    for (tag, sharpener) in [("one", "Ina"), ("two", "Ina"), ("three", "Odd")] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), sharpener, 9.0);
    }
    shelves_of(&rack);
    let past = rack.past("one", "Ina", "three-eighths").unwrap();
    let two = rack.past("two", "Ina", "three-eighths").unwrap();
    assert_eq!(past.filings, two.rounds[0].filings);
    assert_eq!(past.filings.len(), 12);
    assert!(rack.past("one", "Odd", "point-325").unwrap().filings.is_empty());
}

/// A whole round in which every raker's gap is `gap` mm before it is filed.
fn round_with_gaps(rack: &Rack, kept: &Card, day: i64, length: f64, gap: f64) {
    let (mut file, mut round) = rack.begin_round(&header(kept, at(day), "Ina")).unwrap();
    while let Some(event) = answer(&round, length) {
        let event = match event {
            Event::Gap { cutter, when: When::Before, again, .. } => {
                Event::Gap { cutter, when: When::Before, mm: mm(gap), again }
            }
            other => other,
        };
        put(&mut file, &mut round, &event);
    }
    rack.close(file).unwrap();
}

#[test]
fn the_back_slope_is_learned_over_rounds_and_counts_in_the_next() {
    let (_dir, rack) = rack();
    let kept = card("one", 48);
    rack.create_loop(&kept).unwrap();
    let profile = rack.profile("three-eighths").unwrap();
    round_with_gaps(&rack, &kept, 1, 9.0, 0.65);
    assert_eq!(rack.spec(&kept, &profile).unwrap(), *profile.spec(), "one round alone tells nothing");
    // 0.4 mm filed a round and 0.11 mm of gap lost: atan(0.11 / 0.4) = 15.4 deg. First gaps stay at 0.65, the high ones are filed to 0.66.
    round_with_gaps(&rack, &kept, 2, 8.6, 0.54);
    let once = rack.spec(&kept, &profile).unwrap();
    assert_eq!(once.known.back_slope.from, Origin::Learned);
    round_with_gaps(&rack, &kept, 3, 8.2, 0.55);
    let twice = rack.spec(&kept, &profile).unwrap();
    let (of_profile, seen) = (profile.spec().back_slope.get(), 15.4);
    assert!(
        once.back_slope.get() > of_profile
            && (twice.back_slope.get() - seen).abs() < (once.back_slope.get() - seen).abs()
    );
    assert!(twice.known.back_slope.u < once.known.back_slope.u && once.known.back_slope.u < deg(2.0));
    // The same, made anew from the rounds alone.
    fs::remove_file(rack.root().join("loops/one/history.toml")).unwrap();
    assert_eq!(rack.spec(&kept, &profile).unwrap(), twice);
    // The next round is begun with it, and an old one is not touched.
    let first = rack.read_round(&rack.rounds("one").unwrap()[0]).unwrap();
    assert_eq!(first.header.spec, *profile.spec());
}

#[test]
fn a_round_that_was_read_before_and_cannot_be_read_again_is_told_and_nothing_is_kept_of_it() {
    let (_dir, rack) = rack();
    let one = card("one", 24);
    rack.create_loop(&one).unwrap();
    whole_round(&rack, &one, at(1), "Ina", 9.0);
    shelves_of(&rack);
    let history = rack.root().join("loops/one/history.toml");
    let kept = fs::read_to_string(&history).unwrap();
    // Another digit, the size and the time as before: only who reads the round notices.
    let path = rack.rounds("one").unwrap().remove(0);
    let time = fs::metadata(&path).unwrap().modified().unwrap();
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains("mm = 9.0"));
    fs::write(&path, text.replacen("mm = 9.0", "mm = 9.1", 1)).unwrap();
    fs::File::options().write(true).open(&path).unwrap().set_modified(time).unwrap();
    // Other figures of the hand: how the loop stands has to be judged again.
    rack.save_sharpener(&Sharpener { name: "Ina".into(), length_u: Some(mm(0.3)), ..Sharpener::default() }).unwrap();
    let found = rack.refresh();
    assert!(found.problems.iter().any(|(at, _)| *at == path), "{:?}", found.problems);
    assert_eq!(fs::read_to_string(&history).unwrap(), kept, "what could not be judged is not kept as if it were known");
}

#[test]
fn listings_read_no_round_where_derived_files_are_current() {
    let (_dir, rack) = rack();
    for tag in ["one", "two"] {
        let kept = card(tag, 24);
        rack.create_loop(&kept).unwrap();
        whole_round(&rack, &kept, at(1), "Ina", 9.0);
        whole_round(&rack, &kept, at(31), "Ina", 8.5);
    }
    rack.refresh();
    for tag in ["one", "two"] {
        settle(&rack, tag);
    }
    rack.refresh();
    // From now on whoever reads a round finds nothing of it, though its size and time are as they were.
    for path in ["one", "two"].into_iter().flat_map(|tag| rack.rounds(tag).unwrap()) {
        let about = fs::metadata(&path).unwrap();
        fs::write(&path, vec![b'#'; usize::try_from(about.len()).unwrap()]).unwrap();
        fs::File::open(&path).unwrap().set_modified(about.modified().unwrap()).unwrap();
    }
    let care = Workshop::from(rack.clone());
    let listing = Listing { filter: Filter::InCare, sort: Sort::Name, find: String::new() };
    let all = |care: &Workshop| {
        let (rows, listed) = (care.rows(at(60)), care.listed(&listing, at(60)));
        let (tags, saw) = (care.tags(&[], Filter::Due, at(400)).unwrap(), care.saw_report("limbing saw").unwrap());
        assert_eq!(rows.rows.len(), 2);
        [rows.problems.len(), listed.not_read().len(), tags.not_read().len(), saw.not_read().len(), tags.len()]
    };
    assert_eq!(all(&care), [0, 0, 0, 0, 2]);
    // Without what is derived the rounds are read, and are found to be gone.
    fs::remove_file(rack.root().join("rack.jsonl")).unwrap();
    for tag in ["one", "two"] {
        fs::remove_file(rack.root().join("loops").join(tag).join("history.toml")).unwrap();
    }
    assert!(all(&care)[..4].iter().all(|problems| *problems > 0));
}
