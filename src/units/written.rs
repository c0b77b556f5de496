//! Lengths as people of either unit write them: limits, file sizes, rough figures, examples.
//!
//! What the file is for: a sentence that names a length asks here, so that nobody who reads inches meets millimetres.

use super::{MM_PER_INCH, Millimetres, Unit};

/// Parts of an inch in which files are sold.
const FILE_PARTS: u32 = 64;

impl Unit {
    /// A cutter length that could be typed: `8.05` or `0.317`.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Mm => "8.05",
            Self::Inch => "0.317",
        }
    }

    /// The largest length that is read at all.
    pub(crate) const fn largest(self) -> &'static str {
        match self {
            Self::Mm => "10000 mm",
            Self::Inch => "393 in",
        }
    }

    /// The length with no more digits than it needs, without the unit's name: `8.05`, `0.5`, `0.317`. For a field that is
    /// filled in already.
    pub fn short(self, length: Millimetres) -> String {
        let text = match self {
            Self::Mm => format!("{:.4}", length.get()),
            Self::Inch => format!("{:.5}", length.inches()),
        };
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if matches!(text, "-0" | "") { "0".to_owned() } else { text.to_owned() }
    }

    /// What a length may be, both ends included: `0.2 to 1.2 mm` or `0.008 to 0.047 in`. An end is shown inside the range.
    pub fn range(self, low: Millimetres, high: Millimetres) -> String {
        match self {
            Self::Mm => format!("{} to {} mm", self.short(low), self.short(high)),
            // To the thousandth that a person would type, which must then be taken.
            Self::Inch => format!("{} to {} in", thou(low, f64::ceil), thou(high, f64::floor)),
        }
    }

    /// A length that is only meant roughly: `0.5 mm` or `0.02 in`.
    pub fn rough(self, length: Millimetres) -> String {
        match self {
            Self::Mm => format!("{} mm", self.short(Millimetres::new((length.get() * 10.0).round() / 10.0))),
            Self::Inch => {
                let hundredths = (length.inches() * 100.0).round() / 100.0;
                format!("{} in", self.short(Millimetres::from_inches(hundredths)))
            }
        }
    }

    /// Two rough lengths: `2 to 3 mm` or `0.08 to 0.12 in`.
    pub fn rough_range(self, low: Millimetres, high: Millimetres) -> String {
        let low = self.rough(low);
        let number = low.split_once(' ').map_or(low.as_str(), |(number, _)| number);
        format!("{number} to {}", self.rough(high))
    }

    /// The diameter of a round file as it is sold: `5.2 mm` or `13/64 in`.
    pub fn file_size(self, diameter: Millimetres) -> String {
        match self {
            Self::Mm => format!("{:.1} mm", diameter.get()),
            Self::Inch => {
                let parts = diameter.get() / MM_PER_INCH * f64::from(FILE_PARTS);
                let (mut over, mut under) = (parts.round(), FILE_PARTS);
                while under > 1 && over % 2.0 == 0.0 {
                    (over, under) = (over / 2.0, under / 2);
                }
                format!("{over:.0}/{under} in")
            }
        }
    }

    /// How far apart the rows of a table of cutter lengths stand: 0.5 mm or 0.010 in.
    pub const fn table_step(self) -> Millimetres {
        match self {
            Self::Mm => Millimetres::new(0.5),
            Self::Inch => Millimetres::from_inches(0.010),
        }
    }
}

/// A pitch as it is sold, which is in inches in every workshop: `3/8 inch`, `.325 inch`.
pub fn pitch_as_sold(pitch: Millimetres) -> String {
    let eighths = pitch.inches() * 8.0;
    match eighths.round() {
        even if (eighths - even).abs() < 0.01 && even % 2.0 == 0.0 => format!("{:.0}/4 inch", even / 2.0),
        odd if (eighths - odd).abs() < 0.01 => format!("{odd:.0}/8 inch"),
        _ => format!("{:.3} inch", pitch.inches()).trim_start_matches('0').to_owned(),
    }
}

fn thou(length: Millimetres, round: fn(f64) -> f64) -> String {
    // A bound that is a whole number of thousandths must not be rounded past itself.
    let thousandths = length.inches() * 1000.0;
    let whole = if (thousandths - thousandths.round()).abs() < 1e-6 { thousandths.round() } else { round(thousandths) };
    format!("{:.3}", whole / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::mm;

    #[test]
    fn files_are_called_as_they_are_sold() {
        // Both sizes stand on the packets of round files for saw chain.
        for (diameter, fraction) in
            [(4.0, "5/32 in"), (4.5, "11/64 in"), (4.8, "3/16 in"), (5.2, "13/64 in"), (5.5, "7/32 in")]
        {
            assert_eq!(Unit::Inch.file_size(mm(diameter)), fraction);
            assert_eq!(Unit::Mm.file_size(mm(diameter)), format!("{diameter:.1} mm"));
        }
    }

    #[test]
    fn pitches_are_called_as_they_are_sold() {
        for (inch, name) in [(0.25, "1/4 inch"), (0.325, ".325 inch"), (0.375, "3/8 inch"), (0.404, ".404 inch")] {
            assert_eq!(pitch_as_sold(Millimetres::from_inches(inch)), name);
        }
    }

    #[test]
    fn the_ends_of_a_range_can_be_typed() {
        assert_eq!(Unit::Mm.range(mm(0.2), mm(1.2)), "0.2 to 1.2 mm");
        assert_eq!(Unit::Inch.range(mm(0.2), mm(1.2)), "0.008 to 0.047 in");
        assert_eq!(Unit::Inch.range(mm(0.254), mm(2.54)), "0.010 to 0.100 in");
    }

    #[test]
    fn rough_figures_stay_rough() {
        assert_eq!((Unit::Mm.rough(mm(0.5)), Unit::Inch.rough(mm(0.5))), ("0.5 mm".to_owned(), "0.02 in".to_owned()));
        assert_eq!(Unit::Inch.rough_range(mm(2.0), mm(3.0)), "0.08 to 0.12 in");
        assert_eq!((Unit::Mm.short(mm(8.0)), Unit::Inch.short(mm(8.05))), ("8".to_owned(), "0.31693".to_owned()));
    }
}
