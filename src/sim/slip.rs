//! Slips between the eye and the record: what is typed where something else was read.

use super::Dice;

/// A slip of typing or sending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// The point stands one place off.
    PointMoved,
    /// The point is missing.
    PointLost,
    /// A digit did not arrive.
    Dropped,
    /// A digit arrived twice.
    Doubled,
    /// The value of the cutter beside it.
    Neighbour,
    /// Two digits changed places.
    Transposed,
    /// Inches for millimetres.
    OtherUnit,
    /// The same line once more, after so many milliseconds.
    SentTwice(i64),
}

impl Slip {
    /// Share of single entries that are wrong.
    ///
    /// Source: a review of 93 papers on data entry (95 % interval 0.24 to 0.35 %), PMC13078370.
    pub const PER_FIELD: f64 = 0.0029;

    /// All kinds.
    pub const ALL: [Self; 9] = [
        Self::PointMoved,
        Self::PointLost,
        Self::Dropped,
        Self::Doubled,
        Self::Neighbour,
        Self::Transposed,
        Self::OtherUnit,
        Self::SentTwice(150),
        Self::SentTwice(700),
    ];

    /// What is typed instead of `text`; `beside` is what the cutter beside it reads. `None` where this slip leaves the text as
    /// it is, or leaves no number.
    pub fn typed(self, text: &str, beside: &str, dice: &mut Dice) -> Option<String> {
        let digits: Vec<usize> = text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
        let at = *digits.get(dice.whole(digits.len()))?;
        let other = match self {
            Self::PointMoved => moved(text, dice.chance(0.5))?,
            Self::PointLost => text.replace('.', ""),
            Self::Dropped => format!("{}{}", &text[..at], &text[at + 1..]),
            Self::Doubled => format!("{}{}", &text[..=at], &text[at..]),
            Self::Neighbour => beside.to_owned(),
            Self::Transposed => {
                let first = dice.whole(digits.len().checked_sub(1)?);
                let mut bytes = text.as_bytes().to_vec();
                bytes.swap(*digits.get(first)?, *digits.get(first + 1)?);
                String::from_utf8(bytes).ok()?
            }
            Self::OtherUnit => format!("{:.3}", text.parse::<f64>().ok()? / 25.4),
            Self::SentTwice(_) => return None,
        };
        let is_number = other.parse::<f64>().is_ok();
        (is_number && other != text).then_some(other)
    }
}

/// The point one place to the right or to the left.
fn moved(text: &str, right: bool) -> Option<String> {
    let (whole, part) = text.split_once('.')?;
    if right {
        let (first, rest) = part.split_at_checked(1)?;
        Some(if rest.is_empty() { format!("{whole}{first}") } else { format!("{whole}{first}.{rest}") })
    } else {
        let (rest, last) = whole.split_at_checked(whole.len().checked_sub(1)?)?;
        Some(format!("{}.{last}{part}", if rest.is_empty() { "0" } else { rest }))
    }
}
