//! One table for each group of line forms.

mod properties;

use super::*;
use crate::units::{deg, mm};

fn ok(text: &str, kind: Kind, unit: Unit) -> Reading {
    parse(text, kind, unit).unwrap_or_else(|error| panic!("{text:?}: {error}"))
}

pub(super) fn length_of(text: &str, unit: Unit) -> f64 {
    match ok(text, Kind::Length, unit).value {
        Value::Length(length) => length.get(),
        other => panic!("{text:?} gave {other:?}"),
    }
}

pub(super) fn angle_of(text: &str) -> f64 {
    match ok(text, Kind::Angle, Unit::Mm).value {
        Value::Angle(angle) => angle.get(),
        other => panic!("{text:?} gave {other:?}"),
    }
}

fn refused(text: &str, kind: Kind) -> ReadingError {
    parse(text, kind, Unit::Mm).expect_err(text)
}

/// The name of the variant, for tables.
fn name(error: &ReadingError) -> String {
    let text = format!("{error:?}");
    text.split([' ', '{', '(']).next().unwrap_or_default().to_owned()
}

fn assert_refused(kind: Kind, table: &[(&str, &str)]) {
    for (text, variant) in table {
        let error = refused(text, kind);
        assert_eq!(name(&error), *variant, "{text:?}: {error}");
        assert!(error.to_string().ends_with('.'), "{error}");
    }
}

#[test]
fn every_line_form_in_millimetres() {
    for (text, expected) in [
        ("8.05", 8.05),
        ("8,05", 8.05),
        ("8.05mm", 8.05),
        ("8,05 MM", 8.05),
        (".5", 0.5),
        ("5.", 5.0),
        ("5,", 5.0),
        ("+.5", 0.5),
        ("-3", -3.0),
        ("\u{2212}3.25", -3.25),
        ("650 um", 0.65),
        ("650µm", 0.65),
        ("12.34,", 12.34),
        ("\u{feff}12.34\r\n", 12.34),
        ("\u{2}12.34\u{3}\0\0\0", 12.34),
        ("12.34\t", 12.34),
        ("\u{a0}12.34\u{202f}mm", 12.34),
        ("+  8.0500 ,MM\r\n", 8.05),
        ("-012.340 ,MM\r\n", -12.34),
        ("+12.34   ,MM", 12.34),
        (" 123.456\r", 123.456),
        ("-123.456\r", -123.456),
        ("1 +012.34 mm =", 12.34),
        ("3 -001.20 mm <", -1.2),
        ("2 +008.05 mm >>\r", 8.05),
        ("12.34>", 12.34),
        ("1 +650.0 um =", 0.65),
        ("N+ 12.345M  \n", 12.345),
        ("N  12.345MO \n", 12.345),
        ("R- 12.345MU ", -12.345),
        ("A+12.345", 12.345),
        ("ANMG+12.345", 12.345),
        ("apml-0.120", -0.12),
        ("01A+00012.34\r", 12.34),
        ("12A-00000.05", -0.05),
        ("01A+00000012", 12.0),
    ] {
        let read = length_of(text, Unit::Mm);
        assert!((read - expected).abs() < 1e-12, "{text:?} gave {read}");
    }
}

#[test]
fn every_line_form_in_inches() {
    for (text, inches) in [
        ("0.317", 0.317),
        (".317\"", 0.317),
        (".317''", 0.317),
        (".317 in", 0.317),
        ("0,317 inch", 0.317),
        ("0.317 Inches", 0.317),
        ("25 thou", 0.025),
        ("25.5thou", 0.0255),
        ("+ 0.3170 ,IN\r\n", 0.317),
        ("N+  0.3170I  \n", 0.317),
        ("ANIU+0.3170", 0.317),
    ] {
        let read = length_of(text, Unit::Inch);
        assert!((read - inches * 25.4).abs() <= 5.001e-5, "{text:?} gave {read}");
    }
}

#[test]
fn what_comes_along_is_kept() {
    let feature = ok(" 1 +012.34 mm =\r", Kind::Length, Unit::Mm);
    assert_eq!(
        feature,
        Reading {
            value: Value::Length(mm(12.34)),
            raw: "1 +012.34 mm =".to_owned(),
            unit_given: Some(GivenUnit::Mm),
            decimals: 2,
            notes: vec![],
            judge: Some('='),
            channel: Some(1),
        }
    );
    assert_eq!(ok("2 +008.05 mm >>", Kind::Length, Unit::Mm).notes, [Note::WarningLimit]);
    assert_eq!(ok("ANMG+12.345", Kind::Length, Unit::Mm).judge, Some('G'));
    assert_eq!(ok("N+12.345MO", Kind::Length, Unit::Mm).judge, Some('O'));
    assert_eq!(ok("01A+00012.34", Kind::Length, Unit::Mm).channel, Some(1));
    assert_eq!(ok("8.050", Kind::Length, Unit::Mm).decimals, 3);
}

#[test]
fn minus_zero_is_zero_with_a_note() {
    for text in ["-0", "-0.00", "01A-00000.00", "\u{2212}0,0"] {
        let reading = ok(text, Kind::Length, Unit::Mm);
        assert_eq!(reading.notes, [Note::MinusZero], "{text}");
        assert!(matches!(reading.value, Value::Length(zero) if zero.get().is_sign_positive() && zero.get() == 0.0));
    }
    assert!(ok("0.00", Kind::Length, Unit::Mm).notes.is_empty());
}

#[test]
fn angles_in_every_spelling() {
    for (text, expected) in [
        ("30", 30.0),
        ("30,5", 30.5),
        ("30°", 30.0),
        ("30 deg", 30.0),
        ("30:15", 30.25),
        ("30°15'", 30.25),
        ("30° 15\u{2032}", 30.25),
        ("30:15:30", 30.258),
        ("30°15'30\"", 30.258),
        ("30°15'30''", 30.258),
        ("1 +030:15:30 dms =", 30.258),
        ("-0:30", -0.5),
        ("30:15:29.9", 30.258),
        ("30:07,5", 30.125),
        ("0.001", 0.001),
    ] {
        let read = angle_of(text);
        assert!((read - expected).abs() < 1e-12, "{text:?} gave {read}");
    }
    assert_refused(
        Kind::Angle,
        &[
            ("30:60", "SixtyOrMore"),
            ("30:15:60", "SixtyOrMore"),
            ("30.5:15", "Unreadable"),
            ("30 dms", "Unreadable"),
            ("30:15 rad", "Unreadable"),
            ("30'", "Unreadable"),
            ("361", "TooLarge"),
            ("30 mm", "UnitNotAllowed"),
            ("30\"", "UnitNotAllowed"),
            ("ANMG+30", "UnitNotAllowed"),
            ("40/55/60", "Fraction"),
            ("below 30°", "Unreadable"),
        ],
    );
}

#[test]
fn counts_are_whole() {
    assert_eq!(ok("12", Kind::Count, Unit::Mm).value, Value::Count(12));
    assert_eq!(ok(" 999\r", Kind::Count, Unit::Mm).value, Value::Count(999));
    assert_refused(
        Kind::Count,
        &[
            ("1000", "CountOutOfRange"),
            ("-1", "CountOutOfRange"),
            ("3.5", "NotWhole"),
            ("3.0", "NotWhole"),
            ("3 mm", "UnitNotAllowed"),
            ("A 5", "Unreadable"),
            ("", "Empty"),
        ],
    );
}

#[test]
fn the_other_unit_is_asked_about_and_never_taken() {
    for (text, unit, given, millimetres) in [
        (".317\"", Unit::Mm, GivenUnit::Inch, 8.0518),
        ("25 thou", Unit::Mm, GivenUnit::Thou, 0.635),
        ("8.05 mm", Unit::Inch, GivenUnit::Mm, 8.05),
        ("650 um", Unit::Inch, GivenUnit::Micrometre, 0.65),
        ("ANIG+1.00000", Unit::Mm, GivenUnit::Inch, 25.4),
        ("N+ 12.345MO", Unit::Inch, GivenUnit::Mm, 12.345),
    ] {
        match parse(text, Kind::Length, unit) {
            Err(ReadingError::OtherUnit { given: found, asked, reading }) => {
                assert_eq!((found, asked), (given, unit.into()), "{text}");
                assert_eq!(reading.value, Value::Length(mm(millimetres)), "{text}");
            }
            other => panic!("{text}: {other:?}"),
        }
    }
    let error = refused(".317\"", Kind::Length);
    assert_eq!(error.to_string(), "'.317\"' is in inches, but mm are asked for. It would be 8.05 mm.");
    match refused("0.5236 rad", Kind::Angle) {
        ReadingError::OtherUnit { reading, .. } => assert_eq!(reading.value, Value::Angle(deg(30.0))),
        other => panic!("{other}"),
    }
}

#[test]
fn refused_spellings_each_have_their_own_error() {
    assert_refused(
        Kind::Length,
        &[
            ("", "Empty"),
            (" \r\n", "Empty"),
            ("\0\u{2}", "Empty"),
            ("1,234.56", "TwoSeparators"),
            ("1.234,56", "TwoSeparators"),
            ("8..05", "TwoSeparators"),
            ("8.05.", "TwoSeparators"),
            ("1.2.3", "TwoSeparators"),
            ("1 234", "Grouping"),
            ("1\u{202f}234,5", "Grouping"),
            ("1'234", "Grouping"),
            ("1e5", "Exponent"),
            ("1.5E-3", "Exponent"),
            ("1e400", "Exponent"),
            ("e-5", "Exponent"),
            ("0x1F", "Hex"),
            ("1_000", "Underscore"),
            ("nan", "NotANumber"),
            ("-NaN", "NotANumber"),
            ("inf", "NotANumber"),
            ("-infinity mm", "NotANumber"),
            ("∞", "NotANumber"),
            ("mm", "NoDigits"),
            (".", "NoDigits"),
            ("-", "NoDigits"),
            ("abc", "NoDigits"),
            ("1234567", "TooManyDigits"),
            ("1.123456", "TooManyDigits"),
            ("000000000", "TooManyDigits"),
            ("8.05 8.10", "Grouping"),
            ("8,05, 8,10", "SeveralReadings"),
            ("8.05\r8.10", "SeveralReadings"),
            ("8.05;8.10", "SeveralReadings"),
            ("1 +012.34 mm =;2 ERR6;3 -001.20 mm <\r", "SeveralReadings"),
            ("10000.1", "TooLarge"),
            ("12.34/2", "Fraction"),
            ("8.05 deg", "UnitNotAllowed"),
            ("-23.02 lbf", "UnitNotAllowed"),
            ("18.14 fgf", "UnitNotAllowed"),
            ("12.5 g", "UnitNotAllowed"),
            ("12.3O", "UnitNotAllowed"),
            ("12.3l", "UnitNotAllowed"),
            ("12.3 mu", "UnitNotAllowed"),
            ("12.3 mil", "UnitNotAllowed"),
            ("ANMG+12.3 in", "Unreadable"),
            ("--5", "Unreadable"),
            ("5-", "Unreadable"),
            ("8.05 mm <<<", "Unreadable"),
            ("\u{661}2", "Unreadable"),
            ("1\u{0}2", "Unreadable"),
        ],
    );
    assert_eq!(name(&refused(&"0".repeat(65), Kind::Length)), "TooLong");
    assert_eq!(name(&refused(&" ".repeat(65), Kind::Length)), "TooLong");
}

#[test]
fn faults_of_instruments_are_never_values() {
    for text in [
        "ERR0",
        "ERR3\r",
        "1 ERR6",
        "N01:E1\r\n",
        "n12:e3",
        "OL",
        "-oL",
        "OL g",
        "E1",
        "E04",
        "1 E1",
        "01AE1",
        "01A911",
        "01 912",
        "1 911",
        "ANME+12.345",
        "1 OL",
    ] {
        let error = refused(text, Kind::Length);
        assert_eq!(name(&error), "InstrumentFault", "{text}");
        assert!(error.to_string().starts_with("The instrument reported a fault"), "{error}");
    }
    // Without a channel in front the three digits are a number like any other.
    assert_eq!(ok("911", Kind::Count, Unit::Mm).value, Value::Count(911));
}

#[test]
fn misprints_seen_in_print_are_refused_or_kept_as_typed() {
    // Seen in service pages; the last two parse and are left to the plausibility check.
    assert_refused(
        Kind::Length,
        &[("1/10 inch", "Fraction"), ("1/32 in (0.6 mm)", "Fraction"), ("one cutter per drive link", "NoDigits")],
    );
    assert!((length_of("0.05 in", Unit::Inch) - 1.27).abs() < 1e-12);
    assert!((length_of("0,04 inch", Unit::Inch) - 1.016).abs() < 1e-12);
}

#[test]
fn a_wrong_keyboard_layout_is_recognised() {
    for (burst, hint) in [
        ("è;à(", LayoutHint::ShiftedDigits),
        ("&é\"'(-è_çà", LayoutHint::ShiftedDigits),
        ("é", LayoutHint::ShiftedDigits),
        ("*.)%", LayoutHint::ShiftedDigits),
        ("\u{1b}[D\u{1b}[H\u{1b}[A", LayoutHint::NumLock),
        ("\u{1b}OD\u{1b}[1~\r", LayoutHint::NumLock),
    ] {
        assert_eq!(refused(burst, Kind::Length), ReadingError::KeyboardLayout { hint }, "{burst:?}");
    }
    assert!(ReadingError::KeyboardLayout { hint: LayoutHint::NumLock }.to_string().contains("Num Lock"));
    for text in ["", "-", "\"", "8.05", "-8,05 mm", "(8.05)", "abc", "thé"] {
        assert_eq!(layout::hint(text), None, "{text:?}");
    }
}

#[test]
fn what_is_shown_of_a_line_is_safe_and_short() {
    let error = refused("\u{1b}[31m8.05", Kind::Length);
    assert!(error.to_string().contains("\\u{1b}[31m8.05"), "{error}");
    assert!(!error.to_string().contains('\u{1b}'));
    match refused(&"\u{202e}".repeat(20), Kind::Length) {
        ReadingError::NoDigits { read, .. } => assert_eq!(read.chars().count(), MAX_LINE),
        other => panic!("{other:?}"),
    }
}
