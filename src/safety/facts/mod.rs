//! Works out the facts of a job from the rooms before this one. Where not knowing is a danger, the
//! fact says so: a battery nobody has spoken of is there.

mod air;
mod climate;
mod vehicle;
mod work;

use super::Scene;
use super::value::Facts;

/// Every fact of a job.
#[must_use]
pub fn of(scene: &Scene<'_>) -> Facts {
    let mut facts = Facts::default();
    work::add(scene, &mut facts);
    work::add_tests(scene, &mut facts);
    air::add(scene, &mut facts);
    climate::add(scene, &mut facts);
    vehicle::add(scene, &mut facts);
    facts
}
