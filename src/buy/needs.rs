//! What a job needs of every ware: resin with what stays in cups and brushes, glass with its
//! offcuts, catalyst, gel coat, paint, and what people forget.
//!
//! Takes net masses, areas, sittings and hours of some repairs, in three cases; gives amounts in the
//! unit of each ware, waste included. Resin whose kind nobody knows, and referred or held marks, come
//! in nowhere. How many sessions share their brushes is a range: from all repairs laid side by side
//! (low) to every sitting by itself (high).

use std::collections::BTreeMap;

use super::consumables::{JobSize, used_up};
use super::order::Wanted;
use super::waste::{Pieces, mat_order_m2, metres, pots, resin_order_kg};
use crate::damage::Finding;
use crate::materials::{JobMaterials, ResinKind};
use crate::model::consumables::ConsumableTable;
use crate::model::packs::Ware;
use crate::model::prices::DisposalClass;
use crate::model::shop::ShopWorker;
use crate::model::stock::{Mat, PaintUse, Reinforcement};
use crate::model::survey::MarkKind;
use crate::quantity::{Case, Cases};
use crate::read::job::Job;
use crate::repair::laps::LapRule;
use crate::repair::{Plan, Repair, paint};
use crate::rules::id;
use crate::shop::labour::{JobHours, pace};
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// Density of a dry film of old paint, kg/m3 (choice: between resin and pigment).
const PAINT_KG_M3: f64 = 1500.0;
/// Density of ground laminate, kg/m3 (computed from glass at 2.56 and resin at 1.2 g/cm3, 30 % glass
/// by mass).
const LAMINATE_KG_M3: f64 = 1428.0;
/// Width of surface tissue where the packs name none, mm.
const TISSUE_WIDTH_MM: f64 = 1000.0;

/// Everything needs are worked out from.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a, 'j> {
    /// The job.
    pub job: &'a Job,
    /// Its panels.
    pub panels: &'a [PlacedPanel<'j>],
    /// Its marks.
    pub findings: &'a [Finding<'j>],
    /// Actions and repairs.
    pub plan: &'a Plan<'j>,
    /// Net masses of every repair.
    pub materials: &'a JobMaterials,
    /// The shop's answer.
    pub shop: &'a ShopPlan,
    /// Hours of work.
    pub hours: &'a JobHours,
    /// What is used up beside.
    pub consumables: &'a ConsumableTable,
}

/// What some repairs need.
#[derive(Debug, Clone, PartialEq)]
pub struct Needs {
    /// Wares, waste included.
    pub wanted: Vec<Cases<Wanted>>,
    /// How large the work is.
    pub size: Cases<JobSize>,
    /// Sessions in which polyester is laid.
    pub polyester_sessions: Cases<u32>,
    /// Waste to hand over, kg.
    pub disposal: Vec<(DisposalClass, Cases<f64>)>,
    /// Hands-on hours of whoever works.
    pub hours: Cases<f64>,
}

/// Resin of one kind in one case.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Poured {
    net_kg: f64,
    pots: u32,
    sessions: u32,
    order_kg: f64,
}

/// Needs of some repairs, as numbers into the plan's.
#[must_use]
pub fn of_repairs(scene: &Scene<'_, '_>, repairs: &[usize]) -> Needs {
    let of = Of { scene, repairs };
    let mut wanted: BTreeMap<(Ware, Option<u32>), Cases<Wanted>> = BTreeMap::new();
    let mut want = |case: Case, ware: Ware, grade: Option<u32>, amount: f64, width: Option<f64>| {
        let none = Wanted { ware, grade, amount: 0.0, width_mm: width };
        let three = wanted.entry((ware, grade)).or_insert_with(|| Cases::from_fn(|_| none));
        three.get_mut(case).amount += amount;
    };
    let mut sizes = Cases::from_fn(|_| JobSize::default());
    let mut polyester_sessions = Cases::from_fn(|_| 0);
    let mut disposal: BTreeMap<DisposalClass, Cases<f64>> = BTreeMap::new();
    let mut throw = |case: Case, class: DisposalClass, kg: f64| {
        if kg > 0.0 {
            *disposal.entry(class).or_insert_with(|| Cases::from_fn(|_| 0.0)).get_mut(case) += kg;
        }
    };
    for case in Case::ALL {
        let (resin, epoxy) =
            (of.poured(case, ResinKind::Polyester), of.poured(case, ResinKind::Epoxy));
        *polyester_sessions.get_mut(case) = resin.sessions;
        let coat = of.coat(case);
        let doses = &scene.shop.doses;
        want(case, Ware::PolyesterResin, None, resin.order_kg, None);
        want(case, Ware::GelCoat, None, coat.order_kg, None);
        let catalyst_g =
            10.0 * (resin.order_kg * doses.laminating_percent + coat.order_kg * doses.coat_percent);
        want(case, Ware::Catalyst, None, catalyst_g / doses.catalyst_g_ml, None);
        let hardener = of.hardener_share();
        want(case, Ware::EpoxyResin, None, epoxy.order_kg * (1.0 - hardener), None);
        want(case, Ware::EpoxyHardener, None, epoxy.order_kg * hardener, None);
        let mut offcuts_kg = 0.0;
        for (mat, pieces) in of.glass(case) {
            let m2 = mat_order_m2(&scene.job.book, &pieces);
            let weight = mat.weight_g_m2.value();
            let net_m2: f64 = pieces.iter().map(|one| one.area_m2 * f64::from(one.count)).sum();
            offcuts_kg += (m2 - net_m2) * weight / 1000.0;
            let width_mm = LapRule::of(&scene.job.book, mat).roll_mm;
            if let Some(length) = metres(m2, width_mm) {
                want(case, ware_of(mat), Some(grade(weight)), length, Some(width_mm));
            }
        }
        let tissue_m2 = mat_order_m2(&scene.job.book, &of.tissue(case));
        if let Some(length) = metres(tissue_m2, TISSUE_WIDTH_MM) {
            let weight = scene.job.stock.tissue.weight_g_m2.value();
            want(case, Ware::Tissue, Some(grade(weight)), length, Some(TISSUE_WIDTH_MM));
        }
        let painted_m2 = of.painted_m2(case);
        for one in paint::system(&scene.job.stock, scene.job.survey.topcoat) {
            let ware = match one.used_as {
                PaintUse::Primer => Ware::Primer,
                PaintUse::BrushFinish => Ware::BrushFinish,
                PaintUse::SprayFinish => Ware::SprayFinish,
            };
            want(case, ware, None, paint::litres(one, painted_m2), None);
        }
        let size = of.size(case, painted_m2, [&resin, &epoxy, &coat]);
        *sizes.get_mut(case) = size;
        for one in used_up(scene.consumables, &size) {
            want(case, one.ware, one.grade, one.amount, None);
        }
        // What is stirred in and not laid sets in the cup.
        let set_kg: f64 =
            [resin, epoxy, coat].iter().map(|one| (one.order_kg - one.net_kg).max(0.0)).sum();
        let (dust_kg, doubtful_kg) = of.dust_kg(case);
        throw(case, DisposalClass::CuredLaminate, set_kg + offcuts_kg + dust_kg);
        throw(case, DisposalClass::Tested, doubtful_kg + of.old_paint_kg(case));
    }
    // Whole pieces are asked for whole in every case, and what is needed in none is not asked for.
    let wanted = wanted.into_values().filter(|three| three.high.amount > 0.0).collect();
    Needs {
        wanted,
        size: sizes,
        polyester_sessions,
        disposal: disposal.into_iter().collect(),
        hours: Cases::from_fn(|case| of.hours(case)),
    }
}

struct Of<'s, 'a, 'j> {
    scene: &'s Scene<'a, 'j>,
    repairs: &'s [usize],
}

impl<'a, 'j> Of<'_, 'a, 'j> {
    fn each(&self) -> impl Iterator<Item = (usize, &'a Repair<'j>)> + '_ {
        let all = self.scene.plan.repairs.iter().enumerate();
        all.filter(|(number, _)| self.repairs.contains(number))
    }

    fn masses(
        &self,
        case: Case,
    ) -> impl Iterator<Item = (usize, &'a crate::materials::RepairMaterials)> + '_ {
        let all = self.scene.materials.iter().enumerate();
        all.filter(|(number, _)| self.repairs.contains(number))
            .map(move |(number, cases)| (number, cases.get(case)))
    }

    /// Sittings of a kind: side by side at best, one by one at worst.
    fn sittings(&self, is: impl Fn(&crate::shop::plan::Sitting) -> bool) -> [u32; 2] {
        let count = |repair: usize| {
            let all = self.scene.shop.sittings.iter();
            all.filter(|one| one.repair == repair && is(one)).count() as u32
        };
        let each: Vec<u32> = self.repairs.iter().map(|repair| count(*repair)).collect();
        [each.iter().copied().max().unwrap_or(0), each.iter().sum()]
    }

    fn pots(&self, case: Case, net_kg: f64, [least, most]: [u32; 2], brushes: bool) -> Poured {
        if net_kg <= 0.0 {
            return Poured::default();
        }
        let book = &self.scene.job.book;
        let sessions = match case {
            Case::Low => least,
            Case::Likely => (least + most).div_ceil(2),
            Case::High => most,
        }
        .max(1);
        let [most_kg, least_kg] =
            [self.scene.shop.pot_most_g, book.figure(id::MIX_LEAST)].map(|grams| grams / 1000.0);
        let (pots, mixed_kg) = pots(net_kg, most_kg, least_kg, sessions);
        let cleaned = if brushes { sessions } else { 0 };
        Poured { net_kg, pots, sessions, order_kg: resin_order_kg(book, mixed_kg, pots, cleaned) }
    }

    fn poured(&self, case: Case, kind: ResinKind) -> Poured {
        let of_kind = self.masses(case).filter(|(_, of)| of.kind == kind);
        let net_kg: f64 = of_kind.map(|(_, of)| of.resin().value()).sum();
        let coat = crate::shop::sittings::GEL_COAT;
        let sittings = self.sittings(|one| one.what != coat && one.kind == kind);
        self.pots(case, net_kg, sittings, true)
    }

    fn coat(&self, case: Case) -> Poured {
        let known = self.masses(case).filter(|(_, of)| of.kind != ResinKind::NotKnown);
        let net_kg: f64 = known.map(|(_, of)| of.coat.1.value()).sum();
        let coat = crate::shop::sittings::GEL_COAT;
        self.pots(case, net_kg, self.sittings(|one| one.what == coat), false)
    }

    /// Share of the hardener in mixed epoxy.
    fn hardener_share(&self) -> f64 {
        let epoxy = crate::model::stock::ResinFamily::Epoxy;
        let resin = self.scene.job.stock.resins.iter().find(|resin| resin.family == epoxy);
        resin.map_or(0.0, |resin| {
            let parts = resin.hardener_percent.value();
            parts / (100.0 + parts)
        })
    }

    /// Pieces by mat; laps count as glass.
    fn glass(&self, case: Case) -> Vec<(&'a Mat, Vec<Pieces>)> {
        let mut found: Vec<(&Mat, Vec<Pieces>)> = Vec::new();
        for (_, of) in self.masses(case).filter(|(_, of)| of.kind != ResinKind::NotKnown) {
            for ply in &of.plies {
                let mats = &self.scene.job.stock.mats;
                let Some(mat) = mats.iter().find(|mat| mat.name == ply.reinforcement) else {
                    continue;
                };
                let area_m2 = ply.glass.value() / ply.weight.value();
                let piece = Pieces { area_m2, count: 1 };
                match found.iter_mut().find(|(known, _)| known.name == mat.name) {
                    Some((_, pieces)) => pieces.push(piece),
                    None => found.push((mat, vec![piece])),
                }
            }
        }
        found
    }

    fn tissue(&self, case: Case) -> Vec<Pieces> {
        let known = self.masses(case).filter(|(_, of)| of.kind != ResinKind::NotKnown);
        known.map(|(_, of)| Pieces { area_m2: of.tissue.0.value(), count: 1 }).collect()
    }

    /// Regions that these repairs meet and no other one does, m2: a region with work still to come
    /// is painted with that.
    fn painted_m2(&self, case: Case) -> f64 {
        let scene = self.scene;
        let met = |these: bool, case: Case| {
            let all = scene.plan.repairs.iter().enumerate();
            let of: Vec<Repair<'_>> = all
                .filter(|(number, _)| self.repairs.contains(number) == these)
                .map(|(_, repair)| repair.clone())
                .collect();
            let topcoat = scene.job.survey.topcoat;
            let plan =
                paint::plan(topcoat, scene.panels, scene.findings, &scene.plan.decisions, &of);
            plan.cases.get(case).clone()
        };
        let others = met(false, Case::High);
        let own = met(true, case).into_iter().filter(|key| !others.contains(key));
        own.map(|key| paint::region_mm2(scene.panels, key)).sum::<f64>() * 1e-6
    }

    fn size(&self, case: Case, painted_m2: f64, poured: [&Poured; 3]) -> JobSize {
        let mut size = JobSize {
            painted_m2,
            mixes: poured.iter().map(|one| one.pots).sum(),
            sessions: poured.iter().map(|one| one.sessions).max().unwrap_or(0),
            people: self.scene.shop.place.people,
            // Painting asks for other masks than these.
            mask_h: self.bench_h(case) * self.slower(case),
            ..JobSize::default()
        };
        let mut panels: Vec<usize> = Vec::new();
        for (_, repair) in self.each() {
            let areas = repair.areas.get(case);
            size.ground_m2 += (areas.ground_mm2 + areas.prepared_back_mm2) * 1e-6;
            let prepared_m2 = (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6;
            size.prepared_m2 += prepared_m2;
            // Round a square of that area: a long strip has more edge, a disc less.
            size.masked_m += 4.0 * prepared_m2.sqrt();
            panels.extend(
                repair
                    .panels
                    .iter()
                    .filter(|panel| !panels.contains(panel))
                    .copied()
                    .collect::<Vec<_>>(),
            );
        }
        let area = |panel: &usize| {
            self.scene.panels.get(*panel).map_or(0.0, |panel| panel.face_area_mm2() * 1e-6)
        };
        size.covered_m2 = panels.iter().map(area).sum();
        size
    }

    /// Ground off, kg, as the caution for dust counts it: laminate, then what holds an old repair.
    /// Old filler may hold asbestos: its dust never counts as plain laminate, tested or not.
    fn dust_kg(&self, case: Case) -> (f64, f64) {
        let gel_mm = self.scene.job.book.figure(id::GEL_ASSUMED);
        let mut found = (0.0, 0.0);
        for (_, repair) in self.each() {
            let areas = repair.areas.get(case);
            let kg =
                areas.ground_mm2 * 1e-6 * (areas.deepest_mm + gel_mm) / 1000.0 * LAMINATE_KG_M3;
            let mut marks =
                repair.findings.iter().filter_map(|number| self.scene.findings.get(*number));
            if marks.any(|finding| finding.mark().kind == MarkKind::OldRepair) {
                found.1 += kg;
            } else {
                found.0 += kg;
            }
        }
        found
    }

    fn old_paint_kg(&self, case: Case) -> f64 {
        let film_m = self.scene.job.book.figure(id::PAINT_FILM) / 1000.0;
        let of = |(_, repair): (usize, &Repair<'_>)| {
            let areas = repair.areas.get(case);
            (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6 * film_m * PAINT_KG_M3
        };
        self.each().map(of).sum()
    }

    /// Hours of whoever works.
    fn hours(&self, case: Case) -> f64 {
        let of = &self.scene.hours.paint;
        let whole = self.scene.plan.repairs.len();
        // Paint goes by regions; all of it belongs to the whole job and to no part of it.
        let paint_h = if self.repairs.len() == whole { *of.get(case) } else { 0.0 };
        (self.bench_h(case) + paint_h) * self.slower(case)
    }

    fn bench_h(&self, case: Case) -> f64 {
        let hours = self.scene.hours.repairs.iter().enumerate();
        let own = hours.filter(|(number, _)| self.repairs.contains(number));
        own.map(|(_, hours)| hours.all(case)).sum()
    }

    /// An owner takes longer than the table says.
    fn slower(&self, case: Case) -> f64 {
        let worker = self.scene.shop.place.worker;
        if worker == ShopWorker::Owner {
            *pace(&self.scene.job.book, worker).get(case)
        } else {
            1.0
        }
    }
}

/// What a mat is bought as.
#[must_use]
pub fn ware_of(mat: &Mat) -> Ware {
    match (mat.kind, mat.epoxy_compatible) {
        (Reinforcement::Mat, true) => Ware::EpoxyMat,
        (Reinforcement::Mat, false) => Ware::Mat,
        (Reinforcement::Woven, _) => Ware::Woven,
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded above and below before the cast"
)]
fn whole(count: f64) -> u32 {
    count.clamp(0.0, 1.0e6) as u32
}

/// The grade of a weight, in whole g/m2.
#[must_use]
pub fn grade(weight_g_m2: f64) -> u32 {
    whole(weight_g_m2.round())
}
