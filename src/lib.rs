//! plymend sizes repairs to vehicle bodies of glass-fibre (GRP): marks on true curved panels go
//! in; areas, plies, resin, cure, cautions and referrals come out, as ranges, with the rule and
//! the evidence beside every figure.
//!
//! # Promises, in order
//! 1. Never understate a hazard or a structural doubt.
//! 2. Every figure can be followed back: result, rule, source, reading.
//! 3. Ranges, never more digits than the tape gave; every total says what it leaves out.
//! 4. Nothing of the user's is lost or silently changed.
//! 5. The answer feels instant.
//!
//! # The house
//! Data flows one way, room by room; each room uses the foundations and the rooms before it.
//!
//! ```text
//! files -> read -> surface -> damage -> repair -> materials -> shop -> safety -> buy -> report -> bytes
//! ```
//!
//! Foundations under all rooms: [`quantity`], [`source`], [`diagnostic`], [`model`], [`rules`],
//! [`dew_point`].
//!
//! The library is a pure function of its inputs: no files, clock, environment or randomness. Units
//! are types inside and suffixes outside: mm, m2, kg, g, °C.
//!
//! # Example
//! ```
//! use plymend::read::job::{self, Named};
//!
//! let survey = r#"(format: 1,
//!     panels: [(name: "lid", generic: "lid", size: (length_mm: 1200, width_mm: 1000))],
//!     marks: [(id: 1, panel: "lid", kind: gel_crack, depth: gel, edges_move: no,
//!              place: On(600, 400), shape: Line(length_mm: 60, direction: Angle(0)))],
//! )"#;
//! let folder = job::TextFolder::from([("survey.ron", survey)]);
//! let job = job::job(&folder, "survey.ron", &Named::default()).map_err(|faults| faults.len())?;
//! let report = plymend::estimate(&job).map_err(|faults| faults.len())?;
//! assert_eq!(report.findings.len(), 1);
//! # Ok::<(), usize>(())
//! ```

pub mod buy;
pub mod damage;
pub mod dew_point;
pub mod diagnostic;
pub mod materials;
pub mod model;
pub mod quantity;
pub mod read;
pub mod repair;
pub mod report;
pub mod rules;
pub mod safety;
pub mod shop;
pub mod source;
pub mod surface;
pub mod wording;

mod compare;
mod history;
mod learn;
mod page;
mod patterns;
mod totals;
pub use compare::{compare, compare_page};
pub use history::history;
pub use learn::{JobFinds, finds, learn};
pub use page::{Page, page};
pub use patterns::{assess_with_maps, patterns};
pub use totals::{bad_file, totals, totals_table};

use rayon::prelude::*;

use diagnostic::Diagnostic;
use model::body::VehicleEnergy;
use model::panel::ParentPly;
use quantity::Cases;
use read::job::Job;
use repair::plies::Shelf;
use report::model::Report;
use surface::marks::{PlacedMark, TapeFields, place_mark};
use surface::placed::PlacedPanel;

/// Everything a report is made from, still as figures.
#[derive(Debug)]
pub struct Answer<'j> {
    /// Marks after assessment.
    pub findings: Vec<damage::Finding<'j>>,
    /// Grids of readings.
    pub grids: Vec<damage::readings::Shown<'j>>,
    /// Actions and repairs.
    pub plan: repair::Plan<'j>,
    /// Net materials of every repair.
    pub materials: materials::JobMaterials,
    /// The shop's answer.
    pub shop: shop::plan::ShopPlan,
    /// Hands-on hours.
    pub hours: shop::labour::JobHours,
}

/// Builds the skins of the panels that a job has.
///
/// # Errors
/// Every fault of every panel.
pub fn skins(job: &Job) -> Result<Vec<PlacedPanel<'_>>, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut panels = Vec::new();
    let built: Vec<_> = job.panels.par_iter().map(|panel| PlacedPanel::build(job, panel)).collect();
    for one in built {
        match one {
            Ok(placed) => panels.push(placed),
            Err(more) => faults.extend(more),
        }
    }
    // A mirrored panel repeats the faults of the file it mirrors.
    faults.sort();
    faults.dedup();
    if faults.is_empty() { surface::seam::join(job, panels) } else { Err(faults) }
}

/// Places every mark of a job on its panel.
///
/// # Errors
/// Every mark that cannot be placed.
pub fn place<'j>(
    job: &'j Job,
    panels: &[PlacedPanel<'_>],
) -> Result<Vec<PlacedMark<'j>>, Vec<Diagnostic>> {
    let of_panel = |panel: usize| -> Vec<Result<PlacedMark<'j>, Diagnostic>> {
        let Some(on) = panels.get(panel) else { return Vec::new() };
        let fields = TapeFields::new(job, on);
        let alone = on.alone.as_deref().map(|alone| TapeFields::new(job, alone));
        let marks = job.survey.marks.iter().enumerate();
        marks
            .filter(|(_, mark)| mark.panel == on.of.name)
            .map(|(number, mark)| {
                let mut placed = place_mark(job, &fields, panel, number, mark)?;
                if let Some(alone) = &alone {
                    placed.alone = Some(Box::new(place_mark(job, alone, panel, number, mark)?));
                }
                Ok(placed)
            })
            .collect()
    };
    let mut faults = Vec::new();
    let mut placed = Vec::new();
    for one in
        (0..panels.len()).into_par_iter().map(of_panel).collect::<Vec<_>>().into_iter().flatten()
    {
        match one {
            Ok(mark) => placed.push(mark),
            Err(fault) => faults.push(fault),
        }
    }
    for (number, grid) in job.survey.grids.iter().enumerate() {
        let on = panels.iter().find(|panel| panel.of.name == grid.panel);
        faults.extend(on.and_then(|on| surface::grid_marks::laid(job, on, number).err()));
    }
    faults.sort();
    faults.dedup();
    if faults.is_empty() { Ok(placed) } else { Err(faults) }
}

/// Works a job through every room up to the figures, from the survey as recorded; sizes found after
/// grinding count once [`Job::opened_up`] has put them in.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn work<'j>(job: &'j Job, panels: &[PlacedPanel<'_>]) -> Result<Answer<'j>, Vec<Diagnostic>> {
    work_after(job, panels, None)
}

/// [`work`], with what was decided before any mark was opened up carried over.
fn work_after<'j>(
    job: &'j Job,
    panels: &[PlacedPanel<'_>],
    before: Option<&Answer<'_>>,
) -> Result<Answer<'j>, Vec<Diagnostic>> {
    let whole = |why: String| vec![stock_lacks(job, why)];
    let shelf = Shelf::pick(&job.stock, false).map_err(whole)?;
    let ply_mm = |ply: &ParentPly| {
        let share = repair::parent_match::glass_content(&job.book, ply, &shelf);
        let weight_kg_m2 = ply.weight_g_m2.in_kilograms().value();
        repair::plies::thickness_mm(weight_kg_m2, share, shelf.resin.density_g_cm3)
    };
    let placed = place(job, panels)?;
    let mut findings = damage::assess(job, panels, placed, &ply_mm)?;
    let grids = damage::readings::of_survey(job, panels, &findings)?;
    if let Some(before) = before {
        repair::before::carry_over(&before.findings, &before.plan, &mut findings);
    }
    let plan = repair::plan(job, panels, &mut findings).map_err(whole)?;
    let materials: materials::JobMaterials = plan
        .repairs
        .iter()
        .map(|repair| {
            let order = job.habits().ply_order;
            repair
                .areas
                .map(|areas| materials::of_repair(&job.stock, order, repair.material, areas))
        })
        .collect();
    let doses = materials::doses(&job.book, job.shop.as_ref().map(|(_, shop)| shop));
    let place = shop::plan::place(&job.book, job.shop.as_ref(), job.climate.as_ref(), &job.survey);
    let laid_on = shop::laid_on::of_repairs(&plan, &findings);
    let shop = shop::plan::plan(&job.book, &job.stock, place, doses, &materials, &laid_on)
        .map_err(whole)?;
    let hours = shop::labour::of_job(job, panels, &findings, &plan);
    Ok(Answer { findings, grids, plan, materials, shop, hours })
}

/// What is stored in the vehicle, as the body file or the survey says.
#[must_use]
pub fn energy(job: &Job) -> VehicleEnergy {
    job.energy()
}

/// The main job: a survey goes in, a repair estimate comes out; where marks were opened up, it is
/// the estimate from the sizes found, with what they change.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn estimate(job: &Job) -> Result<Report, Vec<Diagnostic>> {
    let panels = skins(job)?;
    estimate_on(job, &panels)
}

/// What the marks are, how far they go and what may be touched: [`estimate`] without hours, timetable,
/// order and other answers in use; with classes of published standards where they are asked for, which
/// are for comparison only.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn assess(job: &Job, classes: bool) -> Result<Report, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Marks, |mut report, answer| {
        report.answers = "assess";
        if classes {
            report.classes = Some(report::lines_classes::lines(&answer.findings));
        }
        report
    })
}

/// [`estimate`] with the plies laid flat and nested on their rolls, so that mat is bought by the cut
/// plan.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn quote(job: &Job) -> Result<Report, Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Cut, |mut report, _| {
        report.answers = "quote";
        report
    })
}

/// How much of a report is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Depth {
    /// Marks, actions and what stops.
    Marks,
    /// Everything but the cut plan.
    Whole,
    /// Everything.
    Cut,
}

/// [`estimate`] on skins that are built already.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn estimate_on(job: &Job, panels: &[PlacedPanel<'_>]) -> Result<Report, Vec<Diagnostic>> {
    told(job, panels, Depth::Whole, |report, _| report)
}

/// Works a job, and again with the sizes found where marks were opened up; gives what `take`
/// makes of the last one.
fn told<T>(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    depth: Depth,
    take: impl FnOnce(Report, &Answer<'_>) -> T,
) -> Result<T, Vec<Diagnostic>> {
    let recorded = work(job, panels)?;
    let Some(found) = &job.opened else {
        return Ok(take(reported(job, panels, &recorded, depth)?.0, &recorded));
    };
    let learnt = damage::learnt::of_job(&job.book, found, &recorded.findings);
    let opened = job.opened_up(damage::learnt::book_of(&job.book, &learnt));
    let answer = work_after(&opened, panels, Some(&recorded))?;
    let both = (recorded.as_estimate(), answer.as_estimate());
    let extra = materials::extra::between(&job.stock, both.0, both.1);
    let (report, order) = reported(&opened, panels, &answer, depth)?;
    let mut report = report::lines_opened::with_opened(report, &opened, &learnt, &extra, both);
    if let (Some(order), Depth::Cut) = (&order, depth) {
        // The quote was made from the survey alone.
        if let (_, Some(quoted)) = reported(job, panels, &recorded, Depth::Whole)? {
            report = report::lines_extra::with_money(report, &opened.book, &quoted, order);
        }
    }
    Ok(take(report, &answer))
}

impl<'j> Answer<'j> {
    fn as_estimate(&self) -> materials::extra::Estimate<'_, 'j> {
        materials::extra::Estimate {
            findings: &self.findings,
            plan: &self.plan,
            masses: &self.materials,
            doses: &self.shop.doses,
        }
    }
}

fn reported(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    answer: &Answer<'_>,
    depth: Depth,
) -> Result<(Report, Option<buy::job::JobOrder>), Vec<Diagnostic>> {
    let report = report::build::report(
        job,
        panels,
        &answer.findings,
        &answer.plan,
        &answer.materials,
        &answer.shop,
        &answer.grids,
    );
    if depth == Depth::Marks {
        return Ok((report, None));
    }
    let conflicts =
        shop::conflicts::of_job(job, panels, &answer.findings, &answer.plan, &answer.materials)
            .map_err(|why| vec![stock_lacks(job, why)])?;
    let report =
        report::lines_hours::with_hours(report, job, &answer.plan, &answer.hours, &conflicts);
    let timing = report::lines_timetable::timing(&report, &answer.plan, &answer.findings);
    let (findings, plan) = (&answer.findings[..], &answer.plan);
    let scene = shop::timetable::Scene { job, panels, findings, plan, hours: &answer.hours };
    let times = shop::timetable::warm::of_shop(&scene, &answer.shop, &answer.materials, &timing)
        .map_err(|why| vec![stock_lacks(job, why)])?;
    let report = report::lines_timetable::with_timetable(report, &job.book, &answer.plan, &times);
    let scene = buy::needs::Scene {
        job,
        panels,
        findings: &answer.findings,
        plan: &answer.plan,
        materials: &answer.materials,
        shop: &answer.shop,
        hours: &answer.hours,
        consumables: &job.consumables,
    };
    let left_out = report::lines_buy::left_out_of(&report);
    let order = buy::job::of_job(&scene, &timing, &left_out, depth == Depth::Cut)
        .map_err(|why| vec![stock_lacks(job, why)])?;
    let report = report::lines_buy::with_order(report, job, &answer.plan, &order);
    let report = report::lines_turns::with_turns(report, &scene, &order);
    Ok((report, Some(order)))
}

fn stock_lacks(job: &Job, why: String) -> Diagnostic {
    job.fault(
        &job.stock_file,
        "",
        "STOCK-LACKS",
        why,
        "a stock that holds what the job needs".to_owned(),
        "add it to the stock file, or use the built-in stock".to_owned(),
    )
}

/// Texts with the name of the file each is for.
pub type GeometryTexts = Vec<(String, String)>;

/// [`estimate`], and with it the removal of every repair in space, for measuring with other
/// software: one text a repair and case, with the name of the panel whose mesh it lies on.
///
/// # Errors
/// Faults of the job, each with its file and place.
pub fn estimate_with_geometry(job: &Job) -> Result<(Report, GeometryTexts), Vec<Diagnostic>> {
    let panels = skins(job)?;
    told(job, &panels, Depth::Whole, |report, answer| {
        let texts = report::geometry::texts(&panels, &answer.findings, &answer.plan);
        (report, texts)
    })
}

/// Three figures as one, for reading in examples and tests.
#[must_use]
pub fn spread_of(cases: &Cases<f64>) -> [f64; 3] {
    [cases.low, cases.likely, cases.high]
}
