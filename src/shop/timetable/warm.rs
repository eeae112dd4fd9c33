//! The timetable of a shop as it is, and of the same shop kept warmer.

use super::{Scene, Timetable, Timing};
use crate::materials::JobMaterials;
use crate::shop::plan::{ShopPlan, plan};

/// The timetable of a job; warmer is the same shop with air, panels and resin at one temperature, day
/// and night.
///
/// # Errors
/// In words, as the shop's own plan.
pub fn of_shop(
    scene: &Scene<'_, '_>,
    shop: &ShopPlan,
    materials: &JobMaterials,
    timing: &[Timing],
) -> Result<Timetable, String> {
    let (job, doses) = (scene.job, shop.doses);
    let at = |warm_c: f64| {
        let laid_on = crate::shop::laid_on::of_repairs(scene.plan, scene.findings);
        plan(&job.book, &job.stock, shop.place.warmed(warm_c), doses, materials, &laid_on)
    };
    super::of_job(scene, shop, timing, &at)
}
