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

impl Scene<'_> {
    fn repaired(&self) -> impl Iterator<Item = (&Repair<'_>, &Finding<'_>)> {
        self.plan.repairs.iter().flat_map(move |repair| {
            repair
                .findings
                .iter()
                .filter_map(move |number| Some((repair, self.findings.get(*number)?)))
        })
    }
}
