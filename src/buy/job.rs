//! What to buy for a job: now, only after something, and what it all costs.
//!
//! Repairs that may start are bought for now. A repair with an open cause, a wet mark or a blocked
//! step is bought only after that is done with: its list stands apart, with the reason. Referred and
//! held marks are in no list at all, and every list names them.

use super::Exclusion;
use super::cutting::MatPlan;
use super::enough::{self, Enough};
use super::needs::{self, Needs, Scene};
use super::order::{OrderList, Sources, Wanted, order_all};
use super::price::{Priced, ToPrice, price};
use crate::model::consumables::AtHand;
use crate::model::packs::{PackTable, Ware};
use crate::model::prices::PriceFile;
use crate::model::shop::ShopWorker;
use crate::quantity::{Case, Cases};
use crate::shop::timetable::Timing;

/// The buying of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct JobOrder<'t> {
    /// What is bought now; empty where nothing may start.
    pub now: OrderList,
    /// How the glass for now is cut; none where nobody asked for a cut plan.
    pub cut: Option<Cases<Vec<MatPlan>>>,
    /// Whether its packs are likely to be enough; none without polyester resin in it.
    pub enough: Option<Enough>,
    /// What is bought only after something: the reason, the repairs, the list.
    pub after: Vec<(String, Vec<usize>, OrderList)>,
    /// Wares that nobody should buy here, with the reason.
    pub not_here: Vec<(Ware, &'static str)>,
    /// What has to be within reach and is not bought.
    pub at_hand: Vec<&'t AtHand>,
    /// Money; none without prices.
    pub priced: Option<Priced>,
}

/// Where wares and prices come from.
#[derive(Debug, Clone, Copy)]
pub struct Market<'a> {
    /// Usual packs.
    pub packs: &'a PackTable,
    /// The user's prices.
    pub prices: Option<&'a PriceFile>,
}

/// Why the finish of a spray gun is not on an owner's list.
const SPRAYED: &str = "two-pack paint with isocyanate hardener is sprayed by a painter with air-fed \
    breathing, in a booth: it is no task and no purchase for an owner";

/// Works out what to buy. `timing` has one entry a repair.
///
/// # Errors
/// In words, a ware that cannot be ordered.
pub fn of_job<'t>(
    scene: &Scene<'_, 't>,
    timing: &[Timing],
    market: &Market<'_>,
    excludes: &[Exclusion],
    consumables_at_hand: &'t [AtHand],
    cut: Option<Cases<Vec<MatPlan>>>,
) -> Result<JobOrder<'t>, String> {
    let groups = groups(timing);
    let on_shelf = market.prices.map_or(&[][..], |prices| &prices.on_shelf);
    let owner = scene.shop.place.worker == ShopWorker::Owner;
    let mut not_here = Vec::new();
    let mut list =
        |repairs: &[usize], shelf: bool, planned: bool| -> Result<(OrderList, Needs), String> {
            let mut needs = needs::of_repairs(scene, repairs);
            if let Some(cut) = cut.as_ref().filter(|_| planned) {
                by_cut_plan(scene, &mut needs, cut);
            }
            let sprayed = |one: &Cases<Wanted>| one.high.ware == Ware::SprayFinish;
            if owner && needs.wanted.iter().any(sprayed) {
                needs.wanted.retain(|one| !sprayed(one));
                not_here = vec![(Ware::SprayFinish, SPRAYED)];
            }
            let from = Sources {
                packs: market.packs,
                prices: market.prices,
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
    for (reason, repairs) in groups {
        match reason {
            None => {
                let needs;
                (now, needs) = list(&repairs, true, true)?;
                let sessions = needs.size.likely.sessions;
                enough = enough::of_list(scene, &repairs, &now, sessions)
                    .map_err(|fault| fault.to_string())?;
            }
            Some(reason) => after.push((reason, repairs.clone(), list(&repairs, false, false)?.0)),
        }
    }
    let all: Vec<usize> = (0..timing.len()).collect();
    let priced = match market.prices {
        Some(prices) if !all.is_empty() => {
            // Money is for the whole job bought at once: what is shared is paid once.
            let (bought, needs) = list(&all, true, false)?;
            let access: Vec<String> = prices.access.iter().map(|one| one.what.clone()).collect();
            let paid = !owner;
            let to_price = ToPrice {
                bought: &bought,
                hours: paid.then_some(needs.hours),
                access: &access,
                disposal: &needs.disposal,
            };
            Some(price(&scene.job.book, &to_price, prices))
        }
        _ => None,
    };
    Ok(JobOrder {
        now,
        cut,
        enough,
        after,
        not_here,
        at_hand: if !all.is_empty() { consumables_at_hand.iter().collect() } else { Vec::new() },
        priced,
    })
}

/// Glass by the metre as its cut plan says, and by that alone; a mat of which some ply could not be
/// drawn stays as the percentage has it.
fn by_cut_plan(scene: &Scene<'_, '_>, needs: &mut Needs, cut: &Cases<Vec<MatPlan>>) {
    for mat in &scene.job.stock.mats {
        let plan = |case| cut.get(case).iter().find(|plan| plan.mat == mat.name);
        let whole =
            Case::ALL.iter().all(|case| plan(*case).is_none_or(|one| one.not_cut.is_empty()));
        let (ware, grade) = (needs::ware_of(mat), needs::grade(mat.weight_g_m2.value()));
        let of = needs
            .wanted
            .iter_mut()
            .find(|one| (one.high.ware, one.high.grade) == (ware, Some(grade)));
        if let Some(wanted) = of.filter(|_| whole) {
            for case in Case::ALL {
                wanted.get_mut(case).amount = plan(case).map_or(0.0, |one| one.length_m);
            }
        }
    }
}

/// Repairs by what they wait for; nothing first.
fn groups(timing: &[Timing]) -> Vec<(Option<String>, Vec<usize>)> {
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
