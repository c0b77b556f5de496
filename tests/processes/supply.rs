//! What the program is built from. This asks nobody: it holds the guide's list and the lock file; `.deny.toml` says what `cargo deny` holds.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn source(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// All names of tables that end so, wherever they stand.
fn names(table: &toml::Table, found: &mut BTreeSet<String>) {
    for (key, value) in table {
        match value.as_table() {
            Some(crates) if key.ends_with("dependencies") => found.extend(crates.keys().cloned()),
            Some(inner) => names(inner, found),
            None => {}
        }
    }
}

#[test]
fn the_guide_gives_a_reason_for_every_direct_dependency_and_no_other() {
    let mut direct = BTreeSet::new();
    names(&source("Cargo.toml").parse().unwrap(), &mut direct);
    let guide = source("DEVELOPERS.md");
    let (_, section) = guide.split_once("## What it is built from").unwrap();
    let section = section.split("\n## ").next().unwrap();
    let mut told = BTreeSet::new();
    for row in section.lines().filter(|line| line.starts_with("| `")) {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        assert!(cells.len() == 2 && cells[1].len() > 12, "no reason: {row}");
        told.extend(cells[0].split(", ").map(|name| name.trim_matches('`').to_owned()));
    }
    assert_eq!(told, direct);
}

#[test]
fn every_crate_comes_from_one_registry_with_its_sum() {
    let lock: toml::Table = source("Cargo.lock").parse().unwrap();
    let packages = lock["package"].as_array().unwrap();
    assert!(packages.len() > 100);
    for package in packages {
        let name = package["name"].as_str().unwrap();
        let from = package.get("source").and_then(toml::Value::as_str);
        if name == env!("CARGO_PKG_NAME") {
            assert_eq!(from, None);
            continue;
        }
        assert_eq!(from, Some("registry+https://github.com/rust-lang/crates.io-index"), "{name}");
        assert_eq!(package["checksum"].as_str().map(str::len), Some(64), "{name}");
    }
}
