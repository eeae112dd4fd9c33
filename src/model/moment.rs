//! A moment as a user writes it: the day and the time of a wall clock, no time zone.

use std::fmt;

use super::shop::Weekday;

/// Minutes of a day.
const DAY_MIN: i64 = 24 * 60;

/// A day and a time, to the minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    minutes: i64,
}

impl Moment {
    /// Reads `2024-11-04 09:30` (ISO 8601 with a space or a T); the time may be left out and is
    /// midnight then. None for anything else, and for days that no calendar has.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let (day, time) = match text.split_once([' ', 'T']) {
            Some((day, time)) => (day, Some(time)),
            None => (text, None),
        };
        let [year, month, day] = numbers(day, '-', [4, 2, 2])?;
        let [hour, minute] = time.map_or(Some([0, 0]), |time| numbers(time, ':', [2, 2]))?;
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let longest = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        let known = (1..=longest).contains(&day) && hour < 24 && minute < 60;
        known.then(|| Self { minutes: days(year, month, day) * DAY_MIN + hour * 60 + minute })
    }

    /// Reads a day such as `2024-11-04` and nothing else.
    #[must_use]
    pub fn day(text: &str) -> Option<Self> {
        (text.len() == 10).then(|| Self::parse(text)).flatten()
    }

    /// Days from another moment to this one; less than nothing where it comes first.
    #[must_use]
    pub fn days_after(self, other: Self) -> f64 {
        self.hours_after(other) / 24.0
    }

    /// Minutes from another moment to this one; less than nothing where it comes first.
    #[must_use]
    pub const fn minutes_after(self, other: Self) -> i64 {
        self.minutes - other.minutes
    }

    /// So many minutes later.
    #[must_use]
    pub const fn plus_minutes(self, minutes: i64) -> Self {
        Self { minutes: self.minutes + minutes }
    }

    /// The midnight at which its day begins.
    #[must_use]
    pub const fn midnight(self) -> Self {
        Self { minutes: self.minutes.div_euclid(DAY_MIN) * DAY_MIN }
    }

    /// The day of the week: 1 January 1970 was a Thursday.
    #[must_use]
    pub fn weekday(self) -> Weekday {
        let since_monday = (self.minutes.div_euclid(DAY_MIN) + 3).rem_euclid(7);
        let number = usize::try_from(since_monday).unwrap_or(0);
        Weekday::ALL.get(number).copied().unwrap_or(Weekday::Mon)
    }

    /// Hours from another moment to this one; less than nothing where it comes first.
    #[must_use]
    pub fn hours_after(self, other: Self) -> f64 {
        (self.minutes - other.minutes) as f64 / 60.0
    }
}

/// Minutes after midnight of a time such as `08:30`; `24:00` is the end of the day.
#[must_use]
pub fn minutes_of_day(text: &str) -> Option<i64> {
    let [hour, minute] = numbers(text.trim(), ':', [2, 2])?;
    let minutes = hour * 60 + minute;
    (minute < 60 && minutes <= DAY_MIN).then_some(minutes)
}

/// Numbers of so many digits each, apart by a sign.
fn numbers<const N: usize>(text: &str, sign: char, digits: [usize; N]) -> Option<[i64; N]> {
    let mut parts = text.split(sign);
    let mut found = [0; N];
    for (slot, digits) in found.iter_mut().zip(digits) {
        let part = parts.next()?;
        if part.len() != digits || !part.bytes().all(|one| one.is_ascii_digit()) {
            return None;
        }
        *slot = part.parse().ok()?;
    }
    parts.next().is_none().then_some(found)
}

/// Days from the start of 1970 in the calendar of today (E. G. Richards, in Explanatory Supplement
/// to the Astronomical Almanac, 3rd ed. 2013, chapter 15; published).
fn days(year: i64, month: i64, day: i64) -> i64 {
    let early = (14 - month) / 12;
    let (y, m) = (year + 4800 - early, month + 12 * early - 3);
    day + (153 * m + 2) / 5 + 365 * y + y / 4 - y / 100 + y / 400 - 32045 - 2_440_588
}

impl fmt::Display for Moment {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (day, minute) = (self.minutes.div_euclid(DAY_MIN), self.minutes.rem_euclid(DAY_MIN));
        // The same source, backwards.
        let f =
            day + 2_440_588 + 1401 + (((4 * (day + 2_440_588) + 274_277) / 146_097) * 3) / 4 - 38;
        let e = 4 * f + 3;
        let h = 5 * ((e % 1461) / 4) + 2;
        let (day, month) = ((h % 153) / 5 + 1, (h / 153 + 2) % 12 + 1);
        let year = e / 1461 - 4716 + (14 - month) / 12;
        write!(out, "{year:04}-{month:02}-{day:02} {:02}:{:02}", minute / 60, minute % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_read_and_written_back() {
        for text in ["2024-11-04 09:30", "2024-02-29 00:00", "1999-12-31 23:59", "2000-02-29 12:00"]
        {
            assert_eq!(Moment::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(Moment::parse("2024-11-04T09:30"), Moment::parse("2024-11-04 09:30"));
        assert_eq!(Moment::parse("2024-11-04"), Moment::parse("2024-11-04 00:00"));
    }

    #[test]
    fn a_day_has_no_time_and_no_blanks() {
        assert_eq!(Moment::day("2024-11-04"), Moment::parse("2024-11-04"));
        for text in ["2024-11-04 09:30", " 2024-11-04", "2024-1-04", "2024-02-30", "04.11.2024"] {
            assert_eq!(Moment::day(text), None, "{text}");
        }
        let days =
            Moment::day("2025-12-12").unwrap().days_after(Moment::day("2024-10-12").unwrap());
        assert!((days - 426.0).abs() < 1e-12, "{days}");
    }

    #[test]
    fn days_that_no_calendar_has_are_refused() {
        for text in [
            "2023-02-29",
            "1900-02-29",
            "2024-13-01",
            "2024-00-01",
            "2024-04-31",
            "2024-11-04 24:00",
            "2024-11-04 12:60",
            "4.11.2024",
            "2024-11-4",
            "2024-11-04 9:30",
            "2024-11-04 09:30:00",
            "",
            "soon",
        ] {
            assert_eq!(Moment::parse(text), None, "{text}");
        }
    }

    /// Weekdays of history: the Moon was reached on a Sunday (20 July 1969), 1 January 2000 was a
    /// Saturday (ISO 8601:2004, 2.2.8: 2000-01-01 is a Saturday).
    #[test]
    fn weekdays_are_those_of_history() {
        let of = |text| Moment::parse(text).unwrap();
        assert_eq!(of("1969-07-20 20:17").weekday(), Weekday::Sun);
        assert_eq!(of("2000-01-01").weekday(), Weekday::Sat);
        assert_eq!(of("2024-11-04 23:59").weekday(), Weekday::Mon);
        assert_eq!(of("2024-11-04 23:59").midnight(), of("2024-11-04"));
        assert_eq!(of("2024-11-04 23:59").plus_minutes(1), of("2024-11-05"));
    }

    #[test]
    fn hours_count_over_months_and_leap_days() {
        let of = |text| Moment::parse(text).unwrap();
        assert!((of("2024-03-01").hours_after(of("2024-02-28")) - 48.0).abs() < 1e-12);
        assert!((of("2023-03-01").hours_after(of("2023-02-28")) - 24.0).abs() < 1e-12);
        // 19 675 days from 1970-01-01 to 2023-11-14, as Unix time 1 700 000 000 s falls on that day.
        assert!((of("2023-11-14").hours_after(of("1970-01-01")) - 19_675.0 * 24.0).abs() < 1e-9);
    }
}
