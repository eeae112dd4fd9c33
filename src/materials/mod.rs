//! How much, net: glass, tissue, resin, gel coat and hardeners, as poured and without waste.
//!
//! Takes areas; gives kilograms, grams and millilitres in three cases. Every mass is an area on
//! the skin times a weight; nothing is added for waste, which belongs to the order.

pub mod extra;

use std::collections::BTreeMap;

use crate::model::panel::Material;
use crate::model::shop::PlyOrder;
use crate::model::stock::Stock;
use crate::model::survey::Side;
use crate::quantity::{
    Case, Cases, Kilograms, KilogramsPerSquareMetre, SquareMetres, square_metres,
};
use crate::repair::laps::Laps;
use crate::repair::layout::{Areas, PlyArea};
use crate::repair::plies::{Shelf, resin_ratio};
use crate::repair::work::takes_epoxy;
use crate::rules::{Book, id};

/// Which resin a moulding takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ResinKind {
    /// Polyester.
    Polyester,
    /// Epoxy.
    Epoxy,
    /// Nobody has said what the moulding is: no product is named.
    NotKnown,
}

impl ResinKind {
    /// The resin for a moulding.
    #[must_use]
    pub const fn of(material: Material) -> Self {
        match material {
            Material::HandLaidPolyester => Self::Polyester,
            Material::Unknown => Self::NotKnown,
            _ => {
                if takes_epoxy(material) {
                    Self::Epoxy
                } else {
                    Self::NotKnown
                }
            }
        }
    }
}

/// Catalyst doses, % of resin by mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doses {
    /// For laminating resin.
    pub laminating_percent: f64,
    /// For gel and flow coat.
    pub coat_percent: f64,
    /// Density of the catalyst, g/ml.
    pub catalyst_g_ml: f64,
}

/// One ply with its masses.
#[derive(Debug, Clone, PartialEq)]
pub struct PlyMass {
    /// Its place in the lay-up, counted from 1 on its side.
    pub sequence: u32,
    /// The side it is laid on.
    pub side: Side,
    /// Its mat.
    pub reinforcement: String,
    /// Weight of the mat, kg/m2.
    pub weight: KilogramsPerSquareMetre,
    /// How far it goes beyond the removal, mm.
    pub reach_mm: f64,
    /// Its area.
    pub area: SquareMetres,
    /// Its laps, where it is wider than the roll: in its glass and resin, not in its area.
    pub laps: Option<Laps>,
    /// Its glass.
    pub glass: Kilograms,
    /// Its resin.
    pub resin: Kilograms,
}

/// Net materials of one repair in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct RepairMaterials {
    /// Plies from the floor up, then the backing.
    pub plies: Vec<PlyMass>,
    /// Tissue: area, its own mass, its resin.
    pub tissue: (SquareMetres, Kilograms, Kilograms),
    /// Gel or flow coat: area and mass.
    pub coat: (SquareMetres, Kilograms),
    /// Which resin.
    pub kind: ResinKind,
}

impl RepairMaterials {
    /// Glass in mats and cloth.
    #[must_use]
    pub fn glass(&self) -> Kilograms {
        self.plies.iter().map(|ply| ply.glass).sum()
    }

    /// Laminating resin, the tissue's included.
    #[must_use]
    pub fn resin(&self) -> Kilograms {
        self.plies.iter().map(|ply| ply.resin).sum::<Kilograms>() + self.tissue.2
    }
}

/// Weighs one repair, its plies in the order in which the shop lays them.
#[must_use]
pub fn of_repair(
    stock: &Stock,
    order: PlyOrder,
    material: Material,
    areas: &Areas<'_>,
) -> RepairMaterials {
    let (mut on_outer, mut on_back) = (0, 0);
    let plies = in_order(order, &areas.plies)
        .into_iter()
        .map(|ply: &PlyArea<'_>| {
            let number = match ply.side {
                Side::Outer => &mut on_outer,
                Side::Back => &mut on_back,
            };
            *number += 1;
            let area = square_metres(ply.area_mm2);
            let doubled = square_metres(ply.laps.map_or(0.0, |laps| laps.area_mm2));
            let glass = ply.mat.weight_g_m2 * (area + doubled);
            PlyMass {
                sequence: *number,
                side: ply.side,
                reinforcement: ply.mat.name.clone(),
                weight: ply.mat.weight_g_m2.in_kilograms(),
                reach_mm: ply.reach_mm,
                area,
                laps: ply.laps,
                glass,
                resin: glass * resin_ratio(ply.mat.glass_content),
            }
        })
        .collect();
    let tissue = square_metres(areas.tissue_mm2);
    let coat = square_metres(areas.coat_mm2);
    RepairMaterials {
        plies,
        tissue: (tissue, stock.tissue.weight_g_m2 * tissue, stock.tissue.resin_kg_m2 * tissue),
        coat: (coat, stock.gel_coat.coverage_kg_m2 * coat),
        kind: ResinKind::of(material),
    }
}

/// Plies in the order of laying. The largest first turns the plies laid into the removal about;
/// their sizes stay, and so do mats cut to the removal and what lies behind.
#[must_use]
pub fn in_order<'a, 's>(order: PlyOrder, plies: &'a [PlyArea<'s>]) -> Vec<&'a PlyArea<'s>> {
    if order == PlyOrder::SmallestFirst {
        return plies.iter().collect();
    }
    let side = plies.first().map(|ply| ply.side);
    let (mut front, rest): (Vec<_>, Vec<_>) =
        plies.iter().partition(|ply| Some(ply.side) == side && ply.reach_mm > 0.0);
    front.reverse();
    front.into_iter().chain(rest).collect()
}

/// A hardener other than the catalyst of the laminating resin.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardener {
    /// What it is.
    pub product: String,
    /// What it goes into.
    pub goes_into: String,
    /// Its mass, g.
    pub g: f64,
    /// Its volume, ml, where its density is known.
    pub ml: Option<f64>,
}

/// Net materials of the whole job in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct Totals {
    /// Glass in mats and cloth.
    pub glass: Kilograms,
    /// The same by mat.
    pub glass_by_mat: BTreeMap<String, (SquareMetres, Kilograms)>,
    /// Surface tissue: area and mass.
    pub tissue: (SquareMetres, Kilograms),
    /// Laminating resin, all kinds.
    pub resin: Kilograms,
    /// The same by kind.
    pub resin_by_kind: BTreeMap<ResinKind, Kilograms>,
    /// Gel or flow coat.
    pub gel_coat: Kilograms,
    /// Catalyst of the polyester laminating resin, g and ml; none where the kind of some resin is
    /// not known, because no product is named then.
    pub catalyst: Option<(f64, f64)>,
    /// Hardeners of everything else.
    pub hardeners: Vec<Hardener>,
}

/// Adds up the repairs of a job.
#[must_use]
pub fn totals(stock: &Stock, doses: &Doses, repairs: &[&RepairMaterials]) -> Totals {
    let mut glass_by_mat: BTreeMap<String, (SquareMetres, Kilograms)> = BTreeMap::new();
    let mut resin_by_kind: BTreeMap<ResinKind, Kilograms> = BTreeMap::new();
    let mut coat_known = Kilograms::default();
    for repair in repairs {
        for ply in &repair.plies {
            let sum = glass_by_mat.entry(ply.reinforcement.clone()).or_default();
            *sum = (sum.0 + ply.area, sum.1 + ply.glass);
        }
        let sum = resin_by_kind.entry(repair.kind).or_default();
        *sum = *sum + repair.resin();
        if repair.kind != ResinKind::NotKnown {
            coat_known = coat_known + repair.coat.1;
        }
    }
    resin_by_kind.retain(|_, mass| mass.value() > 0.0);
    let of = |kind| resin_by_kind.get(&kind).copied().unwrap_or_default();
    let mut hardeners = Vec::new();
    if coat_known.value() > 0.0 {
        let g = coat_known.in_grams().value() * doses.coat_percent / 100.0;
        hardeners.push(Hardener {
            product: "MEKP catalyst".to_owned(),
            goes_into: stock.gel_coat.name.clone(),
            g,
            ml: Some(g / doses.catalyst_g_ml),
        });
    }
    if of(ResinKind::Epoxy).value() > 0.0
        && let Ok(shelf) = Shelf::pick(stock, true)
    {
        let share = shelf.resin.hardener_percent.value() / 100.0;
        hardeners.push(Hardener {
            product: format!("hardener of {}", shelf.resin.name),
            goes_into: shelf.resin.name.clone(),
            g: of(ResinKind::Epoxy).in_grams().value() * share,
            ml: None,
        });
    }
    let catalyst_g = of(ResinKind::Polyester).in_grams().value() * doses.laminating_percent / 100.0;
    Totals {
        glass: repairs.iter().map(|repair| repair.glass()).sum(),
        glass_by_mat,
        tissue: (
            repairs.iter().map(|repair| repair.tissue.0).sum(),
            repairs.iter().map(|repair| repair.tissue.1).sum(),
        ),
        resin: repairs.iter().map(|repair| repair.resin()).sum(),
        gel_coat: repairs.iter().map(|repair| repair.coat.1).sum(),
        catalyst: (of(ResinKind::NotKnown).value() <= 0.0)
            .then(|| (catalyst_g, catalyst_g / doses.catalyst_g_ml)),
        resin_by_kind,
        hardeners,
    }
}

/// The catalyst doses of a job: the shop's, else the book's.
#[must_use]
pub fn doses(book: &Book, shop: Option<&crate::model::shop::Shop>) -> Doses {
    let given = |set: Option<crate::quantity::Percent>, rule: &str| {
        set.map_or_else(|| book.figure(rule), |dose| dose.value())
    };
    Doses {
        laminating_percent: given(shop.and_then(|shop| shop.catalyst_percent), id::CATALYST_DOSE),
        coat_percent: given(shop.and_then(|shop| shop.gel_catalyst_percent), id::CATALYST_DOSE_GEL),
        catalyst_g_ml: book.figure(id::CATALYST_VOLUME),
    }
}

/// Materials of every repair of a job in three cases, in the order of the repairs.
pub type JobMaterials = Vec<Cases<RepairMaterials>>;

/// The totals of a job in one case.
#[must_use]
pub fn job_totals(stock: &Stock, doses: &Doses, job: &JobMaterials, case: Case) -> Totals {
    let repairs: Vec<&RepairMaterials> = job.iter().map(|repair| repair.get(case)).collect();
    totals(stock, doses, &repairs)
}
