use super::*;
use crate::model::shop::Weekday;

fn always() -> Calendar {
    Calendar { from_min: 0, to_min: 1440, days: Weekday::ALL.to_vec(), starts: None }
}

fn week() -> Calendar {
    Calendar { from_min: 480, to_min: 1020, days: Weekday::ALL[..5].to_vec(), starts: None }
}

fn task(person_min: f64, after: &[(usize, f64)]) -> Task {
    Task {
        person_min,
        people_most: 1,
        crew: false,
        in_one_go: None,
        after: after.to_vec(),
        clears_min: 0.0,
        within: None,
    }
}

struct Dice(u64);

impl Dice {
    fn below(&mut self, count: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % count
    }
}

/// Cases thrown from a seed: chains and joins, waits, pours, rooms to clear.
fn thrown(seed: u64, count: usize) -> Vec<Task> {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    (0..count)
        .map(|number| {
            let mut after: Vec<(usize, f64)> = Vec::new();
            for before in 0..number {
                if dice.below(3) == 0 {
                    after.push((before, [0.0, 30.0, 600.0][dice.below(3) as usize]));
                }
            }
            Task {
                person_min: (10 + dice.below(200)) as f64,
                people_most: 1 + dice.below(2) as u32,
                crew: dice.below(4) == 0,
                in_one_go: (dice.below(3) == 0).then_some(20.0),
                after,
                clears_min: if dice.below(4) == 0 { 300.0 } else { 0.0 },
                within: None,
            }
        })
        .collect()
}

/// What holds of every plan, looked at minute by minute.
fn holds(tasks: &[Task], plan: &[Placed], calendar: &Calendar, people: u32) {
    let end = plan.iter().map(|one| one.end).max().unwrap();
    for (task, one) in tasks.iter().zip(plan) {
        for (before, wait) in &task.after {
            assert!(one.start as f64 >= plan[*before].end as f64 + wait, "a wait was cut short");
        }
        let open = |clock: i64| {
            let day = clock.div_euclid(1440);
            let minute = clock.rem_euclid(1440);
            calendar.days.contains(&calendar.weekday(day))
                && (calendar.from_min..calendar.to_min).contains(&minute)
        };
        let work = (one.start..one.end).filter(|clock| open(*clock)).count() as f64;
        let share = if task.crew { 1.0 } else { f64::from(one.people) };
        assert!(work * share >= task.person_min - 1e-9, "less time than it takes");
        assert!(open(one.start) && open(one.end - 1));
        if let Some(rest) = task.in_one_go {
            assert_eq!(one.start.div_euclid(1440), (one.end - 1).div_euclid(1440), "over night");
            let left = calendar.to_min - one.end.rem_euclid(1440);
            assert!(left as f64 >= rest || one.end.rem_euclid(1440) == 0, "no time left to gel");
        }
    }
    for clock in 0..end {
        let at: Vec<usize> =
            (0..plan.len()).filter(|n| (plan[*n].start..plan[*n].end).contains(&clock)).collect();
        let minute = clock.rem_euclid(1440);
        let open = calendar.days.contains(&calendar.weekday(clock.div_euclid(1440)))
            && (calendar.from_min..calendar.to_min).contains(&minute);
        if !open {
            continue;
        }
        let busy: u32 = at.iter().map(|n| plan[*n].people).sum();
        assert!(busy <= people, "{busy} people of {people} at {clock}");
        let filled = (0..plan.len()).any(|n| {
            let from = plan[n].end;
            (from..from + tasks[n].clears_min as i64).contains(&clock)
        });
        assert!(!filled || at.is_empty(), "somebody in a room that has not cleared");
    }
}

fn length(plan: &[Placed]) -> i64 {
    plan.iter().map(|one| one.end).max().unwrap()
}

#[test]
fn no_plan_overlaps_cuts_a_wait_or_leaves_the_opening_hours() {
    for seed in 0..60 {
        let tasks = thrown(seed, 9);
        for people in [1, 2] {
            let plan = schedule(&tasks, &week(), people).unwrap();
            holds(&tasks, &plan, &week(), people);
        }
    }
}

#[test]
fn never_longer_than_one_after_the_other_nor_with_one_person_more() {
    for seed in 100..400 {
        let tasks = thrown(seed, 8);
        let alone = length(&schedule(&tasks, &week(), 1).unwrap());
        let as_named: Vec<f64> = (0..tasks.len()).map(|n| -(n as f64)).collect();
        let serial = length(&place(&tasks, &week(), 1, &as_named, true).unwrap());
        assert!(alone <= serial, "seed {seed}: {alone} against {serial}");
        let two = length(&schedule(&tasks, &week(), 2).unwrap());
        assert!(two <= alone, "seed {seed}: {two} against {alone}");
    }
}

#[test]
fn a_second_person_shortens_hands_on_time_and_no_wait() {
    let mut tasks = vec![task(240.0, &[]), task(60.0, &[(0, 1000.0)])];
    tasks[0].people_most = 2;
    let (one, two) =
        (schedule(&tasks, &always(), 1).unwrap(), schedule(&tasks, &always(), 2).unwrap());
    assert_eq!(one[0].end - one[0].start, 240);
    assert_eq!(two[0].end - two[0].start, 120);
    assert_eq!(one[1].start - one[0].end, 1000);
    assert_eq!(two[1].start - two[0].end, 1000);
}

#[test]
fn two_jobs_wait_at_the_same_time() {
    let tasks =
        [task(60.0, &[]), task(60.0, &[]), task(60.0, &[(0, 600.0)]), task(60.0, &[(1, 600.0)])];
    // 60 + 60 of work, the waits side by side, and the last 60 after the later of them.
    assert_eq!(length(&schedule(&tasks, &always(), 1).unwrap()), 60 + 60 + 600 + 60);
}

#[test]
fn a_pour_waits_for_a_day_in_which_it_gels() {
    let mut tasks = vec![task(500.0, &[]), task(30.0, &[(0, 0.0)])];
    tasks[1].in_one_go = Some(25.0);
    let plan = schedule(&tasks, &week(), 1).unwrap();
    // 500 of 540 minutes are gone: 40 are left, 55 are wanted.
    assert_eq!(plan[1].start, 1440 + 480);
    tasks[1].in_one_go = Some(9.0);
    assert_eq!(schedule(&tasks, &week(), 1).unwrap()[1].start, 480 + 500);
    tasks[1].in_one_go = Some(600.0);
    assert!(schedule(&tasks, &week(), 1).is_none(), "no day is long enough");
}

/// Every order of tasks on one pair of hands, by a reckoning of its own: always open, no pours.
fn best_by_trying(tasks: &[Task]) -> i64 {
    fn go(tasks: &[Task], done: &mut Vec<(usize, i64)>, free_at: i64, best: &mut i64) {
        if done.len() == tasks.len() {
            *best = (*best).min(done.iter().map(|(_, end)| *end).max().unwrap_or(0));
            return;
        }
        for next in 0..tasks.len() {
            if done.iter().any(|(number, _)| *number == next) {
                continue;
            }
            let mut start = free_at;
            let mut known = true;
            for (before, wait) in &tasks[next].after {
                match done.iter().find(|(number, _)| number == before) {
                    Some((_, end)) => start = start.max(end + *wait as i64),
                    None => known = false,
                }
            }
            if !known {
                continue;
            }
            let end = start + tasks[next].person_min as i64;
            done.push((next, end));
            go(tasks, done, end, best);
            done.pop();
        }
    }
    let mut best = i64::MAX;
    go(tasks, &mut Vec::new(), 0, &mut best);
    best
}

#[test]
fn small_cases_are_as_short_as_the_shortest_of_all_orders_or_nearly() {
    let (mut shortest, mut worst, cases) = (0, 1.0_f64, 400);
    for seed in 0..cases {
        let mut tasks = thrown(7000 + seed, 6);
        for task in &mut tasks {
            task.people_most = 1;
            task.crew = false;
            task.in_one_go = None;
            task.clears_min = 0.0;
        }
        let ours = length(&schedule(&tasks, &always(), 1).unwrap());
        let best = best_by_trying(&tasks);
        assert!(ours >= best, "shorter than the shortest: one of the two is wrong");
        shortest += u64::from(ours == best);
        worst = worst.max(ours as f64 / best as f64);
    }
    // Own figures, kept as they were measured: 380 of 400 or more, and 11 % over at the worst.
    assert!(shortest >= 380 && worst < 1.11, "{shortest} of {cases}, worst {worst}");
}

#[test]
fn the_chain_that_decides_is_named() {
    let tasks =
        [task(60.0, &[]), task(10.0, &[]), task(60.0, &[(0, 600.0)]), task(10.0, &[(1, 0.0)])];
    let plan = schedule(&tasks, &always(), 2).unwrap();
    assert_eq!(critical(&plan), [0, 2]);
}
