//! A loop's life: what every round found, took and left, what unevenness cost, and how long it will last.
//!
//! It is made from the rounds' summaries, not from their files, so that a loop of five hundred rounds is shown at once. Wear
//! and cost count signed rounds only; the others are listed for what they are.

mod data;
mod facts;
mod fan;
mod html;
mod rows;
mod sections;
mod steel;
mod text;

use crate::advice::forecast::Expected;
use crate::advice::say::status;
use crate::advice::{Agreement, Forecast, forecast::LEVEL};
use crate::chain::{Spec, Wood};
use crate::report::data::Number;
use crate::report::release::ReleasePart;
use crate::round::{Card, Summary, Tool};
use crate::stats::compare::welch;
use crate::stats::summary;
use crate::units::clean::clean;
pub(super) use rows::{Removed, Row, rows};
use serde::Serialize;

/// What rounds with one tool came to: means over its signed rounds.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct ToolPart {
    tool: Tool,
    rounds: usize,
    wear_mm: Option<Number>,
    spread_after_mm: Option<Number>,
    evening_share: Option<Number>,
    minutes: Option<Number>,
}

/// File less grinder.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Compared {
    wear_mm: Option<Number>,
    low_mm: Option<Number>,
    high_mm: Option<Number>,
    line: String,
}

/// What keeping the loop has cost, in the owner's own money.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Cost {
    /// New loop and rounds so far.
    to_date: Number,
    /// What a round costs: its own price and its share of a new loop, as the forecast and the sheet have it.
    per_round: Option<Number>,
    /// The same in words, the work and the loop apart.
    line: Option<String>,
    /// What was spent to date for each signed round.
    to_date_each: Option<Number>,
    /// What evening-up threw away of a new loop's price.
    unevenness: Option<Number>,
    /// What a new loop costs.
    new_loop: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Ahead {
    per_round_mm: Number,
    rounds_left: Option<u32>,
    low: Option<u32>,
    high: Option<u32>,
    rounds_to_changeover: Option<u32>,
    date: Option<String>,
    visible: bool,
    line: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Retired {
    at: String,
    reason: String,
    /// How many rounds were still left.
    early_by: Option<u32>,
}

/// The cut as the judge of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct CutPart {
    #[serde(rename = "loop")]
    of_loop: Agreement,
    workshop: Option<Agreement>,
    /// Some loops of the workshop could not be read.
    #[serde(skip)]
    in_part: bool,
}

/// The life of one loop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct History {
    #[serde(rename = "loop")]
    tag: String,
    name: String,
    owner: Option<String>,
    profile: String,
    new_length_mm: Number,
    mark_length_mm: Number,
    /// Length at the changeover, for any wood.
    worth_length_mm: Number,
    rounds: Vec<Row>,
    signed: usize,
    removed: Removed,
    tools: Vec<ToolPart>,
    compared: Compared,
    cost: Option<Cost>,
    ahead: Ahead,
    retired: Option<Retired>,
    /// What coming rounds are expected to leave, to be drawn.
    #[serde(skip)]
    expected: Vec<Expected>,
    /// How often it cut as its sheets had said, and over the whole workshop.
    cut: CutPart,
    /// What holds it back, where a round rejected it and nobody released it since.
    held: Option<String>,
    releases: Vec<ReleasePart>,
    /// Files that it had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    /// Of the invented workshop: what is printed of it says so.
    #[serde(skip)]
    demo: bool,
    /// Its saw, and what is known to be wrong with it.
    saw: Option<SawLine>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct SawLine {
    name: String,
    hint: Option<String>,
}

impl History {
    /// The loop's life from its closed rounds, oldest first. `spec` is the profile's with the loop's own figures in their place.
    pub fn of(rounds: &[Summary], card: &Card, spec: &Spec, forecast: &Forecast) -> Self {
        let rows = rows(rounds);
        let signed = rows.iter().filter(|row| row.is_signed()).count();
        let removed =
            rows.iter().filter(|row| row.is_signed()).filter_map(|row| row.removed).fold([0.0; 4], Removed::add);
        let ahead = ahead(forecast);
        let held = status::kept_back(card, card.held(rounds).as_ref());
        let over = card.scrapped.is_some() || held.is_some();
        Self {
            tag: card.tag.clone(),
            name: clean(&card.name),
            owner: Some(clean(&card.owner)).filter(|owner| !owner.is_empty()),
            profile: card.profile.clone(),
            new_length_mm: Number(spec.new_length.get()),
            mark_length_mm: Number(spec.mark_length.get()),
            worth_length_mm: Number((spec.new_length - spec.worth_wear(Wood::Any)).get()),
            signed,
            removed: Removed::new(removed),
            tools: [Tool::File, Tool::Grinder].into_iter().filter_map(|tool| tool_part(&rows, tool)).collect(),
            compared: compared(&rows),
            cost: cost(card, spec, &rows, forecast),
            retired: card.scrapped.as_ref().map(|scrapped| Retired {
                at: scrapped.at.to_rfc3339(),
                reason: clean(&scrapped.reason),
                early_by: ahead.rounds_left.filter(|left| *left > 0),
            }),
            cut: CutPart { of_loop: Agreement::of(rounds), workshop: None, in_part: false },
            held,
            releases: card.releases.iter().map(ReleasePart::of).collect(),
            ahead,
            expected: if over { Vec::new() } else { forecast.fan(spec.mark_length) },
            rounds: rows,
            saw: None,
            not_read: Vec::new(),
            demo: false,
        }
    }

    /// The same, of the invented workshop or not: what is printed of it says so in its first line.
    #[must_use]
    pub const fn with_demo(mut self, demo: bool) -> Self {
        self.demo = demo;
        self
    }

    /// The same, without these files, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// Files that it had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// With how often loops of the whole workshop cut as their sheets had said; `all_read` where none of them could not be read.
    #[must_use]
    pub const fn with_workshop(mut self, cut: Agreement, all_read: bool) -> Self {
        self.cut = CutPart { workshop: Some(cut), in_part: !all_read, ..self.cut };
        self
    }

    /// With the name of the loop's saw and what is known to be wrong with it.
    #[must_use]
    pub fn with_saw(mut self, name: &str, hint: Option<String>) -> Self {
        self.saw = Some(SawLine { name: clean(name), hint }).filter(|saw| !saw.name.is_empty());
        self
    }

    /// How many rounds it lists.
    pub fn len(&self) -> usize {
        self.rounds.len()
    }

    /// True without a round.
    pub fn is_empty(&self) -> bool {
        self.rounds.is_empty()
    }
}

fn of_tool(rows: &[Row], tool: Tool) -> impl Iterator<Item = &Row> {
    rows.iter().filter(move |row| row.is_signed() && row.tool == tool)
}

fn tool_part(rows: &[Row], tool: Tool) -> Option<ToolPart> {
    let mean = |value: fn(&Row) -> Option<Number>| {
        let values: Vec<f64> = of_tool(rows, tool).filter_map(value).map(|number| number.0).collect();
        summary::mean(&values).ok().map(Number)
    };
    let rounds = of_tool(rows, tool).count();
    (rounds > 0).then(|| ToolPart {
        tool,
        rounds,
        wear_mm: mean(|row| row.wear_mm),
        spread_after_mm: mean(|row| row.spread_after_mm),
        evening_share: mean(Row::evening_share),
        minutes: mean(|row| row.minutes),
    })
}

/// Welch's interval of the mean wear of a round, file less grinder, at the forecast's level. Rounds are not drawn by lot, so it
/// shows a difference and not its cause.
fn compared(rows: &[Row]) -> Compared {
    let wears = |tool| -> Vec<f64> { of_tool(rows, tool).filter_map(|row| row.wear_mm).map(|n| n.0).collect() };
    let of = |tool| summary::Summary::of(&wears(tool)).ok();
    let found = of(Tool::File).zip(of(Tool::Grinder)).and_then(|(file, grinder)| welch(&file, &grinder, LEVEL).ok());
    let Some(found) = found else {
        let line = "File against grinder: at least two signed rounds of each are needed.".to_owned();
        return Compared { wear_mm: None, low_mm: None, high_mm: None, line };
    };
    let (low, high) = (found.estimate.interval.low, found.estimate.interval.high);
    let line = match (low > 0.0, high < 0.0) {
        (true, _) => "The file took more a round than the grinder.",
        (_, true) => "The grinder took more a round than the file.",
        _ => "File and grinder cannot be told apart yet.",
    };
    Compared {
        wear_mm: Some(Number(found.estimate.value)),
        low_mm: Some(Number(low)),
        high_mm: Some(Number(high)),
        line: line.to_owned(),
    }
}

fn cost(card: &Card, spec: &Spec, rows: &[Row], forecast: &Forecast) -> Option<Cost> {
    let prices = &card.prices;
    if prices.new_loop.is_none() && prices.round.is_none() {
        return None;
    }
    let signed = rows.iter().filter(|row| row.is_signed());
    let rounds = signed.clone().count() as f64;
    let to_date = prices.new_loop.unwrap_or(0.0) + prices.round.unwrap_or(0.0) * rounds;
    // Evening-up as a share of each round's steel, of the usable length that the round spent.
    let spent: f64 = signed.filter_map(|row| Some(row.wear_mm?.0.max(0.0) * row.evening_share()?.0)).sum::<f64>()
        / spec.usable().get();
    // Nothing summed up is minus nothing.
    let spent = spent + 0.0;
    Some(Cost {
        to_date: Number(to_date),
        per_round: forecast.cost.map(|cost| Number(cost.per_round)),
        line: forecast.cost.map(|cost| cost.words()),
        to_date_each: (rounds > 0.0).then(|| Number(to_date / rounds)),
        unevenness: prices.new_loop.map(|price| Number(price * spent)),
        new_loop: prices.new_loop.map(Number),
    })
}

fn ahead(forecast: &Forecast) -> Ahead {
    let left = forecast.to_mark.map(|ahead| ahead.rounds);
    let shown = forecast.visible;
    Ahead {
        per_round_mm: Number::from(forecast.wear.mean),
        rounds_left: left.filter(|_| shown).and_then(|rounds| rounds.best),
        low: left.map(|rounds| rounds.low),
        high: left.and_then(|rounds| rounds.high),
        rounds_to_changeover: forecast.to_changeover.filter(|_| shown).and_then(|ahead| ahead.rounds.best),
        date: forecast.to_mark.and_then(|ahead| ahead.date).map(|date| date.to_rfc3339()),
        visible: shown,
        line: forecast.words(),
    }
}
