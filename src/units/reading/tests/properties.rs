//! What holds for every line.

use proptest::prelude::*;

use super::{angle_of, length_of};
use crate::units::mm;
use crate::units::reading::*;

/// `counts` of 10^-`decimals` with the given separator.
fn print(counts: i64, decimals: u32, separator: char) -> String {
    let power = 10_i64.pow(decimals);
    let sign = if counts < 0 { "-" } else { "" };
    let width = decimals as usize;
    format!("{sign}{}{separator}{:0width$}", counts.abs() / power, counts.abs() % power)
}

proptest! {
    #[test]
    fn what_is_printed_reads_back(
        counts in -99_999_999_i64..=99_999_999,
        separator in prop_oneof![Just('.'), Just(',')],
    ) {
        let value = length_of(&print(counts, 4, separator), Unit::Mm);
        prop_assert!((value * 1e4 - counts as f64).abs() < 1e-6);
        // Whole ten-thousandths of an inch are 2.54 µm, 25.4 counts of the parser.
        let inch = counts / 30;
        let value = length_of(&print(inch, 4, separator), Unit::Inch);
        prop_assert!((value / 25.4 * 1e4 - inch as f64).abs() < 0.03);
        let thousandths = counts % 360_001;
        let value = angle_of(&print(thousandths, 3, separator));
        prop_assert!((value * 1e3 - thousandths as f64).abs() < 1e-6);
    }

    #[test]
    fn what_the_units_show_reads_back(counts in -1_000_000_i64..=1_000_000) {
        for unit in [Unit::Mm, Unit::Inch] {
            let shown = unit.show_named(mm(counts as f64 / 1e4));
            let again = unit.show_named(mm(length_of(&shown, unit)));
            prop_assert_eq!(&again, &shown);
            prop_assert_eq!(length_of(&shown.replace('.', ","), unit), length_of(&shown, unit));
        }
    }

    #[test]
    fn plain_numbers_agree_with_the_standard_float_parser(text in "[+-]?[0-9]{1,4}(\\.[0-9]{0,4})?") {
        let standard: f64 = text.parse().expect("a plain number");
        prop_assert!((length_of(&text, Unit::Mm) - standard).abs() < 1e-9);
    }

    #[test]
    fn no_line_makes_it_panic_and_no_value_is_infinite(
        text in prop_oneof![
            any::<String>(),
            "[-+0-9.,eExXaAnNiIfF_:;°'\"<>=mMuUoOlLgG /\t\u{0}\u{2212}]{0,24}",
            "(nan|inf|-inf|NaN|infinity|1e9|0x1|1_0)[ a-z0-9.]{0,6}",
        ],
    ) {
        for kind in [Kind::Length, Kind::Angle, Kind::Count] {
            for unit in [Unit::Mm, Unit::Inch] {
                match parse(&text, kind, unit) {
                    Ok(reading) => {
                        let sound = match reading.value {
                            Value::Length(length) => kind == Kind::Length && Millimetres::checked(length.get()).is_ok(),
                            Value::Angle(angle) => kind == Kind::Angle && Degrees::checked(angle.get()).is_ok(),
                            Value::Count(count) => kind == Kind::Count && count <= MAX_COUNT,
                        };
                        prop_assert!(sound, "{:?}", reading);
                        prop_assert!(reading.raw.chars().count() <= MAX_LINE);
                        let lower = reading.raw.to_lowercase();
                        prop_assert!(!lower.contains("nan") && !lower.contains("inf") && !lower.contains('_'));
                    }
                    Err(error) => prop_assert!(error.to_string().ends_with('.'), "{}", error),
                }
            }
        }
    }
}
