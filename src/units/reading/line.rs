//! What stands around the number: channel and mode letters before it, unit and tolerance signs after it.

use super::number::Number;
use super::{GivenUnit, ReadingError, Wanted};

/// What an instrument puts before the number.
#[derive(Debug, Default)]
pub(super) struct Prefix {
    pub(super) channel: Option<u8>,
    pub(super) unit: Option<GivenUnit>,
    pub(super) judge: Option<char>,
    /// A mode letter stood there, so a limit letter may follow the unit.
    letter: bool,
}

/// What stands after the number.
#[derive(Debug, Default)]
pub(super) struct Suffix {
    pub(super) unit: Option<GivenUnit>,
    pub(super) judge: Option<char>,
    /// A second tolerance sign: beyond the warning limit.
    pub(super) warning: bool,
    /// `dms`: only right after minutes.
    pub(super) sexagesimal: bool,
}

/// One spelling of signs that look alike, lower case, blanks as plain spaces. Line ends and tabs stay.
pub(super) fn normalise(body: &str) -> String {
    body.chars()
        .map(|c| match c {
            '\u{2212}' => '-',
            'µ' | 'μ' => 'u',
            '″' | '”' => '"',
            '′' | '’' => '\'',
            'º' => '°',
            '\r' | '\n' | '\t' => c,
            c if c.is_whitespace() => ' ',
            c => c.to_ascii_lowercase(),
        })
        .collect::<String>()
        .replace("''", "\"")
}

/// True for a fault line: `ERR3`, `1 ERR6`, `N01:E1`, `E1`, `OL`, `-oL`. The codes 910 to 919 are faults
/// only after a channel (`01A911`, `01 911`): alone they are a number.
pub(super) fn is_fault(line: &str) -> bool {
    let (number, rest) = line.split_at(line.find(|c: char| !c.is_ascii_digit()).unwrap_or(line.len()));
    let after = match number.len() {
        2 => rest.strip_prefix(['a', ' ']),
        1 => rest.strip_prefix(' '),
        _ => None,
    };
    let after = after.map(str::trim_start);
    is_fault_code(line) || after.is_some_and(|code| is_fault_code(code) || is_three_digit_fault(code))
}

fn is_fault_code(code: &str) -> bool {
    let digits =
        |text: &str, most: usize| !text.is_empty() && text.len() <= most && text.bytes().all(|b| b.is_ascii_digit());
    let unsigned = code.strip_prefix(['+', '-']).unwrap_or(code).trim_start();
    let first = unsigned.split(' ').next().unwrap_or_default();
    let multiplexer = code.strip_prefix('n').and_then(|rest| rest.split_once(":e"));
    code.starts_with("err")
        || matches!(first, "ol" | "0l")
        || code.strip_prefix('e').is_some_and(|rest| digits(rest, 2))
        || multiplexer.is_some_and(|(port, fault)| digits(port, 2) && digits(fault, 2))
}

fn is_three_digit_fault(code: &str) -> bool {
    code.len() == 3 && code.starts_with("91") && code.ends_with(|c: char| c.is_ascii_digit())
}

/// Refuses spellings of numbers that are never taken, wherever they stand in the line.
pub(super) fn refuse_spelling(line: &str, read: &str, wanted: Wanted) -> Result<(), ReadingError> {
    let read = read.to_owned();
    let mut words = line.split(|c: char| !c.is_alphabetic());
    if words.any(|word| matches!(word, "nan" | "inf" | "infinity")) || line.contains('∞') {
        return Err(ReadingError::NotANumber { read, wanted });
    }
    if !line.contains(|c: char| c.is_ascii_digit()) {
        return Err(ReadingError::NoDigits { read, wanted });
    }
    if line.contains([';', '\r', '\n', '\t']) {
        return Err(ReadingError::SeveralReadings { read });
    }
    if line.contains('_') {
        return Err(ReadingError::Underscore { read, wanted });
    }
    if line.contains("0x") {
        return Err(ReadingError::Hex { read, wanted });
    }
    if line.contains(['/', '½', '¼', '¾', '⁄']) {
        return Err(ReadingError::Fraction { read });
    }
    Ok(())
}

/// Takes a channel, a mode letter or the four-letter form off the front.
pub(super) fn prefix<'a>(line: &'a str, read: &str, wanted: Wanted) -> Result<(Prefix, &'a str), ReadingError> {
    let signed = |text: &str| text.starts_with(['+', '-']);
    let (number, rest) = line.split_at(line.find(|c: char| !c.is_ascii_digit()).unwrap_or(line.len()));
    let after = match number.len() {
        2 => rest.strip_prefix('a'),
        1 => rest.strip_prefix(' '),
        _ => None,
    };
    if let Some(value) = after.map(str::trim_start).filter(|value| signed(value)) {
        return Ok((Prefix { channel: number.parse().ok(), ..Prefix::default() }, value));
    }
    let (letters, rest) = line.split_at(line.find(|c: char| !c.is_ascii_lowercase()).unwrap_or(line.len()));
    let value = rest.trim_start();
    match letters.as_bytes() {
        // `e-5` is half an exponent, not a mode.
        [b'e'] => Err(ReadingError::Exponent { read: read.to_owned(), wanted }),
        [_] if signed(value) || rest.starts_with(' ') => Ok((Prefix { letter: true, ..Prefix::default() }, value)),
        // The judgement `E` is taken as an error of the instrument: no manual at hand says that the value still holds.
        [b'a', b'n' | b'p' | b'i' | b'a', b'm' | b'i', b'e'] if signed(value) => {
            Err(ReadingError::InstrumentFault { text: read.to_owned() })
        }
        [b'a', b'n' | b'p' | b'i' | b'a', unit @ (b'm' | b'i'), judge @ (b'u' | b'g' | b'l')] if signed(value) => {
            let unit = Some(if *unit == b'm' { GivenUnit::Mm } else { GivenUnit::Inch });
            let judge = Some(char::from(judge.to_ascii_uppercase()));
            Ok((Prefix { channel: None, unit, judge, letter: true }, value))
        }
        _ => Ok((Prefix::default(), line)),
    }
}

/// Reads what follows the number: a comma, a unit, up to two tolerance signs.
pub(super) fn suffix(
    rest: &str,
    number: &Number,
    prefix: &Prefix,
    read: &str,
    wanted: Wanted,
) -> Result<Suffix, ReadingError> {
    refuse_second_number(rest, number, read, wanted)?;
    let rest = rest.trim_start();
    let rest = rest.strip_prefix(',').unwrap_or(rest).trim_start();
    let symbol = rest.chars().next().filter(|c| matches!(c, '"' | '°')).map(char::len_utf8);
    let end = symbol.unwrap_or_else(|| rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len()));
    let (word, rest) = rest.split_at(end);
    let mut suffix = if word.is_empty() { Suffix::default() } else { unit(word, prefix, read, wanted)? };
    let mut signs = rest.trim().chars();
    match (signs.next(), signs.next(), signs.next()) {
        (None, ..) => Ok(suffix),
        (Some(first @ ('<' | '=' | '>')), second @ (None | Some('<' | '=' | '>')), None) => {
            suffix.judge = Some(first);
            suffix.warning = matches!(second, Some('<' | '>'));
            Ok(suffix)
        }
        // The limit letter may stand apart from the unit letter.
        (Some(limit @ ('o' | 'u' | 'g' | 'l' | 'n')), None, None) if prefix.letter && suffix.unit.is_some() => {
            suffix.judge = Some(limit.to_ascii_uppercase());
            Ok(suffix)
        }
        _ => Err(ReadingError::Unreadable { read: read.to_owned(), wanted }),
    }
}

fn refuse_second_number(rest: &str, number: &Number, read: &str, wanted: Wanted) -> Result<(), ReadingError> {
    let read = read.to_owned();
    let digit = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    let after = rest.strip_prefix(['.', ',']);
    if after.is_some_and(|after| number.decimals == 0 || rest.starts_with('.') || digit(after)) {
        return Err(ReadingError::TwoSeparators { read, wanted });
    }
    if after.is_some_and(|after| digit(after.trim_start())) {
        return Err(ReadingError::SeveralReadings { read });
    }
    if digit(rest.trim_start_matches([' ', '\''])) {
        return Err(ReadingError::Grouping { read, wanted });
    }
    if rest.strip_prefix('e').is_some_and(|power| digit(power.strip_prefix(['+', '-']).unwrap_or(power))) {
        return Err(ReadingError::Exponent { read, wanted });
    }
    Ok(())
}

fn unit(word: &str, prefix: &Prefix, read: &str, wanted: Wanted) -> Result<Suffix, ReadingError> {
    let found = |unit| Ok(Suffix { unit: Some(unit), ..Suffix::default() });
    match word {
        "mm" | "m" => found(GivenUnit::Mm),
        "in" | "inch" | "inches" | "\"" | "i" => found(GivenUnit::Inch),
        "um" => found(GivenUnit::Micrometre),
        "thou" => found(GivenUnit::Thou),
        "deg" | "degree" | "degrees" | "°" => found(GivenUnit::Degree),
        "dms" => Ok(Suffix { unit: Some(GivenUnit::Degree), sexagesimal: true, ..Suffix::default() }),
        "rad" => found(GivenUnit::Radian),
        _ => match (prefix.letter, word.as_bytes()) {
            (true, [unit @ (b'm' | b'i'), limit @ (b'o' | b'u' | b'g' | b'l')]) => {
                let unit = if *unit == b'm' { GivenUnit::Mm } else { GivenUnit::Inch };
                let judge = Some(char::from(limit.to_ascii_uppercase()));
                Ok(Suffix { unit: Some(unit), judge, ..Suffix::default() })
            }
            _ => Err(ReadingError::UnitNotAllowed { read: read.to_owned(), unit: format!("'{word}'"), wanted }),
        },
    }
}
