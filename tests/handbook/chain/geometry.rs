//! The same pictures by points, lines and rotations of the geometry crate `euclid` 0.22, never by our own formulas.

use euclid::default::{Point2D, Rotation2D, Vector2D, Vector3D};
use euclid::{Angle, point2, vec2, vec3};
use evenbite::chain::geometry::{bite_angle, bite_left, reach_growth_from, slope_from, wedge, wedge_along_chain};
use evenbite::chain::{Plate, Rule, Spec, Wood};
use evenbite::units::{Degrees, deg, mm};

use super::{near, profile};

/// The line through two points, in homogeneous coordinates.
fn line(a: Point2D<f64>, b: Point2D<f64>) -> Vector3D<f64> {
    vec3(a.x, a.y, 1.0).cross(vec3(b.x, b.y, 1.0))
}

/// Where two lines meet.
fn meet(a: Vector3D<f64>, b: Vector3D<f64>) -> Point2D<f64> {
    let at = a.cross(b);
    point2(at.x / at.z, at.y / at.z)
}

fn upright(x: f64) -> Vector3D<f64> {
    line(point2(x, 0.0), point2(x, 1.0))
}

/// How far from level the direction lies once it is turned back by `angle`, in degrees for small ones: 0 where that is
/// its angle. (The crate's own `angle_from_x_axis` is only good to about 0.01 degrees.)
fn off_level(direction: Vector2D<f64>, angle: Degrees) -> f64 {
    let turned = Rotation2D::new(Angle::degrees(-angle.get())).transform_vector(direction);
    assert!(turned.x > 0.0, "turned right round");
    (turned.y / direction.length()).to_degrees()
}

fn standard() -> Spec {
    profile("three-eighths").spec().clone()
}

/// The raker top is the origin and the chain runs toward -x, so that the new corner stands at (reach, gap).
fn worn_corner(spec: &Spec, corner: Point2D<f64>, wear: f64) -> Point2D<f64> {
    let back = Rotation2D::new(Angle::degrees(-spec.back_slope.get())).transform_vector(vec2(1.0, 0.0));
    meet(line(corner, corner + back), upright(corner.x + wear))
}

#[test]
fn the_route_itself_meets_published_points() {
    // sympy, exact: (3,1) turned by 30 degrees about (1,1) is (1 + sqrt 3, 2); shapely gives the same.
    let turned = Rotation2D::new(Angle::degrees(30.0)).transform_vector(vec2(2.0, 0.0));
    near(1.0 + turned.x, 2.732_050_807_568_877, 1e-12);
    near(1.0 + turned.y, 2.0, 1e-12);
    near(bite_left(mm(0.0), mm(2.0), deg(-30.0)).get(), 1.0, 1e-12);
    // sympy, exact: a circle of radius 5 is met at height 3 at (4, 3); the tangent there falls by 4 in 3.
    near(wedge(mm(10.0), mm(2.0)).expect("inside the file").radians().tan(), 4.0 / 3.0, 1e-12);
}

#[test]
fn wear_moves_the_corner_back_and_down() {
    for slope in [1.0, 8.0, 10.0, 25.0] {
        let spec = Spec { back_slope: deg(slope), reach_mark: None, ..standard() };
        let new = point2(spec.reach_new.get(), spec.base_gap.get());
        for wear in [0.0, 0.3, 2.0, 7.0] {
            let worn = worn_corner(&spec, new, wear);
            near(spec.tip_drop(mm(wear)).get(), new.y - worn.y, 1e-12);
            near(spec.reach(mm(wear)).get(), worn.x, 1e-12);
            near(spec.gap_after_filing(spec.base_gap, mm(wear)).get(), worn.y, 1e-12);
            near(spec.height_step(mm(10.0), mm(10.0 - wear)).get(), new.y - worn.y, 1e-12);
            near(off_level(worn.to_vector(), bite_angle(mm(worn.y), mm(worn.x))), 0.0, 1e-12);
        }
    }
}

#[test]
fn the_corner_turned_about_the_raker_top_leaves_the_bite() {
    for (gap, reach) in [(0.65, 6.0), (0.8, 6.0), (1.49, 13.75), (0.2, 1.0)] {
        let corner: Vector2D<f64> = vec2(reach, gap);
        for tenth in -50..=150 {
            let rock = f64::from(tenth) / 10.0;
            let turned = Rotation2D::new(Angle::degrees(-rock)).transform_vector(corner);
            near(bite_left(mm(gap), mm(reach), deg(rock)).get(), turned.y, 1e-12);
            near(turned.length(), gap.hypot(reach), 1e-12);
        }
        let bite = bite_angle(mm(gap), mm(reach));
        near(off_level(corner, bite), 0.0, 1e-12);
        near(bite_left(mm(gap), mm(reach), bite).get(), 0.0, 1e-12);
    }
}

#[test]
fn the_wear_scaled_gap_lies_on_one_line_through_the_raker_top() {
    for wood in [Wood::Any, Wood::SoftwoodNoFrost] {
        let spec = standard();
        let sight = line(Point2D::origin(), point2(spec.reach_new.get(), spec.fixed_gap(wood).get()));
        for wear in [0.0, 1.0, 3.5, 5.0] {
            let at = meet(sight, upright(spec.reach(mm(wear)).get()));
            near(spec.scaled_gap(wood, mm(wear)).get(), at.y, 1e-12);
        }
    }
}

#[test]
fn raker_steel_is_the_way_the_raker_top_goes_down() {
    // Heights above the chain; the corner of a new cutter at 0.
    let spec = standard();
    for wear in [0.0, 2.0, 5.0, 7.0] {
        let corner = worn_corner(&spec, point2(0.0, 0.0), wear).y;
        let before = -spec.base_gap.get();
        let after = corner - spec.scaled_gap(Wood::Any, mm(wear)).get();
        near(spec.raker_steel(Wood::Any, mm(wear)).get(), before - after, 1e-12);
    }
}

#[test]
fn the_plate_rests_on_corner_and_strap_and_its_slot_sets_the_raker() {
    let spec = standard();
    for (foot, height, slot) in [(14.0, 5.17, 0.9), (20.0, 5.17, 0.9), (9.0, 4.0, -0.2)] {
        let plate = Plate { foot: mm(foot), height: mm(height), slot: mm(slot) };
        for wear in [0.0, 1.0, 3.5, 7.0] {
            let reach = spec.reach(mm(wear)).get();
            // The foot rests `foot` ahead of the raker top at height 0; the raker top stands at x = 0.
            let rest = point2(-foot, 0.0);
            let drop = worn_corner(&spec, point2(0.0, 0.0), wear).y;
            let corner = point2(reach, height + drop);
            let face = meet(line(rest, corner), upright(0.0)).y + slot;
            near(plate.gap(&spec, mm(wear)).get(), corner.y - face, 1e-12);
            near(off_level(corner - rest, plate.line(&spec, mm(wear))), 0.0, 1e-12);
        }
    }
}

#[test]
fn the_wedge_is_the_tangent_of_the_file_where_the_edge_lies() {
    for diameter in [4.0, 4.8, 5.2, 5.5] {
        for twentieth in 1..20 {
            let (radius, above) = (diameter / 2.0, diameter * f64::from(twentieth) / 20.0);
            // Turn the file's top point round its centre until it has sunk by `above`.
            let top: Vector2D<f64> = vec2(0.0, radius);
            let sunk = |turn: f64| radius - Rotation2D::new(Angle::degrees(turn)).transform_vector(top).y;
            let (mut low, mut high) = (0.0, 180.0);
            for _ in 0..60 {
                let middle = f64::midpoint(low, high);
                if sunk(middle) < above { low = middle } else { high = middle }
            }
            let edge = Rotation2D::new(Angle::degrees(low)).transform_vector(top);
            let tangent = Rotation2D::new(Angle::degrees(90.0)).transform_vector(edge);
            // Turned left from the top, the tangent points left and down: mirrored, it rises by the wedge.
            let rising: Vector2D<f64> = vec2(-tangent.x, -tangent.y);
            let found = wedge(mm(diameter), mm(above)).expect("inside the file");
            near(off_level(rising, found), 0.0, 1e-9);
        }
    }
}

#[test]
fn the_wedge_along_the_chain_is_a_plane_cut_upright() {
    // x along the chain, z up. The face holds the file's axis and the wedge's slope at right angles to it.
    for (filing, across) in
        [(0.0_f64, 53.13_f64), (25.0, 55.0), (30.0, 53.13), (30.0, 60.0), (35.0, 36.9), (45.0, 89.0)]
    {
        let (sin, cos) = filing.to_radians().sin_cos();
        let axis: Vector3D<f64> = vec3(sin, cos, 0.0);
        let beside: Vector3D<f64> = vec3(cos, -sin, 0.0);
        let slope = beside * across.to_radians().cos() + vec3(0.0, 0.0, across.to_radians().sin());
        let cut = axis.cross(slope).cross(vec3(0.0, 1.0, 0.0));
        let found = (cut.z / cut.x).atan().to_degrees();
        near(wedge_along_chain(deg(across), deg(filing)).get(), found, 1e-10);
    }
}

#[test]
fn the_half_kerf_follows_the_side_seen_from_above() {
    let spec = Spec { half_kerf: Some(mm(3.6)), side_taper: Some(deg(4.0)), ..standard() };
    let side = Rotation2D::new(Angle::degrees(-4.0)).transform_vector(vec2(1.0, 0.0));
    let start: Point2D<f64> = point2(0.0, 3.6);
    for wear in [0.0, 2.0, 7.0] {
        let at = meet(line(start, start + side), upright(wear));
        near(spec.half_kerf_worn(mm(wear)).expect("known").get(), at.y, 1e-12);
    }
}

#[test]
fn slope_and_reach_growth_are_found_again_from_two_cutters() {
    let spec = standard();
    let new = point2(spec.reach_new.get(), spec.base_gap.get());
    let worn = worn_corner(&spec, new, 2.5);
    let slope = slope_from(mm(new.y - worn.y), mm(2.5)).expect("length was lost");
    near(slope.get(), spec.back_slope.get(), 1e-10);
    let growth = reach_growth_from((mm(9.0), spec.reach(mm(1.0))), (mm(5.0), spec.reach(mm(5.0))));
    near(growth.expect("the second is worn"), spec.reach_growth(), 1e-12);
    assert_eq!(slope_from(mm(0.1), mm(0.0)), None);
    assert_eq!(slope_from(mm(-0.1), mm(1.0)), None);
    assert_eq!(reach_growth_from((mm(5.0), mm(6.0)), (mm(9.0), mm(7.0))), None);
    assert_eq!(reach_growth_from((mm(9.0), mm(6.0)), (mm(5.0), mm(6.0))), None);
}

#[test]
fn a_raker_too_low_is_right_again_where_the_two_lines_meet() {
    // The gap left by filing and the target are followed in small steps until they meet.
    let spec = standard();
    for (rule, wear, excess) in
        [(Rule::Fixed, 2.0, 0.1), (Rule::Scaled, 2.0, 0.1), (Rule::Scaled, 0.0, 0.3), (Rule::Plate, 1.0, 0.1)]
    {
        let target = |filed: f64| spec.target_gap(rule, Wood::Any, mm(wear + filed)).expect("known").get();
        let start = target(0.0) + excess;
        let over = |filed: f64| worn_corner(&spec, point2(0.0, start), filed).y - target(filed);
        let mut filed = 0.0;
        while over(filed) > 0.0 {
            filed += 1e-4;
        }
        near(spec.tooth_to_restore(rule, Wood::Any, mm(wear), mm(excess)).get(), filed, 2e-4);
    }
}
