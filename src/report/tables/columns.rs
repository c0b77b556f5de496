//! The columns of every table.

use chrono::{DateTime, FixedOffset};

use super::Column;
use super::rows::{CutterRow, LoopRow, PersonRow, ReadingRow, RoundRow, SawRow, reading};
use crate::report::data::{Number, number, number_cell, text_cell};
use crate::round::Event;
use crate::round::about::cutter_of;
use crate::saw::{Grade, Part, Saw};

/// A cell that is empty where there is nothing to put in.
fn maybe(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

fn said(text: Option<&String>) -> String {
    text.map(|text| text_cell(text)).unwrap_or_default()
}

fn at(time: Option<DateTime<FixedOffset>>) -> String {
    time.map(|time| time.to_rfc3339()).unwrap_or_default()
}

/// A column: its name, what it means, its cell.
macro_rules! columns {
    ($($name:literal, $means:literal, $cell:expr;)*) => {
        &[$(Column { name: $name, means: $means, cell: $cell }),*]
    };
}

pub(super) const LOOPS: &[Column<LoopRow>] = columns! {
    "loop", "Tag of the loop: its key.", |row| row.part.tag.clone();
    "name", "Its name on screen.", |row| text_cell(&row.part.name);
    "owner", "Whose it is.", |row| text_cell(&row.part.owner);
    "saw_name", "The saw that its card names.", |row| text_cell(&row.part.saw);
    "saw", "Key of that saw; it joins saws.saw where the saw has a record.", |row| maybe(row.saw.as_ref());
    "profile", "Name of its chain type.", |row| text_cell(&row.part.profile);
    "links", "Drive links.", |row| row.part.links.to_string();
    "cutters", "How many cutters it has.", |row| maybe(row.card.layout().ok().map(|layout| layout.count()));
    "created", "When it came into care.", |row| row.card.created.to_rfc3339();
    "state", "new, ready, open (a round waits), practice (set aside for it), rejected, or scrapped (out of care).", |row| <&str>::from(row.part.state).to_owned();
    "status", "How it stands after its newest round: ready, watch, do-not-use, not-finished, not-measured.",
        |row| maybe(row.part.status.as_ref().map(|status| <&str>::from(status.word)));
    "life_left", "Share of its usable life that is left.", |row| number_cell(row.part.life_left);
    "stage", "Which raker gap its wear calls for: fixed, worth (the wear-scaled gap is worth using), due, retire.",
        |row| maybe(row.part.stage);
    "rounds", "Closed rounds.", |row| row.rounds.to_string();
    "last", "When somebody last worked on it.", |row| maybe(row.part.last.as_ref());
    "next", "When the next round is due if rounds go on coming as they did; only of a loop that is ready.",
        |row| maybe(row.part.next.as_ref());
    "promised", "Day that it is promised for, kept or not.", |row| maybe(row.part.promised);
    "overdue", "true where that day is past and nobody has fetched it.", |row| row.part.overdue.to_string();
    "brought", "Day it was last brought.", |row| maybe(row.part.brought);
    "brought_by", "Who brought it.", |row| said(row.part.brought_by.as_ref());
    "fetched", "Day it was fetched since.", |row| maybe(row.part.fetched);
    "fetched_by", "Who fetched it.", |row| said(row.part.fetched_by.as_ref());
    "cut_agreed", "Rounds after which it cut as the sheet had said.", |row| row.part.cut.agreed.to_string();
    "cut_of", "Rounds that this rests on.", |row| row.part.cut.of.to_string();
    "new_loop_price", "What a new loop costs, in the owner's money.", |row| maybe(row.card.prices.new_loop);
    "round_price", "What a round costs, in the owner's money.", |row| maybe(row.card.prices.round);
    "scrapped", "When it was taken out of care.", |row| at(row.card.scrapped.as_ref().map(|scrapped| scrapped.at));
    "scrapped_why", "Why it was taken out of care.", |row| said(row.card.scrapped.as_ref().map(|scrapped| &scrapped.reason));
};

pub(super) const ROUNDS: &[Column<RoundRow>] = columns! {
    "round", "Key of the round: its loop and its start.", |row| row.key.clone();
    "loop", "The loop; it joins loops.loop.", |row| row.tag.clone();
    "started", "When it began; of readings taken in from a table, when they were measured.", |row| row.row.started.clone();
    "ended", "When its last entry was made.", |row| row.row.ended.clone();
    "how", "signed, rejected or abandoned; empty while it is open.", |row| maybe(row.row.how.map(<&str>::from));
    "sharpener", "Who filed; it joins people.person.", |row| text_cell(&row.row.sharpener);
    "tool", "file or grinder.", |row| row.row.tool.to_string();
    "wood", "any, hardwood or softwood-no-frost.", |row| <&str>::from(row.row.wood).to_owned();
    "profile", "Name of the chain type that it worked by.", |row| text_cell(&row.profile);
    "rule", "Rule for the raker gap: fixed, scaled, plate or setting.", |row| maybe(row.row.rule.map(<&str>::from));
    "target_mm", "Length filed to.", |row| number_cell(row.row.target_mm);
    "median_before_mm", "Median length as the cutters came.", |row| number_cell(row.row.median_before_mm);
    "median_after_mm", "Median length after.", |row| number_cell(row.row.median_after_mm);
    "spread_before_mm", "Longest less shortest as they came.", |row| number_cell(row.row.spread_before_mm);
    "spread_after_mm", "Longest less shortest after, of those brought to one length.", |row| number_cell(row.row.spread_after_mm);
    "left_less_right_mm", "Mean left less mean right.", |row| number_cell(row.row.left_less_right_mm);
    "wear_mm", "What the median lost since the signed round before.", |row| number_cell(row.row.wear_mm);
    "removed_mm", "Length taken off all cutters together.", |row| number_cell(row.row.removed.map(|removed| removed.all_mm));
    "removed_wear_mm", "Part of it that dull edges needed.", |row| number_cell(row.row.removed.map(|removed| removed.wear_mm));
    "removed_damage_mm", "Part of it that damage needed.", |row| number_cell(row.row.removed.map(|removed| removed.damage_mm));
    "removed_evening_mm", "The rest: what uneven cutters cost.", |row| number_cell(row.row.removed.map(|removed| removed.evening_mm));
    "evening_share", "That rest as a share of all that was taken off.",
        |row| number_cell(row.row.removed.and_then(|removed| removed.evening_share));
    "strokes", "Strokes given, where they were told.", |row| maybe(row.row.strokes);
    "minutes", "Minutes at the bench, pauses left out.", |row| number_cell(row.row.minutes);
    "promised_cut", "What the sheet let expect of the cut.", |row| maybe(row.row.promised.map(<&str>::from));
    "cut_since", "How it cut after it, as the next intake told.", |row| maybe(row.row.cut_since.map(<&str>::from));
};

pub(super) const CUTTERS: &[Column<CutterRow>] = columns! {
    "round", "The round; it joins rounds.round.", |row| row.round.clone();
    "loop", "The loop; it joins loops.loop.", |row| row.tag.clone();
    "cutter", "Number from the start mark; with the round it is the key.", |row| row.cutter.number.to_string();
    "side", "left or right.", |row| row.cutter.side.to_string();
    "state", "kept, damaged, left-short or missing.", |row| row.cutter.state.to_string();
    "length_before_mm", "Length as it came, the mean of its readings.", |row| number_cell(number(row.cutter.before.mean()));
    "length_after_mm", "Length after filing.", |row| number_cell(number(row.cutter.after.mean()));
    "angle_deg", "Top-plate angle after filing.", |row| number_cell(number(row.cutter.angle.mean()));
    "gap_before_mm", "Raker gap as the raker stood.", |row| number_cell(number(row.cutter.gap_before.mean()));
    "gap_after_mm", "Raker gap after the raker was filed.", |row| number_cell(number(row.cutter.gap_after.mean()));
    "strokes", "Strokes given in this round.", |row| maybe(row.cutter.strokes);
    "need_mm", "Length that damage needs to go, where it was told.", |row| number_cell(number(row.cutter.need));
    "notes", "Remarks on it.", |row| text_cell(&row.cutter.notes.join("; "));
};

pub(super) const READINGS: &[Column<ReadingRow>] = columns! {
    "round", "The round; it joins rounds.round.", |row| row.round.clone();
    "seq", "Place in the round's record; with the round it is the key.", |row| row.entry.seq.to_string();
    "loop", "The loop; it joins loops.loop.", |row| row.tag.clone();
    "cutter", "The cutter; with the round it joins cutters. Empty for a reading of the whole loop.",
        |row| maybe(cutter_of(&row.entry.event));
    "reading", "length-before, length-after, angle, gap-before, gap-after, strokes, zero (jaws closed) or new-length.",
        |row| maybe(reading(&row.entry.event));
    "value", "What was read: mm, degrees, or the number of strokes.", |row| value(&row.entry.event);
    "again", "true for a repeat that is averaged with the one before.", |row| again(&row.entry.event).to_string();
    "voided", "true where it was taken back and counts no more.", |row| row.is_voided.to_string();
    "at", "When it was recorded.", |row| row.entry.at.to_rfc3339();
    "person", "Who entered it; it joins people.person.", |row| text_cell(&row.by);
    "typed", "What was typed or sent, as it came.", |row| said(row.entry.typed.as_ref());
};

pub(super) const SAWS: &[Column<SawRow>] = columns! {
    "saw", "Key of the saw.", |row| row.saw.header.tag.clone();
    "name", "Its name as cards have it.", |row| text_cell(&row.saw.header.name);
    "started", "When its record began.", |row| row.saw.header.started.to_rfc3339();
    "looked_at", "When it was last looked at.", |row| at(row.saw.checks.values().map(|check| check.at).max());
    "rails", "Bar rails as last found: good, watch, bad or not-looked.", |row| grade(&row.saw, Part::Rails);
    "groove", "Bar groove.", |row| grade(&row.saw, Part::Groove);
    "straight", "Whether the bar is straight.", |row| grade(&row.saw, Part::Straight);
    "nose", "Bar nose.", |row| grade(&row.saw, Part::Nose);
    "sprocket", "Sprocket.", |row| grade(&row.saw, Part::Sprocket);
    "oil", "Whether oil reaches bar and chain.", |row| grade(&row.saw, Part::Oil);
    "tension", "Tension, cold.", |row| grade(&row.saw, Part::Tension);
    "tension_warm", "Tension, warm.", |row| grade(&row.saw, Part::TensionWarm);
};

pub(super) const PEOPLE: &[Column<PersonRow>] = columns! {
    "person", "The name: its key.", |row| text_cell(&row.name);
    "length_u_mm", "Standard uncertainty of one of their length readings, where it was measured.",
        |row| number_cell(number(row.listed.as_ref().and_then(|listed| listed.length_u)));
    "gap_u_mm", "The same of a gap.", |row| number_cell(number(row.listed.as_ref().and_then(|listed| listed.gap_u)));
    "angle_u_deg", "The same of an angle.", |row| number_cell(number(row.listed.as_ref().and_then(|listed| listed.angle_u)));
};

fn grade(saw: &Saw, part: Part) -> String {
    let word = |grade: Grade| match grade {
        Grade::NotLooked => "not-looked",
        Grade::Good => "good",
        Grade::Watch => "watch",
        Grade::Bad => "bad",
    };
    saw.checks.get(&part).map(|check| word(check.found).to_owned()).unwrap_or_default()
}

fn value(event: &Event) -> String {
    let mm = |length: crate::units::Millimetres| Number(length.get()).to_string();
    match event {
        Event::Length { mm: length, .. } | Event::Gap { mm: length, .. } | Event::Zero { mm: length } => mm(*length),
        Event::NewLength { mm: length } => length.map(mm).unwrap_or_default(),
        Event::Angle { deg, .. } => Number(deg.get()).to_string(),
        Event::Strokes { count, .. } => count.to_string(),
        _ => String::new(),
    }
}

const fn again(event: &Event) -> bool {
    match event {
        Event::Length { again, .. } | Event::Gap { again, .. } | Event::Angle { again, .. } => *again,
        _ => false,
    }
}
