//! How a figure came about, in words: a claim, its lines, where the numbers come from, how sure it is, what would change it.

use super::skill::judged_with;
use super::{count, cutters, length, percent};
use crate::advice::reckoning::{Change, Line, Op, Operand, Picture, Reckoning, Source, Subject, Sure, Term, Value};
use crate::round::Reading;
use crate::units::Unit;

/// Columns of what a line is called.
const NAME: usize = 27;

/// A reckoning in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    /// What is reckoned, and the figure.
    pub claim: String,
    /// Line by line: what it is called, and the sum.
    pub lines: Vec<(String, String)>,
    /// Where the numbers come from.
    pub numbers: String,
    /// How sure it is.
    pub sure: String,
    /// What would change it.
    pub change: String,
    /// Which picture shows it; empty for none.
    pub picture: &'static str,
    /// Which lesson it belongs to.
    pub lesson: String,
}

impl Told {
    /// The lines, the sums below each other.
    pub(crate) fn sums(&self) -> Vec<String> {
        self.lines.iter().map(|(name, sum)| format!("  {name:<NAME$}{sum}")).collect()
    }

    /// Everything, line by line, for a face that prints lines and for the ear: the numbers of each source on one line.
    pub(crate) fn paragraphs(&self) -> Vec<String> {
        let mut lines = vec![self.claim.clone()];
        lines.extend(self.sums());
        for (name, text) in self.rest() {
            if text == self.numbers {
                lines.push(format!("{name}:"));
                lines.extend(text.trim_end_matches('.').split("; ").map(|part| format!("  {part}")));
            } else {
                lines.push(format!("{name}: {text}"));
            }
        }
        lines
    }

    /// What follows the lines: name and text.
    pub(crate) fn rest(&self) -> Vec<(&'static str, String)> {
        let picture = if self.picture.is_empty() { String::new() } else { format!("; picture: {}", self.picture) };
        vec![
            ("Numbers", self.numbers.clone()),
            ("How sure", self.sure.clone()),
            ("Changes with", self.change.clone()),
            ("Learn more", format!("{}{picture}.", self.lesson)),
        ]
    }
}

impl Reckoning {
    /// In words, lengths in that unit.
    pub(crate) fn told(&self, unit: Unit) -> Told {
        let line = |line: &Line| (term(&line.term, unit), sum(line, unit));
        let lesson = self.subject.lesson();
        Told {
            claim: self.claim(unit),
            lines: self.lines.iter().map(line).collect(),
            numbers: numbers(&self.lines, unit),
            sure: match self.judged.as_ref().and_then(|(who, skill)| judged_with(skill, who, unit)) {
                Some(judged) => format!("{} Judged with {judged}.", self.sure.words(unit)),
                None => self.sure.words(unit),
            },
            change: self.change.words(unit),
            picture: self.subject.picture().words(),
            lesson: format!("lesson {}, {}", lesson.number(), lesson.title()),
        }
    }
}

impl Reckoning {
    /// What is reckoned, and what it comes to.
    fn claim(&self, unit: Unit) -> String {
        match (self.subject, self.shown) {
            (Subject::LeftShort, Value::Count(n)) => {
                format!("Leaving short: at most {} of this loop.", count(super::whole(n) as usize, "cutter"))
            }
            (subject, shown) => format!("{}: {}.", subject.name(), named(shown, subject, unit)),
        }
    }
}

impl Subject {
    /// What is reckoned.
    pub(crate) fn name(self) -> String {
        let reading = |reading: Reading| match reading {
            Reading::Angle => "angle",
            Reading::GapBefore | Reading::GapAfter => "raker gap",
            Reading::Strokes => "strokes",
            Reading::LengthBefore | Reading::LengthAfter => "length",
        };
        match self {
            Self::Gap(number, rule) => format!("Raker gap wanted at cutter {number}, {}", rule.word()),
            Self::LowRaker(number) => format!("Raker of cutter {number} too low: off its tooth to make it right"),
            Self::Length => "Length to file to".to_owned(),
            Self::Allowed => "Another length was chosen; the readings now allow".to_owned(),
            Self::LeftShort => "Leaving short: saved on each other cutter".to_owned(),
            Self::Strokes(number) => format!("Cutter {number}, to give now"),
            Self::Even(number) => format!("Cutter {number}, even or not; off by"),
            Self::Again(number, read) => format!("Cutter {number}, {} once more; off by", reading(read)),
            Self::Balance => "Left against right, left less right".to_owned(),
            Self::Changeover => "Past the changeover to the wear-scaled gap, chance".to_owned(),
            Self::Rounds => "Rounds left to the witness mark".to_owned(),
            Self::File => "Round file for this length".to_owned(),
            Self::Rotation => "Which loop to run next, ahead of the other by".to_owned(),
        }
    }
}

/// A figure with what it counts.
fn named(value: Value, subject: Subject, unit: Unit) -> String {
    match (value, subject) {
        (Value::Length(value), Subject::File) => unit.file_size(value),
        (Value::Length(value), _) => length(unit, value),
        (Value::Angle(angle), _) => format!("{:.1} degrees", angle.get()),
        (Value::Count(n), Subject::Strokes(_)) => count(super::whole(n) as usize, "stroke"),
        (Value::Share(p), Subject::Changeover) => percent(p),
        (Value::Share(p), _) => format!("{:.0} % of a life", 100.0 * p),
        (other, _) => bare(other, unit),
    }
}

/// A number as a line shows it: enough digits to go on reckoning with.
pub(crate) fn bare(value: Value, unit: Unit) -> String {
    match value {
        Value::Length(length) => unit.show(length),
        Value::Angle(angle) => format!("{:.1} deg", angle.get()),
        Value::Ratio(ratio) if ratio.abs() >= 10.0 => format!("{ratio:.1}"),
        Value::Ratio(ratio) => {
            let text = format!("{ratio:.3}");
            let short = text.trim_end_matches('0');
            if short.ends_with('.') { format!("{short}0") } else { short.to_owned() }
        }
        Value::Count(n) if (n - n.round()).abs() < 1e-9 => format!("{n:.0}"),
        Value::Count(n) => format!("{n:.2}"),
        Value::Share(p) => format!("{:.0} %", 100.0 * p),
    }
}

/// A number that a line works on: what one stroke takes is so small that it is shown with one more digit to divide by.
fn given(operand: &Operand, unit: Unit) -> String {
    match (operand.value, &operand.term, unit) {
        (Value::Length(takes), Term::StrokeTakes, Unit::Mm) => format!("{:.3}", takes.get()),
        (Value::Length(takes), Term::StrokeTakes, Unit::Inch) => format!("{:.5}", takes.inches()),
        (value, ..) => bare(value, unit),
    }
}

/// The operation with its numbers, and the result.
fn sum(line: &Line, unit: Unit) -> String {
    let a = given(&line.a, unit);
    let b = line.b.as_ref().map(|b| given(b, unit)).unwrap_or_default();
    let result = bare(line.result, unit);
    match line.op {
        Op::AsIs => result,
        Op::Plus => format!("{a} + {b} = {result}"),
        Op::Less => format!("{a} - {b} = {result}"),
        Op::Times => format!("{a} x {b} = {result}"),
        Op::Over => format!("{a} / {b} = {result}"),
        Op::Tangent => format!("tangent of {a} = {result}"),
        Op::Least => format!("the smaller of {a} and {b} = {result}"),
        Op::Greatest => format!("the larger of {a} and {b} = {result}"),
        Op::Root => format!("root of {a}^2 + {b}^2 = {result}"),
        Op::Nearest => format!("{a}, to the nearest = {result}"),
        Op::Whole => format!("{a}, whole ones = {result}"),
        Op::Chance => format!("{a}, known to +-{b}: {}", percent(line.result.get())),
    }
}

/// Where the numbers come from, each once.
fn numbers(lines: &[Line], unit: Unit) -> String {
    let operands = lines.iter().flat_map(|line| [Some(&line.a), line.b.as_ref()]).flatten();
    let mut told: Vec<(String, String)> = Vec::new();
    for operand in operands {
        let Some(source) = operand.source.words() else { continue };
        let number = format!("{} {}", given(operand, unit), term(&operand.term, unit));
        match told.iter_mut().find(|(known, _)| *known == source) {
            Some((_, numbers)) if numbers.contains(&number) => {}
            Some((_, numbers)) => numbers.push_str(&format!(", {number}")),
            None => told.push((source, number)),
        }
    }
    let told: Vec<String> = told.into_iter().map(|(source, numbers)| format!("{numbers} ({source})")).collect();
    format!("{}.", told.join("; "))
}

impl Source {
    /// In a few words; none for a line above.
    fn words(self) -> Option<String> {
        Some(match self {
            Self::Line(_) => return None,
            Self::Read => "yours, read".to_owned(),
            Self::Best => "yours, the best value of your readings".to_owned(),
            Self::Chosen => "yours, chosen".to_owned(),
            Self::Loop(origin) => origin.word().to_owned(),
            Self::Card => "on the loop's card".to_owned(),
            Self::Profile(Some(standing)) => format!("the profile, {standing}"),
            Self::Profile(None) => "the profile".to_owned(),
            Self::Proposal => "our proposal".to_owned(),
            Self::Past => "from what was filed so far".to_owned(),
            Self::Reckoned => "reckoned".to_owned(),
        })
    }
}

impl Sure {
    fn words(self, unit: Unit) -> String {
        let of = |value| bare(value, unit);
        match self {
            Self::Set => "a number that was set: no reading moves it.".to_owned(),
            Self::Moves { length: known, figure } => format!(
                "the length is known to +-{}, which moves the figure by {}.",
                length(unit, known),
                length(unit, figure)
            ),
            Self::Within(u) => format!("known to +-{}.", length(unit, u)),
            Self::Between(low, high) => format!("{} to {}, in nine cases of ten.", of(low), of(high)),
            Self::Chance(p) => {
                format!("{} that it is within tolerance; called proven from 95 %, or under 5 %.", percent(p))
            }
            Self::IsPast(p) => {
                format!("{} that the middle cutter is past it; the share of the bite is our proposal.", percent(p))
            }
            Self::Shortest { u, unmeasured } => {
                let rest = match unmeasured {
                    0 => String::new(),
                    n => format!(" {} not measured: one of them may be shorter.", count(n, "cutter")),
                };
                format!("the shortest is known to +-{}; it may end a little under this.{rest}", length(unit, u))
            }
            Self::Table => "a table of the profile, by wear.".to_owned(),
            Self::Lives => "as well as each loop's shortest cutter tells its life.".to_owned(),
        }
    }
}

impl Change {
    fn words(self, unit: Unit) -> String {
        match self {
            Self::GapWanted => {
                "the cutter's length, the rule chosen, the wood. The maker's limit comes first.".to_owned()
            }
            Self::LowRaker => "a second reading of the gap; steel cannot be put back.".to_owned(),
            Self::Length { again: Some(number) } => {
                format!("cutter {number} measured once more: it was read once; or one cutter left short.")
            }
            Self::Length { again: None } => "a cutter left short, or more to take off the shortest.".to_owned(),
            Self::LeftShort => "a second reading of the shortest, or less to take off it.".to_owned(),
            Self::Strokes => "the next length you measure: each filing teaches what your stroke takes.".to_owned(),
            Self::OneMore { now, then } => {
                format!("one reading more: known to +-{} then, +-{} now.", bare(then, unit), bare(now, unit))
            }
            Self::Sets => "this one reading: it sets the length that all are filed to.".to_owned(),
            Self::Balance => "more cutters measured on both sides, or the file.".to_owned(),
            Self::NewCutter => "a new cutter measured; more readings of worn ones hardly help.".to_owned(),
            Self::Wear => "more wear; readings only make it surer.".to_owned(),
            Self::Rounds => "rounds that take less off the shortest.".to_owned(),
            Self::Turn => "a round on one of them.".to_owned(),
        }
    }
}

impl Picture {
    /// Its name.
    const fn words(self) -> &'static str {
        match self {
            Self::Raker => "corner and raker",
            Self::Tooth => "the tooth",
            Self::Cutter => "the cutter from the side",
            Self::Above => "the cutter from above",
            Self::Curve => "raker gap by length",
            Self::Lengths => "lengths round the loop",
            Self::None => "",
        }
    }
}

/// What a number or a line is called.
fn term(term: &Term, unit: Unit) -> String {
    let text = match term {
        Term::FallPerMm => return per_mm("height lost", unit),
        Term::GapPerMm => return per_mm("gap wanted", unit),
        Term::GapRise => return per_mm("gap wanted rises", unit),
        Term::RegainPerMm => return per_mm("regained", unit),
        Term::Shorter(number) => return format!("cutter {number} now"),
        Term::LifeLeft(name) => return format!("life left, {name}"),
        Term::SpentOf(name) => return format!("life spent of {name}"),
        Term::LengthWithout(short) => return format!("without {}", cutters(short)),
        other => fixed(other),
    };
    text.to_owned()
}

fn per_mm(what: &str, unit: Unit) -> String {
    format!("{what} {}", if unit == Unit::Mm { "per mm" } else { "per inch" })
}

#[allow(clippy::too_many_lines, reason = "a list of words")]
const fn fixed(term: &Term) -> &'static str {
    match term {
        Term::All => "all",
        Term::AllowedOver => "may end above it by",
        Term::Along => "raker to corner and foot",
        Term::AngleNow => "angle",
        Term::AngleWanted => "angle wanted",
        Term::AtLeastOne => "at least, to sharpen it",
        Term::AtMost => "the most allowed",
        Term::AwayBy => "apart by",
        Term::BandHalf => "half the band to end in",
        Term::BaseGap => "gap when new",
        Term::BiteAngle => "bite angle to keep",
        Term::Chance => "past it: chance",
        Term::Chosen => "length chosen",
        Term::ChosenBy(true) => "you chose lower, by",
        Term::ChosenBy(false) => "you chose higher, by",
        Term::CornerDrop => "drop of the corner",
        Term::Cutters => "cutters",
        Term::DueLife => "of its life: due anyway",
        Term::Each => "off each, on average",
        Term::File => "file",
        Term::FileFrom(true) => "file from there on",
        Term::FileFrom(false) => "file from new on",
        Term::FileShare => "of it above the plate",
        Term::Foot => "foot ahead of the raker",
        Term::ForAll => "that, on all of them",
        Term::FromLife => "spent where this file begins",
        Term::Further => "further from the raker",
        Term::GapNow => "gap now",
        Term::GapWanted => "gap wanted",
        Term::Half => "half of it, either way",
        Term::HalfWidth => "scatter of the readings",
        Term::HeightAbove => "stands above the top plate",
        Term::HeightNow => "corner above the foot",
        Term::HeightStep => "in height",
        Term::HeldBack => "kept back: might pass it",
        Term::High => "at most",
        Term::Inside => "within tolerance: chance",
        Term::LeftLessRight => "left less right",
        Term::LeftMean => "left, mean",
        Term::LeftToMark => "left to the mark",
        Term::LengthForAll => "with all kept",
        Term::LengthNow => "length now",
        Term::LengthThen => "length then",
        Term::LessLife => "less life left",
        Term::LifeShare => "of a cutter's life",
        Term::LoseMore => "each other one loses more",
        Term::Low => "at least",
        Term::LowBy => "too low by",
        Term::Margin => "alike within",
        Term::MarkLength => "witness mark",
        Term::MayBeShort => "may be left short",
        Term::MayEndAt => "sharp at",
        Term::MiddleLength => "middle length",
        Term::MoreLife => "more life left",
        Term::MoreThanWorth => "more than a round by",
        Term::MustSave => "has to save a round's wear",
        Term::Need => "to take to be sharp",
        Term::NewLength => "length when new",
        Term::Off(true) => "longer by",
        Term::Off(false) => "shorter by",
        Term::OneInTwelve => "one in so many",
        Term::Outside => "outside tolerance: chance",
        Term::OverLimit => "over the most allowed by",
        Term::OverTolerance => "over the tolerance by",
        Term::PastBy => "past it by",
        Term::PastStep => "past where it begins by",
        Term::PerRound => "wear of a round",
        Term::PlateHeight => "corner above foot, new",
        Term::PlateSlot => "slot above the plate's line",
        Term::Prior => "usual wear of a round",
        Term::PriorRounds => "rounds that it counts for",
        Term::PriorTaken => "usual wear, weighed",
        Term::RampAt => "corner above plate's line",
        Term::RampShare => "the raker's part of that",
        Term::Reach => "reach",
        Term::ReachAtShare => "reach where the bite fades",
        Term::ReachGrew => "reach grew by",
        Term::ReachGrowth => "reach grows with wear",
        Term::ReachNew => "reach when new",
        Term::Reference => "length to be",
        Term::RightMean => "right, mean",
        Term::Risk => "risk that is taken",
        Term::RiskOver => "more than the risk taken",
        Term::Room => "inside the limit by",
        Term::Rounds => "in usual rounds",
        Term::RoundsLeft => "rounds left",
        Term::RoundsNear => "rounds in that",
        Term::Saved => "saved on each other one",
        Term::ShareOfTwelve => "one in twelve of them",
        Term::Smallest => "the shortest reads short",
        Term::SpentShare => "of its life is spent",
        Term::StrokeTakes => "a stroke of yours takes",
        Term::StrokesNear => "strokes in that",
        Term::StrokesTold => "strokes to give",
        Term::StrokesWished => "whole strokes",
        Term::Taken => "taken by the rounds so far",
        Term::TakenTogether => "together",
        Term::Target => "length to file to",
        Term::ToMiddle => "to the middle of the band",
        Term::ToTake => "to come off",
        Term::Together => "both uncertain, together",
        Term::Tolerance => "tolerance",
        Term::TooLittle => "less than that by",
        Term::InDoubt => "short of it, in doubt",
        Term::ToothOff => "off the tooth",
        Term::Typical => "a usual round takes",
        Term::U => "how well it is known",
        Term::UMedian => "middle length, uncertain",
        Term::UWorth => "changeover, uncertain",
        Term::Uncapped => "gap without the limit",
        Term::UnderMark => "under the mark by",
        Term::Usable => "from new to the mark",
        Term::Weight => "rounds, the usual among them",
        Term::Worn => "worn",
        Term::Worth => "worth it from",
        Term::FallPerMm
        | Term::GapPerMm
        | Term::GapRise
        | Term::RegainPerMm
        | Term::Shorter(_)
        | Term::LifeLeft(_)
        | Term::SpentOf(_)
        | Term::LengthWithout(_) => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::mm;

    #[test]
    fn a_file_is_called_as_it_is_sold() {
        let size = Value::Length(mm(5.2));
        assert_eq!(named(size, Subject::File, Unit::Inch), "13/64 in");
        assert_eq!(named(size, Subject::File, Unit::Mm), "5.2 mm");
    }

    #[test]
    fn the_rule_is_named_with_the_gap() {
        let name = Subject::Gap(crate::chain::nth(7), crate::chain::Rule::Scaled).name();
        assert_eq!(name, "Raker gap wanted at cutter 7, wear-scaled gap");
    }
}
