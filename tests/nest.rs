//! Cut plans: no overlap, gap held, everything on the roll, measured here by code of its own that
//! shares nothing with the engine; closed forms; refusals; the same answer every time.
//! `tests/compare_nest.py` measures the same with Shapely and compares lengths.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use nalgebra::Point2;
use plymend::buy::nest::{
    Layout, NestFault, OutlineFault, Piece, Placed, Roll, Settings, Turns, nest,
};
use proptest::prelude::*;

const WIDTH_MM: f64 = 1270.0;
const GAP_MM: f64 = 5.0;

fn roll() -> Roll {
    Roll { material: "csm-450".to_owned(), width_mm: WIDTH_MM }
}

fn roll_of(width_mm: f64) -> Roll {
    Roll { width_mm, ..roll() }
}

fn moves(moves: u64) -> Settings {
    Settings { gap_mm: GAP_MM, moves, ..Settings::default() }
}

fn piece(id: &str, corners: &[(f64, f64)], copies: usize, turns: Turns) -> Piece {
    Piece {
        id: id.to_owned(),
        outline_mm: corners.iter().map(|(x, y)| Point2::new(*x, *y)).collect(),
        copies,
        material: "csm-450".to_owned(),
        turns,
        may_be_turned_over: false,
    }
}

fn rectangle(id: &str, x: f64, y: f64, copies: usize) -> Piece {
    piece(id, &[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)], copies, Turns::Any)
}

fn rotated(mut piece: Piece, degrees: f64) -> Piece {
    let (sin, cos) = degrees.to_radians().sin_cos();
    for p in &mut piece.outline_mm {
        *p = Point2::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
    }
    piece
}

/// The set of 24 plies that `tests/nest/make_pieces.py` wrote.
fn set(turns: Turns) -> Vec<Piece> {
    let text = std::fs::read_to_string("tests/nest/pieces.json").expect("the set");
    let set: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let read = |drawn: &serde_json::Value| {
        let number = |value: &serde_json::Value| value.as_f64().expect("a number");
        let points = drawn["outline_mm"].as_array().expect("points");
        let corners: Vec<_> = points.iter().map(|p| (number(&p[0]), number(&p[1]))).collect();
        piece(drawn["id"].as_str().expect("an id"), &corners, 1, turns)
    };
    set["pieces"].as_array().expect("pieces").iter().map(read).collect()
}

/// Distance between two segments by solving for the nearest points of the two lines, then of each
/// end and the other line.
fn segment_distance(p: [f64; 4], q: [f64; 4]) -> f64 {
    let (ux, uy, vx, vy) = (p[2] - p[0], p[3] - p[1], q[2] - q[0], q[3] - q[1]);
    let (wx, wy) = (q[0] - p[0], q[1] - p[1]);
    let determinant = ux * vy - uy * vx;
    if determinant != 0.0 {
        let s = (wx * vy - wy * vx) / determinant;
        let t = (wx * uy - wy * ux) / determinant;
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            return 0.0;
        }
    }
    let end = |x: f64, y: f64, s: [f64; 4]| {
        let (dx, dy) = (s[2] - s[0], s[3] - s[1]);
        let along = ((x - s[0]) * dx + (y - s[1]) * dy) / (dx * dx + dy * dy);
        let along = along.clamp(0.0, 1.0);
        (x - s[0] - along * dx).hypot(y - s[1] - along * dy)
    };
    end(p[0], p[1], q).min(end(p[2], p[3], q)).min(end(q[0], q[1], p)).min(end(q[2], q[3], p))
}

/// Where the layout says a drawing lies, worked out from its turn and offset.
fn laid(drawn: &Piece, placed: &Placed) -> Vec<(f64, f64)> {
    let (sin, cos) = placed.rotation_deg.to_radians().sin_cos();
    let side = if placed.turned_over { -1.0 } else { 1.0 };
    let put = |p: &Point2<f64>| {
        let x = side * p.x;
        let (x, y) = (cos * x - sin * p.y, sin * x + cos * p.y);
        (x + placed.offset_mm.x, y + placed.offset_mm.y)
    };
    drawn.outline_mm.iter().map(put).collect()
}

fn sides(points: &[(f64, f64)]) -> Vec<[f64; 4]> {
    (0..points.len())
        .map(|n| {
            let (a, b) = (points[n], points[(n + 1) % points.len()]);
            [a.0, a.1, b.0, b.1]
        })
        .collect()
}

/// Winding by angles: 0 outside.
fn winds_round(points: &[(f64, f64)], x: f64, y: f64) -> bool {
    let mut sum = 0.0;
    for [ax, ay, bx, by] in sides(points) {
        let (ax, ay, bx, by) = (ax - x, ay - y, bx - x, by - y);
        sum += (ax * by - ay * bx).atan2(ax * bx + ay * by);
    }
    sum.abs() > 3.0
}

/// How far inside one outline the other comes: outlines may touch when no gap is asked for, so
/// that a point on the edge itself is neither in nor out. Sides are looked at in 16 steps.
fn depth_within(outline: &[(f64, f64)], other: &[(f64, f64)]) -> f64 {
    let mut deepest = 0.0_f64;
    for [ax, ay, bx, by] in sides(other) {
        for step in 0..16 {
            let part = f64::from(step) / 16.0;
            let (x, y) = (ax + part * (bx - ax), ay + part * (by - ay));
            if winds_round(outline, x, y) {
                let spot = [x, y, x, y];
                let edge = sides(outline).into_iter().map(|side| segment_distance(side, spot));
                deepest = deepest.max(edge.fold(f64::INFINITY, f64::min));
            }
        }
    }
    deepest
}

fn area(points: &[(f64, f64)]) -> f64 {
    sides(points).iter().map(|[ax, ay, bx, by]| (bx - ax) * (ay + by) / -2.0).sum()
}

/// Everything that has to hold of any layout.
fn assert_sound(pieces: &[Piece], roll: &Roll, settings: &Settings, layout: &Layout) {
    let mut all = Vec::new();
    let mut placed = layout.placed.iter();
    for drawn in pieces {
        for copy in 1..=drawn.copies {
            let one = placed.next().expect("every copy is placed");
            assert_eq!((one.id.as_str(), one.copy), (drawn.id.as_str(), copy));
            if drawn.turns == Turns::QuarterTurns {
                assert!([0.0, 90.0, 180.0, 270.0].contains(&one.rotation_deg), "{one:?}");
            }
            assert!(drawn.may_be_turned_over || !one.turned_over);
            let points = laid(drawn, one);
            for (here, told) in points.iter().zip(&one.outline_mm) {
                assert!((here.0 - told.x).hypot(here.1 - told.y) < 1e-6);
            }
            let before: Vec<_> = drawn.outline_mm.iter().map(|p| (p.x, p.y)).collect();
            let side = if one.turned_over { -1.0 } else { 1.0 };
            assert!((area(&points) - side * area(&before)).abs() < 1e-4);
            all.push(points);
        }
    }
    assert!(placed.next().is_none());
    let mut end = 0.0_f64;
    for (x, y) in all.iter().flatten() {
        assert!(*x >= -0.01 && *y >= -0.01 && *y <= roll.width_mm + 0.01, "({x}, {y})");
        end = end.max(*x);
    }
    assert!((end - layout.used_length_mm).abs() < 1e-6);
    for (number, one) in all.iter().enumerate() {
        for other in &all[number + 1..] {
            assert!(depth_within(one, other) <= 0.01, "{} mm inside", depth_within(one, other));
            assert!(depth_within(other, one) <= 0.01, "{} mm inside", depth_within(other, one));
            for p in sides(one) {
                for q in sides(other) {
                    let apart = segment_distance(p, q);
                    assert!(apart >= settings.gap_mm - 0.01, "{apart} mm apart");
                }
            }
        }
    }
    assert!(layout.used_length_mm <= layout.shelf_length_mm + 0.01);
    let whole: f64 = all.iter().map(|points| area(points).abs()).sum();
    assert!((layout.area_bound_mm - whole / roll.width_mm).abs() < 1e-6);
    assert!(layout.used_length_mm >= layout.area_bound_mm - 0.01);
    for offcut in &layout.offcuts {
        let (x, y) = (offcut.x_mm, offcut.y_mm);
        let (right, top) = (x + offcut.along_mm, y + offcut.across_mm);
        assert!(x >= 0.0 && y >= 0.0 && top <= roll.width_mm + 1e-6);
        assert!(right <= layout.cut_off_length_mm + 1e-6);
        let corners = [(x, y), (right, y), (right, top), (x, top)];
        for points in &all {
            assert!(depth_within(&corners, points) <= 0.01, "a piece lies in an offcut");
            assert!(depth_within(points, &corners) <= 0.01, "an offcut lies in a piece");
            let near = sides(points)
                .iter()
                .flat_map(|p| sides(&corners).into_iter().map(|q| segment_distance(*p, q)))
                .fold(f64::INFINITY, f64::min);
            assert!(near >= settings.gap_mm - 0.01, "{near} mm from an offcut");
        }
    }
}

fn sound(pieces: &[Piece], roll: &Roll, settings: &Settings) -> Layout {
    let layout = nest(pieces, roll, settings).expect("a layout");
    assert_sound(pieces, roll, settings, &layout);
    layout
}

#[test]
fn the_set_lies_apart_on_the_roll_and_shorter_than_in_rows() {
    for turns in [Turns::Any, Turns::QuarterTurns] {
        let pieces = set(turns);
        assert_eq!(pieces.len(), 24);
        let layout = sound(&pieces, &roll(), &moves(600));
        // Regression: 600 moves take at least a twelfth off the rows.
        assert!(layout.used_length_mm < 0.92 * layout.shelf_length_mm);
        let aslant = layout.placed.iter().filter(|one| one.rotation_deg % 90.0 > 0.0).count();
        assert_eq!(aslant > 0, turns == Turns::Any);
    }
}

#[test]
fn the_same_answer_on_any_number_of_threads_and_another_one_for_another_seed() {
    let pieces = set(Turns::Any);
    let on = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        let settings = Settings { seed, ..moves(200) };
        let layout = pool.install(|| nest(&pieces, &roll(), &settings)).expect("a layout");
        format!("{layout:?}")
    };
    let first = on(1, 1);
    assert_eq!(first, on(1, 1));
    assert_eq!(first, on(3, 1));
    assert_ne!(first, on(3, 2));
}

#[test]
fn more_moves_never_make_it_longer() {
    let pieces = set(Turns::QuarterTurns);
    let mut last = f64::INFINITY;
    for count in [0, 40, 160, 400] {
        let layout = sound(&pieces, &roll(), &moves(count));
        assert!(layout.used_length_mm <= last);
        if count == 0 {
            assert!((layout.used_length_mm - layout.shelf_length_mm).abs() < 0.01);
        }
        last = layout.used_length_mm;
    }
    let rows = nest(&pieces, &roll(), &moves(0)).expect("a layout").used_length_mm;
    assert!(last < rows, "400 moves did nothing");
}

/// Closed form: rectangles grown by half the gap all round fill a strip grown likewise.
#[test]
fn equal_rectangles_that_fill_the_strip_fill_it() {
    for (x, y, copies, length) in [(300.0, 420.0, 6, 605.0), (420.0, 313.75, 8, 845.0)] {
        let grown = (x + GAP_MM) * (y + GAP_MM) * f64::from(copies);
        assert!((grown / (WIDTH_MM + GAP_MM) - GAP_MM - length).abs() < 1e-9);
        let pieces = [rectangle("r", x, y, copies as usize)];
        let layout = sound(&pieces, &roll(), &moves(100));
        assert!((layout.used_length_mm - length).abs() < 0.01, "{}", layout.used_length_mm);
    }
}

/// Closed form: a lone rectangle lies with its long side across the roll, however it was drawn.
#[test]
fn a_lone_rectangle_takes_its_shorter_side() {
    for degrees in [0.0, 17.3, 37.0, 90.0, 151.9] {
        let pieces = [rotated(rectangle("r", 800.0, 210.0, 1), degrees)];
        let layout = sound(&pieces, &roll(), &moves(200));
        assert!((layout.used_length_mm - 210.0).abs() < 0.01, "{}", layout.used_length_mm);
    }
    let pieces = [rectangle("r", 1500.0, 210.0, 1)];
    let layout = sound(&pieces, &roll(), &moves(200));
    // Too long to lie across; aslant it would still need more than 1270 mm of width for less.
    let (sin, cos): (f64, f64) = (1060.0_f64 / 1515.0, 1500.0 / 1515.0);
    assert!(sin < cos && layout.used_length_mm <= 1500.01);
}

/// Closed form: two right triangles make a square with a slit along its long side; in rows they
/// take twice the length.
#[test]
fn two_triangles_make_a_square() {
    let triangle = [(0.0, 0.0), (500.0, 0.0), (0.0, 500.0)];
    let pieces = [piece("t", &triangle, 2, Turns::QuarterTurns)];
    let layout = sound(&pieces, &roll_of(520.0), &moves(3000));
    assert!((layout.shelf_length_mm - 1005.0).abs() < 0.01);
    assert!(layout.used_length_mm < 502.0, "{}", layout.used_length_mm);
    assert!(layout.used_length_mm >= 499.99);
    // Where the slit has no room across, it takes sqrt(2) times the gap along the roll.
    let layout = sound(&pieces, &roll_of(500.0), &moves(3000));
    let closed = 500.0 + GAP_MM * 2_f64.sqrt();
    assert!(layout.used_length_mm >= closed - 0.02);
    assert!(layout.used_length_mm < closed + 3.0, "{}", layout.used_length_mm);
}

#[test]
fn a_piece_is_turned_over_only_where_it_may_be() {
    let lopsided = [(0.0, 0.0), (400.0, 0.0), (120.0, 240.0), (60.0, 240.0)];
    let mut pieces = [piece("s", &lopsided, 6, Turns::QuarterTurns)];
    let turned_over = |pieces: &[Piece]| {
        let layouts = (0..6).map(|seed| {
            let settings = Settings { seed, ..moves(300) };
            sound(pieces, &roll_of(600.0), &settings)
        });
        layouts.filter(|layout| layout.placed.iter().any(|one| one.turned_over)).count()
    };
    assert_eq!(turned_over(&pieces), 0);
    pieces[0].may_be_turned_over = true;
    assert!(turned_over(&pieces) > 0);
}

#[test]
fn the_end_of_the_roll_and_the_strip_beside_are_kept() {
    let pieces = [rectangle("r", 300.0, 800.0, 1)];
    let settings = Settings { cut_off_step_mm: 1000.0, ..moves(50) };
    let layout = sound(&pieces, &roll(), &settings);
    assert!((layout.cut_off_length_mm - 1000.0).abs() < 1e-9);
    // Closed form: 695 x 1270 beyond it and 465 mm beside it, less what the cells lose.
    let [end, side] = layout.offcuts.as_slice() else { panic!("{:?}", layout.offcuts) };
    assert!(
        end.along_mm > 680.0 && end.along_mm <= 695.01 && (end.across_mm - 1270.0).abs() < 1e-6
    );
    assert!(side.across_mm.min(side.along_mm) > 290.0);
    let settings = Settings { offcut_long_mm: 1300.0, ..settings };
    assert!(sound(&pieces, &roll(), &settings).offcuts.is_empty());
}

#[test]
fn a_piece_too_wide_is_refused_by_name_with_both_widths() {
    let refused = |piece: Piece, width: f64| nest(&[piece], &roll_of(width), &moves(0));
    let square = rotated(rectangle("big", 1300.0, 1300.0, 1), 31.0);
    let faults = refused(square.clone(), WIDTH_MM).expect_err("too wide");
    let [NestFault::TooWide { piece, least_width_mm, roll_width_mm }] = faults.as_slice() else {
        panic!("{faults:?}")
    };
    assert_eq!(piece, "big");
    assert!((least_width_mm - 1300.0).abs() < 0.01 && (roll_width_mm - WIDTH_MM).abs() < 1e-9);
    assert!(faults[0].to_string().contains("1300.0 mm wide at least, the roll 1270.0 mm"));
    assert!(refused(square.clone(), 1300.01).is_ok());
    // Cloth keeps its threads: the same square aslant is wider by (sin + cos).
    let cloth = Piece { turns: Turns::QuarterTurns, ..square };
    let faults = refused(cloth, 1300.01).expect_err("too wide");
    let (sin, cos) = 31_f64.to_radians().sin_cos();
    let NestFault::TooWide { least_width_mm, .. } = &faults[0] else { panic!("{faults:?}") };
    assert!((least_width_mm - 1300.0 * (sin + cos)).abs() < 0.01);
}

#[test]
fn outlines_without_an_inside_are_refused() {
    let fault = |corners: &[(f64, f64)]| {
        let faults = nest(&[piece("p", corners, 1, Turns::Any)], &roll(), &moves(0));
        let faults = faults.expect_err("refused");
        let [NestFault::Outline { piece, fault }] = faults.as_slice() else { panic!("{faults:?}") };
        assert_eq!(piece, "p");
        *fault
    };
    let bow_tie = [(0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0)];
    assert_eq!(fault(&bow_tie), OutlineFault::CrossesItself(0, 2));
    let spike = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (100.0, 20.0), (0.0, 20.0)];
    assert!(matches!(fault(&spike), OutlineFault::CrossesItself(..)));
    let touching = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (50.0, 0.0), (0.0, 100.0)];
    assert!(matches!(fault(&touching), OutlineFault::CrossesItself(..)));
    assert_eq!(fault(&[]), OutlineFault::NoInside);
    assert_eq!(fault(&[(0.0, 0.0), (5.0, 5.0), (0.0, 0.0)]), OutlineFault::NoInside);
    let hair = [(0.0, 0.0), (500.0, 0.0), (500.0, 0.01), (0.0, 0.01)];
    assert_eq!(fault(&hair), OutlineFault::NoInside);
    assert_eq!(fault(&[(0.0, 0.0), (f64::NAN, 5.0), (0.0, 9.0)]), OutlineFault::NotALength);
    // The first point said once more at the end is no fault.
    let closed = [(0.0, 0.0), (100.0, 0.0), (50.0, 80.0), (0.0, 0.0)];
    let layout = nest(&[piece("p", &closed, 1, Turns::Any)], &roll(), &moves(20)).expect("laid");
    assert_eq!(layout.placed.len(), 1);
}

#[test]
fn other_faults_are_all_told() {
    let mut pieces = vec![rectangle("a", 100.0, 50.0, 2), rectangle("a", 100.0, 50.0, 1)];
    pieces[0].material = "woven-290".to_owned();
    let settings = Settings { gap_mm: f64::NAN, ..moves(0) };
    let faults = nest(&pieces, &roll_of(-1.0), &settings).expect_err("refused");
    let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
    for part in ["`width_mm` is -1", "`gap_mm` is NaN", "cut from `woven-290`", "called `a`"] {
        assert!(told.iter().any(|line| line.contains(part)), "{part}: {told:?}");
    }
    let many = nest(&[rectangle("a", 10.0, 10.0, usize::MAX)], &roll(), &moves(0));
    assert!(matches!(many.expect_err("refused").as_slice(), [NestFault::TooMany { .. }]));
}

#[test]
fn nothing_to_lay_out_takes_no_roll() {
    for pieces in [vec![], vec![rectangle("none", 10.0, 10.0, 0)]] {
        let layout = nest(&pieces, &roll(), &moves(100)).expect("a layout");
        assert!(layout.placed.is_empty() && layout.offcuts.is_empty());
        assert!(layout.used_length_mm.abs() < 1e-12 && layout.shelf_length_mm.abs() < 1e-12);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..Default::default() })]

    /// Any outlines that wind once round a middle, with bays as deep as they come.
    #[test]
    fn random_outlines_lie_apart_on_the_roll(
        reaches in prop::collection::vec(prop::collection::vec(15.0..220.0, 3..24), 1..7),
        gap_mm in prop::sample::select(vec![0.0, 2.0, 5.0, 20.0]),
        any in any::<bool>(),
        may_be_turned_over in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let turns = if any { Turns::Any } else { Turns::QuarterTurns };
        let pieces: Vec<Piece> = reaches.iter().enumerate().map(|(number, reaches)| {
            let corner = |(step, reach): (usize, &f64)| {
                let angle = std::f64::consts::TAU * step as f64 / reaches.len() as f64;
                (reach * angle.cos(), reach * angle.sin())
            };
            let corners: Vec<_> = reaches.iter().enumerate().map(corner).collect();
            let one = piece(&format!("p{number}"), &corners, 1 + number % 2, turns);
            Piece { may_be_turned_over, ..one }
        }).collect();
        let settings = Settings { gap_mm, seed, ..moves(60) };
        sound(&pieces, &roll_of(500.0), &settings);
    }
}
