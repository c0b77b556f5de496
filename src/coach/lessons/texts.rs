//! What the lessons say: text, question, and why the answer is what it is.

use super::{Ground, Lesson, PLATE_WORN, READINGS, ROUNDS, SHORTER, STROKES, TOO_LOW, ZERO};
use crate::advice::Skill;
use crate::chain::Rule;
use crate::units::mm;

impl Lesson {
    /// What there is to know, sentence by sentence.
    pub const fn text(self) -> &'static [&'static str] {
        match self {
            Self::Shrinks => &[
                "The top plate falls toward its rear.",
                "So each file stroke moves the corner back and down.",
                "The raker ahead of it stays as high as it was.",
                "The gap shrinks though nobody touched the raker, and a cutter without a gap does not cut.",
            ],
            Self::Growth => &[
                "With wear the corner moves away from the raker: the reach grows.",
                "To bite at the same angle the gap must grow too. That is the gap growth.",
                "The corner has also come down. That is the tip drop.",
                "The raker must lose both; often one of them is forgotten.",
            ],
            Self::Rocks => &[
                "In the cut the chain's pull rocks the cutter back about its raker.",
                "So it feeds: it tips back until the raker stops it, and pulls itself into the wood.",
                "Rocking also lowers the corner and takes bite away.",
                "Rocked by its bite angle, no bite is left: the edge only rubs.",
            ],
            Self::Rules => &[
                "A fixed gap is the same on every cutter. Its bite angle fades as the reach grows.",
                "A wear-scaled gap grows with the reach and keeps the bite angle.",
                "From what share on the work is worth it is a proposal; the gap table tells what practice says.",
            ],
            Self::Plate => &[
                "A plate gauge rests on the corner and, with its foot, on a strap ahead.",
                "The raker is filed flush with its slot.",
                "Its gap grows with the reach and then levels off: neither fixed nor wear-scaled.",
                "Each plate does what its own measures make it do.",
            ],
            Self::Unequal => &[
                "The top plate falls, so a shorter cutter is also lower.",
                "The higher one takes the thicker chip and the load; the lower one follows in its track.",
                "If the low ones are all on one side, the cut runs to the other.",
                "Little length is very little height: that is why a small tolerance is enough.",
            ],
            Self::TooDeep => &[
                "A raker filed too low bites too deep: the saw grabs, and kicks back harder.",
                "A loose loop, hardwood and frost make it worse; the maker's limit comes first.",
                "Steel cannot be put back: the tooth must come down until the gap is right again.",
            ],
            Self::Caliper => &[
                "Wipe the jaws, close them, and look what they show: that is taken off each reading.",
                "Wipe the burr off, hold the jaws square, take the same place each time: rear edge to working corner.",
                "What still differs is the hand: take the middle of a few.",
            ],
            Self::Again => &[
                "No reading is exact: two of one cutter differ by some hundredths.",
                "The mean of several is nearer the truth, but four readings are only twice as good as one.",
                "So measure again where the answer is close or one cutter sets the length for all, and nowhere else.",
            ],
            Self::LightHand => &[
                "A stroke takes what the hand presses; the far side often gets less.",
                "Six strokes here and six there are then not the same steel.",
                "Length that differs is height that differs, and it adds up round by round.",
                "Stroke alike, count, and measure.",
            ],
        }
    }

    /// The question.
    pub fn question(self, ground: &Ground) -> String {
        let worn = ground.worn();
        match self {
            Self::Shrinks => "The raker is left untouched. After how much filed off is the gap gone?".to_owned(),
            Self::Growth => {
                format!("{worn} filed off; the raker lost the gap growth, the drop was forgotten. What gap is right?")
            }
            Self::Rocks => format!("{worn} filed off, fixed gap. How far must it rock until no bite is left?"),
            Self::Rules => {
                let share = ground.spec.worth_share * 100.0;
                format!("The gap stays fixed. After how much filed off is {share:.0} % of the new bite left?")
            }
            Self::Plate => {
                let worn = ground.named(ground.spec.usable() * PLATE_WORN);
                format!("{worn} worn, set as this plate leaves it. How much of the new bite is lost, in %?")
            }
            Self::Unequal => {
                format!("A cutter is {} shorter than the one before. How much lower is it?", ground.named(SHORTER))
            }
            Self::TooDeep => {
                let low = ground.named(TOO_LOW);
                format!("A raker is {low} too low for the fixed gap. How much tooth pays for it?")
            }
            Self::Caliper => {
                let read = ground.readings().map(|length| ground.unit.show(length));
                let zero = ground.named(ZERO);
                format!("Closed it shows {zero}. One cutter reads {}. How long is it?", read.join(", "))
            }
            Self::Again => {
                let once = ground.named(Skill::default().length_u(1));
                format!("One reading is good to +-{once}. How good is the mean of {READINGS}?")
            }
            Self::LightHand => format!(
                "{STROKES:.0} strokes a side, {ROUNDS:.0} rounds, {} a stroke, a third less on one side. How much higher is it?",
                ground.named(ground.spec.stroke)
            ),
        }
    }

    /// Why the answer is what it is.
    pub(super) fn why(self, ground: &Ground) -> String {
        let (spec, wood) = (&ground.spec, ground.wood);
        let named = |length| ground.named(length);
        let answer = self.answer(ground);
        let mut model = self.start(ground);
        match self {
            Self::Shrinks => format!(
                "The corner has then dropped {}, as much as the gap was: each {} filed off cost {} of it.",
                named(spec.fixed_gap(wood)),
                named(mm(1.0)),
                named(spec.tip_drop(mm(1.0)))
            ),
            Self::Growth => {
                let (growth, drop) = (mm(answer) - spec.fixed_gap(wood), model.tip_drop());
                let usable = spec.usable();
                let (whole, fall) = (spec.scaled_gap(wood, usable) - spec.fixed_gap(wood), spec.tip_drop(usable));
                format!(
                    "{} of gap growth and {} of drop: {} off the raker since new; over the whole life {} + {} = {}.",
                    named(growth),
                    named(drop),
                    named(growth + drop),
                    named(whole),
                    named(fall),
                    named(whole + fall)
                )
            }
            Self::Rocks => format!(
                "That is its bite angle, {answer:.1} degrees. New it was {:.1}: that much more rocking it would bear.",
                spec.bite_new(wood).get()
            ),
            Self::Rules => {
                let wear = mm(answer);
                format!(
                    "At {} left the wear-scaled gap is {}: from here on it is worth using, as we propose.",
                    named(spec.new_length - wear),
                    named(spec.scaled_gap(wood, wear))
                )
            }
            Self::Plate => format!(
                "It leaves {} here and {answer:.0} % of the bite is gone; to keep it {} would be right: know your plate.",
                named(model.plate_gap()),
                named(spec.scaled_gap(wood, model.wear()))
            ),
            Self::Unequal => format!(
                "{} of length make {} of height; a tolerance of {} makes only {}.",
                named(SHORTER),
                named(mm(answer)),
                named(spec.length_tolerance),
                named(spec.tip_drop(spec.length_tolerance))
            ),
            Self::TooDeep => {
                let scaled = spec.tooth_to_restore(Rule::Scaled, wood, model.wear(), TOO_LOW);
                let rounds = answer / spec.wear_per_round.get().max(0.01);
                format!(
                    "{} of tooth, {rounds:.1} usual rounds; by the wear-scaled gap, which rises, {}.",
                    named(mm(answer)),
                    named(scaled)
                )
            }
            Self::Caliper => {
                format!("The middle of the three, less {} for the jaws: {}.", named(ZERO), named(mm(answer)))
            }
            Self::Again => format!(
                "+-{}: the caliper's own part does not average. A second reading brings it to +-{}.",
                named(mm(answer)),
                named(Skill::default().length_u(2))
            ),
            Self::LightHand => {
                model.set(super::Setting::Shorter, answer / spec.fall());
                format!(
                    "{} of length are left on the light side, {} of height: the cut runs.",
                    named(mm(answer / spec.fall())),
                    named(mm(answer))
                )
            }
        }
    }
}
