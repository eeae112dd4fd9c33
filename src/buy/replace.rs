//! Repairing a panel against replacing it, in money and in words.
//!
//! Takes a replacement's price and hours from the price file; gives what both ways cost in three cases
//! and a verdict, or what is missing for one. Both ways hold paint, what comes off and goes back on,
//! and, where somebody is paid, hours; neither holds waste. Marks that go to a specialist are in neither and may decide it.

use super::access::{self, worked_panels};
use super::money;
use super::needs::{self, Scene};
use super::order::{OrderList, Sources, Wanted, order_all};
use super::price::{Priced, ToPrice, price};
use crate::model::packs::Ware;
use crate::model::prices::{Joined, PriceFile, Replacement};
use crate::model::shop::ShopWorker;
use crate::model::stock::PaintUse;
use crate::quantity::{Case, Cases};
use crate::repair::{Action, paint};
use crate::rules::id;
use crate::shop::labour::{of_paint, pace};

/// The verdict that holds whatever else replacing costs.
const REPAIR_LESS: &str = "repairing costs less in all three cases";
/// The verdict on a bonded panel otherwise.
const BONDED: &str =
    "cannot be compared: it is bonded, and what a specialist asks for cutting it out is not priced";

/// A panel both ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The panel, as the price file names it.
    pub panel: String,
    /// How it is held on.
    pub joined: Joined,
    /// Repairing it, minor units with tax; none where something has no price.
    pub repairing: Cases<Option<i64>>,
    /// Replacing it, the same.
    pub replacing: Cases<Option<i64>>,
    /// What has no price.
    pub missing: Vec<String>,
    /// Marks on it that neither figure holds.
    pub leaves_out: Vec<u32>,
    /// The verdict in words.
    pub verdict: String,
}

/// Every replacement of the price file whose panel has marks.
///
/// # Errors
/// In words, a ware that cannot be ordered.
pub fn of_job(scene: &Scene<'_, '_>, prices: &PriceFile) -> Result<Vec<Compared>, String> {
    let panel = |one: &Replacement| scene.panels.iter().position(|on| on.of.name == one.panel);
    let on_it = |number: usize| scene.findings.iter().any(|one| one.placed.panel == number);
    prices
        .replacements
        .iter()
        .filter_map(|one| Some((one, panel(one)?)))
        .filter(|(_, number)| on_it(*number))
        .map(|(one, number)| compare(scene, prices, one, number))
        .collect()
}

/// Replacements of the price file that compare with nothing, because no mark is on such a panel.
#[must_use]
pub fn not_compared(scene: &Scene<'_, '_>, prices: &PriceFile) -> Vec<String> {
    let on_it = |one: &&Replacement| {
        let marks = scene.findings.iter().filter_map(|mark| scene.panels.get(mark.placed.panel));
        marks.into_iter().any(|on| on.of.name == one.panel)
    };
    let idle = prices.replacements.iter().filter(|one| !on_it(one));
    idle.map(|one| format!("a new {}: no mark is on a panel of that name", one.panel)).collect()
}

fn compare(
    scene: &Scene<'_, '_>,
    prices: &PriceFile,
    of: &Replacement,
    panel: usize,
) -> Result<Compared, String> {
    let all = scene.plan.repairs.iter().enumerate();
    let repairs: Vec<usize> = all
        .filter(|(_, repair)| repair.panels.contains(&panel))
        .map(|(number, _)| number)
        .collect();
    let out = scene.findings.iter().zip(&scene.plan.decisions).filter(|(finding, decision)| {
        finding.placed.panel == panel && matches!(decision.action, Action::Refer | Action::Held)
    });
    let leaves_out: Vec<u32> = out.map(|(finding, _)| finding.mark().id).collect();
    let mut found = Compared {
        panel: of.panel.clone(),
        joined: of.joined,
        repairing: Cases::from_fn(|_| None),
        replacing: Cases::from_fn(|_| None),
        missing: Vec::new(),
        leaves_out,
        verdict: String::new(),
    };
    if repairs.is_empty() {
        found.verdict = "cannot be compared: nothing on it is estimated".to_owned();
        return Ok(found);
    }
    let repairing = repair(scene, prices, &repairs)?;
    let replacing = replace(scene, prices, of, panel)?;
    for (way, priced) in [("repairing", &repairing), ("replacing", &replacing)] {
        found.missing.extend(priced.not_priced.iter().map(|one| format!("{way}: {}", one.what)));
    }
    let sums = |priced: &Priced| {
        let whole = priced.not_priced.is_empty();
        Cases::from_fn(|case| whole.then_some(priced.totals.get(case).money.gross))
    };
    (found.repairing, found.replacing) = (sums(&repairing), sums(&replacing));
    let unnamed = scene.materials.iter().enumerate().any(|(number, of)| {
        repairs.contains(&number) && of.high.kind == crate::materials::ResinKind::NotKnown
    });
    if unnamed {
        found.missing.push("repairing: resin whose kind nobody knows".to_owned());
    }
    let bonded = found.joined == Joined::Bonded;
    let even = scene.job.book.figure(id::REPLACE_EVEN) / 100.0;
    found.verdict = if found.missing.is_empty() {
        let of = |sum: &Cases<Option<i64>>| sum.map(|money| money.unwrap_or_default());
        let said = verdict(&of(&found.repairing), &of(&found.replacing), even);
        // Cutting out is in no figure: only what holds without it may be said.
        if bonded && said != REPAIR_LESS { BONDED.to_owned() } else { said }
    } else {
        format!("cannot be compared: not priced: {}", found.missing.join("; "))
    };
    Ok(found)
}

fn order(
    scene: &Scene<'_, '_>,
    prices: &PriceFile,
    wanted: &[Cases<Wanted>],
) -> Result<OrderList, String> {
    let from =
        Sources { packs: &scene.job.packs, prices: Some(prices), shelf: &[], used_in_days: 0.0 };
    order_all(wanted, &from, &[]).map_err(|(ware, why)| format!("{ware}: {why}"))
}

fn repair(scene: &Scene<'_, '_>, prices: &PriceFile, repairs: &[usize]) -> Result<Priced, String> {
    let needs = needs::of_repairs(scene, repairs);
    let bought = order(scene, prices, &needs.wanted)?;
    let worked = worked_panels(scene.plan, repairs);
    let access = access::of_panels(prices, scene.panels, &worked, false);
    // The hours of a part of a job hold no paint.
    let whole = repairs.len() == scene.plan.repairs.len();
    let paint_h = Cases::from_fn(|case| {
        if whole { 0.0 } else { paint_h(scene, needs.size.get(case).painted_m2, case) }
    });
    let hours = Cases::from_fn(|case| needs.hours.get(case) + paint_h.get(case));
    let job = ToPrice {
        bought: &bought,
        hours: is_paid(scene).then_some(hours),
        access: &access.items,
        disposal: &[],
    };
    Ok(price(&scene.job.book, &job, prices))
}

fn replace(
    scene: &Scene<'_, '_>,
    prices: &PriceFile,
    of: &Replacement,
    panel: usize,
) -> Result<Priced, String> {
    let area_m2 = scene.panels.get(panel).map_or(0.0, |on| on.face_area_mm2() * 1e-6);
    let paints = paint::system(&scene.job.stock, scene.job.survey.topcoat);
    let owner = !is_paid(scene);
    let wanted: Vec<Cases<Wanted>> = paints
        .iter()
        // A sprayed finish is no purchase of an owner's on either side.
        .filter(|one| !(owner && one.used_as == PaintUse::SprayFinish))
        .map(|one| {
            let ware = match one.used_as {
                PaintUse::Primer => Ware::Primer,
                PaintUse::BrushFinish => Ware::BrushFinish,
                PaintUse::SprayFinish => Ware::SprayFinish,
            };
            let amount = paint::litres(one, area_m2);
            Cases::from_fn(|_| Wanted { ware, grade: None, amount, width_mm: None })
        })
        .collect();
    let bought = order(scene, prices, &wanted)?;
    let mut access = access::of_panels(prices, scene.panels, &[panel], false).items;
    access.push(access::AccessItem {
        what: format!("new moulding: {}", of.panel),
        price: of.price,
        hours: None,
        way_out: "give its price under `replacements`".to_owned(),
    });
    let hours = of.fit_hours.map(|fit_h| {
        Cases::from_fn(|case| {
            let slower = pace(&scene.job.book, scene.shop.place.worker);
            fit_h * slower.get(case) + paint_h(scene, area_m2, case)
        })
    });
    if hours.is_none() {
        access.push(access::AccessItem {
            what: format!("fitting the new {}", of.panel),
            price: None,
            hours: None,
            way_out: "give `fit_hours` under `replacements`".to_owned(),
        });
    }
    let job = ToPrice {
        bought: &bought,
        hours: hours.filter(|_| is_paid(scene)),
        access: &access,
        disposal: &[],
    };
    Ok(price(&scene.job.book, &job, prices))
}

/// Hours of whoever works, of painting an area.
fn paint_h(scene: &Scene<'_, '_>, area_m2: f64, case: Case) -> f64 {
    let (prime, finish) = of_paint(&scene.job.labour, area_m2, case);
    (prime + finish) * pace(&scene.job.book, scene.shop.place.worker).get(case)
}

fn is_paid(scene: &Scene<'_, '_>) -> bool {
    scene.shop.place.worker != ShopWorker::Owner
}

/// Both ways in words; `even` is the share within which they are about even.
#[must_use]
pub fn verdict(repairing: &Cases<i64>, replacing: &Cases<i64>, even: f64) -> String {
    let margin = money::in_thousandths(even * 100.0);
    let says = |case: Case| {
        let (one, other) = (*repairing.get(case), *replacing.get(case));
        let band = money::share(other, margin);
        if one < other - band {
            "repairing costs less"
        } else if one > other + band {
            "replacing costs less"
        } else {
            "about even"
        }
    };
    let first = says(Case::Low);
    if Case::ALL.iter().all(|case| says(*case) == first) {
        return format!("{first} in all three cases");
    }
    let each: Vec<String> = Case::ALL
        .iter()
        .map(|case| format!("{} in the {} case", says(*case), case.word()))
        .collect();
    each.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, with a band of 10 %: 90 and 110 against 100 are about even, 89 and 111 are not.
    #[test]
    fn verdicts_by_hand() {
        let of = |low, likely, high| Cases { low, likely, high };
        let flat = of(10_000, 10_000, 10_000);
        let says = |repairing: Cases<i64>| verdict(&repairing, &flat, 0.1);
        assert_eq!(says(of(5_000, 6_000, 8_999)), "repairing costs less in all three cases");
        assert_eq!(says(of(9_000, 10_000, 11_000)), "about even in all three cases");
        assert_eq!(says(of(11_001, 20_000, 30_000)), "replacing costs less in all three cases");
        assert_eq!(
            says(of(8_000, 9_500, 12_000)),
            "repairing costs less in the low case, about even in the likely case, replacing costs less in the high case"
        );
    }
}
