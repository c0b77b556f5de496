//! The table: what is measured, what is wanted, and beside it the rule of thumb.

use super::tally::{Book, Kind, Z95};

/// What a figure should be.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Wanted {
    AtLeast(f64),
    AtMost(f64),
    Between(f64, f64),
    /// At most so much above another figure of this table.
    Above(&'static str, f64),
    /// Told beside another one.
    Told,
}

/// One row.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    pub(crate) name: &'static str,
    pub(crate) says: &'static str,
    pub(crate) kind: Kind,
    pub(crate) wanted: Wanted,
    /// The rule of thumb beside it.
    pub(crate) thumb: Option<&'static str>,
}

const fn share(name: &'static str, says: &'static str, wanted: Wanted) -> Row {
    Row { name, says, kind: Kind::Share, wanted, thumb: None }
}

const fn mean(name: &'static str, says: &'static str, wanted: Wanted) -> Row {
    Row { name, says, kind: Kind::Mean, wanted, thumb: None }
}

const fn beside(row: Row, thumb: &'static str) -> Row {
    Row { thumb: Some(thumb), ..row }
}

use Wanted::{Above, AtLeast, AtMost, Between, Told};

pub(crate) const ROWS: &[Row] = &[
    beside(share("true", "lengths truly within 0.20 mm after a whole round", AtLeast(0.99)), "thumb true"),
    share("true, sd 0.10", "... readings scatter by 0.10, 0.05 assumed", AtLeast(0.98)),
    beside(share("true, hand 30 %", "... a hand whose strokes spread by 30 %", AtLeast(0.99)), "thumb true, hand 30 %"),
    beside(share("gap true", "gaps truly within 0.10 mm", Told), "thumb gap true"),
    share("angle true", "angles truly within 2 degrees", Told),
    share("again length", "lengths left open at the end", AtMost(0.02)),
    share("again gap", "gaps left open at the end", AtMost(0.03)),
    share("again angle 0.5", "angles left open, side spread 0.5 degrees", Above("bound angle 0.5", 0.05)),
    share("bound angle 0.5", "... the least that the readings allow", Told),
    share("again angle 1.0", "angles left open, side spread 1.0", Above("bound angle 1.0", 0.05)),
    share("bound angle 1.0", "... the least that the readings allow", Told),
    share("again angle 1.5", "angles left open, side spread 1.5", Above("bound angle 1.5", 0.05)),
    share("bound angle 1.5", "... the least that the readings allow", Told),
    share("visits", "loops with at most real faults + 2 visits at the proof", AtLeast(0.99)),
    mean("number of visits", "visits at the proof, a loop", Told),
    mean("readings", "readings a cutter", AtMost(5.6)),
    mean("readings after", "... of lengths after filing", Told),
    mean("readings angle", "... of angles", Told),
    mean("readings gap", "... of gaps", Told),
    mean("readings, hand 30 %", "... a hand of 30 %", AtMost(7.0)),
    mean("steel", "steel off a cutter, mm", Told),
    share("said though out", "lengths said even though truly out", AtMost(0.005)),
    share("calibration", "truly even where 95 % or more is said", AtLeast(0.97)),
    share("good though low", "rakers said good though truly too low", AtMost(0.0005)),
    share("deviant length 1.25", "said even though out by 1.25 tolerances: length", AtMost(0.03)),
    share("deviant length 1.5", "... by 1.5", AtMost(0.01)),
    share("deviant angle 1.25", "... angle, 1.25", AtMost(0.10)),
    share("bound deviant angle 1.25", "... by whoever knows the hand's middle and spread", Told),
    share("deviant angle 1.5", "... by 1.5", AtMost(0.05)),
    share("bound deviant angle 1.5", "... by whoever knows the hand's middle and spread", Told),
    share("deviant gap 1.25", "... gap, 1.25", AtMost(0.05)),
    share("deviant gap 1.5", "... by 1.5", AtMost(0.01)),
    mean("not proven", "even loop measured once: cutters of 36 not proven", AtMost(4.0)),
    beside(share("plan even", "plan within 1.02 of the least steel: even loop", AtLeast(0.85)), "thumb plan even"),
    share("plan even, read again", "... once the deciding cutter is read again", AtLeast(0.90)),
    share("under even", "... shortest more than 0.10 mm under the target", Told),
    beside(share("plan spread", "... spread 0.1", AtLeast(0.80)), "thumb plan spread"),
    share("plan spread, read again", "... once the deciding cutter is read again", AtLeast(0.90)),
    share("under spread", "... shortest more than 0.10 mm under the target", Told),
    beside(share("plan struck", "... two struck", AtLeast(0.80)), "thumb plan struck"),
    share("bound plan struck", "... by whoever knows all lengths but those of the struck", Told),
    share("plan struck, read again", "... once the deciding cutter is read again", AtLeast(0.90)),
    share("under struck", "... shortest more than 0.10 mm under the target", Told),
    beside(
        share("strokes in the band", "in the band after the strokes first told, round 2", AtLeast(0.50)),
        "thumb strokes",
    ),
    share("strokes past", "... more than 0.05 mm past at the end", AtMost(0.02)),
    beside(share("struck 0.08", "cutter 0.5 mm short found, spread 0.08", AtLeast(0.99)), "thumb struck 0.08"),
    share("bound struck 0.08", "... by whoever knows middle and spread", Told),
    beside(share("false struck 0.08", "... where none is", AtMost(0.05)), "thumb false 0.08"),
    beside(share("struck 0.15", "cutter 0.5 mm short found, spread 0.15", AtLeast(0.60)), "thumb struck 0.15"),
    share("bound struck 0.15", "... by whoever knows middle and spread", Told),
    beside(share("false struck 0.15", "... where none is", AtMost(0.05)), "thumb false 0.15"),
    share("missed, 1 in 10", "struck cutter missed, one loop in ten has one", AtMost(0.01)),
    share("measured, 1 in 10", "... cutters measured", Told),
    share("missed, 1 in 3", "struck cutter missed, one loop in three has one", AtMost(0.02)),
    share("measured, 1 in 3", "... cutters measured", Told),
    share("forecast 0.5", "rounds left within what was told (90 %), spread 0.5", Between(0.88, 0.93)),
    mean("width 0.5", "... its width against the best possible", AtMost(1.5)),
    share("forecast 0.15", "... spread 0.15", Between(0.88, 0.93)),
    mean("width 0.15", "... its width against the best possible", AtMost(1.5)),
    share("forecast 0.8", "... spread 0.8", Between(0.88, 0.93)),
    mean("width 0.8", "... its width against the best possible", AtMost(1.5)),
    share("slip asked, length before", "slips beyond the tolerance asked about: length before", AtLeast(0.85)),
    share("slip asked, gap before", "... gap in a first round", AtLeast(0.85)),
    share("slip asked, angle", "... angle", AtLeast(0.85)),
    share("slip asked or flagged", "slips beyond the tolerance asked about or flagged", AtLeast(0.97)),
    share("slip short, known", "0.2 to 1.6 mm too short, cutter known: asked", AtLeast(0.95)),
    share("inches for a gap", "inches for a gap: asked", AtLeast(0.99)),
    share("stroke slip asked", "33 strokes for 3: asked", AtLeast(0.99)),
    share("rate moved", "... kept, it moves the rate by more than 10 %", AtMost(0.01)),
    share("asked all", "honest readings asked about", AtMost(0.01)),
    share("asked length", "... lengths of a loop known from its last round", AtMost(0.015)),
    share("rakers low", "rakers filed more than 0.10 mm too low", AtMost(0.01)),
    share("told", "... of them told", Told),
    share("rakers low, geometry off", "... geometry off as assumed, wear-scaled gap", AtMost(0.03)),
    share("told, geometry off", "... of them in loops of which it is told", AtLeast(0.90)),
    share("named, geometry off", "... of them named one by one", Told),
    share("drift said, 0.01", "drift said where there is none", AtMost(0.05)),
    share("drift covers, 0.01", "... its interval (95 %) covers", AtLeast(0.85)),
    share("drift said, 0.1", "drift said where there is none, caliper of 0.1", AtMost(0.05)),
    share("drift covers, 0.1", "... its interval (95 %) covers", AtLeast(0.85)),
    share("balance, sd 0.10", "left less right within what is told (90 %), sd 0.10", AtLeast(0.85)),
    share("balance, half measured", "... half measured", Between(0.88, 0.93)),
    beside(
        share("retired, 0.01", "loops called spent, shortest 0.1 above the mark", AtMost(0.01)),
        "thumb retired, 0.01",
    ),
    beside(share("retired, 0.1", "... caliper of 0.1", AtMost(0.01)), "thumb retired, 0.1"),
];

impl Wanted {
    fn words(self, kind: Kind, book: &Book) -> String {
        match self {
            Self::AtLeast(least) => format!(">= {}", show(kind, least)),
            Self::AtMost(most) => format!("<= {}", show(kind, most)),
            Self::Between(low, high) => format!("{} to {}", show(kind, low), show(kind, high)),
            Self::Above(other, more) => {
                let bound = value(book, other).map_or("?".to_owned(), |bound| show(kind, bound + more));
                format!("<= {bound}")
            }
            Self::Told => String::new(),
        }
    }

    fn is_met(self, value_is: f64, book: &Book) -> Option<bool> {
        match self {
            Self::AtLeast(least) => Some(value_is >= least),
            Self::AtMost(most) => Some(value_is <= most),
            Self::Between(low, high) => Some((low..=high).contains(&value_is)),
            Self::Above(other, more) => value(book, other).map(|bound| value_is <= bound + more),
            Self::Told => None,
        }
    }
}

fn value(book: &Book, name: &str) -> Option<f64> {
    book.0.get(name)?.value()
}

/// A share in percent, with as many digits as it needs; a mean in its unit.
fn show(kind: Kind, value: f64) -> String {
    match kind {
        Kind::Share if value < 0.01 && value > 0.0 => format!("{:.2} %", value * 100.0),
        Kind::Share => format!("{:.1} %", value * 100.0),
        Kind::Mean => format!("{value:.3}"),
    }
}

/// The whole table as text; rows that nothing was measured for are left out.
pub(crate) fn text(book: &Book) -> String {
    let mut lines = vec![format!(
        "{:<62} {:>9}  {:<19} {:>14}  {:<6} {:>13}",
        "", "measured", "95 % interval", "wanted", "", "rule of thumb"
    )];
    for row in ROWS {
        let Some(tally) = book.0.get(row.name).filter(|tally| tally.value().is_some()) else { continue };
        let (at, interval) = (tally.value().unwrap_or(f64::NAN), tally.interval(row.kind, Z95));
        let (low, high) = interval.unwrap_or((f64::NAN, f64::NAN));
        let verdict = row.wanted.is_met(at, book).map_or("", |met| if met { "" } else { "MISSED" });
        let thumb = row.thumb.and_then(|name| value(book, name)).map_or(String::new(), |at| show(row.kind, at));
        lines.push(format!(
            "{:<62} {:>9}  {:<19} {:>14}  {:<6} {:>13}",
            row.says,
            show(row.kind, at),
            format!("{} to {}", show(row.kind, low), show(row.kind, high)),
            row.wanted.words(row.kind, book),
            verdict,
            thumb
        ));
    }
    lines.join("\n")
}
