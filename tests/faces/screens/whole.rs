//! Nothing is cut off, covered or missing, in any window from 60x20 to 200x60, in any look.

use std::collections::BTreeMap;

use ratatui::buffer::Buffer;
use ratatui::style::Modifier;

use super::{SHOTS, Shot};

fn all() -> impl Iterator<Item = &'static Shot> {
    SHOTS.0.iter().flatten().chain(&SHOTS.1)
}

fn row(buffer: &Buffer, y: u16) -> String {
    (0..buffer.area.width).map(|x| buffer[(x, y)].symbol()).collect()
}

/// Words of what to do now: the only ones that are loud, the stage and what is a single sign left aside.
fn action(buffer: &Buffer) -> Vec<String> {
    let loud = Modifier::BOLD | Modifier::REVERSED;
    let mut words = Vec::new();
    for y in 0..buffer.area.height {
        let said: String = (0..buffer.area.width)
            .map(|x| if buffer[(x, y)].modifier.contains(loud) { buffer[(x, y)].symbol() } else { "\n" })
            .collect();
        let runs = said.split('\n').filter(|run| !run.starts_with('[') && run.chars().any(char::is_lowercase));
        words.extend(runs.flat_map(str::split_whitespace).map(str::to_owned));
    }
    words
}

#[test]
fn every_window_has_a_title_a_footer_at_its_foot_and_all_of_what_to_do() {
    let (mut asked, mut wrong) = (BTreeMap::<&str, Vec<String>>::new(), Vec::new());
    for shot in all() {
        let (name, size) = (shot.name, shot.size);
        assert!(!row(&shot.buffer, 0).trim().is_empty(), "{name} {size:?}: no title\n{}", shot.text);
        let foot = row(&shot.buffer, size.1 - 1);
        assert!(foot.contains("F1") || foot.contains("Enter"), "{name} {size:?}: no footer\n{}", shot.text);
        // While somebody searches, the text stands where the action does.
        let action = if name == "rack-search" { Vec::new() } else { action(&shot.buffer) };
        let known = asked.entry(name).or_insert_with(|| action.clone());
        if *known != action {
            wrong.push(format!("{name} {size:?}: {action:?}\n{}", shot.text));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(asked.values().filter(|action| action.len() > 2).count() > 10);
}

/// Signs of pictures that are letters.
fn is_drawn(word: &str) -> bool {
    word.contains("xx") || word.chars().all(|c| "lrb".contains(c))
}

#[test]
fn no_word_is_cut_off_or_covered() {
    let largest = SHOTS.1.iter().map(|shot| shot.size).max();
    let mut seen: BTreeMap<String, BTreeMap<(u16, u16), &str>> = BTreeMap::new();
    for shot in all() {
        for word in shot.text.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 2) {
            seen.entry(word.to_lowercase()).or_default().insert(shot.size, shot.name);
        }
    }
    // What is whole stands so in windows of other sizes; a piece of a word in those that are as narrow.
    let odd: Vec<_> = seen
        .iter()
        .filter(|(word, at)| at.len() == 1 && !is_drawn(word) && at.keys().all(|size| Some(*size) != largest))
        .collect();
    assert!(odd.is_empty(), "{odd:?}");
    assert!(seen.len() > 500, "{}", seen.len());
}
