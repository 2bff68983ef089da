//! Times in the language of whoever reads them.

use jiff::{Timestamp, ZonedDateTime, civil::Date, tz::TimeZone};

use super::Words;

/// Where the county keeps its clock.
const COUNTY: &str = "America/Chicago";

/// Says instants and days as seen from one moment, in one zone: the county's own, where none is given.
#[derive(Clone, Debug)]
pub struct When {
    now: ZonedDateTime,
    words: Words,
}

impl When {
    /// Says times as seen from `now_ms`, milliseconds since 1970; in English.
    pub fn at_ms(now_ms: i64) -> Self {
        let now = Timestamp::from_millisecond(now_ms).unwrap_or(Timestamp::UNIX_EPOCH);
        Self { now: ZonedDateTime::new(now, zone()), words: Words::default() }
    }

    /// The same, in the time of another zone; of the county, where nobody knows a zone of this name.
    pub fn in_zone(self, name: &str) -> Self {
        let zone = TimeZone::get(name).unwrap_or_else(|_| zone());
        Self { now: self.now.with_time_zone(zone), ..self }
    }

    /// As seen from now, by this machine's clock; in English.
    pub fn now() -> Self {
        Self { now: ZonedDateTime::new(Timestamp::now(), zone()), words: Words::default() }
    }

    /// The same, said in these words.
    pub fn told_in(self, words: Words) -> Self {
        Self { words, ..self }
    }

    /// Today.
    pub fn today(&self) -> Date {
        self.now.date()
    }

    /// Now, as records hold instants: with zone, to the second.
    pub fn instant(&self) -> String {
        self.instant_on(self.today())
    }

    /// The same time of another day, as records hold instants.
    pub fn instant_on(&self, day: Date) -> String {
        let on = self.now.with().date(day).subsec_nanosecond(0).build();
        on.unwrap_or_else(|_| self.now.clone()).to_string()
    }

    /// `20 July`; with the year when it is another one than now.
    pub fn date(&self, day: Date) -> String {
        let (number, month) = (day.day().to_string(), self.words.say(&format!("time-month-{}", day.month())));
        if day.year() == self.now.year() {
            return self.words.with("time-day", [("day", &number), ("month", &month)]);
        }
        let year = day.year().to_string();
        self.words.with("time-day-of-year", [("day", &number), ("month", &month), ("year", &year)])
    }

    /// `20 July` for milliseconds since 1970.
    pub fn day_ms(&self, ms: i64) -> String {
        self.local(ms).map_or_else(|| self.words.say("time-unsayable"), |at| self.date(at.date()))
    }

    /// `10:42 am` for milliseconds since 1970.
    pub fn clock_ms(&self, ms: i64) -> String {
        self.local(ms).map_or_else(String::new, |at| self.clock(&at))
    }

    /// `10:42 am, 20 July` for milliseconds since 1970.
    pub fn full_ms(&self, ms: i64) -> String {
        let full = |at: ZonedDateTime| {
            self.words.with("time-full", [("clock", &self.clock(&at)), ("day", &self.date(at.date()))])
        };
        self.local(ms).map_or_else(|| self.words.say("time-unsayable"), full)
    }

    /// The day of milliseconds since 1970.
    pub fn day_of_ms(&self, ms: i64) -> Option<Date> {
        self.local(ms).map(|at| at.date())
    }

    /// When this month began, milliseconds since 1970.
    pub fn month_begins_ms(&self) -> i64 {
        let first = self.today().first_of_month().to_zoned_datetime(self.now.time_zone().clone());
        first.map_or(0, |at| at.timestamp().as_millisecond())
    }

    /// The name of the zone in which times are said.
    pub fn zone(&self) -> &str {
        self.now.time_zone().iana_name().unwrap_or(COUNTY)
    }

    fn local(&self, ms: i64) -> Option<ZonedDateTime> {
        Timestamp::from_millisecond(ms).ok().map(|at| ZonedDateTime::new(at, self.now.time_zone().clone()))
    }

    fn clock(&self, at: &ZonedDateTime) -> String {
        let half = if at.hour() < 12 { "time-morning" } else { "time-afternoon" };
        self.words.with(half, [("clock", &at.strftime("%-I:%M").to_string())])
    }

    /// `20 July` for an instant with zone, or a day, as records hold them; other text stays as it is.
    pub fn day(&self, text: &str) -> String {
        match (instant_ms(text), text.parse::<Date>()) {
            (Some(ms), _) => self.day_ms(ms),
            (None, Ok(day)) => self.date(day),
            (None, Err(_)) => text.to_owned(),
        }
    }

    /// `10:42 am, 20 July` for an instant with zone as records hold it; other text stays as it is.
    pub fn full(&self, text: &str) -> String {
        instant_ms(text).map_or_else(|| text.to_owned(), |ms| self.full_ms(ms))
    }

    /// How a day lies to today: `today`, `tomorrow`, `in 3 days`, `3 days late`.
    pub fn due(&self, day: Date) -> String {
        match day.duration_since(self.today()).as_hours() / 24 {
            0 => self.words.say("time-today"),
            1 => self.words.say("time-tomorrow"),
            days if days > 0 => self.words.with("time-ahead", [("n", &days)]),
            days => self.words.with("time-late", [("n", &days.unsigned_abs())]),
        }
    }
}

/// Milliseconds since 1970 of an instant with zone (`2026-07-20T10:42:00-05:00[America/Chicago]`).
pub fn instant_ms(text: &str) -> Option<i64> {
    text.parse::<ZonedDateTime>().ok().map(|at| at.timestamp().as_millisecond())
}

/// The day, in the county, of milliseconds since 1970.
pub fn day_of_ms(ms: i64) -> Option<Date> {
    local(ms).map(|at| at.date())
}

/// When a day begins in the county, milliseconds since 1970.
pub fn day_begins_ms(day: Date) -> Option<i64> {
    day.to_zoned_datetime(zone()).ok().map(|at| at.timestamp().as_millisecond())
}

fn zone() -> TimeZone {
    TimeZone::get(COUNTY).unwrap_or(TimeZone::UTC)
}

fn local(ms: i64) -> Option<ZonedDateTime> {
    Timestamp::from_millisecond(ms).ok().map(|at| ZonedDateTime::new(at, zone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    /// 22 July 2026, 12:00 in the county.
    const NOON: i64 = 1_784_739_600_000;

    #[test]
    fn times_are_said_in_the_countys_own_time() {
        let when = When::at_ms(NOON);
        assert_eq!(when.full_ms(NOON), "12:00 pm, 22 July");
        assert_eq!(when.full("2026-07-21T03:05:00Z[UTC]"), "10:05 pm, 20 July");
        assert_eq!(when.day("2025-07-01"), "1 July 2025");
        assert_eq!(when.day("about noon"), "about noon");
        assert_eq!(when.clock_ms(NOON), "12:00 pm");
        let cuando = When::at_ms(NOON).told_in(Words(Language::Es));
        assert_eq!(cuando.full_ms(NOON), "12:00 p. m., 22 de julio");
        assert_eq!(cuando.day("2025-07-01"), "1 de julio de 2025");
        assert_eq!(cuando.due("2026-07-21".parse().unwrap()), "con 1 día de retraso");
    }

    #[test]
    fn what_is_due_is_said_from_today() {
        let when = When::at_ms(NOON);
        let said = |day: &str| when.due(day.parse().unwrap());
        assert_eq!(said("2026-07-22"), "today");
        assert_eq!(said("2026-07-23"), "tomorrow");
        assert_eq!(said("2026-08-01"), "in 10 days");
        assert_eq!(said("2026-07-21"), "1 day late");
    }

    #[test]
    fn another_zone_has_its_own_clock_and_days() {
        let when = When::at_ms(NOON).in_zone("Europe/Madrid");
        assert_eq!(when.full_ms(NOON), "7:00 pm, 22 July");
        assert_eq!(when.day_of_ms(NOON + 6 * 3_600_000), Some("2026-07-23".parse().unwrap()));
        assert!(when.instant().ends_with("[Europe/Madrid]"), "{}", when.instant());
        assert_eq!(When::at_ms(NOON).in_zone("No/Where").clock_ms(NOON), "12:00 pm", "the county's own");
    }
}
