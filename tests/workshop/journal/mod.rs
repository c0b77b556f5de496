//! Records as a whole: what is read back, what is mended, what is refused.

use crate::book::{Book, Event, Head, at, events, head, measured, now, read, read_bytes, sample};
use evenbite::record::{self, Journal, MAX_EVENTS, RecordError, Recovered};
use serde::{Deserialize, Serialize};
use std::fs;

mod any;
#[cfg(unix)]
mod unix;

/// A block with a right check sum.
fn block(text: &str) -> String {
    format!("{text}crc = \"{:08x}\"\n", crc32fast::hash(text.as_bytes()))
}

fn with_header(rest: &str) -> Vec<u8> {
    [block("[round]\nformat = 1\nlinks = 72\ntag = \"k-14\"\n").as_bytes(), b"\n", rest.as_bytes()].concat()
}

#[test]
fn the_format_is_the_documented_one() {
    let folder = crate::scratch::folder();
    let (path, bytes, entries) = sample(folder.path());
    let text = String::from_utf8(bytes).unwrap();
    let first = "[[event]]\nseq = 1\nat = \"2026-05-01T08:00:00.500+02:00\"\nkind = \"measured\"\nmm = 12.34\n\
                 place = { cutter = 1, left = true }\ntyped = \"12,34mm\"\n";
    let id = record::read::<Head, Event>(&path).unwrap().id.unwrap();
    let header = block(&format!("[round]\nformat = 1\nid = \"{id}\"\nlinks = 72\ntag = \"k-14\"\n"));
    assert!(text.starts_with(&format!("{header}\n{}", block(first))), "{text}");
    // A plain TOML reader sees the same.
    let table: toml::Table = toml::from_str(&text).unwrap();
    assert_eq!(table["round"]["tag"].as_str(), Some("k-14"));
    assert_eq!(table["event"].as_array().unwrap().len(), entries.len());
}

#[test]
fn what_was_entered_comes_back() {
    let folder = crate::scratch::folder();
    let (path, _, entries) = sample(folder.path());
    let written: Vec<_> = entries.iter().map(|e| (e.event.clone(), e.typed.as_deref())).collect();
    assert_eq!(written, events());
    let contents = read(&path).unwrap();
    assert_eq!((contents.header, contents.torn, contents.continues), (head(), None, None));
    assert_eq!(contents.entries, entries);
    assert!(record::check::<Head, Event>(&path).is_empty());
    let (mut book, opened) = Book::open(&path, now()).unwrap();
    assert_eq!((opened.entries, opened.recovered), (entries, None));
    assert_eq!(book.append(at(9), None, &Event::Signed, None).unwrap().stamped.seq, 6);
    assert_eq!(record::current(folder.path()).unwrap(), [path]);
}

#[test]
fn each_record_has_an_id_of_its_own_and_keeps_it() {
    let folder = crate::scratch::folder();
    let [one, other] = ["one", "other"].map(|name| folder.path().join(format!("{name}.round.toml")));
    let ids = [&one, &other].map(|path| {
        Book::create(path, &head()).unwrap();
        read(path).unwrap().id.unwrap()
    });
    assert_eq!(ids.map(|id| id.get_version_num()), [4, 4]);
    assert_ne!(ids[0], ids[1]);
    let (mut book, _) = Book::open(&one, now()).unwrap();
    book.append(at(1), None, &Event::Signed, None).unwrap();
    // The record goes on in a new file, as after a failed sync.
    fs::remove_file(&one).unwrap();
    let moved = book.append(at(2), None, &Event::Signed, None).unwrap().moved.unwrap();
    assert_eq!(read(&moved.to).unwrap().id, Some(ids[0]));
}

#[test]
fn who_entered_comes_back_with_the_entry() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("x.round.toml");
    let mut book = Book::create(&path, &head()).unwrap();
    book.append(at(1), Some("Ina \"the file\""), &measured(1, 8.5), Some("8.5")).unwrap();
    book.append(at(2), None, &measured(2, 8.5), None).unwrap();
    let by: Vec<_> = read(&path).unwrap().entries.into_iter().map(|entry| entry.by).collect();
    assert_eq!(by, [Some("Ina \"the file\"".to_owned()), None]);
    let text = fs::read_to_string(&path).unwrap();
    assert!(
        text.contains("\nat = \"2026-05-01T08:00:01.500+02:00\"\nby = \"Ina \\\"the file\\\"\"\nkind = "),
        "{text}"
    );
    let nobody =
        with_header(&block("[[event]]\nseq = 1\nat = \"2026-05-01T08:00:00Z\"\nby = \"\"\nkind = \"signed\"\n"));
    let error = read_bytes(folder.path(), &nobody).unwrap_err();
    assert!(error.to_string().contains("allowed: a name"), "{error}");
}

#[test]
fn what_is_no_id_is_refused() {
    let folder = crate::scratch::folder();
    let header = block("[round]\nformat = 1\nid = \"k-14\"\nlinks = 72\ntag = \"k-14\"\n");
    let error = read_bytes(folder.path(), header.as_bytes()).unwrap_err();
    assert!(matches!(&error, RecordError::Damaged { line: 1, .. }) && error.to_string().contains("UUID"), "{error}");
}

#[test]
fn every_prefix_opens_with_a_prefix_of_the_events() {
    let folder = crate::scratch::folder();
    let (path, bytes, entries) = sample(folder.path());
    let mut counts = Vec::new();
    for len in 0..=bytes.len() {
        fs::write(&path, &bytes[..len]).unwrap();
        match Book::open(&path, now()) {
            Err(RecordError::Unstarted { .. }) => {
                assert!(counts.is_empty(), "{len}");
                assert_eq!(fs::read(&path).unwrap(), &bytes[..len], "it is left as it is");
            }
            Err(e) => panic!("{len}: {e}"),
            Ok((mut book, opened)) => {
                let count = opened.entries.len();
                assert_eq!(opened.entries, entries[..count], "{len}");
                counts.push(count);
                let kept = fs::read(&path).unwrap();
                assert!(bytes.starts_with(&kept));
                if let Some(Recovered { bytes: lost, moved_to }) = opened.recovered {
                    assert_eq!(fs::read(&moved_to).unwrap(), &bytes[kept.len()..len], "{len}");
                    assert_eq!(usize::try_from(lost), Ok(len - kept.len()));
                } else {
                    assert_eq!(kept.len(), len);
                }
                book.append(at(50), None, &Event::Signed, None).unwrap();
                assert_eq!(read(&path).unwrap().entries.len(), count + 1);
            }
        }
    }
    assert!(counts.is_sorted());
    assert_eq!((counts.first(), counts.last()), (Some(&0), Some(&entries.len())));
}

#[test]
fn every_changed_byte_is_found() {
    let folder = crate::scratch::folder();
    let (_, bytes, entries) = sample(folder.path());
    for i in 0..bytes.len() {
        // Every byte is changed in three ways; eight ways come by turns.
        let masks = [0x01, 0x07, 0x20, 0x80, 0xFF, bytes[i], bytes[i] ^ b'\n', bytes[i] ^ b'['];
        for mask in masks.into_iter().cycle().skip(i).step_by(3).take(3).filter(|mask| *mask != 0) {
            let mut changed = bytes.clone();
            changed[i] ^= mask;
            if let Ok(contents) = read_bytes(folder.path(), &changed) {
                let count = contents.entries.len();
                assert!(contents.torn.is_some() && count < entries.len(), "byte {i} ^ {mask:#x}");
                assert_eq!(contents.entries, entries[..count], "byte {i} ^ {mask:#x}");
            }
        }
        // The last change still stands in the file: whoever checks it is told.
        assert!(!record::check::<Head, Event>(&folder.path().join("x.round.toml")).is_empty(), "byte {i}");
    }
}

#[test]
fn a_change_before_the_last_event_stops_writing() {
    let folder = crate::scratch::folder();
    let (path, bytes, _) = sample(folder.path());
    let text = String::from_utf8(bytes).unwrap();
    let changed = text.replace("mm = 12.34", "mm = 12.43");
    fs::write(&path, &changed).unwrap();
    let error = Book::open(&path, now()).unwrap_err();
    assert!(matches!(error, RecordError::Damaged { line: 8, .. }), "{error}");
    assert!(error.to_string().contains("round.toml:8: the check sum reads"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), changed);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing was moved aside");
}

#[test]
fn torn_ends_of_every_sort_are_moved_aside() {
    let folder = crate::scratch::folder();
    let (path, bytes, entries) = sample(folder.path());
    let mut noise = vec![0_u8; 4096];
    let mut state = 7_u32;
    noise.fill_with(|| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223); // Numerical Recipes' generator
        (state >> 24) as u8
    });
    let zeros = vec![0; 4096];
    for tail in
        [&noise[..], &zeros, b"\n", b"\n[[event]]\nseq = 6\nmm = 1", b"\n[[event]]\n[[event]]\n", b"\n[round]\n"]
    {
        fs::write(&path, [&bytes, tail].concat()).unwrap();
        assert!(matches!(record::check::<Head, Event>(&path)[..], [RecordError::Torn { .. }]));
        let (_, opened) = Book::open(&path, now()).unwrap();
        assert_eq!(opened.entries, entries);
        let recovered = opened.recovered.unwrap();
        assert_eq!(fs::read(recovered.moved_to).unwrap(), tail);
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
    let aside = folder.path().join("2026-05-01.round.toml.tail-20260501T070000Z-2");
    assert!(aside.exists(), "two ends in one second do not overwrite each other");
    assert!(matches!(read_bytes(folder.path(), &noise), Err(RecordError::NotARecord { .. })));
    assert!(matches!(read_bytes(folder.path(), &zeros), Err(RecordError::Unstarted { .. })));
}

#[test]
fn numbers_must_follow_each_other() {
    let folder = crate::scratch::folder();
    let event =
        |seq: &str| block(&format!("[[event]]\nseq = {seq}\nat = \"2026-05-01T08:00:00Z\"\nkind = \"signed\"\n"));
    let read = |blocks: &[&str]| {
        let rest: Vec<String> = blocks.iter().map(|seq| event(seq)).collect();
        read_bytes(folder.path(), &with_header(&rest.join("\n"))).map(|c| c.entries.len()).map_err(|e| e.to_string())
    };
    assert_eq!(read(&["1", "2"]), Ok(2));
    for (blocks, says) in [
        (&["1", "3"][..], ":13: `seq` is 3, expected 2"),
        (&["1", "2", "2"], ":19: `seq` is 2, expected 3"),
        (&["2"], ":7: `seq` is 2, expected 1"),
        (&["0"], ":7: `seq` is 0, expected 1"),
        (&["-1"], "`seq` is -1; allowed:"),
        (&["nan"], "`seq`: NaN is not a number"),
        (&["\"1\""], "allowed: a whole number"),
        (&["1_0000000000"], "allowed: a whole number"),
    ] {
        let error = read(blocks).unwrap_err();
        assert!(error.contains(says), "{blocks:?}: {error}");
    }
}

#[test]
fn a_value_of_another_kind_is_told_with_what_is_allowed() {
    let folder = crate::scratch::folder();
    let event = block("[[event]]\nseq = 1\nat = \"2026-05-01T08:00:00Z\"\nkind = \"voided\"\nwhat = \"all\"\n");
    let error = read_bytes(folder.path(), &with_header(&event)).unwrap_err();
    assert!(matches!(error, RecordError::Damaged { line: 7, .. }), "{error}");
    assert!(error.to_string().contains("`what` is \"all\"; allowed: a whole number"), "{error}");
}

#[test]
fn what_a_newer_version_wrote_is_never_dropped() {
    let folder = crate::scratch::folder();
    let event = |own: &str| block(&format!("[[event]]\nseq = 1\nat = \"2026-05-01T08:00:00Z\"\n{own}"));
    for (own, says) in [
        ("kind = \"polished\"\n", "the kind `polished` is unknown"),
        ("kind = \"signed\"\nwith = \"me\"\n", "the key `with` is unknown"),
        ("kind = \"measured\"\nmm = 1.0\nplace = { cutter = 1, left = true, link = 3 }\n", "`place.link` is unknown"),
        ("kind = \"\\u001b[31m\"\n", "the kind `\\u{1b}[31m` is unknown"),
    ] {
        let bytes = with_header(&event(own));
        let error = read_bytes(folder.path(), &bytes).unwrap_err();
        assert!(matches!(error, RecordError::Newer { line: 7, .. }), "{own}: {error}");
        assert!(error.to_string().contains(says), "{own}: {error}");
        assert!(!error.to_string().contains('\u{1b}'));
        assert!(matches!(Book::open(&folder.path().join("x.round.toml"), now()), Err(RecordError::Newer { .. })));
        assert_eq!(fs::read(folder.path().join("x.round.toml")).unwrap(), bytes);
    }
    for (head, says) in [
        ("format = 2\nlinks = 72\ntag = \"a\"\n", "is of format 2, and this version reads format 1"),
        ("format = 1\nlinks = 72\ntag = \"a\"\nbench = 1\n", "the key `bench` is unknown"),
    ] {
        let error = read_bytes(folder.path(), block(&format!("[round]\n{head}")).as_bytes()).unwrap_err();
        assert!(matches!(error, RecordError::Newer { line: 1, .. }), "{head}: {error}");
        assert!(error.to_string().contains(says), "{head}: {error}");
    }
}

#[test]
fn what_an_editor_converted_is_named() {
    let folder = crate::scratch::folder();
    let (_, bytes, _) = sample(folder.path());
    let text = String::from_utf8(bytes).unwrap();
    let windows = text.replace('\n', "\r\n");
    let half = text[..300].to_owned() + &text[300..].replace('\n', "\r\n");
    let wide: Vec<u8> = [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    for (bytes, says) in [
        (windows.as_bytes(), "CR LF"),
        (half.as_bytes(), "CR LF"),
        (format!("\u{feff}{text}").as_bytes(), "a byte-order mark"),
        (&wide, "UTF-16"),
    ] {
        let error = read_bytes(folder.path(), bytes).unwrap_err();
        assert!(error.to_string().contains(says), "{error}");
        assert_eq!(fs::read(folder.path().join("x.round.toml")).unwrap(), bytes);
    }
}

#[test]
fn check_names_every_fault_with_its_line() {
    let folder = crate::scratch::folder();
    let (path, bytes, _) = sample(folder.path());
    let text = String::from_utf8(bytes).unwrap();
    let text = text.replace("seq = 2", "seq = 7").replace("\"u\"", "\"v\"") + "\n[[ev";
    fs::write(&path, text).unwrap();
    let faults: Vec<String> = record::check::<Head, Event>(&path).iter().map(ToString::to_string).collect();
    let lines: Vec<&str> = faults.iter().map(|f| f.split(':').nth(1).unwrap()).collect();
    assert_eq!(lines, ["17", "33", "47"], "{faults:#?}");
    assert!(matches!(record::check::<Head, Event>(&folder.path().join("none"))[..], [RecordError::Io { .. }]));
}

#[test]
fn a_second_writer_is_refused() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let first = Book::create(&path, &head()).unwrap();
    assert!(matches!(Book::open(&path, now()), Err(RecordError::InUse { .. })));
    assert!(matches!(Book::create(&path, &head()), Err(RecordError::Exists { .. })));
    assert!(read(&path).is_ok(), "reading needs no lock");
    drop(first);
    assert!(Book::open(&path, now()).is_ok());
}

#[test]
fn only_what_can_be_read_again_is_written() {
    #[derive(Debug, Serialize, Deserialize)]
    struct Odd {
        kind: String,
        seq: Option<u32>,
        mm: f64,
    }
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let mut book = Journal::<Head, Odd>::create(&path, &head()).unwrap();
    let before = fs::read(&path).unwrap();
    let odd = |kind: &str, seq, mm| Odd { kind: kind.to_owned(), seq, mm };
    for (event, says) in [
        (odd("a", Some(1), 1.0), "`seq` is a key of the record itself"),
        (odd("a", None, f64::NAN), "`mm`: NaN"),
        (odd(&"x".repeat(record::MAX_LINE), None, 1.0), "at most 65536 fit"),
    ] {
        let error = book.append(at(0), None, &event, None).unwrap_err();
        assert!(matches!(error, RecordError::Unwritable { .. }), "{error}");
        assert!(error.to_string().contains(says), "{error}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(book.append(at(0), None, &odd("a", None, 1.0), None).unwrap().stamped.seq, 1);
}

#[test]
fn a_record_is_never_larger_than_can_be_read() {
    let folder = crate::scratch::folder();
    let path = folder.path().join("a.round.toml");
    let mut book = Book::create(&path, &head()).unwrap();
    let event = Event::Noted { text: "x".repeat(60_000), words: vec![] };
    let full = (0..MAX_EVENTS).find_map(|i| book.append(at(i), None, &event, None).err()).unwrap();
    assert!(matches!(full, RecordError::Full { .. }), "{full}");
    let size = fs::metadata(&path).unwrap().len();
    assert!(size <= record::MAX_FILE && size > record::MAX_FILE - 70_000);
    assert_eq!(read(&path).unwrap().entries.len(), 69);
    fs::File::options().write(true).open(&path).unwrap().set_len(1 << 30).unwrap();
    assert!(matches!(read(&path), Err(RecordError::TooLarge { .. })));
}
