//! The stages of every repair: plies of its high case, on what it is laid on, in this shop.

use super::cure::{Kinetics, Resin as CureResin};
use super::families::{EPOXY_HEAT_J_KG, Epoxy, POLYESTER_HEAT_J_KG, Rates};
use super::laid_on::LaidOn;
use super::plan::{Place, clock};
use super::stages::{Behind, Conditions, Ply, Stage, StageRules, choose};
use crate::materials::{Doses, PlyMass, RepairMaterials, ResinKind};
use crate::model::stock::{ResinFamily, Stock};
use crate::rules::{Book, id};
use crate::wording::Fault;

/// What is chosen once for a list of plies serves every repair with the same list and resin.
type Known = (ResinKind, Vec<Ply>, Option<Ply>, Behind, bool, Vec<Stage>);

/// Chooses stages, with the shop's temperatures where there are any.
#[derive(Debug)]
pub(super) struct Staging<'b> {
    book: &'b Book,
    polyester: Option<Conditions<Rates>>,
    epoxy: Option<Conditions<Rates>>,
    known: Vec<Known>,
}

impl<'b> Staging<'b> {
    /// For a shop and the resins of a stock.
    pub(super) fn of(book: &'b Book, stock: &Stock, place: &Place, doses: &Doses) -> Self {
        let range = book.figure(id::LAYUP_COLD_STOP)..=book.figure(id::LAYUP_HOT_STOP);
        let temperatures = place.pour.zip(place.hottest_c()).and_then(|(pour, hottest_c)| {
            let coldest_c = pour.coldest().1;
            let within = range.contains(&coldest_c) && range.contains(&hottest_c);
            within.then_some((coldest_c, hottest_c))
        });
        let stand_still_below_c = book.figure(id::CLOCK_STANDS);
        let of = |family: ResinFamily| {
            let (coldest_c, hottest_c) = temperatures?;
            let resin = stock.resins.iter().find(|resin| resin.family == family)?;
            let (reaction, heat_j_kg) = if family == ResinFamily::Epoxy {
                let (min, at_c) = (resin.gel_time_min, resin.gel_time_at_c);
                let epoxy = Epoxy::of_gel_time(min, at_c, stand_still_below_c).ok()?;
                (Rates::Epoxy(epoxy), EPOXY_HEAT_J_KG)
            } else {
                let staged = CureResin {
                    clock: clock(stock)?,
                    kinetics: Kinetics::GENERAL_PURPOSE,
                    percent: doses.laminating_percent,
                    stand_still_below_c,
                };
                (Rates::Staged(staged), POLYESTER_HEAT_J_KG)
            };
            let resin_kg_m3 = resin.density_g_cm3 * 1000.0;
            Some(Conditions { reaction, heat_j_kg, resin_kg_m3, coldest_c, hottest_c })
        };
        let (polyester, epoxy) = (of(ResinFamily::Polyester), of(ResinFamily::Epoxy));
        Self { book, polyester, epoxy, known: Vec::new() }
    }

    /// Stages of a repair in the order of laying, each with the resin it pours, kg: the backing
    /// first, then the plies; tissue goes on with the last, or alone on a gel area.
    pub(super) fn of_repair(
        &mut self,
        of: &RepairMaterials,
        laid_on: Option<LaidOn>,
    ) -> Result<Vec<(f64, Option<Stage>)>, Fault> {
        let laid_on = laid_on.unwrap_or(LaidOn { behind: Behind::Former, keeps_face: true });
        // A backing is laid from the other side, in a stage of its own.
        let (front, behind): (Vec<&PlyMass>, Vec<_>) =
            of.plies.iter().partition(|ply| Some(ply.side) == of.plies.first().map(|one| one.side));
        let (tissue_m2, tissue_kg, tissue_resin_kg) = of.tissue;
        let topping = (tissue_m2.value() > 0.0).then(|| Ply {
            glass_kg_m2: tissue_kg.value() / tissue_m2.value(),
            glass_content: tissue_kg.value() / (tissue_kg.value() + tissue_resin_kg.value()),
        });
        let mut pours = Vec::new();
        // The backing has a former over the hole and the outer face round it.
        for (plies, topping, on, keeps_face) in [
            (&behind, None, Behind::Former, true),
            (&front, topping, laid_on.behind, laid_on.keeps_face),
        ] {
            for stage in self.chosen(plies, topping, on, keeps_face, of.kind)? {
                let laid = plies.get(stage.plies.clone()).unwrap_or_default();
                pours.push((laid.iter().map(|ply| ply.resin.value()).sum::<f64>(), Some(stage)));
            }
        }
        match pours.last_mut() {
            Some((last, _)) => *last += tissue_resin_kg.value(),
            None if tissue_resin_kg.value() > 0.0 => pours.push((tissue_resin_kg.value(), None)),
            None => {}
        }
        Ok(pours)
    }

    fn chosen(
        &mut self,
        laid: &[&PlyMass],
        topping: Option<Ply>,
        behind: Behind,
        keeps_face: bool,
        kind: ResinKind,
    ) -> Result<Vec<Stage>, Fault> {
        let plies: Vec<Ply> = laid
            .iter()
            .map(|ply| Ply {
                glass_kg_m2: ply.weight.value(),
                glass_content: ply.glass.value() / (ply.glass.value() + ply.resin.value()),
            })
            .collect();
        let asked = (kind, &plies, &topping, &behind, keeps_face);
        let same = |known: &&Known| (known.0, &known.1, &known.2, &known.3, known.4) == asked;
        if let Some(known) = self.known.iter().find(same) {
            return Ok(known.5.clone());
        }
        let conditions = match kind {
            ResinKind::Polyester => self.polyester.as_ref(),
            ResinKind::Epoxy => self.epoxy.as_ref(),
            ResinKind::NotKnown => None,
        };
        let stages =
            choose(&plies, topping, behind, conditions, &stage_rules(self.book, keeps_face))?;
        self.known.push((kind, plies, topping, behind, keeps_face, stages.clone()));
        Ok(stages)
    }
}

/// The book's rules of a stage.
#[must_use]
pub fn stage_rules(book: &Book, keeps_face: bool) -> StageRules {
    let general = book.figure(id::STAGE_PEAK);
    StageRules {
        cap_kg_m2: book.figure(id::STAGE_CAP),
        blind_cap_kg_m2: book.figure(id::STAGE_CAP_BLIND),
        peak_most_c: if keeps_face {
            general.min(book.figure(id::STAGE_PEAK_FACE))
        } else {
            general
        },
        gel_band: book.figure(id::GEL_BAND) / 100.0,
    }
}
