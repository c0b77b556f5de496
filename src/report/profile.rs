//! A chain type with the source and standing of each of its numbers, as text.

use super::format::{TEXT_WIDTH, wrap};
use crate::chain::Profile;

/// Every number of a profile with where it comes from, 80 columns.
pub(crate) fn text(profile: &Profile) -> String {
    let mut out = format!(
        "{} ({})\nWhere each number comes from and how far it can be trusted.\n\n",
        profile.title, profile.name
    );
    let mut put = |label: &str, value: f64, unit: &str, standing: &str, source: &str| {
        let unit = if unit == "share" { "" } else { unit };
        let number = format!("{label}: {} {unit}", short(value));
        out.push_str(&format!("{}  [{standing}]\n", number.trim_end()));
        for line in wrap(source, TEXT_WIDTH - 4, 0) {
            out.push_str(&format!("    {line}\n"));
        }
    };
    for (field, stated) in profile.stated() {
        put(field.label, stated.value, field.unit, stated.standing.word(), &stated.source);
    }
    for (from, stated) in profile.files() {
        let label = if from > 0.0 {
            format!("round file from {:.0} % of life", from * 100.0)
        } else {
            "round file, new".to_owned()
        };
        put(&label, stated.value, "mm", stated.standing.word(), &stated.source);
    }
    out
}

/// Without trailing zeros.
fn short(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;

    #[test]
    fn every_number_stands_with_its_source_and_standing() {
        for profile in built_in::all() {
            let text = text(&profile);
            for (field, stated) in profile.stated() {
                assert!(text.contains(&format!("{}: {}", field.label, short(stated.value))), "{}", field.key);
                assert!(text.contains(stated.standing.word()));
            }
            let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(
                profile
                    .stated()
                    .all(|(_, s)| flat.contains(&s.source.split_whitespace().collect::<Vec<_>>().join(" ")))
            );
            assert!(text.lines().all(|line| line.chars().count() <= TEXT_WIDTH), "{text}");
        }
    }
}
