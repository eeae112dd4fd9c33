//! What is laid, ground and painted, and what has to be tested before it is disturbed.

use super::super::Scene;
use super::super::fact::Fact;
use super::super::value::Facts;
use crate::materials::ResinKind;
use crate::model::panel::{Material, MouldingKind, Role, SurfaceForm};
use crate::model::shop::ShopWorker;
use crate::model::stock::{Accelerator, PaintUse, ResinFamily};
use crate::model::survey::{HazardTest, Mark, MarkKind, Side, Topcoat};
use crate::quantity::Case;
use crate::repair::paint as paints;
use crate::repair::plies::GLASS_DENSITY_G_CM3;
use crate::rules::id;
use crate::shop::climate::Gate;
use crate::shop::paint_solvent::RefinishProduct;
use crate::shop::peroxide::control_and_emergency_c;
use crate::surface::placed::PlacedPanel;

/// Amounts.
pub(super) fn add(scene: &Scene<'_>, facts: &mut Facts) {
    let book = &scene.job.book;
    facts.number(Fact::Repairs, scene.plan.repairs.len() as f64);
    let owner = scene.shop.place.worker == ShopWorker::Owner;
    facts.yes(Fact::Owner, owner);
    facts.said(Fact::OwnerOrTrade, scene.shop.place.worker.words());
    poured(scene, facts);
    if scene.plan.repairs.is_empty() {
        return;
    }
    let gel_mm = book.figure(id::GEL_ASSUMED);
    let (mut ground_m2, mut prepared_m2, mut laminate_kg) = (0.0, 0.0, 0.0);
    for repair in &scene.plan.repairs {
        let areas = repair.areas.get(Case::High);
        ground_m2 += (areas.ground_mm2 + areas.prepared_back_mm2) * 1e-6;
        prepared_m2 += (areas.prepared_mm2 + areas.prepared_back_mm2) * 1e-6;
        let depth_m = (areas.deepest_mm + gel_mm) / 1000.0;
        laminate_kg += areas.ground_mm2 * 1e-6 * depth_m * laminate_kg_m3(scene);
    }
    let paint_kg = prepared_m2 * book.figure(id::PAINT_FILM) / 1000.0 * PAINT_KG_M3;
    facts.number(Fact::GroundM2, ground_m2);
    facts.number(Fact::PreparedM2, prepared_m2);
    facts.number(Fact::DustLaminateKg, laminate_kg);
    facts.number(Fact::DustPaintKg, paint_kg);
    facts.number(Fact::DustKg, laminate_kg + paint_kg);
    let slower = if owner { book.figure(id::OWNER_SLOWER) } else { 1.0 };
    facts.number(Fact::SandingH, prepared_m2 * book.figure(id::SANDING_PACE) * slower);
    paint(scene, facts);
}

/// Density of a dry film of old paint, kg/m3 (choice: between resin and pigment).
const PAINT_KG_M3: f64 = 1500.0;

/// Density of laminate, from the glass content of the stock; kg/m3.
pub(super) fn laminate_kg_m3(scene: &Scene<'_>) -> f64 {
    let stock = &scene.job.stock;
    let glass = stock.mats.first().map_or(0.3, |mat| mat.glass_content);
    let resin_g_cm3 = stock.resins.first().map_or(1.2, |resin| resin.density_g_cm3);
    1000.0 / (glass / GLASS_DENSITY_G_CM3 + (1.0 - glass) / resin_g_cm3)
}

fn poured(scene: &Scene<'_>, facts: &mut Facts) {
    let book = &scene.job.book;
    let poured_kg: f64 = scene.shop.sittings.iter().map(|sitting| sitting.poured_kg).sum();
    // Filler and adhesive of an epoxy moulding sensitise where no laminating resin is poured, too.
    let takes_epoxy = |repair: &crate::repair::Repair<'_>| {
        let of = |panel: &usize| scene.panels.get(*panel).map(|panel| panel.of.panel.material);
        repair.panels.iter().filter_map(of).any(crate::repair::work::takes_epoxy)
    };
    facts.yes(Fact::Epoxy, scene.plan.repairs.iter().any(takes_epoxy));
    // What is kept burns whether or not resin is poured; only with resin is some assumed.
    let kept = scene.job.shop.as_ref().and_then(|(_, shop)| shop.acetone_l);
    facts.yes(Fact::AcetoneAssumed, kept.is_none() && poured_kg > 0.0);
    let assumed = (poured_kg > 0.0).then(|| book.figure(id::ACETONE_ASSUMED));
    facts.number_if(Fact::AcetoneL, kept.map(|volume| volume.value()).or(assumed));
    if poured_kg <= 0.0 {
        return;
    }
    facts.number(Fact::PouredKg, poured_kg);
    facts.number(Fact::LaminatingPercent, scene.shop.doses.laminating_percent);
    let pot_g = scene
        .shop
        .sittings
        .iter()
        .flat_map(|sitting| {
            let whole = sitting.poured_kg * 1000.0;
            let mixes = sitting.mixes.iter().map(|mix| mix.resin_g);
            // A sitting that nobody has split goes into pots of the usual size.
            mixes.chain(sitting.mixes.is_empty().then_some(whole.min(scene.shop.pot_most_g)))
        })
        .fold(0.0, f64::max);
    facts.number(Fact::LargestPotG, pot_g);
    let kinds: Vec<ResinKind> = scene.materials.iter().map(|repair| repair.high.kind).collect();
    let coat = scene.materials.iter().any(|repair| repair.high.coat.1.value() > 0.0);
    let resin = |kind: ResinKind| {
        scene
            .materials
            .iter()
            .any(|repair| repair.high.kind == kind && repair.high.resin().value() > 0.0)
    };
    if kinds.contains(&ResinKind::NotKnown) {
        let words = "Peroxide catalyst is needed if the resin turns out to be polyester";
        facts.said(Fact::Peroxide, words);
    } else if resin(ResinKind::Polyester) || coat {
        facts.said(Fact::Peroxide, "MEKP, a peroxide, is the catalyst");
    }
    let totals = crate::materials::job_totals(
        &scene.job.stock,
        &scene.shop.doses,
        scene.materials,
        Case::High,
    );
    let hardener_g: f64 = totals
        .hardeners
        .iter()
        .filter(|hardener| hardener.product.contains("MEKP"))
        .map(|hardener| hardener.g)
        .sum();
    let catalyst_g = totals.catalyst.map_or(0.0, |(g, _)| g) + hardener_g;
    facts.number_if(Fact::CatalystG, (catalyst_g > 0.0).then_some(catalyst_g));
    let (control_c, _) = control_and_emergency_c(book.figure(id::PEROXIDE_SADT));
    facts.number(Fact::PeroxideKeepC, book.figure(id::PEROXIDE_KEEP));
    facts.number(Fact::PeroxideMostC, control_c);
    facts.yes(
        Fact::GelOnEpoxy,
        scene
            .materials
            .iter()
            .any(|repair| repair.high.kind == ResinKind::Epoxy && repair.high.coat.1.value() > 0.0),
    );
    let apart: Vec<String> = scene
        .job
        .stock
        .resins
        .iter()
        .filter(|resin| {
            resin.family != ResinFamily::Epoxy
                && matches!(resin.accelerator, Accelerator::Apart | Accelerator::Unknown)
        })
        .map(|resin| format!("{}: {}", resin.name, resin.accelerator.words()))
        .collect();
    facts.said(Fact::AcceleratorApart, apart.join("; "));
    let glass_kg: f64 = scene.materials.iter().map(|repair| repair.high.glass().value()).sum();
    facts.number(Fact::GlassKg, glass_kg);
    let dose: Vec<String> = scene
        .shop
        .gates
        .iter()
        .filter(|gate| gate.step.contains("dose"))
        .filter_map(|gate| match &gate.gate {
            Gate::Open => None,
            Gate::Warned { why } | Gate::Shut { why, .. } => Some(why.clone()),
        })
        .collect();
    facts.said(Fact::DoseOutside, dose.join("; "));
}

fn paint(scene: &Scene<'_>, facts: &mut Facts) {
    let survey = &scene.job.survey;
    facts.said(Fact::Topcoat, survey.topcoat.words());
    match survey.topcoat {
        Topcoat::Unnamed => facts.said(
            Fact::Isocyanate,
            "Nobody has named the topcoat, so an isocyanate hardener is taken to be in it",
        ),
        Topcoat::TwoPackIsocyanate => {
            facts.said(Fact::Isocyanate, "The topcoat has an isocyanate hardener");
        }
        Topcoat::BrushEnamel => facts.yes(Fact::OnePack, true),
        Topcoat::GelFinish => {}
    }
    let plan = paints::plan(
        survey.topcoat,
        scene.panels,
        scene.findings,
        &scene.plan.decisions,
        &scene.plan.repairs,
    );
    let area_m2 = paints::area_m2(scene.panels, &plan, Case::High);
    let (mut all_l, mut solvent_g) = (0.0, 0.0);
    for paint in paints::system(&scene.job.stock, survey.topcoat) {
        let product = match paint.used_as {
            PaintUse::Primer => RefinishProduct::Primer,
            PaintUse::BrushFinish | PaintUse::SprayFinish => RefinishProduct::Topcoat,
        };
        let litres = paints::litres(paint, area_m2);
        all_l += litres;
        solvent_g += litres * product.most_solvent_g_l();
    }
    facts.number(Fact::PaintM2, area_m2);
    facts.number(Fact::PaintLitres, all_l);
    facts.number(Fact::PaintSolventG, solvent_g);
}

/// What has to be tested or said before a step.
pub(super) fn add_tests(scene: &Scene<'_>, facts: &mut Facts) {
    let survey = &scene.job.survey;
    let worked: Vec<&Mark> = scene.repaired().map(|(_, finding)| finding.mark()).collect();
    if worked.is_empty() {
        add_roles(scene, facts);
        return;
    }
    facts.said(Fact::OldPaint, survey.old_paint.words());
    if survey.old_paint.may_hold() {
        facts.said(Fact::OldPaintNotClear, survey.old_paint.words());
    }
    let before = scene.job.book.figure(id::ASBESTOS_YEAR);
    let old = |year: Option<u32>| year.is_none_or(|year| f64::from(year) < before);
    let blocked = |mark: &&&Mark| {
        mark.kind == MarkKind::OldRepair
            && mark.old_filler.may_hold()
            && (mark.old_filler.was_found() || old(mark.year))
    };
    facts.marks(Fact::OldFillerMarks, worked.iter().filter(blocked).map(|mark| mark.id).collect());
    let answers: Vec<String> = worked
        .iter()
        .filter(|mark| mark.kind == MarkKind::OldRepair && mark.old_filler != HazardTest::Untested)
        .map(|mark| format!("mark {}, {}", mark.id, mark.old_filler.words()))
        .collect();
    facts.said(Fact::OldFillerAnswers, answers.join("; "));
    let built = scene.job.body.as_ref().and_then(|body| body.built);
    let underseal = &survey.underseal;
    if underseal.may_hold() && (underseal.was_found() || old(built)) {
        facts.marks(Fact::UndersealMarks, under_the_body(scene));
    }
    let unknown_material = scene
        .repaired()
        .filter(|(repair, _)| repair.material == Material::Unknown)
        .map(|(_, finding)| finding.mark().id)
        .collect();
    facts.marks(Fact::MaterialUnknownMarks, unknown_material);
    add_roles(scene, facts);
}

/// Marks whose work touches the under side of the body, or any back.
fn under_the_body(scene: &Scene<'_>) -> Vec<u32> {
    scene
        .repaired()
        .filter(|(repair, finding)| {
            let on_back = finding.mark().side == Side::Back
                || repair.areas.get(Case::High).prepared_back_mm2 > 0.0;
            on_back || repair.panels.iter().filter_map(|panel| scene.panels.get(*panel)).any(is_low)
        })
        .map(|(_, finding)| finding.mark().id)
        .collect()
}

/// The panel sits low on the body.
pub(super) fn is_low(panel: &PlacedPanel<'_>) -> bool {
    matches!(
        panel.of.panel.surface,
        Some(SurfaceForm::Moulding(ref moulding))
            if matches!(
                moulding.kind,
                MouldingKind::Sill | MouldingKind::Arch | MouldingKind::Valance | MouldingKind::Tub
            )
    )
}

fn add_roles(scene: &Scene<'_>, facts: &mut Facts) {
    let marks = scene
        .findings
        .iter()
        .filter(|finding| {
            let in_glass = finding.depth.cases.high.in_glass();
            in_glass
                && !finding.is_repaired()
                && scene.touched(finding).any(|panel| {
                    let roles = &panel.of.panel.roles;
                    roles.is_empty() || roles.contains(&Role::Unknown)
                })
        })
        .map(|finding| finding.mark().id)
        .collect();
    facts.marks(Fact::RoleUnknownMarks, marks);
}
