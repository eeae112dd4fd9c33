//! Stages of every repair, each laid in one sitting, with its mixes and the styrene it gives off.

use super::emission::{brushed_gel_coat, hand_laid_resin};
use super::gel_time::GelClock;
use super::mixing::{MixJob, MixLimits, split, stages};
use super::plan::{Place, Sitting, clock};
use crate::materials::{Doses, JobMaterials, ResinKind};
use crate::model::shop::ShopWorker;
use crate::model::stock::{ResinFamily, Stock};
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::wording::Fault;

/// What a coat is called in a sitting.
pub(super) const GEL_COAT: &str = "gel coat";

/// Sittings of the high case.
pub(super) fn sittings(
    book: &Book,
    stock: &Stock,
    place: &Place,
    doses: &Doses,
    materials: &JobMaterials,
) -> Result<Vec<Sitting>, Fault> {
    let owner = place.worker == ShopWorker::Owner;
    let most = if owner { id::MIX_MOST_OWNER } else { id::MIX_MOST };
    let limits = MixLimits {
        largest_g: book.figure(most),
        smallest_g: book.figure(id::MIX_LEAST),
        use_by_share: book.figure(id::USE_BY),
        gel_band: book.figure(id::GEL_BAND) / 100.0,
        wetting_out_kg_min_person: book.figure(id::WET_OUT),
    };
    let clock = clock(stock).unwrap_or(GelClock::GENERAL_PURPOSE);
    let pace_kg_min = limits.wetting_out_kg_min_person * f64::from(place.people);
    let resin_styrene = stock
        .resins
        .iter()
        .find(|resin| resin.family == ResinFamily::Polyester)
        .map_or(0.0, |resin| resin.styrene_percent.value() / 100.0);
    let resin_rate = hand_laid_resin(resin_styrene)?;
    let coat_rate = brushed_gel_coat(stock.gel_coat.styrene_percent.value() / 100.0)?.rate();
    let mut found = Vec::new();
    for (repair, cases) in materials.iter().enumerate() {
        let of = cases.get(Case::High);
        // Resin of unknown kind is taken for the one that gives off styrene.
        let gives_styrene = of.kind != ResinKind::Epoxy;
        // A backing is laid from the other side, in a stage of its own.
        let (front, behind): (Vec<_>, Vec<_>) =
            of.plies.iter().partition(|ply| Some(ply.side) == of.plies.first().map(|one| one.side));
        let weights: Vec<f64> = front.iter().map(|ply| ply.weight.value()).collect();
        let ranges = stages(&weights, book.figure(id::STAGE_CAP).max(heaviest(&weights)))?;
        let backing_kg: f64 = behind.iter().map(|ply| ply.resin.value()).sum();
        let count = ranges.len();
        let mut pours: Vec<f64> = (backing_kg > 0.0).then_some(backing_kg).into_iter().collect();
        pours.extend(ranges.into_iter().map(|range| {
            front.get(range).unwrap_or_default().iter().map(|ply| ply.resin.value()).sum::<f64>()
        }));
        // Tissue goes on with the last stage, or is a stage of its own on a gel area.
        match pours.last_mut() {
            Some(last) => *last += of.tissue.2.value(),
            None if of.tissue.2.value() > 0.0 => pours.push(of.tissue.2.value()),
            None => {}
        }
        for (number, poured_kg) in pours.iter().copied().enumerate() {
            if poured_kg <= 0.0 {
                continue;
            }
            let mixes = match &place.pour {
                Some(pour) if of.kind == ResinKind::Polyester => {
                    split(
                        &MixJob {
                            resin_g: poured_kg * 1000.0,
                            percent: doses.laminating_percent,
                            pot_c: pour.hottest().1,
                            people: place.people,
                        },
                        &clock,
                        &limits,
                    )?
                    .mixes
                }
                _ => Vec::new(),
            };
            found.push(Sitting {
                repair,
                stage: number + 1,
                what: if count == 0 { "tissue" } else { "lay-up" },
                poured_kg,
                mixes,
                styrene_g: if gives_styrene { resin_rate.styrene_g(poured_kg)? } else { [0.0; 3] },
                laying_min: poured_kg / pace_kg_min,
            });
        }
        let coat_kg = of.coat.1.value();
        if coat_kg > 0.0 {
            found.push(Sitting {
                repair,
                stage: pours.len() + 1,
                what: GEL_COAT,
                poured_kg: coat_kg,
                mixes: Vec::new(),
                styrene_g: coat_rate.styrene_g(coat_kg)?,
                laying_min: coat_kg / pace_kg_min,
            });
        }
    }
    Ok(found)
}

fn heaviest(weights: &[f64]) -> f64 {
    weights.iter().copied().fold(0.0, f64::max)
}
