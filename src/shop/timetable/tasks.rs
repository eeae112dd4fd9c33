//! The tasks of a job: what is done at every repair and in which sessions resin is poured.

use super::schedule::{Task, Within};
use crate::model::labour::{LabourTable, LabourWork};
use crate::model::shop::ShopWorker;
use crate::quantity::Case;
use crate::rules::{Book, id};
use crate::shop::air::STYRENE_G_MOL;
use crate::shop::course::windows::Judged;
use crate::shop::labour::{JobHours, hours_each, pace};
use crate::shop::limits::{EXPOSURE_LIMITS, strictest_for_work};
use crate::shop::plan::{AVERAGING_MIN, ShopPlan, Sitting};

/// A task with what a reader has to know of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// What is done.
    pub what: String,
    /// The repairs it is for, by number.
    pub repairs: Vec<usize>,
    /// Number of the session in which it pours resin or coat, from 1; none where it pours nothing.
    pub session: Option<usize>,
    /// The sittings laid in it, as numbers into the shop's.
    pub sittings: Vec<usize>,
    /// What comes after it without anybody's hands, in words.
    pub then: String,
    /// The task.
    pub task: Task,
}

/// Times that tasks wait for, min: the late end of each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waits {
    /// From a pour until it has gelled.
    pub gel_min: f64,
    /// From the last pour until it may be sanded.
    pub sand_min: f64,
    /// From the last resin until primer, then until gloss or a dark colour; none where that is not
    /// in sight.
    pub paint_min: Option<(f64, f64)>,
}

impl Waits {
    /// From the shop's forecast; none where gel or sanding is not in sight.
    #[must_use]
    pub fn of(shop: &ShopPlan) -> Option<Self> {
        let of = shop.forecast.as_ref()?;
        Some(Self {
            gel_min: of.gel.high.minutes()?,
            sand_min: of.sandable.high.minutes()?,
            paint_min: of.paintable.high.minutes().zip(of.gloss_or_dark.high.minutes()),
        })
    }
}

/// Everything tasks are made from.
#[derive(Debug, Clone, Copy)]
pub struct Makings<'a> {
    /// The rule book.
    pub book: &'a Book,
    /// Hours of work.
    pub labour: &'a LabourTable,
    /// The shop's answer.
    pub shop: &'a ShopPlan,
    /// Hours of the job.
    pub hours: &'a JobHours,
    /// Area of the regions that are painted, m2.
    pub paint_m2: f64,
    /// Waits.
    pub waits: Waits,
    /// Its days are those of the hours that were read; else nobody knows which days they will be.
    pub dated: bool,
}

/// The tasks of some repairs of a job, in an order in which none comes before what it waits for.
///
/// # Errors
/// In words, when the room never clears of what is poured in it.
pub fn of_repairs(of: &Makings<'_>, repairs: &[usize]) -> Result<Vec<Named>, String> {
    let worker = of.shop.place.worker;
    let pace = pace(of.book, worker).likely;
    let share = of.book.figure(id::TIME_BEFORE);
    let mut tasks: Vec<Named> = Vec::new();
    // The last task of every repair so far, with the wait after it.
    let mut last: Vec<(usize, Option<(usize, f64)>)> =
        repairs.iter().map(|repair| (*repair, None)).collect();
    let plain = |minutes: f64, after: Vec<(usize, f64)>| Task {
        person_min: minutes.max(1.0),
        people_most: 2,
        crew: false,
        in_one_go: None,
        after,
        clears_min: 0.0,
        within: None,
    };
    let sittings = |repair: usize| -> Vec<&Sitting> {
        of.shop.sittings.iter().filter(|one| one.repair == repair).collect()
    };
    for (repair, last) in &mut last {
        let hours = bench_min(of, *repair, &sittings(*repair), pace);
        let strip_min = strip_min(of, *repair, pace);
        *last = Some((tasks.len(), 0.0));
        tasks.push(Named {
            what: "strip, open and grind".to_owned(),
            repairs: vec![*repair],
            session: None,
            sittings: Vec::new(),
            then: String::new(),
            task: plain(strip_min + share * hours, Vec::new()),
        });
    }
    // Pours of one rank are laid in as few sessions as the air of the room and the day allow.
    let ranks = repairs.iter().map(|repair| sittings(*repair).len()).max().unwrap_or(0);
    let mut session = 0;
    for rank in 0..ranks {
        let pours: Vec<&Sitting> =
            repairs.iter().filter_map(|repair| sittings(*repair).get(rank).copied()).collect();
        for group in sessions(of, &pours) {
            session += 1;
            let number = tasks.len();
            let after: Vec<(usize, f64)> = group
                .iter()
                .filter_map(|pour| last.iter().find(|(repair, _)| *repair == pour.repair)?.1)
                .collect();
            let setup_min = setup_min(of.book, worker);
            let laying_min: f64 = group.iter().map(|pour| pour.laying_min).sum();
            let (clears_min, said) = clears(of, &group)?;
            tasks.push(Named {
                what: poured(&group),
                repairs: group.iter().map(|pour| pour.repair).collect(),
                session: Some(session),
                sittings: numbers(of.shop, &group),
                then: said,
                task: Task {
                    person_min: setup_min + laying_min,
                    people_most: 1,
                    crew: true,
                    in_one_go: Some(of.waits.gel_min),
                    after,
                    clears_min,
                    within: within(of, Judged::LayUp),
                },
            });
            for pour in &group {
                let is_last = sittings(pour.repair).len() == rank + 1;
                let next_min = pour.laid.as_ref().and_then(|stage| stage.next_min);
                let wait = if is_last {
                    of.waits.sand_min
                } else {
                    next_min.unwrap_or(of.waits.sand_min).max(of.waits.gel_min)
                };
                if let Some((_, last)) = last.iter_mut().find(|(repair, _)| *repair == pour.repair)
                {
                    *last = Some((number, wait));
                }
            }
        }
    }
    let mut sanded: Vec<(usize, f64)> = Vec::new();
    let mut poured_last: Vec<usize> = Vec::new();
    for (repair, last) in &last {
        let hours = bench_min(of, *repair, &sittings(*repair), pace);
        if let Some((number, _)) = last {
            poured_last.push(*number);
        }
        sanded.push((tasks.len(), 0.0));
        tasks.push(Named {
            what: "sand and fair".to_owned(),
            repairs: vec![*repair],
            session: None,
            sittings: Vec::new(),
            then: String::new(),
            task: plain((1.0 - share) * hours, last.iter().copied().collect()),
        });
    }
    if let Some((primer_min, gloss_min)) = of.waits.paint_min.filter(|_| of.paint_m2 > 0.0) {
        let hours = |work| hours_each(of.labour, work, Case::Likely) * of.paint_m2 * 60.0 * pace;
        let floor = |wait: f64| poured_last.iter().map(move |number| (*number, wait));
        let primed = tasks.len();
        let after: Vec<_> = sanded.iter().copied().chain(floor(primer_min)).collect();
        tasks.push(Named {
            what: "prime and flat".to_owned(),
            repairs: repairs.to_vec(),
            session: None,
            sittings: Vec::new(),
            then: "primer dries as its data sheet says".to_owned(),
            task: Task {
                within: within(of, Judged::Paint),
                ..plain(hours(LabourWork::Prime), after)
            },
        });
        let dry_min = of.book.figure(id::PRIMER_DRY) * 60.0;
        let after: Vec<_> = std::iter::once((primed, dry_min)).chain(floor(gloss_min)).collect();
        tasks.push(Named {
            what: "paint and polish".to_owned(),
            repairs: repairs.to_vec(),
            session: None,
            sittings: Vec::new(),
            then: String::new(),
            task: Task {
                within: within(of, Judged::Paint),
                ..plain(hours(LabourWork::Finish), after)
            },
        });
    }
    Ok(tasks)
}

/// Setting up a session, min of the crew.
pub(super) fn setup_min(book: &Book, worker: ShopWorker) -> f64 {
    book.figure(id::LABOUR_SETUP) * 60.0 * pace(book, worker).likely
}

/// Sittings as numbers into the shop's.
fn numbers(shop: &ShopPlan, group: &[&Sitting]) -> Vec<usize> {
    let is = |one: &Sitting| group.iter().any(|other| std::ptr::eq(*other, one));
    shop.sittings.iter().enumerate().filter(|(_, one)| is(one)).map(|(number, _)| number).collect()
}

/// Hours that air and panel allow for a step; none where nobody read them hour by hour.
fn within(of: &Makings<'_>, step: Judged) -> Option<Within> {
    let hours =
        of.shop.hours.as_ref().filter(|_| of.dated)?.iter().find(|hours| hours.step == step)?;
    Some(Within { stretches: hours.spans().into(), rest_min: hours.rest_min })
}

/// Time at the bench of a repair, min: its hours without stripping and without laying.
fn bench_min(of: &Makings<'_>, repair: usize, sittings: &[&Sitting], pace: f64) -> f64 {
    let hours = of.hours.repairs.get(repair);
    let marks_h: f64 =
        hours.map_or(0.0, |hours| hours.marks.iter().map(|mark| mark.hours.likely).sum());
    let laying_min: f64 = sittings.iter().map(|one| one.laying_min).sum();
    (marks_h * 60.0 * pace - laying_min).max(0.0)
}

fn strip_min(of: &Makings<'_>, repair: usize, pace: f64) -> f64 {
    of.hours.repairs.get(repair).map_or(0.0, |hours| hours.strip.likely) * 60.0 * pace
}

/// Pours in sessions: together as long as that makes the air no worse than the worst single sitting,
/// which masks, fresh air and cautions are worked out for, and half a day of laying at most.
fn sessions<'s>(of: &Makings<'_>, pours: &[&'s Sitting]) -> Vec<Vec<&'s Sitting>> {
    let alone: Vec<_> = of.shop.sittings.iter().map(|one| burden(of, &[one])).collect();
    let worst = |which: fn(&Burden) -> f64| alone.iter().map(which).fold(0.0, f64::max);
    let (peak, rate) = (worst(|one| one.peak), worst(|one| one.rate_g_min));
    let held_ppm = of.shop.air.as_ref().map_or(f64::INFINITY, |air| air.held_ppm);
    let most_peak = if of.shop.place.room.is_some() { peak.min(held_ppm) } else { peak };
    let mut groups: Vec<Vec<&Sitting>> = Vec::new();
    for pour in pours {
        let fits = |group: &Vec<&Sitting>| {
            let all: Vec<&Sitting> = group.iter().copied().chain([*pour]).collect();
            let laying_min: f64 = all.iter().map(|one| one.laying_min).sum();
            let together = burden(of, &all);
            together.peak <= most_peak + 1e-9
                && together.rate_g_min <= rate + 1e-9
                && laying_min <= of.book.figure(id::SESSION_LONGEST) * 60.0
        };
        match groups.iter_mut().find(|group| fits(group)) {
            Some(group) => group.push(pour),
            None => groups.push(vec![pour]),
        }
    }
    groups
}

/// What pours laid one after the other do to the air.
struct Burden {
    /// Level in the room, ppm; outdoors, where no room holds it, g given off.
    peak: f64,
    /// Given off, g/min, over the averaging time of short limits at least.
    rate_g_min: f64,
}

fn burden(of: &Makings<'_>, pours: &[&Sitting]) -> Burden {
    let grams: f64 = pours.iter().map(|one| one.styrene_g[2]).sum();
    let laying_min: f64 = pours.iter().map(|one| one.laying_min).sum();
    let peak = match &of.shop.place.room {
        Some(room) => room.peak_ppm(grams, STYRENE_G_MOL, laying_min, 0.0).unwrap_or(f64::INFINITY),
        None => grams,
    };
    Burden { peak, rate_g_min: grams / laying_min.max(AVERAGING_MIN) }
}

/// How long nobody works in the room after a session, min, and why.
fn clears(of: &Makings<'_>, group: &[&Sitting]) -> Result<(f64, String), String> {
    let grams: f64 = group.iter().map(|one| one.styrene_g[2]).sum();
    let Some(room) = of.shop.place.room.filter(|_| grams > 0.0) else {
        return Ok((0.0, "gels, cures and cools".to_owned()));
    };
    let laying_min: f64 = group.iter().map(|one| one.laying_min).sum();
    let peak_ppm =
        room.peak_ppm(grams, STYRENE_G_MOL, laying_min, 0.0).map_err(|why| why.to_string())?;
    let Some(limit) = strictest_for_work(EXPOSURE_LIMITS, "styrene", None) else {
        return Ok((0.0, "gels, cures and cools".to_owned()));
    };
    let purge_min = room.purge_min(peak_ppm, limit.ppm).map_err(|why| why.to_string())?;
    let all_min = of.waits.gel_min + purge_min;
    Ok((
        all_min,
        format!(
            "nobody works in the room for {:.1} h: up to {:.1} h to the gel, then {:.1} h until it is down from {peak_ppm:.0} to {} ppm",
            all_min / 60.0,
            of.waits.gel_min / 60.0,
            purge_min / 60.0,
            limit.ppm
        ),
    ))
}

fn poured(group: &[&Sitting]) -> String {
    let mut kinds: Vec<&str> = group.iter().map(|one| one.what).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds.join(" and ")
}

/// Opening hours of whoever works where the shop names none: a trade by day from Monday to Friday,
/// an owner at the weekend.
#[must_use]
pub fn usual_days(worker: ShopWorker) -> Vec<crate::model::shop::Weekday> {
    use crate::model::shop::Weekday;
    match worker {
        ShopWorker::Trade => Weekday::ALL.iter().take(5).copied().collect(),
        ShopWorker::Owner => Weekday::ALL.iter().skip(5).copied().collect(),
    }
}
