use proptest::prelude::*;

use super::*;
use crate::chain::nth;

fn full(links: u16) -> Layout {
    Layout::new(links, &Sequence::Full, Side::Left).unwrap()
}

fn written(order: &str, links: u16) -> Result<Layout, LayoutError> {
    Layout::new(links, &Sequence::Custom(order.to_owned()), Side::Right)
}

#[test]
fn cutters_by_drive_links_and_sequence() {
    // 72 links full 36, skip 24; 66 links 33 (17 and 16); 50 links 25 (13 and 12): one cutter every two drive links, or
    // every three, is the rule in encyclopedias; the rest is arithmetic. Semi-skip lies between: common practice, no source.
    for (links, sequence, left, right) in [
        (72, Sequence::Full, 18, 18),
        (72, Sequence::Skip, 12, 12),
        (66, Sequence::Full, 17, 16),
        (50, Sequence::Full, 13, 12),
        (70, Sequence::SemiSkip, 14, 14),
        (72, Sequence::SemiSkip, 15, 14),
        (71, Sequence::Skip, 12, 11),
    ] {
        let layout = Layout::new(links, &sequence, Side::Left).unwrap();
        let found = (layout.count_of(Side::Left), layout.count_of(Side::Right));
        assert_eq!(found, (left, right), "{links} {sequence}");
        assert_eq!(usize::from(layout.count()), left + right);
        assert_eq!(layout.links(), links);
    }
}

#[test]
fn an_odd_number_of_cutters_leaves_one_pair_of_one_hand_where_the_loop_closes() {
    assert_eq!(full(66).same_hand_neighbours(), [(nth(33), nth(1))]);
    assert_eq!(full(50).same_hand_neighbours(), [(nth(25), nth(1))]);
    assert_eq!(full(72).same_hand_neighbours(), []);
}

#[test]
fn the_first_hand_is_the_one_asked_for() {
    let layout = Layout::new(66, &Sequence::Full, Side::Right).unwrap();
    assert_eq!(layout.side(nth(1)), Some(Side::Right));
    assert_eq!((layout.count_of(Side::Right), layout.count_of(Side::Left)), (17, 16));
}

#[test]
fn semi_skip_stands_two_then_three_links_apart() {
    let links: Vec<u16> =
        Layout::new(70, &Sequence::SemiSkip, Side::Left).unwrap().slots().iter().map(|slot| slot.link).collect();
    assert_eq!(links[..5], [0, 2, 5, 7, 10]);
    assert_eq!(links.len(), 28);
}

#[test]
fn a_written_order_states_its_own_hands_and_places() {
    assert_eq!(written("LR-l r- LRLRLR", 20), Err(LayoutError::Length { fills: 22, links: 20 }));
    let layout = written("LR-l r- LRLRL", 20).unwrap();
    let found: Vec<(u16, char, u16)> =
        layout.slots().iter().map(|s| (s.number.get(), s.side.letter(), s.link)).collect();
    let expected =
        [(1, 'L', 0), (2, 'R', 2), (3, 'L', 5), (4, 'R', 7), (5, 'L', 10), (6, 'R', 12), (7, 'L', 14), (8, 'R', 16)];
    assert_eq!(found[..8], expected);
    assert_eq!(layout.same_hand_neighbours(), [(nth(9), nth(1))]);
    assert_eq!(
        written("LL----------------RR", 24).unwrap().same_hand_neighbours(),
        [(nth(1), nth(2)), (nth(3), nth(4))]
    );
}

#[test]
fn what_cannot_be_a_loop_is_refused() {
    for links in [0, 1, 19, 401, u16::MAX] {
        assert_eq!(Layout::new(links, &Sequence::Full, Side::Left), Err(LayoutError::Links(links)));
    }
    assert_eq!(written("LRLRLRLRLX", 20), Err(LayoutError::Letter('X')));
    assert_eq!(written(&"-".repeat(20), 20), Err(LayoutError::Empty));
    assert_eq!(written("", 20), Err(LayoutError::Length { fills: 0, links: 20 }));
    // A cutter on every drive link is in print; it cannot be, as each takes two places.
    assert_eq!(written(&"LR".repeat(36), 72), Err(LayoutError::Length { fills: 144, links: 72 }));
    let long = "L".repeat(200_000);
    assert_eq!(written(&long, 72), Err(LayoutError::Length { fills: 400_000, links: 72 }));
    assert!("half".parse::<Sequence>().is_err());
    assert!(" ".parse::<Sequence>().is_err());
}

#[test]
fn a_message_never_prints_a_control_character() {
    let letter = written("LR\u{1b}", 20).unwrap_err().to_string();
    let name = "\u{1b}[2J".parse::<Sequence>().unwrap_err().to_string();
    for text in [letter, name] {
        assert!(!text.chars().any(char::is_control), "{text:?}");
    }
}

#[test]
fn a_sequence_is_written_as_it_is_read() {
    for text in ["full", "semi-skip", "skip", "LR-LR-"] {
        assert_eq!(text.parse::<Sequence>().unwrap().to_string(), text);
    }
    assert_eq!("lr-".parse::<Sequence>().unwrap(), Sequence::Custom("LR-".to_owned()));
}

#[test]
fn neighbours_of_one_hand_go_round_the_loop() {
    let layout = full(72);
    assert!(layout.neighbours_on_side(nth(1), nth(3)));
    assert!(layout.neighbours_on_side(nth(35), nth(1)));
    assert!(layout.neighbours_on_side(nth(2), nth(36)));
    assert!(!layout.neighbours_on_side(nth(1), nth(2)));
    assert!(!layout.neighbours_on_side(nth(1), nth(5)));
    assert!(!layout.neighbours_on_side(nth(1), nth(1)));
    assert!(!layout.neighbours_on_side(nth(1), nth(37)));
}

fn sequences() -> impl Strategy<Value = Sequence> {
    prop_oneof![Just(Sequence::Full), Just(Sequence::SemiSkip), Just(Sequence::Skip)]
}

proptest! {
    #[test]
    fn every_loop_is_numbered_alternates_and_fits(links in 20_u16..=400, sequence in sequences(), right: bool) {
        let first = if right { Side::Right } else { Side::Left };
        let layout = Layout::new(links, &sequence, first).unwrap();
        let numbers: Vec<CutterNumber> = layout.slots().iter().map(|slot| slot.number).collect();
        prop_assert_eq!(numbers, CutterNumber::up_to(layout.count()).collect::<Vec<_>>());
        for pair in layout.slots().windows(2) {
            prop_assert_eq!(pair[0].side.other(), pair[1].side);
            prop_assert!(pair[1].link >= pair[0].link + 2);
        }
        prop_assert!(layout.slots().last().is_some_and(|slot| slot.link + 2 <= links));
        let odd = layout.count() % 2 == 1;
        let expected = if odd { vec![(nth(layout.count()), nth(1))] } else { vec![] };
        prop_assert_eq!(layout.same_hand_neighbours(), expected);
    }

    #[test]
    fn every_cutter_has_two_neighbours_of_its_hand(links in 20_u16..=120, sequence in sequences()) {
        let layout = Layout::new(links, &sequence, Side::Left).unwrap();
        for number in CutterNumber::up_to(layout.count()) {
            let side = layout.side(number).unwrap();
            let near = CutterNumber::up_to(layout.count()).filter(|&other| layout.neighbours_on_side(number, other)).count();
            prop_assert_eq!(near, (layout.count_of(side) - 1).min(2));
        }
    }

    #[test]
    fn no_written_order_panics(order in "[LRlr\\- x]{0,60}", links in 0_u16..=60) {
        if let Ok(layout) = Layout::new(links, &Sequence::Custom(order), Side::Left) {
            prop_assert!(layout.count() > 0);
        }
    }
}

#[test]
fn an_order_that_fills_a_part_of_the_loop_is_repeated_over_it() {
    let over = |order: &str, links| order.parse::<Sequence>().unwrap().over(links);
    assert_eq!(over("L R", 20), Sequence::Custom("LRLRLRLRLR".into()));
    assert_eq!(over("lr-", 20), Sequence::Custom("LR-LR-LR-LR-".into()));
    assert_eq!(over("LR-", 72), Sequence::Custom("LR-".into()), "five do not go into 72");
    assert!(Layout::new(72, &over("LR-", 72), Side::Left).is_err());
    assert_eq!(over("L R L R L R L R L R", 20), Sequence::Custom("L R L R L R L R L R".into()), "written out already");
    assert_eq!(over("full", 20), Sequence::Full);
    let layout = Layout::new(72, &over("R L", 72), Side::Left).unwrap();
    assert_eq!((layout.count(), layout.slots()[0].side), (36, Side::Right));
}

#[test]
fn an_odd_number_of_drive_links_is_asked_about() {
    let said = Sequence::Full.unlikely(67).unwrap();
    assert_eq!(said, "67 is odd, most loops are even: is it 66 or 68? Count the tangs again.");
    assert_eq!((Sequence::Full.unlikely(66), Sequence::Full.unlikely(7)), (None, None));
    assert_eq!(Sequence::Custom("LR-".into()).unlikely(5), None);
}
