//! Small drawings of letters, the same in both faces.

use super::{Ground, Lesson};
use crate::chain::geometry::bite_angle;
use crate::units::{Millimetres, mm};

/// Columns of the longest bar.
const WIDEST: u16 = 34;

impl Lesson {
    /// The text at a glance; nothing where the model's own pictures show it. Figures that give the answer away come with `told`.
    pub fn figure(self, ground: &Ground, told: bool) -> Vec<String> {
        match self {
            Self::Rules => fading(ground),
            Self::Growth if told => slices(ground),
            _ => Vec::new(),
        }
    }
}

/// Two triangles of one gap: the longer the reach, the flatter.
fn fading(ground: &Ground) -> Vec<String> {
    let (spec, wood) = (&ground.spec, ground.wood);
    let gap = spec.fixed_gap(wood);
    let (new, worn) = (spec.reach_new, spec.reach(mm(ground.worn)));
    let line = |name: &str, reach: Millimetres| {
        let bar = "-".repeat(columns(reach, worn));
        let angle = bite_angle(gap, reach).get();
        format!("{name:<5}|{bar}{}{bar}> gap {}  {angle:.1} deg", ground.unit.show(reach), ground.unit.show(gap))
    };
    vec![line("new", new), line("worn", worn)]
}

/// What the raker loses: gap growth, tip drop, both.
fn slices(ground: &Ground) -> Vec<String> {
    let (spec, wood, wear) = (&ground.spec, ground.wood, mm(ground.worn));
    let (growth, drop) = (spec.scaled_gap(wood, wear) - spec.fixed_gap(wood), spec.tip_drop(wear));
    let both = growth + drop;
    let bar = |length: Millimetres, sign: &str| sign.repeat(2 * columns(length, both));
    vec![
        format!("gap growth  {}  {}", bar(growth, "="), ground.unit.show(growth)),
        format!("tip drop    {}  {}", bar(drop, "#"), ground.unit.show(drop)),
        format!("raker lost  {}{}  {}", bar(growth, "="), bar(drop, "#"), ground.unit.show(both)),
    ]
}

/// Half the columns of a bar.
fn columns(length: Millimetres, longest: Millimetres) -> usize {
    let share = (length.get() / longest.get().max(1e-9)).clamp(0.0, 1.0);
    (1..=WIDEST / 2).filter(|n| f64::from(*n) <= f64::from(WIDEST) * 0.5 * share).count()
}
