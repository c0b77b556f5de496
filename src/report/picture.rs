//! A scene as SVG: the same shapes, lines and dimensions that the screen shows, in millimetres of its own.
//!
//! Every ink says its look on the element, in the colours of paper; the page's style puts those of a dark screen or of
//! a printer in their place. Hatching and dashes tell apart what black and white cannot.

use maud::{Markup, html};

use crate::drawing::{Ink, Measure, Near, Part, Path, Point, Scene, Step};
use crate::report::drawing::{WIDTH, dashed, fine, line, svg, tenth};

/// Height of a picture, and of a line of its words.
const HEIGHT: f64 = 330.0;
const LETTER: f64 = 12.0;

/// What style the inks need where the page is not of white paper.
pub(super) const STYLE: &str = "\
.picture .steel{fill:var(--steel)}.picture .plate{fill:var(--plate)}.picture .rivet{fill:var(--rivet)}\
.picture .link{fill:var(--link)}.picture .bar{fill:var(--bar)}.picture .wood{fill:var(--wood)}\
.picture .chip{fill:var(--chip)}.picture text{stroke:var(--paper);stroke-width:3px;\
stroke-linejoin:round}\
";
/// The same colours as variables: on light ground, on dark, in print.
pub(super) const LIGHT: &str =
    "--steel:#5d7488;--plate:#34495c;--rivet:#93a1ad;--link:#a9b3bc;--bar:#ccd3d9;--wood:#e6cfa4;--chip:#cf9440;";
pub(super) const DARK: &str =
    "--steel:#9fb1c2;--plate:#dbe6f0;--rivet:#5d6b78;--link:#66737f;--bar:#3d4852;--wood:#6d542f;--chip:#d9a95c;";
pub(super) const PRINT: &str =
    "--steel:#777;--plate:#333;--rivet:#ccc;--link:#bbb;--bar:#e2e2e2;--wood:#eee;--chip:#999;";

/// From mm to the drawing: one scale both ways, as much to the sides as there is room.
#[derive(Debug, Clone, Copy)]
struct Scale {
    per_mm: f64,
    left: f64,
    top: f64,
    height: f64,
}

impl Scale {
    fn of(scene: &Scene) -> Self {
        let (wide, tall) = (scene.high.0 - scene.low.0, scene.high.1 - scene.low.1);
        let per_mm = (WIDTH / wide).min(HEIGHT / tall);
        let middle = f64::midpoint(scene.low.0, scene.high.0);
        Self { per_mm, left: middle - WIDTH / 2.0 / per_mm, top: scene.high.1, height: tall * per_mm }
    }

    fn place(&self, (x, y): Point) -> Point {
        ((x - self.left) * self.per_mm, (self.top - y) * self.per_mm)
    }
}

/// The picture: `name` is unique in its page, `title` and `desc` are what a screen reader says, `more` lies over it.
pub(crate) fn picture(scene: &Scene, name: &str, title: &str, desc: &str, more: &Markup) -> Markup {
    let scale = Scale::of(scene);
    let hatch = [("filed", 45), ("gauge", -45)].map(|(ink, turn)| (format!("{name}-{ink}"), turn));
    let body = html! {
        defs { @for (id, turn) in &hatch {
            pattern id=(id) width="5" height="5" patternUnits="userSpaceOnUse" patternTransform={ "rotate(" (turn) ")" } {
                line class="two" x1="0" y1="0" x2="0" y2="5" stroke="#a33c00" stroke-width="1.6" {}
            }
        } }
        g class="picture" paint-order="stroke" { @for part in &scene.parts { (drawn(part, &scale, name)) } }
        (scale_bar(&scale))
        (more)
    };
    svg(name, scale.height, title, desc, &body)
}

fn drawn(part: &Part, scale: &Scale, name: &str) -> Markup {
    match part {
        Part::Fill { path, ink } => filled(path, *ink, scale, name),
        Part::Line { path, ink, dashed } => {
            let dashes = dashed.then_some("4 3");
            let (class, width) = match ink {
                Ink::Bite | Ink::Mark => ("one", "1.6"),
                Ink::Target => ("two", "1.4"),
                Ink::Grain => ("grain", "0.7"),
                _ => ("soft", "1"),
            };
            html! { path class=(class) d=(steps(path, scale)) fill="none" stroke=(stroke(*ink)) stroke-width=(width)
            stroke-dasharray=[dashes] {} }
        }
        Part::Spot { at, .. } => {
            let (x, y) = scale.place(*at);
            html! { circle cx=(fine(x)) cy=(fine(y)) r="2.4" fill="currentColor" {} }
        }
        Part::Measure(measure) => dimension(measure, scale),
        Part::Label { at, near, text, ink } => {
            let (x, y) = scale.place(*at);
            let (place, anchor) = match near {
                Near::Right => ((x + 8.0, y + 4.0), "start"),
                Near::Left => ((x - 8.0, y + 4.0), "end"),
                Near::Above => ((x, y - 7.0), "middle"),
                Near::Below => ((x, y + 14.0), "middle"),
            };
            // Words at the upper edge would be cut in half by it.
            let place = (place.0, place.1.max(LETTER));
            let quiet = matches!(ink, Ink::Quiet | Ink::Unmeasured).then_some("quiet");
            words(place, anchor, text, quiet)
        }
    }
}

fn filled(path: &Path, ink: Ink, scale: &Scale, name: &str) -> Markup {
    let (class, fill) = match ink {
        Ink::Steel => ("steel", "#5d7488".to_owned()),
        Ink::Plate => ("plate", "#34495c".to_owned()),
        Ink::Rivet => ("rivet", "#93a1ad".to_owned()),
        Ink::Link => ("link", "#a9b3bc".to_owned()),
        Ink::Bar => ("bar", "#ccd3d9".to_owned()),
        Ink::Wood => ("wood", "#e6cfa4".to_owned()),
        Ink::Chip => ("chip", "#cf9440".to_owned()),
        Ink::Gauge => ("gauge", format!("url(#{name}-gauge)")),
        _ => ("filed", format!("url(#{name}-filed)")),
    };
    // Wood and bar go on beyond the picture.
    let edge = (!matches!(ink, Ink::Wood | Ink::Bar)).then_some("currentColor");
    html! { path class=(class) d=(steps(path, scale)) fill=(fill) stroke=[edge] stroke-width="0.8" {} }
}

const fn stroke(ink: Ink) -> &'static str {
    match ink {
        Ink::Grain => "#b08a4a",
        _ => "currentColor",
    }
}

/// A path as an attribute's value.
fn steps(path: &Path, scale: &Scale) -> String {
    let at = |point: Point| {
        let (x, y) = scale.place(point);
        format!("{x:.2} {y:.2}")
    };
    let step = |step: &Step| match *step {
        Step::Start(to) => format!("M{}", at(to)),
        Step::Line(to) => format!("L{}", at(to)),
        Step::Curve(a, b, to) => format!("C{} {} {}", at(a), at(b), at(to)),
        Step::Close => "Z".to_owned(),
    };
    path.steps.iter().map(step).collect()
}

/// The dimension's line with a stroke across each end, thin lines from its points, the number over it.
fn dimension(measure: &Measure, scale: &Scale) -> Markup {
    let (from, to) = (scale.place(measure.from), scale.place(measure.to));
    let at = scale.place((measure.at, measure.at));
    let (a, b) = if measure.upright { ((at.0, from.1), (at.0, to.1)) } else { ((from.0, at.1), (to.0, at.1)) };
    let class = if measure.ink == Ink::Gap { "two" } else { "soft" };
    let tick = |(x, y): Point| {
        let ends = if measure.upright { ((x - 4.0, y), (x + 4.0, y)) } else { ((x, y - 4.0), (x, y + 4.0)) };
        line(class, ends.0, ends.1, dashed("none"))
    };
    // Once more to the right of an upright line, so that a small gap has room for its number.
    let (place, anchor) = if !measure.upright {
        ((f64::midpoint(a.0, b.0), a.1 - 5.0), "middle")
    } else if at.0 > to.0 {
        ((at.0 + 8.0, f64::midpoint(a.1, b.1) + 4.0), "start")
    } else {
        ((at.0 - 8.0, f64::midpoint(a.1, b.1) + 4.0), "end")
    };
    html! {
        g data-measure=(measure.name) data-mm=(format!("{:.4}", measure.drawn())) {
            (line("grid", from, a, dashed("2 2")))
            (line("grid", to, b, dashed("2 2")))
            (line(class, a, b, dashed("none")))
            (tick(a))
            (tick(b))
            (words(place, anchor, &measure.text, None))
        }
    }
}

fn words((x, y): Point, anchor: &str, text: &str, class: Option<&str>) -> Markup {
    html! { text class=[class] x=(tenth(x)) y=(tenth(y)) text-anchor=(anchor) { (text) } }
}

/// Five millimetres, or two tenths of an inch for those who think in it: the drawing is true to itself at any size.
fn scale_bar(scale: &Scale) -> Markup {
    let (x, y) = (14.0, scale.height - 12.0);
    let end = x + 5.0 * scale.per_mm;
    html! {
        line stroke="currentColor" x1=(fine(x)) y1=(fine(y)) x2=(fine(end)) y2=(fine(y)) stroke-width="2"
            data-scale-mm="5" {}
        (words((end + 6.0, y + 4.0), "start", "5 mm (0.197 in)", None))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::profile::built_in;
    use crate::drawing::Side;
    use crate::units::mm;

    #[test]
    fn every_dimension_is_in_the_page_as_the_scene_has_it_and_as_long_as_it_says() {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        for mirrored in [false, true] {
            let scene = Side { length: Some(mm(7.6)), gap: Some(mm(0.7)), mirrored, ..Side::new(spec) }.scene();
            let page = picture(&scene, "cutter", "title", "words", &html! {}).into_string();
            let scale = Scale::of(&scene);
            for measure in scene.measures() {
                let said = format!("data-measure=\"{}\" data-mm=\"{:.4}\"", measure.name, measure.drawn());
                assert!(page.contains(&said) && page.contains(&measure.text), "{said}");
                let (from, to) = (scale.place(measure.from), scale.place(measure.to));
                let long = if measure.upright { (to.1 - from.1).abs() } else { (to.0 - from.0).abs() };
                assert!((long / scale.per_mm - measure.drawn()).abs() < 1e-9);
            }
            assert_eq!(scene.measures().count(), 3);
        }
    }

    #[test]
    fn words_in_a_scene_are_shown_and_not_obeyed() {
        let profile = built_in::named("three-eighths").unwrap();
        let spec = profile.spec();
        let mut scene = Side::new(spec).scene();
        let text = "<i>".to_owned();
        scene.parts.push(Part::Label { at: (0.0, 0.0), near: Near::Left, text, ink: Ink::Quiet });
        assert!(picture(&scene, "x", "<b>", "a & b", &html! {}).into_string().contains("&lt;i&gt;"));
    }
}
