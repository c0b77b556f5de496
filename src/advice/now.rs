//! Lengths at this moment: those that may be compared, and those at which gaps were measured.

use crate::chain::Side;
pub(crate) use crate::round::now::{Now, length};
use crate::round::{Round, When};
use crate::units::Millimetres;

/// Lengths of the cutters brought to the common length, by side, that may be compared with each other: after filing
/// once both sides have two of them, else as they came.
pub(crate) fn comparable(round: &Round) -> [Vec<Millimetres>; 2] {
    let by_side = |when: When| {
        [Side::Left, Side::Right].map(|side| -> Vec<Millimetres> {
            let of_side = round.matched().filter(|cutter| cutter.side == side);
            of_side.filter_map(|cutter| cutter.lengths(when).mean()).collect()
        })
    };
    let after = by_side(When::After);
    if after.iter().all(|side| side.len() >= 2) { after } else { by_side(When::Before) }
}

/// Length at which each cutter's gap was last measured in this round, by place in the loop.
pub(crate) fn length_at_gap(round: &Round) -> Vec<Option<Millimetres>> {
    use crate::round::Event;
    let mut length: Vec<Option<Millimetres>> = vec![None; round.cutters.len()];
    let mut at_gap = length.clone();
    for entry in round.standing() {
        match entry.event {
            Event::Length { cutter, mm, .. } => {
                if let Some(slot) = length.get_mut(cutter.index()) {
                    *slot = Some(mm);
                }
            }
            Event::Gap { cutter, .. } => {
                let place = cutter.index();
                if let (Some(slot), Some(known)) = (at_gap.get_mut(place), length.get(place)) {
                    *slot = *known;
                }
            }
            _ => {}
        }
    }
    at_gap
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::tests::readings::{Bench, header};
    use crate::chain::nth;
    use crate::round::{Event, Header, Reading, Task, Tool};
    use crate::units::mm;

    #[test]
    fn sides_are_compared_as_they_came_until_both_have_two_filed() {
        let mut bench = Bench::measured(20, &[9.0; 10]);
        bench.target(8.8).length(1, When::After, 8.8).length(3, When::After, 8.8).length(2, When::After, 8.8);
        assert_eq!(comparable(&bench.round).map(|side| side.len()), [5, 5]);
        bench.length(4, When::After, 8.8);
        assert_eq!(comparable(&bench.round), [vec![mm(8.8); 2], vec![mm(8.8); 2]]);
    }

    #[test]
    fn a_ground_loop_is_at_its_stop_but_for_cutters_left_short() {
        let mut bench = Bench::new(Header { tool: Tool::Grinder, ..header(20) });
        for cutter in 1..=10 {
            bench.length(cutter, When::Before, if cutter == 3 { 8.0 } else { 9.0 });
        }
        bench.put(Event::Target { mm: mm(8.7), left_short: vec![nth(3)], recommended: true });
        bench.done(Task::FirstGround);
        let of = |number: u16| length(&bench.round, bench.round.cutter(nth(number)).unwrap()).unwrap();
        assert_eq!(of(1), Now { length: mm(8.7), readings: 0, filed: true });
        assert_eq!(of(2), Now { length: mm(9.0), readings: 1, filed: false });
        assert_eq!(of(3), Now { length: mm(8.0), readings: 1, filed: false });
    }

    #[test]
    fn a_cutter_filed_and_left_unmeasured_is_taken_at_the_target() {
        let mut bench = Bench::measured(20, &[9.0; 10]);
        let left_out = |cutter| Event::LeftOut { cutter: nth(cutter), reading: Reading::LengthAfter };
        bench.target(8.8).strokes(1, 3).put(left_out(1)).put(left_out(3));
        let of = |number: u16| length(&bench.round, bench.round.cutter(nth(number)).unwrap()).unwrap();
        assert_eq!(of(1), Now { length: mm(8.8), readings: 0, filed: true });
        assert_eq!(of(3), Now { length: mm(9.0), readings: 1, filed: false }, "no stroke was given");
        let found = bench.findings();
        assert!(found.cutters[0].length.off_by.is_none(), "not judged");
    }
}
