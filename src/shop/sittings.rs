//! Stages of every repair, each laid in one sitting, with its mixes and the styrene it gives off.

use super::emission::{brushed_gel_coat, hand_laid_resin};
use super::gel_time::GelClock;
use super::laid_on::LaidOn;
use super::mixing::{MixJob, MixLimits, split};
use super::plan::{Place, Sitting, clock};
use super::staging::Staging;
use crate::materials::{Doses, JobMaterials, ResinKind};
use crate::model::shop::ShopWorker;
use crate::model::stock::{ResinFamily, Stock};
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::wording::Fault;

/// What a coat is called in a sitting.
pub(crate) const GEL_COAT: &str = "gel coat";

/// Rules for mixes of whoever works.
pub(super) fn mix_limits(book: &Book, worker: ShopWorker) -> MixLimits {
    let most = if worker == ShopWorker::Owner { id::MIX_MOST_OWNER } else { id::MIX_MOST };
    MixLimits {
        largest_g: book.figure(most),
        smallest_g: book.figure(id::MIX_LEAST),
        use_by_share: book.figure(id::USE_BY),
        gel_band: book.figure(id::GEL_BAND) / 100.0,
        wetting_out_kg_min_person: book.figure(id::WET_OUT),
    }
}

/// Sittings of the high case.
pub(super) fn sittings(
    book: &Book,
    stock: &Stock,
    place: &Place,
    doses: &Doses,
    materials: &JobMaterials,
    laid_on: &[LaidOn],
) -> Result<Vec<Sitting>, Fault> {
    let limits = mix_limits(book, place.worker);
    let clock = clock(stock).unwrap_or(GelClock::GENERAL_PURPOSE);
    let pace_kg_min = limits.wetting_out_kg_min_person * f64::from(place.people);
    let resin_styrene = stock
        .resins
        .iter()
        .find(|resin| resin.family == ResinFamily::Polyester)
        .map_or(0.0, |resin| resin.styrene_percent.value() / 100.0);
    let resin_rate = hand_laid_resin(resin_styrene)?;
    let coat_rate = brushed_gel_coat(stock.gel_coat.styrene_percent.value() / 100.0)?.rate();
    let mut staging = Staging::of(book, stock, place, doses);
    let mut found = Vec::new();
    for (repair, cases) in materials.iter().enumerate() {
        let of = cases.get(Case::High);
        // Resin of unknown kind is taken for the one that gives off styrene.
        let gives_styrene = of.kind != ResinKind::Epoxy;
        let laid = staging.of_repair(of, laid_on.get(repair).copied())?;
        let bare = laid.iter().all(|(_, stage)| stage.is_none());
        for (number, (poured_kg, stage)) in laid.iter().enumerate() {
            let poured_kg = *poured_kg;
            if poured_kg <= 0.0 {
                continue;
            }
            let mixes = match place.hottest_c() {
                Some(hottest_c) if of.kind == ResinKind::Polyester => {
                    split(
                        &MixJob {
                            resin_g: poured_kg * 1000.0,
                            percent: doses.laminating_percent,
                            pot_c: hottest_c,
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
                what: if bare { "tissue" } else { "lay-up" },
                kind: of.kind,
                laid: stage.clone(),
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
                stage: laid.len() + 1,
                what: GEL_COAT,
                kind: of.kind,
                laid: None,
                poured_kg: coat_kg,
                mixes: Vec::new(),
                styrene_g: coat_rate.styrene_g(coat_kg)?,
                laying_min: coat_kg / pace_kg_min,
            });
        }
    }
    Ok(found)
}
