//! Waste to hand over, by class, in kg.
//!
//! Takes what is used and what is bought in three cases; gives kilograms, each with where it comes
//! from. Dust of old paint and filler counts as hazardous, tested or not. A later case is never less
//! than an earlier one. Left-overs count by rule `DISPOSE-LEFT`: in the low case they are kept.

use std::collections::BTreeMap;

use super::needs::Needs;
use super::order::{Order, OrderList, Wanted};
use super::packs::THOUSANDTHS;
use crate::model::packs::Ware;
use crate::model::prices::DisposalClass;
use crate::quantity::{Case, Cases};
use crate::rules::{Book, id};
use crate::shop::catalyst::MEKP_DENSITY_G_ML;

/// Acetone, kg/l (published: ICSC 0087, relative density 0.8).
const ACETONE_KG_L: f64 = 0.8;
/// Panel degreaser, kg/l (choice: a light solvent).
const DEGREASER_KG_L: f64 = 0.75;
/// Paint as it is in the tin, kg/l (choice).
const PAINT_KG_L: f64 = 1.3;

/// Rules that the masses rest on.
pub const RULES: [&str; 5] =
    [id::DISPOSE_SMALL, id::DISPOSE_LARGE, id::DISPOSE_SOLVENT, id::DISPOSE_LEFT, id::DISPOSE_TIN];

/// Waste of one class.
#[derive(Debug, Clone, PartialEq)]
pub struct Waste {
    /// The class.
    pub class: DisposalClass,
    /// How much, kg.
    pub kg: Cases<f64>,
    /// What it comes from.
    pub from: Vec<&'static str>,
}

/// Waste of what some repairs need and what is bought for them, by class.
#[must_use]
pub fn of(book: &Book, needs: &Needs, bought: &OrderList) -> Vec<Waste> {
    let mut bins = Bins::default();
    for (class, kg) in &needs.disposal {
        let from = match class {
            DisposalClass::Tested => "sanded and ground: old paint and filler",
            _ => "dust, offcuts, resin set in cups and brushes",
        };
        Case::ALL.into_iter().for_each(|case| bins.add(case, *class, *kg.get(case), from));
    }
    let hazardous = bins.kg.contains_key(&DisposalClass::Tested);
    for case in Case::ALL {
        for one in &needs.wanted {
            used(book, &mut bins, case, one.get(case), hazardous);
        }
        for one in &bought.orders {
            left(book, &mut bins, case, one);
        }
    }
    bins.out()
}

#[derive(Default)]
struct Bins {
    kg: BTreeMap<DisposalClass, (Cases<f64>, Vec<&'static str>)>,
}

impl Bins {
    fn add(&mut self, case: Case, class: DisposalClass, kg: f64, from: &'static str) {
        if kg <= 0.0 {
            return;
        }
        let none = || (Cases::from_fn(|_| 0.0), Vec::new());
        let (sum, known) = self.kg.entry(class).or_insert_with(none);
        *sum.get_mut(case) += kg;
        if !known.contains(&from) {
            known.push(from);
        }
    }

    fn out(self) -> Vec<Waste> {
        let of = |(class, (kg, from)): (DisposalClass, (Cases<f64>, Vec<&'static str>))| {
            // Packs leave more over in one case and less in the next: a bound is a bound.
            let likely = f64::max(kg.low, kg.likely);
            let kg = Cases { low: kg.low, likely, high: f64::max(likely, kg.high) };
            Waste { class, kg, from }
        };
        self.kg.into_iter().map(of).collect()
    }
}

/// What is used and then thrown away.
fn used(book: &Book, bins: &mut Bins, case: Case, of: &Wanted, hazardous: bool) {
    let small_kg = of.amount * book.figure(id::DISPOSE_SMALL) / 1000.0;
    let large_kg = of.amount * book.figure(id::DISPOSE_LARGE) / 1000.0;
    match of.ware {
        Ware::Gloves | Ware::Brush | Ware::RollerSleeve | Ware::Cup | Ware::Stirrer => {
            bins.add(case, DisposalClass::Soiled, small_kg, "gloves, brushes, cups, sticks");
        }
        Ware::Cloth => bins.add(case, DisposalClass::Soiled, small_kg, "cloths"),
        Ware::CombinedFilter | Ware::Coverall => {
            bins.add(case, DisposalClass::Soiled, large_kg, "filters, coveralls");
        }
        Ware::AbrasiveDisc | Ware::AbrasiveSheet => {
            let class =
                if hazardous { DisposalClass::Tested } else { DisposalClass::CuredLaminate };
            bins.add(case, class, small_kg, "abrasives, clogged");
        }
        Ware::Degreaser => {
            let kg = of.amount * DEGREASER_KG_L;
            bins.add(case, DisposalClass::Soiled, kg, "degreaser, wiped into cloths");
        }
        Ware::Acetone => {
            let kg = of.amount * ACETONE_KG_L * book.figure(id::DISPOSE_SOLVENT) / 100.0;
            bins.add(case, DisposalClass::Solvent, kg, "acetone, dirty from cleaning");
        }
        _ => {}
    }
}

/// What is over in packs, and the packs.
fn left(book: &Book, bins: &mut Bins, case: Case, of: &Cases<Order>) {
    let order = of.get(case);
    let Some((class, kg_each, from)) = liquid(order.ware) else { return };
    let share = *book.cases(id::DISPOSE_LEFT).get(case);
    bins.add(case, class, units(order.mix.left_over) * kg_each * share, from);
    let content_kg = units(order.mix.bought) * kg_each;
    let tins_kg = content_kg * book.figure(id::DISPOSE_TIN) / 100.0;
    bins.add(case, DisposalClass::EmptyTins, tins_kg, "tins and bottles of what is bought");
}

/// What a liquid is handed over as, kg of one of its units, in words.
const fn liquid(ware: Ware) -> Option<(DisposalClass, f64, &'static str)> {
    Some(match ware {
        Ware::PolyesterResin | Ware::EpoxyResin | Ware::EpoxyHardener | Ware::GelCoat => {
            (DisposalClass::LiquidResin, 1.0, "resin and coat over in opened packs")
        }
        Ware::Filler => (DisposalClass::LiquidResin, 1.0, "filler over in opened packs"),
        Ware::Catalyst => {
            (DisposalClass::Peroxide, MEKP_DENSITY_G_ML / 1000.0, "catalyst over in opened packs")
        }
        Ware::Acetone => (DisposalClass::Solvent, ACETONE_KG_L, "solvent over in opened packs"),
        Ware::Degreaser => (DisposalClass::Solvent, DEGREASER_KG_L, "solvent over in opened packs"),
        Ware::Primer | Ware::BrushFinish | Ware::SprayFinish => {
            (DisposalClass::Paint, PAINT_KG_L, "paint over in opened packs")
        }
        _ => return None,
    })
}

#[allow(clippy::cast_precision_loss, reason = "thousandths of what a job needs are small")]
fn units(thousandths: u64) -> f64 {
    thousandths as f64 / THOUSANDTHS
}

/// What must not be done with waste of a class, and what is.
#[must_use]
pub const fn caution(of: DisposalClass) -> &'static str {
    match of {
        DisposalClass::CuredLaminate => {
            "bagged, damped, nobody shakes it; wood dust and filler dust can heat by themselves"
        }
        DisposalClass::LiquidResin => {
            "never down a drain; a pot that sets is hot: outdoors, on the ground, until it is cold"
        }
        DisposalClass::Peroxide => {
            "in its own bottle, cool and shaded; never into the bin with rags, nor with accelerator, acetone or metal: ask who takes it"
        }
        DisposalClass::Solvent => {
            "a closed tin of its own, away from flame; never down a drain, never with catalyst"
        }
        DisposalClass::Paint => "lids on; never down a drain",
        DisposalClass::Soiled => {
            "wet rags heat up by themselves and burn: spread out flat outdoors until dry or set, or in a lidded metal bin with water; never in a heap, never with catalyst"
        }
        DisposalClass::Tested => {
            "hazardous until tested clear: damped, two bags, marked; what may hold asbestos is for licensed work"
        }
        DisposalClass::EmptyTins => {
            "vapour in an empty tin burns: lids off outdoors until dry, nothing cut or welded"
        }
    }
}
