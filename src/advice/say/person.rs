//! What is known of one person, in words: every figure with its interval and with what it rests on.

use super::count;
use super::saw::capital;
use crate::advice::person::{
    Creeps, Figures, Known, LEAST_FILINGS, LEAST_ROUNDS, LEAST_TREND, Person, Quantity, StrokeRate, Trend,
};
use crate::units::{Millimetres, Unit, mm};

/// What the signs mean, said once above the figures.
pub(crate) const SIGNS: &str =
    "+ is longer, a larger angle or more gap than was wanted. In brackets: the 90 % interval.";

/// A figure of a quantity: angles in degrees.
fn shown(quantity: Quantity, unit: Unit, value: f64) -> String {
    if quantity == Quantity::Angle { format!("{value:.1}") } else { unit.show(mm(value)) }
}

/// With its sign.
fn signed(quantity: Quantity, unit: Unit, value: f64) -> String {
    let size = shown(quantity, unit, value.abs());
    // Nothing that is left by rounding has a sign.
    let sign = match size.contains(|c: char| ('1'..='9').contains(&c)) {
        false => "",
        true if value < 0.0 => "-",
        true => "+",
    };
    format!("{sign}{size}")
}

const fn unit_of(quantity: Quantity, unit: Unit) -> &'static str {
    match quantity {
        Quantity::Angle => "degrees",
        Quantity::Length | Quantity::Gap => unit.name(),
    }
}

impl Quantity {
    const fn name(self) -> &'static str {
        match self {
            Self::Length => "lengths",
            Self::Angle => "angles",
            Self::Gap => "raker gaps",
        }
    }

    /// What it is measured against.
    const fn wanted(self) -> &'static str {
        match self {
            Self::Length => "the length chosen",
            Self::Angle => "the angle wanted",
            Self::Gap => "the gap wanted",
        }
    }
}

impl Figures {
    /// How one quantity comes out on one side.
    pub(crate) fn words(&self, unit: Unit) -> String {
        let head = format!("{} {}", capital(&self.side.to_string()), self.quantity.name());
        let rests = format!("{}, {}", count(self.rounds, "round"), count(self.cutters, "cutter"));
        let quantity = self.quantity;
        let Some(off) = self.off else {
            return format!("{head}: too few to judge: {rests}; at least {LEAST_ROUNDS} rounds are needed.");
        };
        let of = |value: f64| signed(quantity, unit, value);
        let chance = if off.low <= 0.0 && off.high >= 0.0 { "; it may be chance" } else { "" };
        let scatter = self.scatter.map(|Known { value, low, high }| {
            let of = |value: f64| shown(quantity, unit, value);
            format!("scatter {} ({} to {})", of(value), of(low), of(high))
        });
        let scatter = scatter.unwrap_or_else(|| "too few a round to tell a scatter".to_owned());
        format!(
            "{head}: on average {} {} from {} ({} to {}{chance}), {scatter}; {rests}.",
            of(off.value),
            unit_of(quantity, unit),
            quantity.wanted(),
            of(off.low),
            of(off.high),
        )
    }

    /// How it goes from round to round; nothing where too little is known of it to be judged at all.
    pub(crate) fn trend(&self, unit: Unit) -> Option<String> {
        let name = format!("{} {}", capital(&self.side.to_string()), self.quantity.name());
        self.off?;
        let changes = |trend: Trend, what: &str| match trend {
            Trend::Changes(Known { value, low, high }) => Some(format!(
                "{what} changes by {} {} a round ({} to {})",
                fine(self.quantity, unit, value),
                unit_of(self.quantity, unit),
                fine(self.quantity, unit, low),
                fine(self.quantity, unit, high)
            )),
            Trend::TooFew | Trend::NotProven => None,
        };
        let said = [changes(self.scatter_trend, "the scatter"), changes(self.off_trend, "the mean")];
        let said: Vec<String> = said.into_iter().flatten().collect();
        let rests = count(self.rounds, "round");
        Some(match (said.is_empty(), self.off_trend) {
            (true, Trend::TooFew) => {
                format!("{name}: too few rounds to tell a trend: {rests} of at least {LEAST_TREND}.")
            }
            (true, _) => format!("{name}: no trend is proven over {rests}."),
            (false, _) => format!("{name}: {}, over {rests}.", said.join("; ")),
        })
    }
}

/// A change a round, with one digit more than a reading has.
fn fine(quantity: Quantity, unit: Unit, value: f64) -> String {
    let text = match (quantity, unit) {
        (Quantity::Angle, _) => format!("{value:+.2}"),
        (_, Unit::Mm) => format!("{value:+.3}"),
        (_, Unit::Inch) => format!("{:+.4}", mm(value).inches()),
    };
    let is_nothing = !text.contains(|c: char| ('1'..='9').contains(&c));
    if is_nothing { text.trim_start_matches(['+', '-']).to_owned() } else { text }
}

/// An uncertainty with its unit, with one digit more than a reading has.
pub(crate) fn uncertainty(unit: Unit, value: Millimetres) -> String {
    format!("{} {}", fine(Quantity::Length, unit, value.get()).trim_start_matches('+'), unit.name())
}

impl StrokeRate {
    /// What a stroke takes on one side.
    pub(crate) fn words(&self, unit: Unit) -> String {
        let (side, profile, rests) = (self.side, &self.profile, count(self.filings, "filing"));
        let Some(Known { value, low, high }) = self.rate else {
            return format!(
                "{profile}, {side} side: too few filings to tell what a stroke takes: {rests} of at least {LEAST_FILINGS}."
            );
        };
        let of = |value: f64| fine(Quantity::Length, unit, value).trim_start_matches('+').to_owned();
        format!(
            "{profile}, {side} side: a stroke takes {} {} ({} to {}); {rests}.",
            of(value),
            unit.name(),
            of(low),
            of(high)
        )
    }
}

impl Creeps {
    /// How lengths change along one side.
    pub(crate) fn words(&self, unit: Unit) -> String {
        let (side, rests) = (self.side, count(self.rounds, "round"));
        let Some(Known { value, low, high }) = self.change else {
            return format!(
                "{} lengths: too few to judge: {rests} of at least {LEAST_ROUNDS}.",
                capital(&side.to_string())
            );
        };
        let of = |value: f64| signed(Quantity::Length, unit, value);
        let chance = if low <= 0.0 && high >= 0.0 { "; it may be chance" } else { "" };
        format!(
            "{} lengths: {} {} from the first cutter to the last ({} to {}{chance}); {rests}.",
            capital(&side.to_string()),
            of(value),
            unit.name(),
            of(low),
            of(high)
        )
    }
}

/// How well one reading repeats: by a study of one's own, by a figure of one's own, or as is usual.
pub(crate) fn repeats(what: &str, figure: &str, own: bool, studied: Option<&str>) -> String {
    match (own, studied) {
        (true, Some(day)) => format!("One {what} reading is uncertain by {figure}: own study of {day}."),
        (true, None) => format!("One {what} reading is uncertain by {figure}: own figure, as listed."),
        (false, _) => format!("One {what} reading is taken to be uncertain by {figure}, as is usual: never studied."),
    }
}

impl Person {
    /// What strokes take, a line each.
    pub(crate) fn rate_lines(&self, unit: Unit) -> Vec<String> {
        self.rates.iter().map(|rate| rate.words(unit)).collect()
    }

    /// How cutters come out, a line each, with the step of the readings beside the scatter.
    pub(crate) fn figure_lines(&self, unit: Unit) -> Vec<String> {
        let mut lines: Vec<String> = self.figures.iter().map(|figures| figures.words(unit)).collect();
        let judged = |figures: &&Figures| figures.quantity == Quantity::Length && figures.scatter.is_some();
        if let Some(step) = self.step.filter(|_| self.figures.iter().any(|figures| judged(&figures))) {
            let step = unit.show_named(Millimetres::new(step));
            lines.push(format!(
                "Lengths were read in steps of {step}: a scatter below 0.3 of that is rounding, not the hand."
            ));
        }
        lines
    }

    /// What changes along a side within a round.
    pub(crate) fn creep_lines(&self, unit: Unit) -> Vec<String> {
        self.creeps.iter().map(|creeps| creeps.words(unit)).collect()
    }

    /// What changes from round to round.
    pub(crate) fn trend_lines(&self, unit: Unit) -> Vec<String> {
        self.figures.iter().filter_map(|figures| figures.trend(unit)).collect()
    }
}
