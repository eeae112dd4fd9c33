//! What can hurt, what blocks, who must look?
//!
//! Takes the figures of every room before it; gives the blocked steps and the cautions, each with
//! the figure that raised it. All defer to local law, the product's data sheet and licensed
//! practice.
//!
//! Inside, in order: [`facts`] (values worked out), [`table`] (the cautions as data) with its
//! [`condition`]s over those values, [`mod@blocks`], [`raise()`]; beside them [`mod@answers`] and
//! [`mod@mounts`].

pub mod answers;
pub mod blocks;
pub mod condition;
pub mod fact;
pub mod facts;
pub mod mounts;
pub mod raise;
pub mod table;
pub mod value;

pub use answers::{Answer, answers};
pub use blocks::{Blocked, blocks};
pub use mounts::{Mounts, mounts};
pub use raise::{Raised, raise};

use crate::damage::Finding;
use crate::materials::JobMaterials;
use crate::model::body::VehicleEnergy;
use crate::read::job::Job;
use crate::repair::{Plan, Repair};
use crate::rules::id;
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// Everything the cautions look at.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// What was read.
    pub job: &'a Job,
    /// Panels.
    pub panels: &'a [PlacedPanel<'a>],
    /// Findings.
    pub findings: &'a [Finding<'a>],
    /// Actions and repairs.
    pub plan: &'a Plan<'a>,
    /// Net materials.
    pub materials: &'a JobMaterials,
    /// The shop's answer.
    pub shop: &'a ShopPlan,
    /// What is stored in the vehicle.
    pub energy: VehicleEnergy,
}

impl<'a> Scene<'a> {
    /// The panel of a mark and those over a seam that it, or the work at it, may come on to.
    fn touched(&self, finding: &Finding<'_>) -> impl Iterator<Item = &'a PlacedPanel<'a>> {
        let own = self.panels.get(finding.placed.panel);
        let border_mm = self.job.book.figure(id::PREPARED);
        let mut numbers = own.map_or_else(Vec::new, |own| finding.panels(own, border_mm));
        let with = |repair: &&Repair<'_>| {
            let mut of = repair.findings.iter().filter_map(|number| self.findings.get(*number));
            of.any(|one| one.mark().id == finding.mark().id)
        };
        numbers.extend(self.plan.repairs.iter().filter(with).flat_map(|one| one.panels.clone()));
        let panels = self.panels;
        numbers.sort_unstable();
        numbers.dedup();
        numbers.into_iter().filter_map(move |number| panels.get(number))
    }

    /// Marks that touch a panel.
    fn marks_on<'f>(&'f self, panel: &'f str) -> impl Iterator<Item = &'f Finding<'a>> {
        let on = move |one: &PlacedPanel<'_>| one.of.name == panel;
        self.findings.iter().filter(move |finding| self.touched(finding).any(on))
    }

    fn repaired(&self) -> impl Iterator<Item = (&Repair<'_>, &Finding<'_>)> {
        self.plan.repairs.iter().flat_map(move |repair| {
            repair
                .findings
                .iter()
                .filter_map(move |number| Some((repair, self.findings.get(*number)?)))
        })
    }
}
