//! When the shop is open: minutes of work laid end to end, and the clock they fall on.
//!
//! Clock minutes count from midnight before day 1, which is the first open day of a week.

use crate::model::shop::Weekday;

/// Minutes of a day.
pub const DAY_MIN: i64 = 1440;

/// Opening hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Calendar {
    /// Opens, minutes after midnight.
    pub from_min: i64,
    /// Closes, minutes after midnight; later than it opens.
    pub to_min: i64,
    /// Open days of the week, one or more.
    pub days: Vec<Weekday>,
    /// The weekday of day 0; none, it is the first open one.
    pub starts: Option<Weekday>,
}

impl Calendar {
    /// Minutes of an open day.
    #[must_use]
    pub const fn day_min(&self) -> i64 {
        self.to_min - self.from_min
    }

    /// The weekday of a day counted from 0.
    #[must_use]
    pub fn weekday(&self, day: i64) -> Weekday {
        let first = self.first();
        let number = (first + usize::try_from(day.rem_euclid(7)).unwrap_or(0)) % 7;
        Weekday::ALL.get(number).copied().unwrap_or(Weekday::Mon)
    }

    fn first(&self) -> usize {
        let is_first = |day: &Weekday| match self.starts {
            Some(starts) => *day == starts,
            None => self.days.contains(day),
        };
        Weekday::ALL.iter().position(is_first).unwrap_or(0)
    }

    /// Whether a minute of the clock lies in the opening hours.
    #[must_use]
    pub fn is_open_at(&self, clock_min: i64) -> bool {
        let minute = clock_min.rem_euclid(DAY_MIN);
        self.is_open(clock_min.div_euclid(DAY_MIN))
            && (self.from_min..self.to_min).contains(&minute)
    }

    /// Opening hours that touch a stretch of the clock, each with its start and its end.
    pub fn openings(&self, from_min: i64, to_min: i64) -> impl Iterator<Item = (i64, i64)> + '_ {
        (from_min.div_euclid(DAY_MIN)..=to_min.div_euclid(DAY_MIN))
            .filter(|day| self.is_open(*day))
            .map(|day| (day * DAY_MIN + self.from_min, day * DAY_MIN + self.to_min))
            .filter(move |(opens, closes)| *opens <= to_min && *closes >= from_min)
    }

    fn is_open(&self, day: i64) -> bool {
        self.days.contains(&self.weekday(day))
    }

    /// Open days before a day.
    fn open_before(&self, day: i64) -> i64 {
        let weeks = day.div_euclid(7);
        let per_week = (0..7).filter(|day| self.is_open(*day)).count() as i64;
        weeks * per_week + (weeks * 7..day).filter(|day| self.is_open(*day)).count() as i64
    }

    /// The first minute of work at or after a moment of the clock.
    #[must_use]
    pub fn work_at(&self, clock_min: i64) -> i64 {
        let day = clock_min.div_euclid(DAY_MIN);
        let before = self.open_before(day) * self.day_min();
        if !self.is_open(day) {
            return before;
        }
        let into = clock_min.rem_euclid(DAY_MIN) - self.from_min;
        before + into.clamp(0, self.day_min())
    }

    /// The moment of the clock at which a minute of work begins.
    #[must_use]
    pub fn clock_at(&self, work_min: i64) -> i64 {
        let per_week = (0..7).filter(|day| self.is_open(*day)).count().max(1) as i64;
        let (open_day, into) =
            (work_min.div_euclid(self.day_min()), work_min.rem_euclid(self.day_min()));
        let (weeks, left) = (open_day.div_euclid(per_week), open_day.rem_euclid(per_week));
        let in_week =
            (0..7).filter(|day| self.is_open(*day)).nth(usize::try_from(left).unwrap_or(0));
        (weeks * 7 + in_week.unwrap_or(0)) * DAY_MIN + self.from_min + into
    }

    /// Minutes of work left on the day of a minute of work, that one included.
    #[must_use]
    pub const fn left_today(&self, work_min: i64) -> i64 {
        self.day_min() - work_min.rem_euclid(self.day_min())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_and_clock_lead_to_each_other() {
        let week = Calendar {
            from_min: 8 * 60,
            to_min: 17 * 60,
            days: vec![Weekday::Mon, Weekday::Tue, Weekday::Wed, Weekday::Thu, Weekday::Fri],
            starts: None,
        };
        for work in [0, 1, 539, 540, 5 * 540 - 1, 5 * 540, 17 * 540 + 3] {
            assert_eq!(week.work_at(week.clock_at(work)), work);
        }
        // Friday evening is Monday morning.
        assert_eq!(week.work_at(4 * DAY_MIN + 20 * 60), 5 * 540);
        assert_eq!(week.clock_at(5 * 540), 7 * DAY_MIN + 480);
        assert_eq!(week.weekday(7), Weekday::Mon);
        let weekend = Calendar { days: vec![Weekday::Sat, Weekday::Sun], ..week };
        assert_eq!(weekend.weekday(0), Weekday::Sat);
        assert_eq!(weekend.clock_at(2 * 540), 7 * DAY_MIN + 480);
        assert_eq!(weekend.left_today(539), 1);
    }
}
