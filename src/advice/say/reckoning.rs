//! How a figure came about, in words: a claim, its lines, where the numbers come from, how sure it is, what would change it.

mod terms;

use super::skill::judged_with;
use super::{count, length, percent};
use crate::advice::reckoning::{Change, Line, Op, Operand, Picture, Reckoning, Source, Subject, Sure, Term, Value};
use crate::round::Reading;
use crate::units::Unit;
use terms::term;

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
