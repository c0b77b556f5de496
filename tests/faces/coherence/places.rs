//! Every place that speaks of the loop, read at one moment from a copy of its folder.

use std::fs;
use std::path::Path;

use evenbite::care::{Filter, Row, Workshop};
use evenbite::report::Format;
use evenbite::units::Unit;
use serde_json::Value;

use super::hand::{Hand, SAW, TAG};
use super::tables::{Tables, rows};
use crate::played::{MONO, rehearsal};

/// What one place says.
#[derive(Debug, Clone)]
pub(super) struct Told {
    /// Which place.
    pub place: &'static str,
    /// Its words, white space folded.
    pub words: String,
}

/// Everything that was read.
pub(super) struct Read {
    /// Places that speak in words.
    pub told: Vec<Told>,
    /// Lines of the pages, whole, by the page they stand on.
    pub pages: Vec<(&'static str, Vec<String>)>,
    /// The sheet as JSON.
    pub sheet: Value,
    /// The life as JSON.
    pub history: Value,
    /// The page of its saw as JSON.
    pub saw: Value,
    /// The tag as JSON.
    pub tag: Value,
    /// The same as tables, and the table of all cutters.
    pub tables: Tables,
    /// The row of the rack.
    pub row: Row,
    /// The loop's card as its form shows it.
    pub card: String,
    /// A doubtful reading waits for an answer.
    pub asks: bool,
    /// The round is closed.
    pub closed: bool,
    /// The unit of the round.
    pub unit: Unit,
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// Text without the broken lines that a width makes.
pub(super) fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words of a page, without what is drawn.
fn page(html: &str) -> String {
    let document = scraper::Html::parse_document(html);
    let body = scraper::Selector::parse("body").unwrap();
    let words: Vec<String> = document
        .select(&body)
        .flat_map(|body| body.descendants())
        .filter(|node| {
            !node
                .ancestors()
                .any(|over| over.value().as_element().is_some_and(|e| e.name() == "svg" || e.name() == "style"))
        })
        .filter_map(|node| node.value().as_text().map(|text| text.to_string()))
        .collect();
    folded(&words.join(" "))
}

/// Every piece of a page that is read in one go.
fn lines(html: &str) -> Vec<String> {
    let document = scraper::Html::parse_document(html);
    let piece = scraper::Selector::parse("h1, h2, h3, p, li, th, td, caption, dt, dd, figcaption").unwrap();
    document.select(&piece).map(|piece| folded(&piece.text().collect::<String>())).collect()
}

/// What the plain face says to a round that is gone on with, until its first question.
fn plain(care: &Workshop, hand: &Hand) -> Vec<String> {
    let now = hand.now();
    let mut out = Vec::new();
    let input = format!("{TAG}\n");
    evenbite::plain::run(care, input.as_bytes(), &mut out, || now, "", false).unwrap();
    String::from_utf8(out).unwrap().lines().map(folded).collect()
}

/// Reads every place from a copy of the folder.
pub(super) fn read(hand: &Hand) -> Read {
    let dir = crate::scratch::folder();
    let data = dir.path().join("data");
    copy(&hand.data(), &data);
    let care = Workshop::open(data).unwrap();
    let round = hand.round();
    let (unit, closed, now) = (round.header.units, round.closed.is_some(), hand.now());
    let card = care.card(TAG).unwrap();
    let sheet = care.sheet_of(&care.coach(&card, round));
    let life = care.history(TAG).unwrap();
    let saw = care.saw_report(SAW).unwrap();
    let tags = care.tags(&[TAG.to_owned()], Filter::InCare, now).unwrap();
    let row = care.rows(now).rows.into_iter().find(|row| row.tag == TAG).unwrap();
    let pages = [
        ("full sheet", sheet.html()),
        ("owner's page", sheet.owner_html()),
        ("life", life.html(unit)),
        ("saw's page", saw.render(Format::Html, unit, true)),
        ("tags", tags.render(Format::Html, unit, true)),
    ];
    let [full, owners, of_life, of_saw, of_tags] = pages.each_ref().map(|(_, html)| page(html));
    let mut told: Vec<Told> = [
        ("full sheet as text", sheet.text(true)),
        ("full sheet as page", full),
        ("owner's page as text", sheet.owner_text(true)),
        ("owner's page as page", owners),
        ("life as text", life.text(unit, true)),
        ("life as page", of_life),
        ("saw as text", saw.render(Format::Text, unit, true)),
        ("saw as page", of_saw),
        ("tag as text", tags.render(Format::Text, unit, true)),
        ("tag as page", of_tags),
        ("round on the screen", hand.play.screen()),
    ]
    .map(|(place, text)| Told { place, words: folded(&text) })
    .into();
    let dialogue = if closed { Vec::new() } else { plain(&care, hand) };
    if !closed {
        told.push(Told { place: "plain face", words: folded(&dialogue.join(" ")) });
    }
    let mut rack = rehearsal(care.clone(), (140, 45), MONO, now);
    told.push(Told { place: "rack on the screen", words: folded(&rack.screen()) });
    rack.play("key e").unwrap();
    let mut export = Vec::new();
    hand.rack().export_csv(&mut export).unwrap();
    let tables = Tables {
        sheet: rows(&sheet.csv()),
        life: rows(&life.csv()),
        saw: rows(&saw.csv()),
        tag: rows(&tags.csv()),
        export: rows(&String::from_utf8(export).unwrap()),
    };
    let json = |text: &str| serde_json::from_str(text).unwrap();
    Read {
        told,
        pages: pages.map(|(place, html)| (place, lines(&html))).into_iter().chain([("plain face", dialogue)]).collect(),
        sheet: json(&sheet.json()),
        history: json(&life.json()),
        saw: json(&saw.render(Format::Json, unit, true)),
        tag: json(&tags.render(Format::Json, unit, true)),
        tables,
        row,
        card: rack.screen(),
        asks: hand.asks(),
        closed,
        unit,
    }
}
