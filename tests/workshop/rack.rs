//! The data folder: what is kept comes back, what is derived is made anew, what cannot be is refused with a reason.

use std::fs;
use std::path::Path;

use crate::invented::{at, card, header, put, rack, shelves_of, whole_round, work};
use chrono::TimeDelta;
use evenbite::care::{Filter, Workshop};
use evenbite::chain::profile::{Profile, Standing, built_in};
use evenbite::record::{Checked, Rack, RackError, RecordError, Sharpener, check_file};
use evenbite::round::{Closing, Event, Finding, LookItem, Phase, Summary, last_cutters};
use evenbite::units::{Unit, mm};

#[test]
fn a_new_rack_is_empty_and_makes_nothing() {
    let (_dir, rack) = rack();
    assert!(shelves_of(&rack).is_empty());
    assert!(!rack.root().exists());
    assert!(rack.sharpeners().unwrap().is_empty());
    assert_eq!(rack.profiles().0.len(), built_in::BUILT_IN.len());
}

#[test]
fn a_loop_comes_back_as_it_was_kept() {
    let (_dir, rack) = rack();
    let mut kept = card("big-saw", 72);
    kept.own.new_length = Some(mm(9.8));
    kept.prices.round = Some(12.5);
    rack.create_loop(&kept).unwrap();
    assert_eq!(rack.card("big-saw").unwrap(), kept);
    kept.name = "Big saw \u{1b}[2J".into();
    rack.save_card(&kept).unwrap();
    assert_eq!(rack.card("big-saw").unwrap().name, "Big saw \\u{1b}[2J", "what could act on a terminal is written out");
}

#[test]
fn tags_are_slugs_and_taken_once() {
    let (_dir, rack) = rack();
    rack.create_loop(&card("one", 72)).unwrap();
    let error = rack.create_loop(&card("one", 60)).unwrap_err();
    assert_eq!(error.to_string(), "There is already a loop with the tag \"one\". Choose another tag.");
    assert_eq!(rack.card("one").unwrap().links, 72, "the first one stays");
    for bad in ["", "..", "a/b", "Big", "-x", "con"] {
        assert!(rack.create_loop(&card(bad, 72)).is_err(), "{bad}");
        assert!(matches!(rack.card(bad), Err(RackError::BadTag(_))), "{bad}");
    }
    assert!(matches!(rack.card("two"), Err(RackError::NoLoop(_))));
    assert!(matches!(rack.save_card(&card("two", 72)), Err(RackError::NoLoop(_))));
}

#[test]
fn cards_that_cannot_be_are_refused_with_their_line() {
    let (dir, rack) = rack();
    let mut odd = card("odd", 72);
    odd.links = 5;
    assert!(rack.create_loop(&odd).unwrap_err().to_string().contains("5 drive links; allowed: 20 to 400"));
    rack.create_loop(&card("one", 72)).unwrap();
    let good = fs::read_to_string(rack.root().join("loops/one/loop.toml")).unwrap();
    let line_of = |key: &str| good.lines().position(|line| line.starts_with(key)).unwrap() + 1;
    let cases = [
        (good.replace("links = 72", "links = 9"), line_of("links"), "9 drive links"),
        (good.replace("links = 72", "links = 72\nlenks = 3"), line_of("links") + 1, "unknown field `lenks`"),
        (good.replace("\"three-eighths\"", "\"../x\""), line_of("profile"), "cannot be a name"),
        (format!("{good}\n[own]\nback_slope_deg = -10.0\n"), good.lines().count() + 3, "Allowed: 1 to 25 deg"),
        (format!("{good}\n[prices]\nround = -1.0\n"), good.lines().count() + 3, "Allowed: 0 or more"),
        (format!("{good}\n[own]\nnew_length_mm = nan\n"), good.lines().count() + 3, "not a usable length"),
    ];
    for (text, line, words) in cases {
        let path = dir.path().join("case.toml");
        fs::write(&path, &text).unwrap();
        let message = check_file(&path).unwrap_err().remove(0).to_string();
        assert!(message.contains(&format!("case.toml:{line}: ")) && message.contains(words), "{message}");
    }
}

#[test]
fn a_round_is_kept_paused_resumed_and_signed_off() {
    let (_dir, rack) = rack();
    let kept = card("one", 72);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    assert_eq!(file.path().file_name().unwrap(), "20260302T070000Z.round.toml");
    work(&mut file, &mut round, 9.0, 20);
    put(&mut file, &mut round, &Event::Paused {});
    let step = round.step();
    drop(file);

    let shelf = shelves_of(&rack).remove(0);
    let open = shelf.open.unwrap();
    assert_eq!((open.started, open.sharpener.as_str()), (at(1), "Ina"));
    assert!(open.standing.paused && open.standing.phase == Phase::Measure && open.standing.entries == 21);
    assert_eq!(rack.read_round(&open.path).unwrap(), round);
    let refused = rack.begin_round(&header(&kept, at(2), "Ina")).unwrap_err();
    assert!(matches!(&refused, RackError::OpenRound { path, .. } if *path == open.path), "{refused}");
    assert!(refused.to_string().starts_with("\"one\" has an open round, begun 2026-03-02 08:00."), "{refused}");

    let (mut file, mut again, recovered) = rack.resume("one", at(3).to_utc()).unwrap();
    assert!(recovered.is_none());
    assert_eq!((again.step(), &again), (step, &round));
    let busy = rack.resume("one", at(3).to_utc()).unwrap_err();
    assert!(matches!(busy, RackError::Record(RecordError::InUse { .. })), "{busy}");
    put(&mut file, &mut again, &Event::Resumed {});
    work(&mut file, &mut again, 9.0, usize::MAX);
    let history = rack.close(file).unwrap();
    assert_eq!(history.closed().count(), 1);
    assert!(matches!(rack.resume("one", at(3).to_utc()), Err(RackError::NoOpenRound(_))));

    let shelf = shelves_of(&rack).remove(0);
    assert_eq!((shelf.rounds, shelf.open, shelf.held), (1, None, None));
    assert_eq!(shelf.lengths.map(|lengths| lengths.median), Summary::of(&again).median_after);
    let past = rack.past("one", "Ina", "three-eighths").unwrap();
    assert_eq!((past.rounds.len(), past.last), (1, last_cutters(&again)));
}

#[test]
fn rounds_of_one_second_get_names_of_their_own_and_keep_their_order() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let mut lengths = Vec::new();
    for i in 0..3 {
        let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
        work(&mut file, &mut round, 9.0 - f64::from(i), usize::MAX);
        lengths.push(Summary::of(&round).median_after);
        rack.close(file).unwrap();
    }
    let names: Vec<String> = rack
        .rounds("one")
        .unwrap()
        .iter()
        .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    let expected = ["", "-2", "-3"].map(|n| format!("20260302T070000Z{n}.round.toml"));
    assert_eq!(names, expected);
    let past = rack.past("one", "Ina", "three-eighths").unwrap();
    assert_eq!(past.rounds.iter().map(|round| round.median_after).collect::<Vec<_>>(), lengths);
}

#[test]
fn a_torn_end_is_set_aside_and_told() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 10);
    let path = file.path().to_owned();
    drop(file);
    let mut bytes = fs::read(&path).unwrap();
    bytes.extend(b"\n[[event]]\nseq = 11\nmm = 1");
    fs::write(&path, bytes).unwrap();
    let (_file, again, recovered) = rack.resume("one", at(2).to_utc()).unwrap();
    assert_eq!(again, round);
    assert_eq!(recovered.unwrap().bytes, 26);
}

#[test]
fn a_round_that_was_never_started_does_not_stand_in_the_way() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let path = rack.root().join("loops/one/20260302T070000Z.round.toml");
    fs::write(&path, "[round]\nformat = 1\nlo").unwrap();
    assert!(rack.refresh().problems[0].1.to_string().contains("was never started"));
    let (file, _) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    assert_eq!(file.path(), path);
    drop(file);
    assert!(rack.refresh().problems.is_empty());
    let aside = fs::read_dir(rack.root().join("loops/one")).unwrap().flatten();
    assert!(aside.into_iter().any(|entry| entry.file_name().to_string_lossy().contains(".tail-")));
}

#[test]
fn rejection_shows_on_the_shelf_from_the_finding_on() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(2), "Ina")).unwrap();
    let cracked = Event::Looked { item: LookItem::Cracks, finding: Finding::Reject, note: Some("rivet hole".into()) };
    put(&mut file, &mut round, &cracked);
    drop(file);
    assert!(shelves_of(&rack)[0].held.is_some());
    let (mut file, mut round, _) = rack.resume("one", at(2).to_utc()).unwrap();
    put(&mut file, &mut round, &Event::Closed { how: Closing::Rejected });
    rack.close(file).unwrap();
    let shelf = shelves_of(&rack).remove(0);
    assert!(shelf.held.is_some() && shelf.open.is_none());
    assert_eq!(shelf.lengths.map(|lengths| lengths.median), Some(mm(8.62)), "the lengths of the round before");
    let past = rack.past("one", "Ina", "three-eighths").unwrap();
    assert_eq!((past.rounds.len(), past.last.len()), (2, 12), "a rejected round leaves the cutters as last signed off");
    assert!(matches!(rack.begin_round(&header(&card("two", 24), at(3), "Ina")), Err(RackError::NoLoop(_))));
}

/// Older versions let a crack be "worn, but it may go on".
#[test]
fn a_crack_called_worn_in_an_old_record_is_a_stop() {
    let (_dir, rack) = rack();
    let kept = card("signed", 24);
    rack.create_loop(&kept).unwrap();
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/records/valid/cracks-worn-of-old.round.toml");
    let path = rack.root().join("loops/signed/20260302T070000Z.round.toml");
    fs::copy(old, &path).unwrap();
    let shelf = shelves_of(&rack).remove(0);
    let held = shelf.held.as_ref().unwrap();
    assert_eq!(held.stops[0].part, LookItem::Cracks);
    assert!(matches!(rack.begin_round(&header(&kept, at(3), "Ina")), Err(RackError::Rejected { .. })));
    let care = Workshop::from(rack.clone());
    let coach = care.coach(&kept, rack.read_round(&path).unwrap());
    let sheet = care.sheet_of(&coach);
    for text in [sheet.text(true), sheet.owner_text(true)] {
        assert!(text.contains("REJECTED") || text.contains("DO NOT USE"), "{text}");
    }
    let tags = care.tags(&[], Filter::InCare, at(4)).unwrap().text(Unit::Mm, true);
    assert!(tags.contains("DO NOT USE: rejected"), "{tags}");
    let rows = care.rows(at(4)).rows;
    assert!(
        rows[0].state == evenbite::record::Standing::Rejected && rows[0].advice().contains("a crack"),
        "{}",
        rows[0].advice()
    );
}

#[test]
fn a_scrapped_loop_begins_no_round() {
    let (_dir, rack) = rack();
    let mut kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    kept.scrapped = Some(evenbite::round::Scrapped { at: at(1), reason: "at the mark".into() });
    rack.save_card(&kept).unwrap();
    assert!(matches!(rack.begin_round(&header(&kept, at(2), "Ina")), Err(RackError::Scrapped(_))));
}

#[test]
fn own_profiles_take_the_place_of_built_in_ones() {
    let (_dir, rack) = rack();
    let base = built_in::named("point-325").unwrap();
    let own = Profile::measured(&base, "point-325", "my .325", &[("reach_new_mm", 5.5)], "caliper").unwrap();
    rack.save_profile(&own).unwrap();
    let other = Profile::measured(&base, "narrow", "narrow one", &[("reach_new_mm", 5.2)], "caliper").unwrap();
    rack.save_profile(&other).unwrap();
    let (profiles, problems) = rack.profiles();
    assert!(problems.is_empty());
    assert_eq!(profiles.len(), built_in::BUILT_IN.len() + 1);
    assert_eq!(rack.profile("point-325").unwrap(), own);
    assert_eq!(rack.profile("point-325").unwrap().get("reach_new_mm").unwrap().standing, Standing::Measured);
    assert_eq!(rack.profile("three-eighths").unwrap(), built_in::named("three-eighths").unwrap());
    let error = rack.profile("nothing").unwrap_err().to_string();
    assert!(error.contains("\"nothing\"") && error.contains("narrow"), "{error}");
    assert!(rack.profile("../narrow").is_err());

    let path = rack.root().join("profiles/point-325.toml");
    fs::write(&path, own.to_toml().replace("pitch_mm", "pitsch_mm")).unwrap();
    assert!(rack.profile("point-325").is_err(), "an own profile at fault is not passed over");
    assert_eq!(rack.profiles().1[0].0, path);
    fs::rename(&path, rack.root().join("profiles/other.toml")).unwrap();
    fs::write(rack.root().join("profiles/other.toml"), own.to_toml()).unwrap();
    assert!(rack.profiles().1[0].1.to_string().contains("other.toml:2: name is point-325. Call the file"));
}

#[test]
fn sharpeners_are_kept_with_their_repeatability() {
    let (_dir, rack) = rack();
    let ina = Sharpener { name: "Ina".into(), length_u: Some(mm(0.04)), ..Sharpener::default() };
    rack.save_sharpener(&ina).unwrap();
    rack.save_sharpener(&Sharpener { name: "Odd \u{202e}".into(), ..Sharpener::default() }).unwrap();
    rack.save_sharpener(&Sharpener { gap_u: Some(mm(0.02)), ..ina.clone() }).unwrap();
    let names: Vec<String> = rack.sharpeners().unwrap().into_iter().map(|s| s.name).collect();
    assert_eq!(names, ["Ina", "Odd \\u{202e}"]);
    assert_eq!(rack.sharpener("Ina").unwrap().gap_u, Some(mm(0.02)));
    assert_eq!(rack.sharpener("Liv").unwrap(), Sharpener { name: "Liv".into(), ..Sharpener::default() });
    for bad in [0.0, -0.1, f64::NAN, 3.0] {
        let bad = Sharpener { length_u: Some(mm(bad)), ..ina.clone() };
        assert!(rack.save_sharpener(&bad).unwrap_err().to_string().contains("Allowed: above 0 and up to 1"));
    }
    let path = rack.root().join("sharpeners.toml");
    assert_eq!(check_file(&path).unwrap(), Checked::Sharpeners(2));
    fs::write(&path, "[[sharpener]]\nname = \"Ina\"\nangle_u_deg = 90.0\n").unwrap();
    let error = rack.sharpeners().unwrap_err().to_string();
    assert!(error.contains("sharpeners.toml:3: angle_u_deg is 90."), "{error}");
}

#[cfg(unix)]
#[test]
fn everything_is_for_its_user_alone_and_links_are_refused() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let (dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(1), "Ina", 9.0);
    rack.save_profile(&built_in::named("point-325").unwrap()).unwrap();
    rack.save_sharpener(&Sharpener { name: "Ina".into(), ..Sharpener::default() }).unwrap();
    shelves_of(&rack);
    let mut open = vec![rack.root().to_owned()];
    let mut seen = 0;
    while let Some(path) = open.pop() {
        let about = fs::symlink_metadata(&path).unwrap();
        let expected = if about.is_dir() { 0o700 } else { 0o600 };
        assert_eq!(about.permissions().mode() & 0o777, expected, "{}", path.display());
        seen += 1;
        if about.is_dir() {
            open.extend(fs::read_dir(&path).unwrap().map(|entry| entry.unwrap().path()));
        }
    }
    assert_eq!(seen, 10, "root, loops, one, card, round, history, index, profiles, profile, sharpeners");

    assert_eq!(rack.warning(), None);
    fs::set_permissions(rack.root(), fs::Permissions::from_mode(0o770)).unwrap();
    assert!(rack.warning().unwrap().ends_with("data: other users can change what is in it."));

    symlink(rack.root(), dir.path().join("link")).unwrap();
    assert!(Rack::open(dir.path().join("link")).unwrap_err().to_string().contains("is a link"));
    let card_path = rack.root().join("loops/one/loop.toml");
    fs::rename(&card_path, dir.path().join("card")).unwrap();
    symlink(dir.path().join("card"), &card_path).unwrap();
    assert!(rack.card("one").unwrap_err().to_string().contains("is a link"));
    assert!(rack.save_card(&kept).is_err());
    symlink(rack.root().join("loops/one"), rack.root().join("loops/two")).unwrap();
    let tags: Vec<String> = rack.refresh().shelves.into_iter().map(|shelf| shelf.card.tag).collect();
    assert!(tags.is_empty(), "{tags:?}");
}

#[test]
fn what_is_open_elsewhere_is_still_shown() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(1), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 4);
    let open = shelves_of(&rack).remove(0).open.unwrap();
    assert_eq!((open.standing.entries, open.standing.paused), (4, false));
    assert_eq!(open.touched, at(1));
    assert!(at(1) - TimeDelta::days(1) < open.started);
}

#[test]
fn a_clock_that_was_set_back_does_not_change_the_order_of_rounds() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    whole_round(&rack, &kept, at(9), "Ina", 9.0);
    whole_round(&rack, &kept, at(2), "Ina", 8.5);
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(3), "Ina")).unwrap();
    work(&mut file, &mut round, 8.1, 9);
    let last = file.path().to_owned();
    drop(file);
    let (history, problems) = rack.history("one").unwrap();
    assert!(problems.is_empty(), "{problems:?}");
    let started: Vec<_> = history.rows.iter().map(|row| row.summary.started).collect();
    assert_eq!(started, [at(9), at(2), at(3)]);
    assert_eq!(rack.rounds("one").unwrap().last(), Some(&last));
    assert_eq!(rack.resume("one", at(3).to_utc()).unwrap().0.path(), last);
}

#[test]
fn what_a_stopped_program_left_half_written_is_swept() {
    let (_dir, rack) = rack();
    let kept = card("one", 24);
    rack.create_loop(&kept).unwrap();
    let folder = rack.root().join("loops/one");
    let left = |folder: &std::path::Path, name: &str, hours: i64| {
        let path = folder.join(name);
        let file = fs::File::create(&path).unwrap();
        file.set_modified((at(9) - TimeDelta::hours(hours)).into()).unwrap();
        path
    };
    let old = [left(&folder, ".new-aBc1.tmp", 2), left(rack.root(), ".new-9.tmp", 30)];
    let young = left(&folder, ".new-young.tmp", 0);
    let own = left(&folder, "own-notes.tmp", 50);
    let (mut file, mut round) = rack.begin_round(&header(&kept, at(9), "Ina")).unwrap();
    work(&mut file, &mut round, 8.1, 3);
    drop(file);
    assert!(old.iter().all(|path| !path.exists()) && young.exists() && own.exists());
    rack.resume("one", at(10).to_utc()).unwrap();
    assert!(!young.exists() && own.exists());
}

#[cfg(unix)]
#[test]
fn a_name_that_cannot_be_looked_at_is_neither_taken_nor_free() {
    let (_dir, rack) = rack();
    std::fs::create_dir_all(rack.root()).unwrap();
    std::fs::write(rack.root().join("file"), "").unwrap();
    let there = |name: &str| evenbite::record::files::exists(&rack.root().join(name)).ok();
    assert_eq!([there("file"), there("nothing"), there("file/below")], [Some(true), Some(false), Some(false)]);
    assert_eq!(there(&"x".repeat(300)), None, "too long to be looked at");
}
