//! What to buy for a job: now, only after something, and what it all costs.
//!
//! Repairs that may start are bought for now. A repair with an open cause, a wet mark or a blocked
//! step is bought only after that is done with: its list stands apart, with the reason. Referred and
//! held marks are in no list at all, and every list names them.

use rayon::prelude::*;

use super::Exclusion;
use super::access::{self, Access};
use super::cutting::{self, MatPlan};
use super::disposal::{self, Waste};
use super::enough::{self, Enough};
use super::needs::{self, Needs, Scene};
use super::order::{OrderList, Sources, Wanted, order_all};
use super::price::{Priced, ToPrice, price};
use super::replace::{self, Compared};
use super::shared::{self, Saving};
use crate::materials::ResinKind;
use crate::model::consumables::AtHand;
use crate::model::packs::Ware;
use crate::model::shop::ShopWorker;
use crate::quantity::{Case, Cases};
use crate::shop::timetable::Timing;

/// The buying of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct JobOrder {
    /// What is bought now; empty where nothing may start.
    pub now: OrderList,
    /// How the glass for now is cut; none where nobody asked for a cut plan.
    pub cut: Option<CutPlan>,
    /// Whether its packs are likely to be enough; none without polyester resin in it.
    pub enough: Option<Enough>,
    /// What is bought only after something.
    pub after: Vec<Later>,
    /// Wares that nobody should buy here, with the reason.
    pub not_here: Vec<(Ware, &'static str)>,
    /// What has to be within reach and is not bought.
    pub at_hand: Vec<AtHand>,
    /// What sharing sessions saves; worked out with the cut plan only.
    pub shared: Vec<Saving>,
    /// Waste of the whole job to hand over.
    pub waste: Vec<Waste>,
    /// Work and mouldings in the price file that are for panels nobody works on.
    pub not_counted: Vec<String>,
    /// Repairing panels against replacing them; worked out with the cut plan only.
    pub compared: Vec<Compared>,
    /// The whole job bought at once; none where nothing is estimated.
    pub whole: Option<Whole>,
    /// Money; none without prices.
    pub priced: Option<Priced>,
}

/// A whole job bought at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Whole {
    /// What is bought.
    pub bought: OrderList,
    /// Hours of whoever works.
    pub hours: Cases<f64>,
}

/// How the glass of some repairs is cut, in every case.
pub type CutPlan = Cases<Vec<MatPlan>>;

/// A list for later.
#[derive(Debug, Clone, PartialEq)]
pub struct Later {
    /// What has to come first.
    pub reason: String,
    /// The repairs.
    pub repairs: Vec<usize>,
    /// The list.
    pub order: OrderList,
    /// How its glass is cut; none where nobody asked.
    pub cut: Option<CutPlan>,
}

/// Why the finish of a spray gun is not on an owner's list.
const SPRAYED: &str = "two-pack paint with isocyanate hardener is sprayed by a painter with air-fed \
    breathing, in a booth: it is no task and no purchase for an owner";

/// Works out what to buy; `timing` has one entry a repair. With cut plans the mat of every list goes by its own.
///
/// # Errors
/// In words, a ware that cannot be ordered.
pub fn of_job(
    scene: &Scene<'_, '_>,
    timing: &[Timing],
    excludes: &[Exclusion],
    with_cut_plan: bool,
) -> Result<JobOrder, String> {
    let job = scene.job;
    let excludes = &with_unnamed(scene, excludes)[..];
    let prices = job.prices.as_ref().map(|(_, prices)| prices);
    let groups = groups(timing);
    let mut cuts = if with_cut_plan { cut_plans(scene, &groups)? } else { Vec::new() };
    let on_shelf = prices.map_or(&[][..], |prices| &prices.on_shelf);
    let owner = scene.shop.place.worker == ShopWorker::Owner;
    let mut not_here = Vec::new();
    let mut list =
        |repairs: &[usize], shelf: bool, cuts: &[CutPlan]| -> Result<(OrderList, Needs), String> {
            let mut needs = needs::of_repairs(scene, repairs);
            if !cuts.is_empty() {
                by_cut_plan(scene, &mut needs, cuts);
            }
            let sprayed = |one: &Cases<Wanted>| one.high.ware == Ware::SprayFinish;
            if owner && needs.wanted.iter().any(sprayed) {
                needs.wanted.retain(|one| !sprayed(one));
                not_here = vec![(Ware::SprayFinish, SPRAYED)];
            }
            let from = Sources {
                packs: &job.packs,
                prices,
                shelf: if shelf { on_shelf } else { &[] },
                used_in_days: 0.0,
            };
            let orders = order_all(&needs.wanted, &from, excludes)
                .map_err(|(ware, why)| format!("{ware}: {why}"))?;
            Ok((orders, needs))
        };
    let mut now = OrderList { orders: Vec::new(), excludes: excludes.to_vec() };
    let mut enough = None;
    let mut after = Vec::new();
    for (number, (reason, repairs)) in groups.into_iter().enumerate() {
        let cut = cuts.get(number..=number).unwrap_or_default();
        match reason {
            None => {
                let needs;
                (now, needs) = list(&repairs, true, cut)?;
                let sessions = needs.polyester_sessions.likely;
                enough = enough::of_list(scene, &repairs, &now, sessions)
                    .map_err(|fault| fault.to_string())?;
            }
            Some(reason) => {
                let (order, _) = list(&repairs, false, cut)?;
                after.push(Later { reason, repairs, order, cut: cut.first().cloned() });
            }
        }
    }
    let all: Vec<usize> = (0..timing.len()).collect();
    // Money and waste are of the whole job bought at once: what is shared is paid once.
    let whole = if all.is_empty() { None } else { Some(list(&all, true, &cuts)?) };
    let cut = if timing.contains(&Timing::Free) && !cuts.is_empty() {
        Some(cuts.swap_remove(0))
    } else {
        with_cut_plan.then(CutPlan::default)
    };
    let waste = whole
        .as_ref()
        .map_or_else(Vec::new, |(bought, needs)| disposal::of(&job.book, needs, bought));
    let paid = !owner;
    let mut access = Access::default();
    let priced = prices.zip(whole.as_ref()).map(|(prices, (bought, needs))| {
        let worked = access::worked_panels(scene.plan, &all);
        access = access::of_panels(prices, scene.panels, &worked, true);
        let disposal: Vec<_> = waste.iter().map(|one| (one.class, one.kg)).collect();
        let to_price = ToPrice {
            bought,
            hours: paid.then_some(needs.hours),
            access: &access.items,
            disposal: &disposal,
        };
        price(&job.book, &to_price, prices)
    });
    let mut not_counted = access.not_counted;
    not_counted.extend(prices.into_iter().flat_map(|file| replace::not_compared(scene, file)));
    let compared = match prices {
        Some(prices) if with_cut_plan => replace::of_job(scene, prices)?,
        _ => Vec::new(),
    };
    Ok(JobOrder {
        now,
        cut,
        enough,
        after,
        not_here,
        at_hand: if !all.is_empty() { job.consumables.at_hand.clone() } else { Vec::new() },
        shared: if with_cut_plan { shared::of_job(scene, timing) } else { Vec::new() },
        waste,
        not_counted,
        compared,
        whole: whole.map(|(bought, needs)| Whole { bought, hours: needs.hours }),
        priced,
    })
}

/// The marks left out, and those whose resin nobody can name: nothing is bought to lay for them.
fn with_unnamed(scene: &Scene<'_, '_>, excludes: &[Exclusion]) -> Vec<Exclusion> {
    let mut all = excludes.to_vec();
    for (repair, of) in scene.plan.repairs.iter().zip(scene.materials) {
        if of.high.kind != ResinKind::NotKnown {
            continue;
        }
        let marks = repair.findings.iter().filter_map(|number| scene.findings.get(*number));
        for mark in marks.map(|finding| finding.mark().id) {
            if all.iter().all(|one| one.mark != mark) {
                let reason = "kind of resin not known: no resin, glass or coat is bought for it";
                all.push(Exclusion { mark, reason: reason.to_owned() });
            }
        }
    }
    all
}

/// Glass by the metre as its cut plans say, and by them alone; a mat of which some ply could not be
/// drawn stays as the percentage has it. What is cut at different times is cut from a whole width each
/// time.
fn by_cut_plan(scene: &Scene<'_, '_>, needs: &mut Needs, cuts: &[CutPlan]) {
    for mat in &scene.job.stock.mats {
        let plans = |case| {
            cuts.iter().flat_map(move |cut| cut.get(case)).filter(|plan| plan.mat == mat.name)
        };
        let (ware, grade) = (needs::ware_of(mat), needs::grade(mat.weight_g_m2.value()));
        let of = needs
            .wanted
            .iter_mut()
            .find(|one| (one.high.ware, one.high.grade) == (ware, Some(grade)));
        let Some(wanted) = of else { continue };
        // A case without a plan is whole only where it needs none of this mat.
        let whole = Case::ALL.iter().all(|case| match plans(*case).next() {
            Some(_) => plans(*case).all(|one| one.not_cut.is_empty()),
            None => wanted.get(*case).amount <= 0.0,
        });
        if whole {
            for case in Case::ALL {
                wanted.get_mut(case).amount = plans(case).map(|one| one.length_m).sum();
            }
        }
    }
}

/// The plies of every group of repairs, nested on their rolls in every case; a plan a group.
fn cut_plans(
    scene: &Scene<'_, '_>,
    groups: &[(Option<String>, Vec<usize>)],
) -> Result<Vec<CutPlan>, String> {
    let (book, findings) = (&scene.job.book, scene.findings);
    let drawn = Cases::try_from_fn(|case| {
        cutting::patterns(book, scene.panels, findings, scene.plan, case)
    })?;
    let of = |(_, repairs): &(Option<String>, Vec<usize>)| {
        Cases::try_from_fn(|case| cutting::cut_plan_of(book, drawn.get(case), scene.plan, repairs))
    };
    groups.par_iter().map(of).collect()
}

/// Repairs by what they wait for; nothing first.
#[must_use]
pub fn groups(timing: &[Timing]) -> Vec<(Option<String>, Vec<usize>)> {
    let mut found: Vec<(Option<String>, Vec<usize>)> = Vec::new();
    let reasons: Vec<Option<String>> = timing
        .iter()
        .map(|one| match one {
            Timing::Free => None,
            Timing::AfterCause => Some("the cause is put right".to_owned()),
            Timing::None(why) => Some(why.clone()),
        })
        .collect();
    for wanted in std::iter::once(&None).chain(&reasons) {
        if found.iter().any(|(known, _)| known == wanted) {
            continue;
        }
        let repairs: Vec<usize> =
            (0..).zip(&reasons).filter(|(_, one)| *one == wanted).map(|(n, _)| n).collect();
        if !repairs.is_empty() {
            found.push((wanted.clone(), repairs));
        }
    }
    found
}
