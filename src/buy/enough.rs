//! Is what is bought enough? The packs of a list held against many drawn outcomes of its repairs.
//!
//! Growth is drawn over the area of a repair's removal, most often the likely one, never less than
//! the low nor more than the high; needs in between are read straight. A tape that is off moves the
//! rim of every ply. One seed gives one answer.

use super::Exclusion;
use super::needs::Scene;
use super::order::OrderList;
use super::packs::THOUSANDTHS;
use super::random::Triangle;
use super::simulate::{DrawnJob, LaidMat, NetNeed, RepairCurve, Spreads, simulate};
use super::spread::{Factor, Spread};
use super::verdict::in_words;
use crate::materials::{RepairMaterials, ResinKind};
use crate::model::packs::Ware;
use crate::model::stock::Mat;
use crate::model::survey::TapePeople;
use crate::quantity::{Case, Cases};
use crate::repair::laps::LapRule;
use crate::rules::id;
use crate::surface::marks::Form;
use crate::wording::Fault;

/// Draws of one list (choice: a share is then good to 2 in 100).
pub const DRAWS: u32 = 2000;
/// The seed of every list (choice: any number does).
pub const SEED: u64 = 1;
/// Names of drivers that are told.
const DRIVERS: usize = 3;

/// The verdict on a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Enough {
    /// The seed.
    pub seed: u64,
    /// How many draws.
    pub draws: u32,
    /// The verdict on the packs of the likely need, in words.
    pub likely: String,
    /// On those of the high need.
    pub high: String,
    /// What the spread of the resin comes from, the largest first.
    pub drivers: Vec<String>,
}

/// Whether the packs of a list are enough for its repairs, polyester resin and mats together. None
/// where it holds no polyester.
///
/// # Errors
/// Figures that cannot be drawn from.
pub fn of_list(
    scene: &Scene<'_, '_>,
    repairs: &[usize],
    list: &OrderList,
    sessions: u32,
) -> Result<Option<Enough>, Fault> {
    let drawn = drawn(scene, repairs, sessions, &list.excludes);
    if drawn.0.repairs.is_empty() {
        return Ok(None);
    }
    let (job, mats) = drawn;
    let spread = simulate(&job, SEED, DRAWS)?;
    let said = |case: Case| {
        let (resin_kg, mats_m2) = bought(scene, list, &mats, case);
        in_words(&scene.job.book, spread.share_enough(resin_kg, &mats_m2), 0)
    };
    Ok(Some(Enough {
        seed: SEED,
        draws: DRAWS,
        likely: said(Case::Likely),
        high: said(Case::High),
        drivers: drivers(scene, repairs, &spread),
    }))
}

fn drivers(scene: &Scene<'_, '_>, repairs: &[usize], spread: &Spread) -> Vec<String> {
    let drawn: Vec<usize> = polyester(scene, repairs).map(|(number, _)| number).collect();
    let words = |factor: Factor| match factor {
        Factor::Growth(number) => {
            let repair = drawn.get(number).and_then(|number| scene.plan.repairs.get(*number));
            format!("how far {} grows", repair.map_or("a repair", |repair| repair.id.as_str()))
        }
        Factor::Tape => "the tape".to_owned(),
        Factor::ResinTaken => "how much resin mat takes in these hands".to_owned(),
        Factor::ResinLost => "what stays in cups and brushes".to_owned(),
        Factor::MatLost => "offcuts".to_owned(),
    };
    spread.resin_kg.drivers.iter().take(DRIVERS).map(|one| words(one.factor)).collect()
}

/// Repairs laid in polyester, with their masses.
fn polyester<'a>(
    scene: &Scene<'a, '_>,
    repairs: &[usize],
) -> impl Iterator<Item = (usize, &'a Cases<RepairMaterials>)> {
    scene
        .materials
        .iter()
        .enumerate()
        .filter(|(number, of)| repairs.contains(number) && of.high.kind == ResinKind::Polyester)
}

/// Resin, kg, and every mat, m2, that is there once a list is bought.
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "thousandths of what a job needs are small")]
pub fn bought(
    scene: &Scene<'_, '_>,
    list: &OrderList,
    mats: &[&Mat],
    case: Case,
) -> (f64, Vec<f64>) {
    let there = |ware: Ware, grade: Option<u32>| -> f64 {
        let of = list.orders.iter().map(|order| order.get(case));
        let own = of.filter(|order| order.ware == ware && order.grade == grade);
        own.map(|order| {
            let shelf: u64 = order.taken.iter().map(|one| one.amount).sum();
            (shelf + order.mix.bought) as f64 / THOUSANDTHS
        })
        .sum()
    };
    let mats = mats.iter().map(|mat| {
        let width_m = LapRule::of(&scene.job.book, mat).roll_mm / 1000.0;
        there(super::needs::ware_of(mat), Some(super::needs::grade(mat.weight_g_m2.value())))
            * width_m
    });
    (there(Ware::PolyesterResin, None), mats.collect())
}

/// What a list is drawn from, with its mats in the order of their needs.
#[must_use]
pub fn drawn<'a>(
    scene: &Scene<'a, '_>,
    repairs: &[usize],
    sessions: u32,
    excludes: &[Exclusion],
) -> (DrawnJob, Vec<&'a Mat>) {
    let book = &scene.job.book;
    let of: Vec<&Cases<RepairMaterials>> = polyester(scene, repairs).map(|(_, of)| of).collect();
    let is_used = |mat: &&Mat| {
        let plies = of.iter().flat_map(|of| Case::ALL.map(|case| &of.get(case).plies));
        plies.flatten().any(|ply| ply.reinforcement == mat.name)
    };
    let mats: Vec<&Mat> = scene.job.stock.mats.iter().filter(is_used).collect();
    let tape = if scene.job.survey.people == TapePeople::Two { id::TAPE_TWO } else { id::TAPE_ONE };
    let numbers = polyester(scene, repairs).map(|(number, _)| number);
    let curves = numbers.zip(&of).map(|(number, of)| {
        let growth = growth(scene, number);
        RepairCurve {
            points: [
                (Case::Low, growth.low),
                (Case::Likely, growth.likely),
                (Case::High, growth.high),
            ]
            .into_iter()
            .map(|(case, at)| (at, net(of.get(case), &mats, |area_m2| area_m2)))
            .fold(Vec::new(), rising),
            growth,
            // Every mm that the tape is off.
            per_mm: net(&of.likely, &mats, |area_m2| moved_m(scene, number, area_m2) / 1000.0),
            tape_mm: book.figure(tape),
        }
    });
    let job = DrawnJob {
        repairs: curves.collect(),
        mats: mats
            .iter()
            .map(|mat| LaidMat {
                weight_kg_m2: mat.weight_g_m2.value() / 1000.0,
                resin_ratio: 1.0 / mat.glass_content - 1.0,
            })
            .collect(),
        tissue_resin_kg_m2: scene.job.stock.tissue.resin_kg_m2.value(),
        spreads: Spreads::of_book(book),
        lost_a_mix_kg: book.figure(id::WASTE_MIX) / 1000.0,
        lost_a_session_kg: book.figure(id::WASTE_SESSION) / 1000.0,
        mix_kg: scene.shop.pot_most_g / 1000.0,
        least_mix_kg: book.figure(id::MIX_LEAST) / 1000.0,
        sessions: sessions.max(1),
        excludes: excludes.to_vec(),
    };
    (job, mats)
}

/// What a tape that is off changes an area by, m2 a metre.
///
/// An outline moves all along its rim: of a convex removal of area A and rim P, a reach r farther out
/// makes the area A + P r + pi r2 and the rim P + 2 pi r (Steiner; textbook), so that the outermost ply
/// tells P; without one, the rim of a disc stands in. A line moves at its two ends only, each as wide
/// as what is laid over it.
#[allow(clippy::cast_precision_loss, reason = "marks of a repair are few")]
fn moved_m(scene: &Scene<'_, '_>, number: usize, area_m2: f64) -> f64 {
    let Some(repair) = scene.plan.repairs.get(number) else { return 0.0 };
    let areas = &repair.areas.likely;
    let (pi, removal) = (std::f64::consts::PI, areas.removal_mm2);
    let mut marks = repair.findings.iter().filter_map(|mark| scene.findings.get(*mark));
    if marks.all(|finding| matches!(finding.placed.form, Form::Line(_))) {
        let half = scene.job.book.figure(id::CRACK_WIDTH);
        let lines = repair.findings.len() as f64;
        let long = (removal - lines * pi * half * half).max(0.0) / (2.0 * half);
        // Half width of an area round so long a line.
        let beside = (((long * long + lines * pi * area_m2 * 1e6).sqrt()) - long) / (lines * pi);
        return 4.0 * lines * beside * 1e-3;
    }
    let reaches = areas.plies.iter().filter(|ply| ply.reach_mm > 0.0 && ply.area_mm2 > removal);
    let outermost = reaches.max_by(|one, other| one.reach_mm.total_cmp(&other.reach_mm));
    let squared = outermost.map_or(0.0, |ply| {
        let rim = (ply.area_mm2 - removal) / ply.reach_mm + pi * ply.reach_mm;
        rim * rim - 4.0 * pi * ply.area_mm2
    });
    (squared.max(0.0) * 1e-6 + 4.0 * pi * area_m2).sqrt()
}

/// Adds a point to a curve; of two at one growth the later case, which needs no less, stays.
fn rising(mut points: Vec<(f64, NetNeed)>, next: (f64, NetNeed)) -> Vec<(f64, NetNeed)> {
    points.retain(|(at, _)| *at < next.0);
    points.push(next);
    points
}

/// How a repair grows: the area of its removal, m2. Where that falls, or is one in all cases, as where
/// depth alone differs, the cases are counted instead.
fn growth(scene: &Scene<'_, '_>, number: usize) -> Triangle {
    let area = |case| {
        let repair = scene.plan.repairs.get(number);
        repair.map_or(0.0, |repair| repair.areas.get(case).removal_mm2 * 1e-6)
    };
    let [low, likely, high] = Case::ALL.map(area);
    if low <= likely && likely <= high && low < high {
        Triangle { low, likely, high }
    } else {
        Triangle { low: 0.0, likely: 1.0, high: 2.0 }
    }
}

/// Areas of every mat and of the tissue, each put through `change`.
#[must_use]
pub fn net(of: &RepairMaterials, mats: &[&Mat], change: impl Fn(f64) -> f64) -> NetNeed {
    let of_mat = |mat: &&Mat| {
        let own = of.plies.iter().filter(|ply| ply.reinforcement == mat.name);
        own.map(|ply| change(ply.glass.value() / ply.weight.value())).sum()
    };
    NetNeed { mats_m2: mats.iter().map(of_mat).collect(), tissue_m2: change(of.tissue.0.value()) }
}
