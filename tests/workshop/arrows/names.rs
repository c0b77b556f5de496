//! What a source file names outside its tests: every path, led back to where it begins.

use std::collections::BTreeMap;

use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};

/// A path that a file names, such as `crate::record::files` or `std::fs::File`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Named {
    pub line: usize,
    pub path: String,
}

/// What stands in a file.
#[derive(Default)]
pub(super) struct Names {
    pub named: Vec<Named>,
    /// Modules that are there for tests alone, from the crate's root: `crate::advice::tests`.
    pub tests: Vec<String>,
    /// The code in one line without blanks, comments and tests.
    pub bare: String,
}

type Segments = Vec<String>;

/// A path as it was written.
struct Written {
    line: usize,
    segments: Segments,
    /// The module that it was written in.
    at: Segments,
}

#[derive(Default)]
struct Reader {
    written: Vec<Written>,
    /// What `use` lets a first word stand for.
    short: BTreeMap<String, (Segments, Segments)>,
    names: Names,
}

/// Reads a file; `path` is its place below the folder of the package, `src/record/files.rs`.
pub(super) fn read(path: &str, text: &str) -> Names {
    let stream: TokenStream = text.parse().unwrap_or_else(|error| panic!("{path}: {error}"));
    let mut reader = Reader::default();
    reader.walk(&stream.into_iter().collect::<Vec<_>>(), &module(path));
    for written in &reader.written {
        let mut path = absolute(&written.segments, &written.at);
        // A name may be short for one that is itself short.
        for _ in 0..4 {
            let Some((long, at)) = reader.short.get(&path[0]) else { break };
            let long = absolute(long, at);
            if long[0] == path[0] {
                break;
            }
            path.splice(0..1, long);
        }
        reader.names.named.push(Named { line: written.line, path: path.join("::") });
    }
    reader.names
}

/// The module of a file: `crate::record::files`.
pub(super) fn module_path(path: &str) -> String {
    [vec!["crate".to_owned()], module(path)].concat().join("::")
}

/// The same as words: `[record, files]`.
fn module(path: &str) -> Segments {
    let path = path.strip_prefix("src/").unwrap_or(path);
    let path = path.strip_suffix("/mod.rs").or_else(|| path.strip_suffix(".rs")).unwrap_or(path);
    path.split('/').filter(|part| !matches!(*part, "lib" | "main")).map(str::to_owned).collect()
}

/// The path from `crate` or from the name of another crate on.
fn absolute(segments: &[String], at: &[String]) -> Segments {
    let root = || vec!["crate".to_owned()];
    let up = segments.iter().take_while(|word| *word == "super").count();
    match segments[0].as_str() {
        "evenbite" => [root(), segments[1..].to_vec()].concat(),
        "self" => [root(), at.to_vec(), segments[1..].to_vec()].concat(),
        "super" => [root(), at[..at.len().saturating_sub(up)].to_vec(), segments[up..].to_vec()].concat(),
        _ => segments.to_vec(),
    }
}

fn is(token: Option<&TokenTree>, sign: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == sign)
}

fn word(token: Option<&TokenTree>) -> Option<String> {
    match token {
        Some(TokenTree::Ident(ident)) => Some(ident.to_string().trim_start_matches("r#").to_owned()),
        _ => None,
    }
}

/// `::` stands at this place.
fn colons(tokens: &[TokenTree], at: usize) -> bool {
    is(tokens.get(at), ':') && is(tokens.get(at + 1), ':')
}

/// A group in such brackets.
fn group(token: Option<&TokenTree>, delimiter: Delimiter) -> Option<&Group> {
    match token {
        Some(TokenTree::Group(group)) if group.delimiter() == delimiter => Some(group),
        _ => None,
    }
}

fn inside(group: &Group) -> Vec<TokenTree> {
    group.stream().into_iter().collect()
}

/// `#[cfg(test)]` stands at this place.
fn for_tests(tokens: &[TokenTree], at: usize) -> bool {
    let what = |group: &Group| group.stream().to_string().replace(' ', "");
    is(tokens.get(at), '#')
        && group(tokens.get(at + 1), Delimiter::Bracket).is_some_and(|group| what(group) == "cfg(test)")
}

impl Reader {
    fn walk(&mut self, tokens: &[TokenTree], at: &[String]) {
        let mut i = 0;
        while i < tokens.len() {
            if for_tests(tokens, i) {
                i = self.pass_by(tokens, i + 2, at);
                continue;
            }
            if is(tokens.get(i), '#') && group(tokens.get(i + 1), Delimiter::Bracket).is_some_and(is_doc) {
                i += 2;
                continue;
            }
            let (first, second) = (word(tokens.get(i)), word(tokens.get(i + 1)));
            let after_dot = i > 0 && is(tokens.get(i - 1), '.') && !(i > 1 && is(tokens.get(i - 2), '.'));
            match (first.as_deref(), second, group(tokens.get(i + 2), Delimiter::Brace)) {
                (Some("mod"), Some(name), Some(body)) => {
                    self.walk(&inside(body), &[at, &[name]].concat());
                    i += 3;
                }
                (Some("use"), _, _) => i = self.path(tokens, i + 1, at, &[], true),
                (Some(_), _, _) if !after_dot => i = self.path(tokens, i, at, &[], false),
                _ => {
                    match &tokens[i] {
                        TokenTree::Group(group) => {
                            let (open, close) = signs(group.delimiter());
                            self.names.bare.push_str(open);
                            self.walk(&inside(group), at);
                            self.names.bare.push_str(close);
                        }
                        token => self.names.bare.push_str(&token.to_string()),
                    }
                    i += 1;
                }
            }
        }
    }

    /// Passes an item by that is there for tests alone.
    fn pass_by(&mut self, tokens: &[TokenTree], from: usize, at: &[String]) -> usize {
        let is_use = tokens[from..].iter().take(3).any(|token| word(Some(token)).as_deref() == Some("use"));
        let ends = |i: usize| is(tokens.get(i), ';') || (!is_use && group(tokens.get(i), Delimiter::Brace).is_some());
        let end = (from..tokens.len()).find(|i| ends(*i)).unwrap_or(tokens.len());
        let heads = tokens[from..end].iter().position(|token| word(Some(token)).as_deref() == Some("mod"));
        if let (Some(place), true) = (heads, is(tokens.get(end), ';')) {
            let name = word(tokens.get(from + place + 1)).unwrap_or_default();
            self.names.tests.push([&["crate".to_owned()], at, &[name]].concat().join("::"));
        }
        end + 1
    }

    /// Reads the path that begins at this place and gives the place behind it.
    fn path(&mut self, tokens: &[TokenTree], from: usize, at: &[String], before: &[String], used: bool) -> usize {
        let (mut segments, mut i) = (before.to_vec(), from);
        let mut line = tokens.get(i).map_or(0, |token| token.span().start().line);
        if used && colons(tokens, i) {
            i += 2;
        }
        loop {
            if let (Some(body), true) = (group(tokens.get(i), Delimiter::Brace), used) {
                let inner = inside(body);
                for part in inner.split(|token| is(Some(token), ',')).filter(|part| !part.is_empty()) {
                    self.path(part, 0, at, &segments, true);
                }
                return i + 1;
            }
            let Some(name) = word(tokens.get(i)).or_else(|| is(tokens.get(i), '*').then(|| "*".to_owned())) else {
                break;
            };
            line = tokens[i].span().start().line;
            i += 1;
            // `{self}` stands for what is before it.
            if name != "self" || segments.is_empty() {
                segments.push(name);
            }
            if !colons(tokens, i) {
                break;
            }
            i += 2;
        }
        if i == from {
            return from + 1;
        }
        self.names.bare.push_str(&segments.join("::"));
        if colons(tokens, i.saturating_sub(2)) {
            self.names.bare.push_str("::");
        }
        if used {
            let renamed = (word(tokens.get(i)).as_deref() == Some("as")).then(|| word(tokens.get(i + 1))).flatten();
            i += if renamed.is_some() { 2 } else { 0 };
            if let Some(short) = renamed.or_else(|| segments.last().cloned()) {
                self.short.insert(short, (segments.clone(), at.to_vec()));
            }
        }
        if used || segments.len() > 1 {
            self.written.push(Written { line, segments, at: at.to_vec() });
        }
        i
    }
}

fn is_doc(group: &Group) -> bool {
    word(group.stream().into_iter().next().as_ref()).as_deref() == Some("doc")
}

const fn signs(delimiter: Delimiter) -> (&'static str, &'static str) {
    match delimiter {
        Delimiter::Parenthesis => ("(", ")"),
        Delimiter::Brace => ("{", "}"),
        Delimiter::Bracket => ("[", "]"),
        Delimiter::None => ("", ""),
    }
}
