//! What must hold for every chain, not only for those built in.

use evenbite::chain::geometry::{bite_angle, bite_left, wedge, wedge_along_chain};
use evenbite::chain::{Plate, Profile, Rule, Spec, Stage, Wood};
use evenbite::units::{Millimetres, deg, mm};
use proptest::prelude::*;

use super::profile;

const WOODS: [Wood; 3] = [Wood::Any, Wood::Hardwood, Wood::SoftwoodNoFrost];

fn woods() -> impl Strategy<Value = Wood> {
    prop::sample::select(WOODS.to_vec())
}

prop_compose! {
    /// A chain within the ranges that profiles allow and a wear within its life.
    fn chains()(
        new in 6.0..14.0_f64,
        usable in 2.0..5.0_f64,
        reach in 3.0..9.0_f64,
        growth in prop::option::of(0.6..1.6_f64),
        slope in 2.0..15.0_f64,
        gap in 0.4..0.9_f64,
        soft in 0.0..0.2_f64,
        room in 0.0..1.0_f64,
        shares in (0.62..0.9_f64, 0.4..0.6_f64, 0.2..0.9_f64),
        plate in (6.0..30.0_f64, 3.0..9.0_f64, -0.2..1.2_f64),
    ) -> Spec {
        Spec {
            new_length: mm(new),
            mark_length: mm(new - usable),
            reach_new: mm(reach),
            reach_mark: growth.map(|rho| mm(reach + rho * usable)),
            back_slope: deg(slope),
            base_gap: mm(gap),
            softwood_gap: mm(gap + soft),
            gap_max: mm(gap + soft + room),
            worth_share: shares.0,
            due_share: shares.1,
            due_life: shares.2,
            plate: Some(Plate { foot: mm(plate.0), height: mm(plate.1), slot: mm(plate.2) }),
            ..profile("three-eighths").spec().clone()
        }
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

proptest! {
    #[test]
    fn wear_only_ever_goes_one_way(spec in chains(), wood in woods(), life in 0.0..0.95_f64) {
        let (a, b) = (spec.usable() * life, spec.usable() * (life + 0.05));
        prop_assert!(spec.reach(b) > spec.reach(a));
        prop_assert!(spec.tip_drop(b) > spec.tip_drop(a));
        prop_assert!(spec.scaled_gap(wood, b) >= spec.scaled_gap(wood, a));
        prop_assert!(spec.raker_steel(wood, b) > spec.raker_steel(wood, a));
        prop_assert!(spec.share_kept(wood, b) < spec.share_kept(wood, a));
        prop_assert!(spec.stage(wood, spec.new_length - b) >= spec.stage(wood, spec.new_length - a));
        let file = |wear| spec.file_for(spec.new_length - wear).map(|step| step.diameter);
        prop_assert!(file(b) <= file(a));
    }

    #[test]
    fn a_new_cutter_is_the_same_by_the_fixed_and_the_scaled_rule(spec in chains(), wood in woods()) {
        let none = mm(0.0);
        prop_assert!(close(spec.scaled_gap(wood, none).get(), spec.fixed_gap(wood).get()));
        prop_assert!(close(spec.share_kept(wood, none), 1.0));
        prop_assert!(spec.raker_steel(wood, none).abs().get() < 1e-12);
    }

    #[test]
    fn the_scaled_gap_holds_the_bite_until_the_largest_gap(spec in chains(), wood in woods(), life in 0.0..=1.0_f64) {
        let wear = spec.usable() * life;
        let gap = spec.scaled_gap(wood, wear);
        prop_assert!(gap <= spec.gap_max && gap.get() >= spec.fixed_gap(wood).get() - 1e-12);
        let bite = bite_angle(gap, spec.reach(wear));
        if gap < spec.gap_max {
            prop_assert!(close(bite.get(), spec.bite_new(wood).get()));
        } else {
            prop_assert!(bite.get() <= spec.bite_new(wood).get() + 1e-9);
        }
    }

    #[test]
    fn the_largest_gap_is_reached_at_its_wear(spec in chains(), wood in woods()) {
        let wear = spec.cap_wear(wood);
        prop_assert!(close(spec.scaled_gap_uncapped(wood, wear).get(), spec.gap_max.get()));
        prop_assert!(wear.get() >= -1e-9);
    }

    #[test]
    fn the_wear_of_a_share_keeps_that_share(spec in chains(), wood in woods(), share in 0.2..1.0_f64) {
        prop_assert!(close(spec.share_kept(wood, spec.wear_at_share(wood, share)), share));
    }

    #[test]
    fn worth_comes_no_later_than_due(spec in chains(), wood in woods()) {
        let (worth, due) = (spec.worth_wear(wood), spec.due_wear(wood));
        if spec.is_held(wood) {
            prop_assert!(worth == due && due == spec.usable(), "no larger gap is allowed: it is never worth it");
            return Ok(());
        }
        prop_assert!(worth <= due && due.get() <= (spec.usable() * spec.due_life).get() + 1e-12);
        prop_assert!(spec.share_kept(wood, due) >= spec.due_share - 1e-9);
        let just = mm(1e-6);
        let stage = |wear: Millimetres| spec.stage(wood, spec.new_length - wear);
        prop_assert_eq!(stage(worth - just), Stage::Fixed);
        prop_assert!(stage(worth + just) >= Stage::Worth);
        prop_assert!(stage(due - just) <= Stage::Worth);
        prop_assert!(stage(due + just) >= Stage::Due);
        prop_assert_eq!(spec.stage(wood, spec.mark_length), Stage::Retire);
    }

    #[test]
    fn filing_the_tooth_as_told_brings_the_gap_to_the_target(
        spec in chains(), wood in woods(), life in 0.0..0.9_f64, excess in 0.001..0.15_f64,
    ) {
        let wear = spec.usable() * life;
        for rule in [Rule::Fixed, Rule::Scaled, Rule::Plate] {
            let (target, excess) = (spec.target_gap(rule, wood, wear).unwrap(), mm(excess));
            let filed = spec.tooth_to_restore(rule, wood, wear, excess);
            prop_assert!(filed.get() > 0.0);
            let gap = spec.gap_after_filing(target + excess, filed);
            let asked = spec.target_gap(rule, wood, wear + filed).unwrap();
            prop_assert!(close(gap.get(), asked.get()), "{:?}: {:?} against {:?}", rule, gap, asked);
        }
    }

    #[test]
    fn a_plate_is_found_again_from_the_gaps_it_leaves(spec in chains(), wears in prop::collection::vec(0.0..5.0_f64, 2..8)) {
        let plate = spec.plate.unwrap();
        let spread = wears.iter().copied().fold(f64::MIN, f64::max) - wears.iter().copied().fold(f64::MAX, f64::min);
        let gaps: Vec<_> = wears.iter().map(|&wear| (mm(wear), plate.gap(&spec, mm(wear)))).collect();
        match Plate::calibrate(&spec, plate.foot, &gaps) {
            None => prop_assert!(spread < 0.5),
            Some(found) => {
                prop_assert!(spread >= 0.5);
                prop_assert!((found.height - plate.height).abs().get() < 1e-6, "{:?}", found);
                prop_assert!((found.slot - plate.slot).abs().get() < 1e-6, "{:?}", found);
            }
        }
    }

    #[test]
    fn a_longer_foot_takes_less_off_the_raker(spec in chains(), life in 0.0..1.0_f64, more in 0.1..10.0_f64) {
        let plate = spec.plate.unwrap();
        let wear = spec.usable() * life;
        let longer = Plate { foot: plate.foot + mm(more), ..plate };
        // While the corner stands above the foot at all.
        prop_assume!(plate.height > spec.tip_drop(wear));
        prop_assert!(longer.gap(&spec, wear) < plate.gap(&spec, wear));
        prop_assert!(longer.line(&spec, wear) < plate.line(&spec, wear));
    }

    #[test]
    fn rocking_takes_the_bite_away_just_at_the_bite_angle(gap in 0.1..2.0_f64, reach in 1.0..20.0_f64, less in 0.01..1.0_f64) {
        let (gap, reach) = (mm(gap), mm(reach));
        let bite = bite_angle(gap, reach);
        prop_assert!(bite_left(gap, reach, bite).abs().get() < 1e-12);
        prop_assert!(bite_left(gap, reach, bite * (1.0 - less)).get() > 0.0);
        prop_assert!(bite_left(gap, reach, bite * (1.0 + less)).get() < 0.0);
        prop_assert_eq!(bite_left(gap, reach, deg(0.0)), gap);
    }

    #[test]
    fn a_higher_file_leaves_a_blunter_wedge(diameter in 2.0..10.0_f64, share in 0.0..0.99_f64, filing in 0.0..45.0_f64) {
        let at = |share: f64| wedge(mm(diameter), mm(diameter * share)).unwrap();
        prop_assert!(at(share + 0.01) > at(share));
        prop_assert!(wedge_along_chain(at(share), deg(0.0)).get() - at(share).get() < 1e-9);
        if share < 0.5 {
            prop_assert!(wedge_along_chain(at(share), deg(filing)).get() <= at(share).get() + 1e-9);
        }
    }

    #[test]
    fn measured_values_are_kept_or_refused_never_changed(new in 0.0..60.0_f64, gap in 0.0..3.0_f64) {
        let base = profile("three-eighths");
        match Profile::measured(&base, "own", "Own", &[("new_length_mm", new), ("base_gap_mm", gap)], "bench") {
            Ok(own) => prop_assert_eq!((own.spec().new_length, own.spec().base_gap), (mm(new), mm(gap))),
            Err(error) => prop_assert!(!(10.0..40.0).contains(&new) || !(0.2..=0.8).contains(&gap), "{}", error),
        }
    }
}
