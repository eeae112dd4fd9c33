//! What is used up beside resin, glass and paint, and what only has to be at hand.
//!
//! Takes the measures of a job in one case; gives amounts in each ware's unit. All figures come
//! from the table, which is full of defaults to be replaced.

use std::collections::BTreeMap;

use super::order::Wanted;
use crate::model::consumables::{AtHand, Consumable, ConsumableTable, CountedBy};
use crate::model::packs::Ware;

/// How large a job is, in one case.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct JobSize {
    /// Ground, both sides, m².
    pub ground_m2: f64,
    /// Prepared, both sides, m².
    pub prepared_m2: f64,
    /// Painted, m².
    pub painted_m2: f64,
    /// Edge to mask along, m.
    pub masked_m: f64,
    /// Covered against dust and spray, m².
    pub covered_m2: f64,
    /// Mixes, gel and flow coat's included.
    pub mixes: u32,
    /// Sessions of laying.
    pub sessions: u32,
    /// People.
    pub people: u32,
    /// Hours in dust or vapour, all people added up.
    pub mask_h: f64,
}

impl JobSize {
    fn count(&self, per: CountedBy) -> f64 {
        match per {
            CountedBy::GroundM2 => self.ground_m2,
            CountedBy::PreparedM2 => self.prepared_m2,
            CountedBy::PaintedM2 => self.painted_m2,
            CountedBy::MaskedM => self.masked_m,
            CountedBy::CoveredM2 => self.covered_m2,
            CountedBy::Mix => f64::from(self.mixes),
            CountedBy::Session => f64::from(self.sessions),
            CountedBy::PersonSession => f64::from(self.people) * f64::from(self.sessions),
            CountedBy::Person => f64::from(self.people),
            CountedBy::MaskHour => self.mask_h,
        }
    }

    /// Whether anything is done at all.
    fn is_work(&self) -> bool {
        self.prepared_m2 > 0.0 || self.painted_m2 > 0.0 || self.mixes > 0 || self.mask_h > 0.0
    }
}

/// One ware that is used up.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedUp<'t> {
    /// The ware.
    pub ware: Ware,
    /// Its grade.
    pub grade: Option<u32>,
    /// How much, in the unit of the ware; whole where only whole ones are used.
    pub amount: f64,
    /// The rows it comes from, with what each contributes.
    pub parts: Vec<(&'t Consumable, f64)>,
}

impl UsedUp<'_> {
    /// The same as an order.
    #[must_use]
    pub const fn wanted(&self) -> Wanted {
        Wanted { ware: self.ware, grade: self.grade, amount: self.amount, width_mm: None }
    }
}

/// What a job of that size uses up, by ware and grade; nothing where nothing is done.
#[must_use]
pub fn used_up<'t>(table: &'t ConsumableTable, job: &JobSize) -> Vec<UsedUp<'t>> {
    if !job.is_work() {
        return Vec::new();
    }
    let mut found: BTreeMap<(Ware, Option<u32>), UsedUp<'t>> = BTreeMap::new();
    for row in &table.used {
        let part = row.amount * job.count(row.per);
        if part > 0.0 {
            let one = found.entry((row.ware, row.grade)).or_insert_with(|| UsedUp {
                ware: row.ware,
                grade: row.grade,
                amount: 0.0,
                parts: Vec::new(),
            });
            one.amount += part;
            one.parts.push((row, part));
        }
    }
    let mut found: Vec<UsedUp<'t>> = found.into_values().collect();
    for one in &mut found {
        if one.ware.unit().is_counted() {
            one.amount = (one.amount - 1e-9).ceil();
        }
    }
    found
}

/// What has to be within reach and is not bought: said whenever anything is done.
#[must_use]
pub fn at_hand<'t>(table: &'t ConsumableTable, job: &JobSize) -> &'t [AtHand] {
    if job.is_work() { &table.at_hand } else { &[] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::packs::Grade;
    use crate::read::built_in;

    fn job() -> JobSize {
        JobSize {
            ground_m2: 0.5,
            prepared_m2: 1.2,
            painted_m2: 2.0,
            masked_m: 6.0,
            covered_m2: 10.0,
            mixes: 7,
            sessions: 3,
            people: 2,
            mask_h: 20.0,
        }
    }

    fn amount(list: &[UsedUp<'_>], ware: Ware, grade: Option<u32>) -> f64 {
        list.iter().find(|one| (one.ware, one.grade) == (ware, grade)).map_or(0.0, |one| one.amount)
    }

    #[test]
    fn amounts_by_hand() {
        let table = built_in::consumables().unwrap();
        let list = used_up(&table, &job());
        let of = |ware, grade| amount(&list, ware, grade);
        for (found, expected) in [
            (of(Ware::AbrasiveDisc, Some(40)), 4.0), // 8 x 0.5
            (of(Ware::AbrasiveDisc, Some(80)), 8.0), // 6 x 1.2 = 7.2, whole discs
            (of(Ware::Cup, None), 10.0),             // one a mix and one a session
            (of(Ware::Gloves, None), 34.0),          // 4 x 2 x 3 + 0.5 x 20
            (of(Ware::CombinedFilter, None), 5.0),   // 2 spare + 20 / 8 = 4.5, whole pairs
            (of(Ware::HalfMask, None), 2.0),
            (of(Ware::MaskingTape, None), 12.0), // 2 x 6
            (of(Ware::Acetone, None), 0.75),     // 0.25 x 3
            (of(Ware::Filler, None), 0.27),      // 0.54 x 0.5
        ] {
            approx::assert_relative_eq!(found, expected, epsilon = 1e-12);
        }
    }

    #[test]
    fn every_grit_of_the_chain_from_grinding_to_finish_is_there() {
        let table = built_in::consumables().unwrap();
        let grits: Vec<u32> = used_up(&table, &job())
            .iter()
            .filter(|one| one.ware.grade() == Some(Grade::Grit))
            .filter_map(|one| one.grade)
            .collect();
        assert_eq!(grits, [40, 80, 120, 180, 240, 320, 400, 600]);
    }

    #[test]
    fn more_work_never_needs_less() {
        let table = built_in::consumables().unwrap();
        let small = used_up(&table, &job());
        let larger = JobSize { prepared_m2: 3.0, mixes: 12, sessions: 5, mask_h: 40.0, ..job() };
        let large = used_up(&table, &larger);
        for one in &small {
            assert!(amount(&large, one.ware, one.grade) >= one.amount, "{:?}", one.ware);
        }
    }

    #[test]
    fn masks_and_filters_are_there_for_everyone_who_works() {
        let table = built_in::consumables().unwrap();
        let little = JobSize { prepared_m2: 0.01, people: 3, mask_h: 0.1, ..JobSize::default() };
        let list = used_up(&table, &little);
        for ware in [Ware::HalfMask, Ware::CombinedFilter, Ware::Goggles] {
            assert!(amount(&list, ware, None) >= 3.0, "{ware:?}");
        }
        assert!(at_hand(&table, &little).iter().any(|thing| thing.what.contains("water")));
        assert!(at_hand(&table, &little).iter().any(|thing| thing.what.contains("isocyanate")));
    }

    #[test]
    fn where_nothing_is_done_nothing_is_used() {
        let table = built_in::consumables().unwrap();
        let idle = JobSize { people: 2, ..JobSize::default() };
        assert!(used_up(&table, &idle).is_empty() && at_hand(&table, &idle).is_empty());
    }

    #[test]
    fn every_row_has_packs() {
        let (table, packs) = (built_in::consumables().unwrap(), built_in::packs().unwrap());
        for row in &table.used {
            assert!(packs.of(row.ware, row.grade).is_some(), "{:?}", row.ware);
        }
    }
}
