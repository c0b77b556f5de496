//! Backups: what comes back is what was kept; what is not whole, or leads elsewhere, changes nothing.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read as _, Write};
use std::path::{Path, PathBuf};

use flate2::Compression;
use flate2::write::GzEncoder;
use tar::{Builder, EntryType, Header};

use crate::invented::{at, card, header, rack, work};
use evenbite::record::{Rack, RackError, Sharpener, unheard};

/// Every file of a folder, by name.
fn files(root: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let (mut found, mut folders) = (BTreeMap::new(), vec![root.to_owned()]);
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(path.strip_prefix(root).unwrap().to_owned(), fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// A folder with a loop, an open round, a person and settings, and its backup.
fn kept() -> (tempfile::TempDir, Rack, PathBuf) {
    let (dir, rack) = rack();
    let card = card("one", 24);
    rack.create_loop(&card).unwrap();
    let (mut file, mut round) = rack.begin_round(&header(&card, at(1), "Ina")).unwrap();
    work(&mut file, &mut round, 9.0, 4);
    drop(file);
    rack.save_sharpener(&Sharpener { name: "Ina".into(), ..Sharpener::default() }).unwrap();
    fs::write(rack.root().join("settings.toml"), "format = 1\nbell = true\n").unwrap();
    let to = dir.path().join("kept.tar.gz");
    let done = rack.back_up(&to, at(2).to_utc(), &mut unheard).unwrap();
    assert_eq!((done.files, done.left_out.len()), (4, 0));
    (dir, rack, to)
}

fn bring_back(from: &Path, to: &Path) -> Result<usize, String> {
    let rack = Rack::open(to.to_owned()).unwrap();
    rack.bring_back(from, &mut unheard, &mut unheard).map(|done| done.files).map_err(|error| error.to_string())
}

#[test]
fn what_comes_back_is_what_was_kept() {
    let (dir, rack, archive) = kept();
    let before = files(rack.root());
    rack.refresh(); // what is derived is made anew and not kept
    let to = dir.path().join("back");
    assert_eq!(Rack::check_backup(&archive, &mut unheard).unwrap().files, 4);
    assert_eq!(bring_back(&archive, &to), Ok(4));
    assert_eq!(files(&to), before);
    let back = Rack::open(to.clone()).unwrap();
    assert_eq!(back.resume("one", at(3).to_utc()).unwrap().1.entries.len(), 4);
    // Into a folder that is there and empty, and into no other.
    let empty = dir.path().join("empty");
    fs::create_dir(&empty).unwrap();
    assert_eq!(bring_back(&archive, &empty), Ok(4));
    assert!(bring_back(&archive, &empty).unwrap_err().contains("is not empty"));
    assert_eq!(files(&empty), before);
    // Nothing else was left beside them.
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 4);
}

#[test]
fn what_is_stopped_leaves_nothing() {
    let (dir, rack, archive) = kept();
    let to = dir.path().join("second.tar.gz");
    let mut third = |done: usize, _: usize| done < 3;
    assert!(matches!(rack.back_up(&to, at(2).to_utc(), &mut third), Err(RackError::Stopped)));
    let back = Rack::open(dir.path().join("back")).unwrap();
    assert!(matches!(Rack::check_backup(&archive, &mut third), Err(RackError::Stopped)));
    assert!(matches!(back.bring_back(&archive, &mut third, &mut unheard), Err(RackError::Stopped)));
    let mut ready = |done: usize, total: usize| {
        assert_eq!(total, 4);
        done < 3
    };
    assert!(matches!(back.bring_back(&archive, &mut unheard, &mut ready), Err(RackError::Stopped)));
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2, "the data folder and the first backup");
    assert_eq!(bring_back(&archive, back.root()), Ok(4));
}

fn unpacked(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut whole = Vec::new();
    flate2::read::GzDecoder::new(bytes).read_to_end(&mut whole).ok().map(|_| whole)
}

#[test]
fn a_backup_that_was_changed_or_cut_changes_nothing() {
    let (dir, rack, archive) = kept();
    let before = files(rack.root());
    let whole = fs::read(&archive).unwrap();
    let to = dir.path().join("back");
    let spoilt = dir.path().join("spoilt.tar.gz");
    // The first ten bytes of gzip say when and by what it was made: nothing that is kept depends on them.
    let places = (10..whole.len()).step_by(whole.len() / 60);
    let mut filling = 0;
    for at in places.chain([whole.len() - 1]) {
        let mut bytes = whole.clone();
        bytes[at] ^= 0x10;
        // A bit that fills up the last byte of what was compressed says nothing.
        if unpacked(&bytes).is_some_and(|found| Some(found) == unpacked(&whole)) {
            continue;
        }
        fs::write(&spoilt, bytes).unwrap();
        match bring_back(&spoilt, &to) {
            Err(said) => assert!(said.contains("Nothing was changed"), "byte {at}"),
            // A few bits only fill up a byte: nobody reads them.
            Ok(_) => {
                assert_eq!(files(&to), before, "byte {at}");
                fs::remove_dir_all(&to).unwrap();
                filling += 1;
            }
        }
        fs::write(&spoilt, &whole[..at]).unwrap();
        assert!(bring_back(&spoilt, &to).is_err(), "cut at {at}");
    }
    assert!(filling < 2, "{filling} changed bytes were not found");
    fs::write(&spoilt, b"no archive").unwrap();
    assert!(bring_back(&spoilt, &to).is_err());
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 3, "nothing was made");
}

/// An archive of these entries, each with its kind.
fn archive(path: &Path, entries: &[(&str, EntryType)]) {
    let mut archive = Builder::new(GzEncoder::new(fs::File::create(path).unwrap(), Compression::fast()));
    for (name, kind) in entries {
        let mut header = Header::new_gnu();
        header.set_entry_type(*kind);
        header.set_size(u64::from(*kind == EntryType::Regular));
        header.set_mode(0o600);
        // As somebody would write it who means harm: no library stands in the way.
        header.as_mut_bytes()[..name.len()].copy_from_slice(name.as_bytes());
        if *kind != EntryType::Regular {
            header.set_link_name("/etc/passwd").unwrap();
        }
        header.set_cksum();
        archive.append(&header, &b"x"[..usize::from(*kind == EntryType::Regular)]).unwrap();
    }
    archive.into_inner().unwrap().finish().unwrap().flush().unwrap();
}

#[test]
fn names_that_lead_out_and_links_are_refused() {
    let (dir, rack, there) = kept();
    let (evil, to) = (dir.path().join("evil.tar.gz"), dir.path().join("back"));
    for (name, kind, said) in [
        ("../out", EntryType::Regular, "leads out of the folder"),
        ("loops/../../out", EntryType::Regular, "leads out of the folder"),
        ("/tmp/out", EntryType::Regular, "leads out of the folder"),
        ("loops\\..\\out", EntryType::Regular, "leads out of the folder"),
        ("c:out", EntryType::Regular, "leads out of the folder"),
        ("loops//out", EntryType::Regular, "leads out of the folder"),
        ("loops/one", EntryType::Symlink, "is no plain file"),
        ("loops/one", EntryType::Link, "is no plain file"),
        ("loops/one", EntryType::Fifo, "is no plain file"),
        ("loops/one", EntryType::Directory, "is no plain file"),
        ("settings.toml", EntryType::Regular, "has no list"),
    ] {
        archive(&evil, &[(name, kind)]);
        let error = bring_back(&evil, &to).unwrap_err();
        assert!(error.contains(said), "{name}: {error}");
    }
    archive(&evil, &[("a", EntryType::Regular), ("a", EntryType::Regular)]);
    assert!(bring_back(&evil, &to).unwrap_err().contains("twice"));
    assert!(!to.exists() && !dir.path().join("out").exists());
    // A backup is not written over anything, nor into what it keeps.
    let again = rack.back_up(&there, at(2).to_utc(), &mut unheard).unwrap_err().to_string();
    assert!(again.contains("exists already"), "{again}");
    let inside = rack.back_up(&rack.root().join("kept"), at(2).to_utc(), &mut unheard).unwrap_err().to_string();
    assert!(inside.contains("lies in the data folder itself"), "{inside}");
}
