//! From the side: the cutter between its neighbours on the bar, the wood above it, and the measures that count.

use super::angle;
use super::form::{Form, PITCH, RIVETS, drive_link, tie_strap};
use crate::chain::geometry::{bite_angle, bite_left};
use crate::chain::{Plate, Spec, Wood};
use crate::drawing::path::{Path, Point};
use crate::drawing::{Ink, Measure, Near, Part, RUNS_RIGHT, Scene};
use crate::units::{Degrees, Millimetres, Unit};

/// What of the cutter is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Show {
    /// All of it, on the bar and in the wood.
    #[default]
    Whole,
    /// The tooth with what is to be filed off it.
    Filing,
    /// Corner and raker with what is to be filed off the raker.
    Raker,
}

/// The side view. Without `mirrored` the chain runs to the right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side<'a> {
    /// The chain.
    pub spec: &'a Spec,
    /// Cutter length now, where it was measured.
    pub length: Option<Millimetres>,
    /// Length to file to, where one is chosen.
    pub target_length: Option<Millimetres>,
    /// Raker gap now, where it was measured.
    pub gap: Option<Millimetres>,
    /// Raker gap aimed at, where one is known.
    pub target_gap: Option<Millimetres>,
    /// Seen from the other side: the chain runs to the left.
    pub mirrored: bool,
    /// How far the cutter is rocked back about its raker top.
    pub rock: Option<Degrees>,
    /// The round file in use, drawn in its bed while filing is shown.
    pub file: Option<Millimetres>,
    /// A plate gauge laid on it.
    pub plate: Option<Plate>,
    /// In the wood and with its chip, unless something is filed.
    pub wood: bool,
    /// What is looked at.
    pub show: Show,
    /// Unit of the numbers.
    pub unit: Unit,
}

impl<'a> Side<'a> {
    /// The whole cutter, not rocked, nothing measured.
    pub const fn new(spec: &'a Spec) -> Self {
        Self {
            spec,
            length: None,
            target_length: None,
            gap: None,
            target_gap: None,
            mirrored: false,
            rock: None,
            file: None,
            plate: None,
            wood: true,
            show: Show::Whole,
            unit: Unit::Mm,
        }
    }

    /// The length drawn: as measured, else as new.
    fn drawn_length(&self) -> Millimetres {
        self.length.unwrap_or(self.spec.new_length)
    }

    /// The gap drawn: as measured, else as aimed at, else as on a new cutter.
    fn drawn_gap(&self) -> Millimetres {
        self.gap.or(self.target_gap).unwrap_or_else(|| self.spec.fixed_gap(Wood::Any))
    }

    fn reach(&self) -> Millimetres {
        self.spec.reach(self.spec.wear(self.drawn_length()))
    }

    /// What the picture says, in words: two lines, three for a rocked cutter.
    fn words(&self) -> Vec<String> {
        let (unit, reach) = (self.unit, self.reach());
        let gap = self.gap.map_or_else(|| "gap not measured".to_owned(), |gap| format!("gap {}", unit.show_named(gap)));
        let target = self.target_gap.map(|gap| format!(", target {}", unit.show_named(gap)));
        let length = self.length.map(|length| format!("length {}", unit.show_named(length)));
        let aim = self.target_length.filter(|aim| self.length.is_some_and(|length| length > *aim));
        let aim = aim.map(|aim| format!(", to reach {}", unit.show_named(aim)));
        // A bite angle needs both: the gap and the reach that the length tells.
        let known = self.gap.filter(|_| self.length.is_some());
        let bite = known.map(|gap| format!(", bite {}", angle(bite_angle(gap, reach))));
        let aimed = self.target_gap.filter(|_| self.length.is_some());
        let aimed = aimed.map(|gap| format!(", target {}", angle(bite_angle(gap, reach))));
        let mut lines = vec![
            gap + &target.unwrap_or_default(),
            length.unwrap_or_else(|| "length not measured".to_owned())
                + &aim.unwrap_or_default()
                + &bite.unwrap_or_default()
                + &aimed.unwrap_or_default(),
        ];
        if let (Some(rock), Some(gap)) = (self.rock, self.gap) {
            let left = bite_left(gap, reach, rock);
            let left = if left.get() > 0.0 { format!("{} of", unit.show_named(left)) } else { "no".to_owned() };
            lines.push(format!("rocked {}: {left} bite left", angle(rock)));
        }
        lines
    }

    /// The picture.
    pub fn scene(&self) -> Scene {
        let spec = self.spec;
        let new = Form::new(spec, spec.new_length, spec.fixed_gap(Wood::Any));
        let now = Form::new(spec, self.drawn_length(), self.drawn_gap()).rocked(self.rock.unwrap_or_default());
        let (low, high) = self.frame(&new, &now);
        let mut scene = Scene::new(low, high);
        scene.words = self.words();
        // On the bench there is no wood.
        if self.length.is_some() && self.wood && self.show != Show::Filing {
            self.wood(&mut scene, &now);
        }
        bar(&mut scene, &now);
        self.steel(&mut scene, &new, &now);
        self.gauge(&mut scene, &now);
        self.measures(&mut scene, &now);
        scene.label(Ink::Quiet, high, Near::Left, RUNS_RIGHT);
        if self.mirrored { scene.mirrored() } else { scene }
    }

    /// What must be seen. The whole cutter always shows the same, so that it does not jump from reading to reading.
    fn frame(&self, new: &Form, now: &Form) -> (Point, Point) {
        let (k, corner, raker) = (now.k, now.turn(now.corner), now.raker);
        match self.show {
            Show::Whole => ((-5.5 * k, -6.2 * k), (22.5 * k, new.corner.1.max(now.corner.1) + 4.3 * k)),
            Show::Filing => {
                let aim = self.target_length.map_or(corner.0, |aim| aim.get().min(corner.0));
                let low = (aim - 4.5 * k, corner.1 - 6.3 * k);
                (low, (raker.0.min(corner.0 + 6.5 * k) + 1.2 * k, corner.1 + 3.2 * k))
            }
            Show::Raker => {
                let aimed = self.target_gap.map_or(raker.1, |gap| corner.1 - gap.get());
                let low = raker.1.min(aimed) - 2.3 * k;
                let wide = self.plate.map_or(3.8 * k, |plate| plate.foot.get() + k);
                ((corner.0 - 2.2 * k, low), (raker.0 + wide, corner.1.max(raker.1) + 2.1 * k))
            }
        }
    }

    /// The wood over the chain: uncut ahead of the corner, where it rests on the raker, and cut behind it.
    fn wood(&self, scene: &mut Scene, now: &Form) {
        let (k, corner) = (now.k, now.turn(now.corner));
        // Where no gap was measured no chip and no step are shown.
        let ahead = if self.gap.is_some() { now.raker.1.min(corner.1) } else { corner.1 };
        let (far, top) = (60.0 * k, corner.1 + 2.2 * k);
        let mut around = vec![(-far, corner.1), corner, (corner.0 + 0.3 * k, ahead), (far, ahead), (far, top)];
        // A broken edge above: there is more wood than is drawn.
        let tooth = |n: i32| (far - f64::from(n) * 2.5 * k, top + if n % 2 == 0 { 0.0 } else { 0.35 * k });
        around.extend((1..48).map(tooth));
        around.push((-far, top));
        scene.fill(Ink::Wood, Path::through(&around).close());
        for row in 1..3 {
            let y = corner.1 + 0.7 * k * f64::from(row);
            scene.line(
                Ink::Grain,
                Path::from((-far, y)).curve((-0.3 * far, y + 0.5 * k), (0.3 * far, y - 0.5 * k), (far, y)),
            );
        }
        let gap = corner.1 - now.raker.1;
        if self.gap.is_some() && gap > 0.0 {
            scene.fill(Ink::Chip, chip(corner, gap, k));
        }
    }

    fn steel(&self, scene: &mut Scene, new: &Form, now: &Form) {
        let worn = self.length.is_some_and(|length| length < self.spec.new_length) && self.rock.is_none();
        if worn && self.show == Show::Whole {
            scene.dashes(Ink::New, new.tooth_line());
            scene.dashes(Ink::New, new.raker_line());
        }
        match (self.length, self.gap) {
            (None, _) => {
                scene.fill(Ink::Steel, now.chassis());
                scene.dashes(Ink::Unmeasured, now.tooth_line());
                scene.dashes(Ink::Unmeasured, now.raker_line());
            }
            (Some(_), None) => {
                scene.fill(Ink::Steel, now.without_raker());
                scene.fill(Ink::Plate, now.plate());
                scene.dashes(Ink::Unmeasured, now.raker_line());
                self.filed(scene, now);
            }
            (Some(_), Some(gap)) => {
                let high = self.target_gap.filter(|aim| *aim > gap && self.rock.is_none() && self.show == Show::Raker);
                match high {
                    Some(aim) => {
                        scene.fill(Ink::Filed, now.body());
                        scene.fill(Ink::Steel, Form::new(self.spec, self.drawn_length(), aim).body());
                    }
                    None => scene.fill(Ink::Steel, now.body()),
                }
                scene.fill(Ink::Plate, now.plate());
                self.filed(scene, now);
            }
        }
        for rivet in now.rivets() {
            scene.fill(Ink::Rivet, Path::circle(rivet, 1.5 * now.k));
        }
        if self.length.is_some() {
            let mark = now.mark(self.spec);
            scene.line(Ink::Mark, Path::through(&mark));
            if self.show == Show::Whole {
                scene.label(Ink::Mark, mark[1], Near::Below, "mark");
            }
        }
    }

    /// What is still to be filed off the tooth, hatched.
    fn filed(&self, scene: &mut Scene, now: &Form) {
        let (Some(length), Some(aim), Show::Whole | Show::Filing, None) =
            (self.length, self.target_length, self.show, self.rock)
        else {
            return;
        };
        if length <= aim {
            return;
        }
        let off = (length - aim).get();
        let then = Form::new(self.spec, aim, self.drawn_gap());
        // Between the file's bed as it is and as it will be.
        let mut around = vec![then.corner, now.corner];
        around.extend(now.bed.iter().skip(1).copied());
        around.extend(then.bed.iter().rev().copied());
        scene.fill(Ink::Filed, Path::through(&around).close());
        if self.show == Show::Filing {
            let over = now.corner.1 + 2.3 * now.k;
            scene.parts.push(Part::Measure(Measure {
                name: "to reach",
                from: now.heel,
                to: then.corner,
                at: over,
                upright: false,
                text: format!("to reach {}", self.unit.show(aim)),
                ink: Ink::Target,
            }));
            let strip = (now.corner.0 + off + 0.2 * now.k, now.corner.1 - 1.6 * now.k);
            scene.label(Ink::Target, strip, Near::Right, format!("{} off", self.unit.show(length - aim)));
            if let Some(step) = self.file {
                scene.dashes(Ink::New, Path::circle(then.file.0, then.file.1));
                let name = format!("file {}", self.unit.file_size(step));
                scene.label(Ink::Quiet, then.file.0, Near::Below, name);
            }
        }
    }

    /// The plate gauge: on the corner, its foot on the strap ahead, the raker in its slot.
    fn gauge(&self, scene: &mut Scene, now: &Form) {
        let (Some(plate), Some(_)) = (self.plate, self.length) else { return };
        let wear = self.spec.wear(self.drawn_length());
        let k = now.k;
        let foot = (now.raker.0 + plate.foot.get(), now.corner.1 - (plate.height - self.spec.tip_drop(wear)).get());
        let slope = (now.corner.1 - foot.1) / (now.corner.0 - foot.0);
        let on = |x: f64, up: f64| (x, now.corner.1 + (x - now.corner.0) * slope + up);
        let thick = plate.slot.get();
        let piece =
            |from: f64, to: f64| Path::through(&[on(from, 0.0), on(to, 0.0), on(to, thick), on(from, thick)]).close();
        scene.fill(Ink::Gauge, piece(now.corner.0 - 1.5 * k, now.raker.0 - 1.6 * k));
        scene.fill(Ink::Gauge, piece(now.raker.0 + 1.4 * k, foot.0 + 1.2 * k));
        scene.label(Ink::Quiet, on(f64::midpoint(now.raker.0, foot.0), thick), Near::Above, "plate");
        scene.label(Ink::Quiet, foot, Near::Below, "foot");
    }

    /// The gap, the reach, the length and the bite angle, as on a workshop drawing.
    fn measures(&self, scene: &mut Scene, now: &Form) {
        let (k, corner, raker) = (now.k, now.turn(now.corner), now.raker);
        let unit = self.unit;
        let Some(length) = self.length else {
            scene.label(Ink::Unmeasured, now.corner, Near::Above, "length not measured");
            return;
        };
        let over = corner.1.max(raker.1) + if self.show == Show::Whole { 3.4 } else { 1.3 } * k;
        let level =
            |name, from, to, text| Measure { name, from, to, at: over, upright: false, text, ink: Ink::Measure };
        if self.rock.is_none() {
            let text = format!("length {}", unit.show(length));
            if self.show != Show::Raker {
                scene.parts.push(Part::Measure(level("length", now.heel, corner, text)));
            }
            if self.show != Show::Filing {
                let text = format!("reach {}", unit.show(self.reach()));
                scene.parts.push(Part::Measure(level("reach", corner, raker, text)));
            }
        }
        match self.gap {
            None => scene.label(Ink::Unmeasured, raker, Near::Right, "gap not measured"),
            Some(gap) => self.gap_and_bite(scene, now, gap),
        }
        scene.spot(Ink::Measure, corner);
    }

    fn gap_and_bite(&self, scene: &mut Scene, now: &Form, gap: Millimetres) {
        let (k, corner, raker) = (now.k, now.turn(now.corner), now.raker);
        let unit = self.unit;
        let left = corner.1 - raker.1;
        // Once it is rocked, only what is left of gap and angle can be seen.
        let (text, bite) = match self.rock {
            Some(_) => (format!("left {}", unit.show(Millimetres::new(left))), "left"),
            None => (format!("gap {}", unit.show(gap)), "bite"),
        };
        scene.line(Ink::Bite, Path::through(&[raker, corner]));
        let at = raker.0 + 0.9 * k;
        scene.parts.push(Part::Measure(Measure {
            name: "gap",
            from: (raker.0, raker.1),
            to: corner,
            at,
            upright: true,
            text,
            ink: Ink::Gap,
        }));
        let degrees = Degrees::from_radians(left.atan2(raker.0 - corner.0));
        if self.show != Show::Filing {
            let beside = (raker.0 + 0.9 * k, f64::midpoint(corner.1, raker.1) - 1.1 * k);
            scene.label(Ink::Bite, beside, Near::Right, format!("{bite} {}", angle(degrees)));
        }
        scene.spot(Ink::Gap, raker);
        if self.show == Show::Raker {
            scene.dashes(Ink::Gap, Path::through(&[corner, (at + 0.6 * k, corner.1)]));
        }
        if let (Some(target), None, Show::Raker) = (self.target_gap, self.rock, self.show) {
            let y = corner.1 - target.get();
            scene.dashes(Ink::Target, Path::through(&[(raker.0 - 1.8 * k, y), (raker.0 + 0.8 * k, y)]));
            scene.label(Ink::Target, (raker.0 - 1.8 * k, y), Near::Left, format!("x target {}", unit.show(target)));
        }
    }
}

/// The chip: as thick as the gap, bent down along the edge and curled up in the gullet.
fn chip(corner: Point, gap: f64, k: f64) -> Path {
    let middle = corner.1 - gap / 2.0;
    let at = |x: f64, y: f64| (corner.0 + x * k, middle + y * k);
    let along = Path::from((corner.0 + 0.3 * k, middle))
        .curve(at(0.0, -0.6), at(0.0, -2.2), at(1.0, -2.9))
        .curve(at(1.9, -3.5), at(3.2, -2.9), at(2.6, -2.0))
        .curve(at(2.3, -1.6), at(1.9, -1.7), at(1.8, -2.0));
    let points: Vec<Point> = along.flat().into_iter().flatten().collect();
    Path::band(&points, gap.min(1.2 * k))
}

/// The bar's rail, and the links on both sides of the cutter.
fn bar(scene: &mut Scene, now: &Form) {
    let (k, far) = (now.k, 60.0 * now.k);
    scene.fill(Ink::Bar, Path::rectangle((-far, -30.0 * k), (far, -3.6 * k)));
    for step in [-6.0, -4.0, -2.0, 2.0, 4.0, 6.0] {
        scene.fill(Ink::Link, tie_strap(k, RIVETS[0] + step * PITCH));
    }
    for step in [-5.0, -3.0, -1.0, 1.0, 3.0, 5.0] {
        scene.fill(Ink::Link, drive_link(k, RIVETS[0] + step * PITCH));
    }
    for step in -6_i32..=7 {
        if !matches!(step, 0 | 1) {
            scene.fill(Ink::Rivet, Path::circle(now.at(RIVETS[0] + f64::from(step) * PITCH, 0.0), 1.3 * k));
        }
    }
}
