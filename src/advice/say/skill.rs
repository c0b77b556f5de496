//! Whose readings a verdict rests on.

use crate::advice::Skill;
use crate::units::Unit;

/// The figure that a verdict on lengths used where it is a person's own: `Ina's reading spread 0.03 mm, measured 2026-11-12`.
pub(crate) fn judged_with(skill: &Skill, who: &str, unit: Unit) -> Option<String> {
    let from = skill.on.map_or_else(|| "entered by hand".to_owned(), |day| format!("measured {day}"));
    skill.own.then(|| format!("{who}'s reading spread {}, {from}", unit.show_named(skill.length)))
}
