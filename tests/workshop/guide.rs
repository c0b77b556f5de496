//! What README and guide point at is there: links, and the files and folders of this project that they name.

use std::path::Path;

use regex_lite::Regex;

/// The root of the project.
const ROOT: &str = env!("CARGO_MANIFEST_DIR");
/// The top of what a name in the guide may begin with.
const TOPS: [&str; 6] = ["src/", "tests/", "demo/", "profiles/", ".ci/", ".github/"];

/// What a page points at: the targets of its links inside the project, and the files and folders that it names.
fn named(page: &str) -> Vec<String> {
    let point = Regex::new(r"\]\(([^)#]+)[^)]*\)|`([^`\n <]+)`").unwrap();
    point
        .captures_iter(page)
        .filter_map(|found| match (found.get(1), found.get(2)) {
            (Some(link), _) => Some(link.as_str()).filter(|link| !link.contains("://")),
            (None, name) => name.map(|name| name.as_str()).filter(|name| TOPS.iter().any(|top| name.starts_with(top))),
        })
        .map(ToOwned::to_owned)
        .collect()
}

/// Whether the project has what a name stands for: `a/b`, `a/{b,c}` or a pattern with `*`, of which its folder is asked for.
fn is_there(name: &str) -> bool {
    let (folder, names) = match name.split_once('{') {
        Some((folder, names)) => (folder, names.trim_end_matches('}').split(',').collect()),
        None => ("", vec![name]),
    };
    names.iter().all(|name| {
        let whole = format!("{folder}{name}");
        let known = whole.split('*').next().unwrap_or_default();
        let known =
            if known.len() < whole.len() { known.rsplit_once('/').map_or("", |(folder, _)| folder) } else { known };
        Path::new(ROOT).join(known).exists()
    })
}

#[test]
fn every_link_and_every_file_named_is_there() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = std::fs::read_to_string(Path::new(ROOT).join(page)).unwrap();
        let names = named(&text);
        assert!(names.iter().any(|name| name == "src/system/"), "{page} names the room of systems");
        let wrong: Vec<&String> = names.iter().filter(|name| !is_there(name)).collect();
        assert!(wrong.is_empty(), "{page} names what is not there: {wrong:?}");
    }
}

#[test]
fn a_name_that_is_not_there_is_noticed() {
    assert!(is_there("src/lib.rs") && is_there("tests/smoke/*.sh") && is_there("src/{chain,round}"));
    assert!(!is_there("src/nowhere.rs") && !is_there("tests/nowhere/*.rs") && !is_there("src/{chain,nowhere}"));
}
