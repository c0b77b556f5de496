//! The demo workshop: in order, and showing what it is to show.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use evenbite::advice::{BalanceWord, Findings};
use evenbite::care;
use evenbite::chain::{CutterNumber, Sequence, Stage, Wood, nth};
use evenbite::drill::{Drill, MOST_A_DAY, NextWhy, Stage as Told};
use evenbite::record::{Checked, Rack, Shelf, check_file};
use evenbite::report::Format;

use evenbite::round::{Closing, CutterState, Phase, Round, Tool};
use evenbite::units::{Millimetres, Unit};

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/workshop")
}

/// Every file below a folder, by its path in it.
fn files(root: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let (mut found, mut folders) = (BTreeMap::new(), vec![root.to_owned()]);
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = std::fs::read(&path).unwrap();
                found.insert(path.strip_prefix(root).unwrap().to_owned(), bytes);
            }
        }
    }
    found
}

/// The demo as it lies there, read once: who only looks leaves nothing behind.
struct Workshop {
    rack: Rack,
    shelves: Vec<Shelf>,
}

static WORKSHOP: LazyLock<Workshop> = LazyLock::new(|| {
    let rack = Rack::open(demo()).unwrap();
    let found = rack.shelves();
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    Workshop { rack, shelves: found.shelves }
});

/// A copy, to be marked as one.
fn copied() -> (tempfile::TempDir, Rack) {
    let dir = crate::scratch::folder();
    for (path, bytes) in files(&demo()) {
        let to = dir.path().join(path);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::write(to, bytes).unwrap();
    }
    let rack = Rack::open(dir.path().to_owned()).unwrap();
    (dir, rack)
}

impl Workshop {
    fn shelf(&self, tag: &str) -> &Shelf {
        self.shelves.iter().find(|shelf| shelf.card.tag == tag).unwrap_or_else(|| panic!("no loop {tag}"))
    }

    fn last_round(&self, tag: &str) -> Round {
        let path = self.rack.rounds(tag).unwrap().pop().unwrap();
        self.rack.read_round(&path).unwrap()
    }

    fn findings(&self, tag: &str) -> Findings {
        care::Workshop::from(self.rack.clone()).coach(&self.shelf(tag).card, self.last_round(tag)).findings().clone()
    }
}

#[test]
fn every_file_is_in_order_and_small() {
    let kept = files(&demo());
    let mut rounds = 0;
    for path in kept.keys() {
        match check_file(&demo().join(path)) {
            Ok(Checked::Round { .. }) => rounds += 1,
            // What is derived is made anew in every copy; kept here, it would only grow old.
            Ok(Checked::Index(_) | Checked::History(_) | Checked::SawIndex(_)) => panic!("{}", path.display()),
            Ok(_) => {}
            Err(problems) => panic!("{problems:?}"),
        }
    }
    assert!(rounds >= 40, "{rounds} rounds");
    let bytes: usize = kept.values().map(Vec::len).sum();
    assert!(bytes < 700_000, "{bytes} bytes come with every program");
}

#[test]
fn some_loops_are_new_paused_rejected_or_scrapped_early() {
    let workshop = &*WORKSHOP;
    assert!(workshop.shelves.len() >= 10);
    let new = workshop.shelf("hollow-1");
    assert!(new.rounds == 0 && new.open.is_none() && new.last.is_none());

    let paused = workshop.shelf("mill-lane").open.clone().unwrap();
    assert!(paused.standing.paused && paused.standing.phase == Phase::First);
    let round = workshop.last_round("mill-lane");
    assert_eq!(round.cutters.iter().filter(|cutter| !cutter.after.is_empty()).count(), 9);

    let rejected = workshop.shelf("ridge-3");
    assert!(rejected.held.is_some() && rejected.last.as_ref().unwrap().how == Some(Closing::Rejected));

    assert!(workshop.shelf("thrush-yard").card.scrapped.is_some());
    assert!(workshop.findings("thrush-yard").forecast.early.is_some(), "rounds were left in it");
}

#[test]
fn some_loops_are_worn_struck_uneven_or_nearly_spent() {
    let workshop = &*WORKSHOP;
    let worn = workshop.findings("hollow-2");
    assert!(worn.changeover.stage >= Some(Stage::Worth), "{:?}", worn.changeover);
    assert!(workshop.shelf("hollow-2").rounds >= 6);
    assert_ne!(worn.changeover.stage, Some(Stage::Retire));

    let struck = workshop.last_round("ridge-1");
    let left_short: Vec<CutterNumber> =
        struck.cutters.iter().filter(|c| c.state == CutterState::LeftShort).map(|c| c.number).collect();
    assert_eq!(left_short, [12]);
    let short = struck.target.as_ref().unwrap().length.get() - struck.cutter(nth(12)).unwrap().length().unwrap().get();
    assert!((0.5..1.0).contains(&short), "{short}");

    assert_eq!(workshop.findings("ridge-2").balance.word, BalanceWord::RightLonger);
    assert_eq!(workshop.findings("hollow-2").balance.word, BalanceWord::Balanced);

    let spent = workshop.shelf("quarry-9");
    let (profile, median) = (workshop.rack.profile(&spent.card.profile).unwrap(), spent.lengths.unwrap().median.get());
    let left = (median - profile.spec().mark_length.get()) / profile.spec().usable().get();
    assert!((0.0..0.2).contains(&left), "{left}");
}

#[test]
fn some_loops_have_unusual_layouts_tools_or_units() {
    let workshop = &*WORKSHOP;
    let odd = workshop.shelf("hollow-3").card.layout().unwrap();
    assert_eq!((odd.count(), odd.same_hand_neighbours().len()), (33, 1));
    assert_eq!(workshop.shelf("ridge-long").card.sequence, Sequence::Skip);
    assert!(matches!(workshop.shelf("patchwork").card.sequence, Sequence::Custom(_)));
    assert_eq!(workshop.last_round("brook-farm").header.tool, Tool::Grinder);
    assert_eq!(workshop.last_round("visitor").header.units, Unit::Inch);

    let pine = workshop.last_round("hollow-pine");
    assert!(pine.header.wood == Wood::SoftwoodNoFrost && pine.cutters.iter().all(|c| !c.angle.is_empty()));
    assert!(workshop.findings("hollow-pine").wrist.left.is_some());
}

#[test]
fn lengths_only_ever_shrink_and_by_as_much_as_a_file_takes() {
    let workshop = &*WORKSHOP;
    for shelf in &workshop.shelves {
        let (history, _) = workshop.rack.history(&shelf.card.tag).unwrap();
        let medians: Vec<f64> =
            history.closed().filter_map(|row| row.summary.median_after).map(Millimetres::get).collect();
        for pair in medians.windows(2) {
            let wear = pair[0] - pair[1];
            assert!((0.05..0.8).contains(&wear), "{}: {wear} in one round", shelf.card.tag);
        }
    }
}

/// Every page that people read of a throw-away copy says in its first line what it is of.
#[test]
fn what_is_printed_of_the_demo_says_so_first() {
    const LINE: &str = "DEMO: an invented workshop. This is no real loop.";
    let workshop = &*WORKSHOP;
    let care = care::Workshop::from(workshop.rack.clone());
    let pages = |care: &care::Workshop| {
        let round = workshop.last_round("ridge-3");
        let (card, profile) = care.card_and_chain("ridge-3").unwrap();
        let sheet = care.sheet_of(&care.coach(&card, round));
        let history = care.history("ridge-3").unwrap();
        let saw = care.saw_report("limbing saw").unwrap();
        let gaps = care.gaps(&profile, None, &care::GapRange::default()).unwrap();
        let [html, text] = [Format::Html, Format::Text];
        let texts = vec![
            sheet.text(true),
            sheet.owner_text(true),
            history.render(text, Unit::Mm, true),
            saw.render(text, Unit::Mm, true),
            gaps.render(text, Unit::Mm, true),
        ];
        let pages = vec![
            sheet.html(),
            sheet.owner_html(),
            history.render(html, Unit::Mm, true),
            saw.render(html, Unit::Mm, true),
            gaps.render(html, Unit::Mm, true),
        ];
        let tags = care.tags(&["ridge-3".to_owned()], care::Filter::InCare, round_end()).unwrap();
        (texts, pages, tags.text(Unit::Mm, true))
    };
    let (texts, html, tags) = pages(&care);
    assert!(texts.iter().chain(&html).chain([&tags]).all(|page| !page.contains("DEMO")), "a folder of one's own");
    let (_dir, mut marked) = copied();
    marked.mark_demo().unwrap();
    let care = care::Workshop::from(marked);
    let (texts, html, tags) = pages(&care);
    for text in texts {
        assert_eq!(text.lines().next(), Some(LINE), "{text}");
    }
    for page in html {
        let body = page.split("<main>").nth(1).unwrap();
        assert!(body.starts_with(&format!("<p><strong>{LINE}</strong></p>")), "{body}");
    }
    let first = tags.lines().nth(2).unwrap();
    assert!(first.contains("DEMO: no real loop"), "{tags}");
}

fn round_end() -> chrono::DateTime<chrono::FixedOffset> {
    chrono::DateTime::parse_from_rfc3339("2026-11-01T08:00:00+01:00").unwrap()
}

#[test]
fn one_learner_improves_is_steady_and_relapses_and_four_are_taught() {
    let workshop = &*WORKSHOP;
    let found = workshop.rack.learners();
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    assert_eq!(found.learners.len(), 4);
    let named = |name: &str| found.learners.iter().find(|learner| learner.header.name == name).unwrap();
    let runa = named("Runa");
    let sets = runa.whole(Drill::HoldAngle);
    let misses: Vec<usize> = sets.iter().map(|(_, score)| score.misses).collect();
    assert_eq!((sets.len(), misses[0], misses[29]), (30, 6, 0), "{misses:?}");
    // No day has more sets than one may have, and the telling faded.
    assert!(
        sets.iter().all(|(set, _)| sets
            .iter()
            .filter(|(other, _)| other.at.date_naive() == set.at.date_naive())
            .count()
            <= MOST_A_DAY)
    );
    assert_eq!((sets[0].0.up.stage, sets[29].0.up.stage), (Told::Each, Told::End));
    let turns: Vec<(usize, bool)> = runa
        .curve(Drill::HoldAngle)
        .iter()
        .enumerate()
        .filter(|(_, step)| step.turned)
        .map(|(at, step)| (at + 1, step.passed))
        .collect();
    assert_eq!(turns, [(20, true), (26, false)], "steady once, relapsed once");
    assert_eq!(runa.next_drill(), (Drill::HoldAngle, NextWhy::Relapsed));
    assert!(named("Osk").open().is_some() && named("Osk").has_passed(Drill::MeasureTwice));
    assert!(!named("Pia").has_passed(Drill::MeasureTwice) && named("Lenn").sets.iter().all(|set| set.broken_off));
    // The page of the day: what went better is told, a set that was broken off is no failure, and nobody is set against another.
    let now = chrono::DateTime::parse_from_rfc3339("2026-10-30T14:00:00+01:00").unwrap();
    let course = care::Workshop::from(workshop.rack.clone()).course(&[], "Hollow Lane", "Ina", now).unwrap();
    let text = course.text(Unit::Mm, true).replace("\n            ", " ");
    for said in ["6 misses of 12 in the first set, 0 in the last", "one length reading 0.02", "No whole set was done."]
    {
        assert!(text.contains(said), "{said}\n{text}");
    }
    for never in ["rank", "score", "average", "best", "fail", "competent", "probab"] {
        assert!(!text.to_lowercase().contains(never), "{never}");
    }
    let csv = course.clone().without_names().csv();
    assert!(!csv.contains("Runa") && csv.contains("learner 1") && csv.contains("learner 3"), "{csv}");
    let alone = care::Workshop::from(workshop.rack.clone()).course(&["Runa".into()], "", "", now).unwrap();
    assert!(alone.without_names().csv().contains("Runa"), "one page is its learner's own");
}
