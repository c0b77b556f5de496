//! Any events, any text, any bytes.

use crate::book::{Book, Event, Head, Place, at, head, read, read_bytes, sample};
use evenbite::record;
use proptest::prelude::*;
use std::fs;

fn any_event() -> impl Strategy<Value = (Event, Option<String>)> {
    // Everything that cleaned text can hold, and what would break a line, a string or a block if it were not escaped.
    let text = || "([ -~äß→]|\"\"\"|\\\\u|\\[\\[event\\]\\]|crc = ){0,12}";
    let event = prop_oneof![
        (any::<u32>(), any::<bool>(), proptest::num::f64::NORMAL | proptest::num::f64::ZERO)
            .prop_map(|(cutter, left, mm)| Event::Measured { place: Place { cutter, left }, mm }),
        (text(), prop::collection::vec(text(), 0..4)).prop_map(|(text, words)| Event::Noted { text, words }),
        (any::<u32>(), prop::option::of(text())).prop_map(|(what, why)| Event::Voided { what, why }),
        Just(Event::Signed),
    ];
    (event, prop::option::of(text()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_events_come_back(list in prop::collection::vec(any_event(), 0..12), cut in any::<prop::sample::Index>()) {
        let folder = crate::scratch::folder();
        let path = folder.path().join("a.round.toml");
        let mut book = Book::create(&path, &head()).unwrap();
        for (i, (event, typed)) in (0..).zip(&list) {
            let ack = book.append(at(i), None, event, typed.as_deref()).unwrap();
            prop_assert_eq!(&ack.stamped.event, event);
        }
        let back: Vec<_> = read(&path).unwrap().entries.into_iter().map(|e| (e.event, e.typed)).collect();
        prop_assert_eq!(&back, &list);
        let bytes = fs::read(&path).unwrap();
        if let Ok(contents) = read_bytes(folder.path(), &bytes[..cut.index(bytes.len() + 1)]) {
            let part: Vec<_> = contents.entries.into_iter().map(|e| (e.event, e.typed)).collect();
            prop_assert_eq!(&part[..], &list[..part.len()]);
        }
    }

    #[test]
    fn hostile_text_is_stored_on_one_line_and_comes_back_harmless(text in any::<String>()) {
        let folder = crate::scratch::folder();
        let path = folder.path().join("a.round.toml");
        let mut book = Book::create(&path, &head()).unwrap();
        let event = Event::Noted { text: text.clone(), words: vec![text.clone()] };
        let stamped = book.append(at(0), None, &event, Some(&text)).unwrap().stamped;
        prop_assert!(!stamped.typed.as_ref().unwrap().contains(evenbite::units::is_unsafe));
        let stored = fs::read_to_string(&path).unwrap();
        prop_assert!(!stored.replace('\n', "").contains(evenbite::units::is_unsafe));
        prop_assert_eq!(stored.matches('\n').count(), 15);
        prop_assert_eq!(read(&path).unwrap().entries, vec![stamped]);
    }

    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..600), keep in 0..400_usize) {
        let folder = crate::scratch::folder();
        let (path, good, entries) = sample(folder.path());
        let keep = keep.min(good.len());
        fs::write(&path, [&good[..keep], &bytes].concat()).unwrap();
        record::check::<Head, Event>(&path);
        if let Ok(contents) = read(&path) {
            prop_assert!(entries.starts_with(&contents.entries));
        }
    }
}
