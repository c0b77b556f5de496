//! The gap that a raker wants, and what one that is too low asks of its tooth.

use super::lines::Lines;
use super::{Book, Change, Op, Operand, Reckoning, Source, Subject, Sure, Term, Value};
use crate::advice::rakers::{Act, target_u};
use crate::chain::{CutterNumber, Plate, Rule};
use crate::round::Cutter;
use crate::units::{Millimetres, mm};

impl Book<'_> {
    /// The kept cutter of middle length.
    pub(super) fn middle(&self) -> Option<CutterNumber> {
        let mut known: Vec<(Millimetres, CutterNumber)> =
            self.round().matched().filter_map(|cutter| Some((cutter.length()?, cutter.number))).collect();
        known.sort_by(|a, b| a.0.total_cmp(&b.0));
        known.get(known.len() / 2).map(|(_, number)| *number)
    }

    /// The gap wanted at a cutter.
    pub(super) fn gap(&self, number: CutterNumber) -> Option<Reckoning> {
        let (cutter, found) = (self.round().cutter(number)?, self.cutter(number)?);
        let wanted = found.raker.target?;
        let rule = self.round().rule_in_force();
        let mut lines = Lines::default();
        let answer = match rule {
            Rule::Fixed => {
                let (base, most) = (self.base_gap(), self.gap_max());
                lines.figure(Term::GapWanted, base, Op::Least, Some(most), Value::Length(wanted))
            }
            Rule::Setting => {
                let published = Operand::length(Term::BaseGap, wanted, self.base_gap().source);
                lines.figure(Term::GapWanted, published, Op::AsIs, None, Value::Length(wanted))
            }
            Rule::Scaled => self.scaled(&mut lines, cutter, wanted)?,
            Rule::Plate => self.plate(&mut lines, cutter, self.spec().plate?, wanted)?,
        };
        if let Some(gap) = found.gap_now.filter(|_| !lines.is_full() && !found.gap_stale) {
            let now = Operand::length(Term::GapNow, gap, Source::Read);
            let term = if gap < wanted { Term::ToTake } else { Term::LowBy };
            lines.apart(term, answer.clone(), now);
        }
        let sure = match rule {
            Rule::Fixed | Rule::Setting => Sure::Set,
            Rule::Scaled | Rule::Plate => {
                let now = crate::advice::now::length(self.round(), cutter);
                let figure = target_u(self.round(), rule, now, self.ctx.skill);
                let length = self.ctx.skill.length_u(now.map_or(1, |now| now.readings));
                if rule == Rule::Plate { Sure::Within(length) } else { Sure::Moves { length, figure: mm(figure) } }
            }
        };
        lines.end(Subject::Gap(number, rule), &answer, sure, Change::GapWanted)
    }

    /// How far the cutter is worn, by its length.
    fn worn(&self, lines: &mut Lines, cutter: &Cutter) -> Option<Operand> {
        let length = cutter.length()?;
        let now = Operand::length(Term::LengthNow, length, Source::Read);
        let worn = Value::Length(self.spec().wear(length));
        Some(lines.figure(Term::Worn, self.new_length(), Op::Less, Some(now), worn))
    }

    fn scaled(&self, lines: &mut Lines, cutter: &Cutter, wanted: Millimetres) -> Option<Operand> {
        let (spec, wood) = (self.spec(), self.wood());
        let worn = self.worn(lines, cutter)?;
        let wear = spec.wear(cutter.length()?);
        let growth = spec.reach_growth();
        let grown = if spec.reach_mark.is_some() {
            let growth = Operand::new(Term::ReachGrowth, Value::Ratio(growth), Source::Reckoned);
            lines.on(Term::ReachGrew, worn, Op::Times, growth)
        } else {
            worn
        };
        let reach = Value::Length(spec.reach(wear));
        let reach = lines.figure(Term::Reach, self.reach_new(), Op::Plus, Some(grown), reach);
        let per_mm = Value::Ratio(spec.bite_new(wood).radians().tan());
        let per_mm = match spec.bite {
            Some(bite) => {
                let bite = Operand::new(Term::BiteAngle, Value::Angle(bite), self.profile("bite_deg", bite.get()));
                lines.figure(Term::GapPerMm, bite, Op::Tangent, None, per_mm)
            }
            None => {
                let fixed = Operand { value: Value::Length(spec.fixed_gap(wood)), ..self.base_gap() };
                lines.figure(Term::GapPerMm, fixed, Op::Over, Some(self.reach_new()), per_mm)
            }
        };
        let free = spec.scaled_gap_uncapped(wood, wear);
        if free <= wanted {
            return Some(lines.figure(Term::GapWanted, reach, Op::Times, Some(per_mm), Value::Length(wanted)));
        }
        let free = lines.figure(Term::Uncapped, reach, Op::Times, Some(per_mm), Value::Length(free));
        Some(lines.figure(Term::GapWanted, free, Op::Least, Some(self.gap_max()), Value::Length(wanted)))
    }

    fn plate(&self, lines: &mut Lines, cutter: &Cutter, plate: Plate, wanted: Millimetres) -> Option<Operand> {
        let spec = self.spec();
        let wear = spec.wear(cutter.length()?);
        let stated = |term, key, value: Millimetres| Operand::length(term, value, self.profile(key, value.get()));
        let height = stated(Term::PlateHeight, "plate_height_mm", plate.height);
        let drop = Operand::length(Term::CornerDrop, spec.tip_drop(wear), Source::Reckoned);
        let height = lines.on(Term::HeightNow, height, Op::Less, drop);
        let reach = Operand::length(Term::Reach, spec.reach(wear), Source::Reckoned);
        let foot = stated(Term::Foot, "plate_foot_mm", plate.foot);
        let along = lines.on(Term::Along, reach.clone(), Op::Plus, foot);
        let share = Value::Ratio(Op::Over.of(reach.value.get(), Some(along.value.get())));
        let share = lines.figure(Term::RampShare, reach, Op::Over, Some(along), share);
        let ramp = lines.on(Term::RampAt, height, Op::Times, share);
        let slot = stated(Term::PlateSlot, "plate_slot_mm", plate.slot);
        let free = plate.gap(spec, wear);
        if free <= wanted {
            return Some(lines.figure(Term::GapWanted, ramp, Op::Less, Some(slot), Value::Length(wanted)));
        }
        let free = lines.figure(Term::Uncapped, ramp, Op::Less, Some(slot), Value::Length(free));
        Some(lines.figure(Term::GapWanted, free, Op::Least, Some(self.gap_max()), Value::Length(wanted)))
    }

    /// What a raker that is too low asks of its tooth.
    pub(super) fn low_raker(&self, number: CutterNumber) -> Option<Reckoning> {
        let (spec, wood) = (self.spec(), self.wood());
        let found = self.cutter(number).filter(|found| found.raker.act == Act::TooLow)?;
        let (gap, wanted, recovery) = (found.raker.gap?, found.raker.target?, found.raker.recovery?);
        let length = found.length_now?;
        let mut lines = Lines::default();
        let now = Operand::length(Term::GapNow, gap.gap, Source::Read);
        let rule = self.round().rule_in_force();
        let rise = match rule {
            Rule::Scaled => spec.reach_growth() * spec.bite_new(wood).radians().tan(),
            Rule::Fixed | Rule::Plate | Rule::Setting => 0.0,
        };
        let excess = gap.gap - wanted;
        let is = |tooth: f64| (tooth - recovery.tooth.get()).abs() < 1e-9;
        let answer = if is(excess.get() / (rise + spec.fall())) {
            let wanted = Operand::length(Term::GapWanted, wanted, Source::Reckoned);
            let low = lines.figure(Term::LowBy, now, Op::Less, Some(wanted), Value::Length(excess));
            let fall = if rise > 0.0 {
                let rise = Operand::new(Term::GapRise, Value::Ratio(rise), Source::Reckoned);
                let both = Value::Ratio(Op::Plus.of(rise.value.get(), Some(spec.fall())));
                lines.figure(Term::RegainPerMm, rise, Op::Plus, Some(self.fall()), both)
            } else {
                self.fall()
            };
            lines.figure(Term::ToothOff, low, Op::Over, Some(fall), Value::Length(recovery.tooth))
        } else if is((gap.gap - spec.gap_max).get() / spec.fall()) {
            // The gap wanted cannot rise above the limit: only the falling corner helps.
            let low = lines.on(Term::OverLimit, now, Op::Less, self.gap_max());
            lines.figure(Term::ToothOff, low, Op::Over, Some(self.fall()), Value::Length(recovery.tooth))
        } else {
            let wanted = Operand::length(Term::GapWanted, wanted, Source::Reckoned);
            lines.figure(Term::LowBy, now, Op::Less, Some(wanted), Value::Length(excess));
            let tooth = Operand::length(Term::ToothOff, recovery.tooth, Source::Reckoned);
            lines.figure(Term::ToothOff, tooth, Op::AsIs, None, Value::Length(recovery.tooth))
        };
        let length = Operand::length(Term::LengthNow, length, Source::Read);
        let left = Value::Length(recovery.length);
        let left = lines.figure(Term::LengthThen, length, Op::Less, Some(answer.clone()), left);
        lines.apart(if recovery.possible { Term::LeftToMark } else { Term::UnderMark }, left, self.mark());
        lines.end(Subject::LowRaker(number), &answer, Sure::Within(gap.u), Change::LowRaker)
    }
}
