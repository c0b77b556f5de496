//! Arguments that are one word of an enum. The enum says its words and, where it has one, a help for each; no room below
//! needs to know how arguments are parsed.

use std::str::FromStr;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use strum::{EnumMessage, VariantArray};

/// Takes exactly the words of `T` and lists them in the help.
pub(super) fn words<T>() -> impl TypedValueParser<Value = T>
where
    T: Copy
        + EnumMessage
        + FromStr<Err: std::error::Error + Send + Sync>
        + Into<&'static str>
        + VariantArray
        + Send
        + Sync,
{
    let word = |value: &T| PossibleValue::new((*value).into()).help(value.get_message());
    PossibleValuesParser::new(T::VARIANTS.iter().map(word)).try_map(|word| word.parse())
}
