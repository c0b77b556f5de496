//! Rooms that import each other in a circle can only be read, changed and tested together. The full-screen face keeps its
//! circles small.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A module's path from the crate's root, and its source without comments, texts and tests.
type Sources = BTreeMap<Vec<String>, String>;

/// Source without comments, without what stands in quotes, and without the tests below it.
fn bare(text: &str) -> String {
    let mut out = String::new();
    let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
    for line in code.lines() {
        let (mut quoted, mut before) = (false, ' ');
        for (at, c) in line.char_indices() {
            if !quoted && line[at..].starts_with("//") {
                break;
            }
            if c == '"' && before != '\\' && before != '\'' {
                quoted = !quoted;
            } else if !quoted {
                out.push(c);
            }
            before = c;
        }
        out.push('\n');
    }
    out
}

/// The pieces that paths are made of.
fn tokens(code: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut chars = code.chars().peekable();
    while let Some(c) = chars.next() {
        if c.is_alphanumeric() || c == '_' {
            let mut word = String::from(c);
            while let Some(next) = chars.next_if(|next| next.is_alphanumeric() || *next == '_') {
                word.push(next);
            }
            out.push(word);
        } else if c == ':' && chars.next_if_eq(&':').is_some() {
            out.push("::".into());
        } else if !c.is_whitespace() {
            out.push(c.into());
        }
    }
    out
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// Every path that begins at `at`, branches in braces included, and where they end.
fn paths(tokens: &[String], mut at: usize, before: &[String], out: &mut Vec<Vec<String>>) -> usize {
    let mut path = before.to_vec();
    loop {
        match tokens.get(at).map(String::as_str) {
            Some("{") => {
                at += 1;
                while tokens.get(at).is_some_and(|token| token != "}") {
                    let end = paths(tokens, at, &path, out);
                    at = end.max(at + 1);
                }
                return at + 1;
            }
            Some(word) if is_word(word) || (word == "*" && !path.is_empty()) => path.push(word.to_owned()),
            _ => break,
        }
        at += 1;
        if tokens.get(at).is_none_or(|token| token != "::") {
            break;
        }
        at += 1;
    }
    out.push(path);
    at
}

/// All paths in a source.
fn mentioned(code: &str) -> Vec<Vec<String>> {
    let tokens = tokens(code);
    let (mut out, mut at) = (Vec::new(), 0);
    while at < tokens.len() {
        let follows = at > 0 && ["::", "."].contains(&tokens[at - 1].as_str());
        at = if is_word(&tokens[at]) && !follows { paths(&tokens, at, &[], &mut out) } else { at + 1 };
    }
    out
}

/// The deepest module that a path named in `here` leads through; `named` are modules that were imported by name.
fn module(
    here: &[String],
    path: &[String],
    known: &Sources,
    named: &BTreeMap<String, Vec<String>>,
) -> Option<Vec<String>> {
    let mut words = path.iter().peekable();
    let mut at = match words.peek()?.as_str() {
        "crate" => {
            words.next();
            Vec::new()
        }
        "self" => {
            words.next();
            here.to_vec()
        }
        "super" => here.to_vec(),
        word if known.contains_key(&[here, &[word.to_owned()]].concat()) => here.to_vec(),
        word => {
            let found = named.get(word)?.clone();
            words.next();
            found
        }
    };
    while words.next_if(|word| *word == "super").is_some() {
        at.pop();
    }
    for word in words {
        at.push(word.clone());
        if !known.contains_key(&at) {
            at.pop();
            break;
        }
    }
    known.contains_key(&at).then_some(at)
}

/// Which modules each module imports or names. That a module declares another is no import.
fn imports(known: &Sources) -> BTreeMap<Vec<String>, BTreeSet<Vec<String>>> {
    let of = |(here, code): (&Vec<String>, &String)| {
        // A declaration such as `mod text;` mentions its one word and nothing else.
        let all: Vec<Vec<String>> = mentioned(code).into_iter().filter(|path| path.len() > 1).collect();
        let mut named = BTreeMap::new();
        for path in &all {
            let path = path.strip_suffix(&["self".to_owned()]).unwrap_or(path);
            if let Some(found) = module(here, path, known, &BTreeMap::new()).filter(|found| found.last() == path.last())
            {
                named.insert(found.last().cloned().unwrap_or_default(), found);
            }
        }
        let mut found: BTreeSet<Vec<String>> =
            all.iter().filter_map(|path| module(here, path, known, &named)).collect();
        found.remove(here);
        (here.clone(), found)
    };
    known.iter().map(of).collect()
}

/// Modules that all lead to each other, the largest such circle first.
fn circles(known: &Sources) -> Vec<BTreeSet<Vec<String>>> {
    let imports = imports(known);
    let reached = |from: &Vec<String>| {
        let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
        while let Some(next) = open.pop() {
            for to in imports.get(next).into_iter().flatten() {
                if seen.insert(to.clone()) {
                    open.push(to);
                }
            }
        }
        seen
    };
    let reach: BTreeMap<&Vec<String>, BTreeSet<Vec<String>>> = known.keys().map(|from| (from, reached(from))).collect();
    let circle = |from: &Vec<String>| -> BTreeSet<Vec<String>> {
        reach[from].iter().filter(|to| reach[to].contains(from)).cloned().collect()
    };
    let found: BTreeSet<BTreeSet<Vec<String>>> = known.keys().map(circle).filter(|circle| circle.len() > 1).collect();
    let mut found: Vec<_> = found.into_iter().collect();
    found.sort_by_key(|circle| std::cmp::Reverse(circle.len()));
    found
}

/// The sources below `folder` as modules below `at`; those that are only for tests are left out.
fn sources(folder: &Path, at: &[String], out: &mut Sources) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let inside = [at, std::slice::from_ref(&name)].concat();
        if path.is_dir() {
            sources(&path, &inside, out);
        } else if name != "tests" && path.extension().is_some_and(|ext| ext == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            out.insert(if name == "mod" { at.to_vec() } else { inside }, bare(&text));
        }
    }
}

fn face() -> Sources {
    let mut found = Sources::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/tui");
    sources(&folder, &["tui".to_owned()], &mut found);
    assert!(found.len() > 40, "src/tui has only {} sources", found.len());
    found
}

/// Names of a circle's files.
fn words(circle: &BTreeSet<Vec<String>>) -> String {
    circle.iter().map(|path| path.join("::")).collect::<Vec<_>>().join(" ")
}

fn made_up(files: &[(&str, &str)]) -> Sources {
    let file = |(path, text): &(&str, &str)| (path.split("::").map(str::to_owned).collect(), bare(text));
    files.iter().map(file).collect()
}

#[test]
fn files_of_the_face_hardly_import_each_other() {
    let found = circles(&face());
    let largest = found.first().map_or(0, BTreeSet::len);
    assert!(largest <= 3, "{largest} files in a circle: {}", words(&found[0]));
}

#[test]
fn a_circle_is_found_whichever_way_it_is_written() {
    let below = ("tui::b::c", "use super::super::a::Thing;\n");
    for writes in [
        "use super::b::c::Other;",
        "use crate::tui::{theme, b::{self, c::Other}};",
        "use super::b;\nfn f() { b::c::other() }",
        "fn f() -> super::b::c::Other { todo!() }",
    ] {
        let found = circles(&made_up(&[("tui", "mod a; mod b;"), ("tui::a", writes), ("tui::b", "mod c;"), below]));
        assert_eq!(found.len(), 1, "{writes}: {found:?}");
        assert_eq!(words(&found[0]), "tui::a tui::b::c", "{writes}");
    }
}

#[test]
fn what_only_looks_like_a_circle_is_none() {
    for writes in [
        "// use super::b::c::Other;",
        "const A: &str = \"super::b::c\";",
        "#[cfg(test)]\nmod tests {\n    use super::b::c::Other;\n}",
        "use crate::units::b::c;",
    ] {
        let below = ("tui::b::c", "use super::super::a::Thing;\n");
        let found = circles(&made_up(&[("tui", "mod a; mod b;"), ("tui::a", writes), ("tui::b", "mod c;"), below]));
        assert!(found.is_empty(), "{writes}: {found:?}");
    }
}
