//! Is a number likely to be what the person meant, and if not, what was?
//!
//! What the room is for: the usual slips at the bench (wrong unit, lost point, lost digit, swapped
//! digits) each leave a trace by which the meant value can be offered. It only asks; the face decides
//! nothing without the person. It must not know where the band or the expectation comes from.
//!
//! The rules are common practice, no source, except the arithmetic of the inch.

use std::fmt;

use super::{MM_PER_INCH, Unit};

/// Expected range, inclusive, in mm or degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Band {
    /// Smallest expected value.
    pub low: f64,
    /// Largest expected value.
    pub high: f64,
}

impl Band {
    /// True when the value lies in the band; never for a value that is not a number.
    pub(crate) fn contains(&self, value: f64) -> bool {
        // Half a count of the parser: a bound typed in inches must not exclude itself.
        const SLACK: f64 = 5e-5;
        value >= self.low - SLACK && value <= self.high + SLACK
    }
}

/// How the number was typed, which decides what its digits are and which slips are possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    /// A length, typed in this unit.
    Length(Unit),
    /// An angle, in degrees.
    Angle,
}

/// The number in doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Found {
    /// The value, in mm or degrees.
    pub value: f64,
    /// The range that was expected.
    pub band: Band,
}

/// The likeliest explanation of a value outside its band. All values are in mm or degrees.
///
/// [`fmt::Display`] writes plain numbers, to at most 4 decimals; [`Doubt::sentence`] lets a face
/// write them its own way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Doubt {
    /// No explanation.
    OutOfRange {
        /// The number in doubt.
        found: Found,
    },
    /// Inches typed where mm are asked for.
    LooksLikeInches {
        /// The number in doubt.
        found: Found,
        /// The typed number read as inches, in mm.
        as_mm: f64,
    },
    /// Millimetres typed where inches are asked for.
    LooksLikeMm {
        /// The number in doubt.
        found: Found,
        /// The typed number read as mm.
        meant: f64,
    },
    /// Thousandths of an inch typed without saying so.
    LooksLikeThou {
        /// The number in doubt.
        found: Found,
        /// The typed number read as thou, in mm.
        meant: f64,
    },
    /// The point is one place off.
    OutByTen {
        /// The number in doubt.
        found: Found,
        /// With the point moved.
        meant: f64,
    },
    /// The point is two places off, or was not typed.
    OutByHundred {
        /// The number in doubt.
        found: Found,
        /// With the point moved.
        meant: f64,
    },
    /// The first digit did not arrive.
    LostDigit {
        /// The number in doubt.
        found: Found,
        /// With the digit put back.
        meant: f64,
    },
    /// Two neighbouring digits changed places.
    SwappedDigits {
        /// The number in doubt.
        found: Found,
        /// With the digits put right.
        meant: f64,
    },
}

impl Doubt {
    /// The number in doubt.
    pub(crate) const fn found(&self) -> Found {
        match self {
            Self::OutOfRange { found }
            | Self::LooksLikeInches { found, .. }
            | Self::LooksLikeMm { found, .. }
            | Self::LooksLikeThou { found, .. }
            | Self::OutByTen { found, .. }
            | Self::OutByHundred { found, .. }
            | Self::LostDigit { found, .. }
            | Self::SwappedDigits { found, .. } => *found,
        }
    }

    /// What was likely meant, in mm or degrees.
    pub(crate) const fn meant(&self) -> Option<f64> {
        match self {
            Self::OutOfRange { .. } => None,
            Self::LooksLikeInches { as_mm: meant, .. }
            | Self::LooksLikeMm { meant, .. }
            | Self::LooksLikeThou { meant, .. }
            | Self::OutByTen { meant, .. }
            | Self::OutByHundred { meant, .. }
            | Self::LostDigit { meant, .. }
            | Self::SwappedDigits { meant, .. } => Some(*meant),
        }
    }

    /// The doubt in words, each number written by `show`.
    pub(crate) fn sentence(&self, show: impl Fn(f64) -> String) -> String {
        let Found { value, band } = self.found();
        let outside = format!("{} is outside {} to {}.", show(value), show(band.low), show(band.high));
        let Some(meant) = self.meant() else { return outside };
        let unit = match self {
            Self::LooksLikeInches { .. } => " It looks like inches.",
            Self::LooksLikeMm { .. } => " It looks like millimetres.",
            Self::LooksLikeThou { .. } => " It looks like thousandths of an inch.",
            _ => "",
        };
        format!("{outside}{unit} Did you mean {}?", show(meant))
    }
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence(plain))
    }
}

/// At most 4 decimals, without trailing zeros.
fn plain(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `None` when the value lies in the band; otherwise the likeliest explanation.
///
/// `value`, `band` and `expect` are in mm or degrees whatever was typed; `decimals` are those typed.
/// `expect` is what the neighbours suggest, such as their median. An explanation must bring the
/// value into the band. Of several, the first by likelihood that comes within a tenth of `expect`
/// wins; when none does, the one nearest to it; without `expect`, the first.
pub(crate) fn doubt_on(value: f64, decimals: u8, band: Band, expect: Option<f64>, scale: Scale) -> Option<Doubt> {
    if band.contains(value) {
        return None;
    }
    let found = Found { value, band };
    let mut candidates = unit_and_point(found, decimals, scale);
    candidates.extend(lost_digit(found, expect, scale).map(|meant| Doubt::LostDigit { found, meant }));
    candidates.extend(swapped(value, decimals, scale).into_iter().map(|meant| Doubt::SwappedDigits { found, meant }));
    let off = |doubt: &Doubt| match (doubt.meant(), expect) {
        (Some(meant), Some(expect)) => (meant - expect).abs(),
        _ => 0.0,
    };
    let near = expect.map_or(0.0, |expect| expect.abs() / 10.0);
    candidates.retain(|doubt| doubt.meant().is_some_and(|meant| band.contains(meant)));
    let likely = candidates.iter().find(|doubt| off(doubt) <= near).copied();
    let nearest = || candidates.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)));
    Some(likely.or_else(nearest).unwrap_or(Doubt::OutOfRange { found }))
}

/// The value with its point two places to the left, where that is the only explanation that fits: the point of a caliper
/// that shows hundredths was not typed.
pub(crate) fn point_left_out(value: f64, band: Band, expect: Option<f64>, scale: Scale) -> Option<f64> {
    if band.contains(value) {
        return None;
    }
    let found = Found { value, band };
    let mut meant: Vec<f64> = unit_and_point(found, 0, scale).iter().filter_map(Doubt::meant).collect();
    meant.extend(lost_digit(found, expect, scale));
    meant.extend(swapped(value, 0, scale));
    meant.retain(|meant| band.contains(*meant));
    let moved = tidy(value / 100.0);
    (meant == [moved]).then_some(moved)
}

/// Wrong unit and wrong point, likeliest first: three or more decimals are typed for inches, fewer for mm.
fn unit_and_point(found: Found, decimals: u8, scale: Scale) -> Vec<Doubt> {
    let value = found.value;
    let inches = Doubt::LooksLikeInches { found, as_mm: tidy(value * MM_PER_INCH) };
    let millimetres = Doubt::LooksLikeMm { found, meant: tidy(value / MM_PER_INCH) };
    let typed = value / mm_per_typed(scale);
    let thou = Doubt::LooksLikeThou { found, meant: tidy(typed * MM_PER_INCH / 1000.0) };
    let point = [
        Doubt::OutByTen { found, meant: tidy(value / 10.0) },
        Doubt::OutByTen { found, meant: tidy(value * 10.0) },
        Doubt::OutByHundred { found, meant: tidy(value / 100.0) },
        Doubt::OutByHundred { found, meant: tidy(value * 100.0) },
    ];
    let (first, last) = match scale {
        Scale::Angle => (vec![], vec![]),
        Scale::Length(Unit::Mm) if decimals >= 3 => (vec![inches], vec![millimetres]),
        // Thousandths are typed as whole numbers, or with one decimal.
        Scale::Length(Unit::Mm) if decimals <= 1 => (vec![], vec![inches, thou, millimetres]),
        Scale::Length(Unit::Mm) => (vec![], vec![inches, millimetres]),
        Scale::Length(Unit::Inch) if decimals <= 1 => (vec![millimetres, thou], vec![inches]),
        Scale::Length(Unit::Inch) if decimals == 2 => (vec![millimetres], vec![inches]),
        Scale::Length(Unit::Inch) => (vec![], vec![millimetres, inches]),
    };
    first.into_iter().chain(point).chain(last).collect()
}

/// `value + k * 10^n` with 10^n above every digit typed. Without an expectation only a single
/// possibility is worth offering.
fn lost_digit(found: Found, expect: Option<f64>, scale: Scale) -> Option<f64> {
    let factor = mm_per_typed(scale);
    let typed = found.value / factor;
    if typed < 0.0 {
        return None;
    }
    let places = [0.1, 1.0, 10.0, 100.0, 1000.0].into_iter().filter(|place| *place > typed);
    let possible: Vec<f64> = places
        .flat_map(|place| (1..=9).map(move |digit| tidy((typed + place * f64::from(digit)) * factor)))
        .filter(|meant| found.band.contains(*meant))
        .collect();
    match (expect, possible.as_slice()) {
        (None, [only]) => Some(*only),
        (None, _) => None,
        (Some(expect), _) => possible.into_iter().min_by(|a, b| (a - expect).abs().total_cmp(&(b - expect).abs())),
    }
}

/// Every value that arises when two neighbouring digits of the typed number change places; each
/// differs from it by a multiple of 9 counts of the last digit.
fn swapped(value: f64, decimals: u8, scale: Scale) -> Vec<f64> {
    let factor = mm_per_typed(scale);
    // A value beyond all units has no digits worth trying.
    if !value.is_finite() || value.abs() > 1e6 {
        return Vec::new();
    }
    let decimals = decimals.min(5);
    let counts = (value / factor * 10f64.powi(i32::from(decimals))).round();
    let digit = |place: i32| (counts.abs() / 10f64.powi(place)).floor() % 10.0;
    let step = 10f64.powi(-i32::from(decimals)) * factor;
    (0..10)
        .filter(|place| counts.abs() >= 10f64.powi(place + 1))
        .map(|place| (place, digit(place), digit(place + 1)))
        .filter(|(_, low, high)| (low - high).abs() > 0.5)
        .map(|(place, low, high)| {
            tidy((counts.abs() + 9.0 * (low - high) * 10f64.powi(place)) * counts.signum() * step)
        })
        .collect()
}

const fn mm_per_typed(scale: Scale) -> f64 {
    match scale {
        Scale::Length(Unit::Inch) => MM_PER_INCH,
        Scale::Length(Unit::Mm) | Scale::Angle => 1.0,
    }
}

/// Drops the last bits that multiplying leaves behind.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const CUTTER: Band = Band { low: 2.5, high: 10.5 };
    const RAKER: Band = Band { low: 0.4, high: 1.0 };
    const TOP_PLATE: Band = Band { low: 20.0, high: 40.0 };

    /// On a length typed in mm.
    fn doubt(value: f64, decimals: u8, band: Band, expect: Option<f64>) -> Option<Doubt> {
        doubt_on(value, decimals, band, expect, Scale::Length(Unit::Mm))
    }

    fn text(value: f64, decimals: u8, band: Band, expect: Option<f64>) -> String {
        doubt(value, decimals, band, expect).map_or_else(|| "fine".to_owned(), |doubt| doubt.to_string())
    }

    #[test]
    fn a_value_in_its_band_is_not_doubted() {
        for value in [2.5, 8.05, 10.5] {
            assert_eq!(doubt(value, 2, CUTTER, Some(4.0)), None);
        }
    }

    #[test]
    fn each_slip_gets_its_own_explanation() {
        assert_eq!(text(80.5, 1, CUTTER, None), "80.5 is outside 2.5 to 10.5. Did you mean 8.05?");
        assert_eq!(text(0.8, 2, CUTTER, None), "0.8 is outside 2.5 to 10.5. Did you mean 8?");
        assert_eq!(text(805.0, 0, CUTTER, None), "805 is outside 2.5 to 10.5. Did you mean 8.05?");
        assert_eq!(
            text(0.317, 3, CUTTER, None),
            "0.317 is outside 2.5 to 10.5. It looks like inches. Did you mean 8.0518?"
        );
        assert_eq!(text(0.05, 2, CUTTER, Some(8.03)), "0.05 is outside 2.5 to 10.5. Did you mean 8.05?");
        assert!(matches!(doubt(0.05, 2, CUTTER, Some(8.03)), Some(Doubt::LostDigit { .. })));
        assert_eq!(doubt(60.0, 0, CUTTER, None).and_then(|doubt| doubt.meant()), Some(6.0));
        assert_eq!(text(1.9, 1, CUTTER, None), "1.9 is outside 2.5 to 10.5. Did you mean 9.1?");
        assert_eq!(text(-8.0, 1, CUTTER, None), "-8 is outside 2.5 to 10.5.");
    }

    #[test]
    fn a_point_is_put_back_only_where_nothing_else_fits() {
        let point = |value, band| point_left_out(value, band, None, Scale::Length(Unit::Mm));
        assert_eq!(point(738.0, CUTTER), Some(7.38));
        assert_eq!(point(65.0, RAKER), Some(0.65));
        assert_eq!(point(80.0, CUTTER), None, "may be 8.0 too");
        assert_eq!(point(8.0, CUTTER), None, "nothing is wrong with it");
        assert_eq!(point(1738.0, CUTTER), None, "nothing fits");
        assert_eq!(point(260.0, CUTTER), None, "may be 2.6, and inches tenfold");
    }

    #[test]
    fn millimetres_typed_in_an_inch_round_are_recognised() {
        // 8.05 typed as inches is 204.47 mm.
        let inch = Scale::Length(Unit::Inch);
        let found = doubt_on(204.47, 2, CUTTER, None, inch).expect("out of band");
        assert_eq!(found, Doubt::LooksLikeMm { found: found.found(), meant: 8.05 });
        assert_eq!(doubt(204.47, 2, CUTTER, None).and_then(|doubt| doubt.meant()), Some(8.05));
        // Digits are those of the inches typed: 0.731 for 0.371, and 0.017 for 0.317.
        let swapped = doubt_on(0.731 * 25.4, 3, CUTTER, Some(9.4), inch).expect("out of band");
        assert!(matches!(swapped, Doubt::SwappedDigits { meant, .. } if (meant - 0.371 * 25.4).abs() < 1e-6));
        let lost = doubt_on(0.017 * 25.4, 3, CUTTER, Some(8.0), inch).expect("out of band");
        assert!(matches!(lost, Doubt::LostDigit { meant, .. } if (meant - 0.317 * 25.4).abs() < 1e-6));
    }

    #[test]
    fn thousandths_typed_without_saying_so_are_recognised() {
        let inch = Scale::Length(Unit::Inch);
        for (typed, decimals, band, expect) in
            [(309.0, 0, CUTTER, None), (309.5, 1, CUTTER, Some(7.9)), (25.0, 0, RAKER, Some(0.6))]
        {
            let found = doubt_on(typed * 25.4, decimals, band, expect, inch).expect("out of band");
            let thou = typed * 0.0254;
            assert!(matches!(found, Doubt::LooksLikeThou { meant, .. } if (meant - thou).abs() < 1e-6), "{found:?}");
        }
        // Where mm are asked for, 309 may be 3.09 mm or 309 thou: what the others measure decides.
        assert_eq!(doubt(309.0, 0, CUTTER, Some(7.9)).and_then(|doubt| doubt.meant()), Some(7.8486));
        assert_eq!(doubt(309.0, 0, CUTTER, Some(3.1)).and_then(|doubt| doubt.meant()), Some(3.09));
        assert_eq!(point_left_out(309.0, CUTTER, None, Scale::Length(Unit::Mm)), None, "never put in without asking");
    }

    #[test]
    fn angles_are_never_taken_for_inches() {
        let lost = doubt_on(5.0, 0, TOP_PLATE, Some(24.0), Scale::Angle).expect("out of band");
        assert!(matches!(lost, Doubt::LostDigit { meant: 25.0, .. }));
        // 1.2 * 25.4 = 30.5 lies in the band, but an angle has no inches.
        assert!(matches!(doubt_on(1.2, 1, TOP_PLATE, None, Scale::Angle), Some(Doubt::OutOfRange { .. })));
        assert!(matches!(doubt_on(3.0, 0, TOP_PLATE, None, Scale::Angle), Some(Doubt::OutByTen { meant: 30.0, .. })));
    }

    #[test]
    fn printed_misprints_are_doubted() {
        // A raker gap printed as 0.05 in where the figure shows 0.025 in: 1.27 mm has no slip that explains it.
        let inch = Scale::Length(Unit::Inch);
        assert!(matches!(doubt_on(1.27, 2, RAKER, None, inch), Some(Doubt::OutOfRange { .. })));
        // A gap printed as 1/10 inch, 2.54 mm.
        assert!(doubt_on(2.54, 1, RAKER, None, inch).is_some());
        // A pitch printed as 0,04 inch for .404 in.
        let pitch = Band { low: 6.0, high: 10.5 };
        assert!(matches!(doubt_on(1.016, 2, pitch, None, inch), Some(Doubt::OutByTen { meant: 10.16, .. })));
    }

    proptest! {
        #[test]
        fn what_is_offered_lies_in_the_band(value in any::<f64>(), decimals in 0u8..9, expect in proptest::option::of(any::<f64>())) {
            for scale in [Scale::Length(Unit::Mm), Scale::Length(Unit::Inch), Scale::Angle] {
                if let Some(doubt) = doubt_on(value, decimals, CUTTER, expect, scale) {
                    prop_assert!(doubt.meant().is_none_or(|meant| CUTTER.contains(meant)));
                    prop_assert!(!doubt.to_string().is_empty());
                }
            }
        }

        #[test]
        fn a_lost_point_is_found(hundredths in 251u32..1049) {
            let meant = f64::from(hundredths) / 100.0;
            let doubt = doubt(f64::from(hundredths), 0, CUTTER, Some(meant)).expect("out of band");
            prop_assert!(doubt.meant().is_some_and(|offered| (offered - meant).abs() < meant / 10.0 + 1e-9));
        }

        #[test]
        fn swapping_digits_changes_a_value_by_nines(hundredths in 0u32..1_000_000) {
            for other in swapped(f64::from(hundredths) / 100.0, 2, Scale::Length(Unit::Mm)) {
                let difference = (other * 100.0 - f64::from(hundredths)).round();
                prop_assert!(difference != 0.0 && difference % 9.0 == 0.0);
            }
        }
    }
}
