//! Bars by week as SVG: the outline is all who asked, solid what was found of these, hatched where the week is not complete.

/// Height of the plot, its own units; the axis lies under it.
const HIGH: f64 = 100.0;
const TOP: f64 = 8.0;

/// Counts of one week as they may be drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Week {
    /// Its number.
    pub(super) week: i8,
    /// How many asked; `None` where that is not told.
    pub(super) asked: Option<u64>,
    /// Of these, found; `None` where that is not told.
    pub(super) found: Option<u64>,
    /// The year before; `None` where nothing is to be shown.
    pub(super) before: Option<u64>,
    /// Phones may still bring more.
    pub(super) late: bool,
}

/// What is drawn.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Bars {
    /// Width of the whole.
    pub(super) width: f64,
    /// Lines across, each with its number: (height, number).
    pub(super) ticks: Vec<(f64, u64)>,
    /// Bars.
    pub(super) bars: Vec<Bar>,
    /// Numbers of weeks under the axis: (where, number).
    pub(super) weeks: Vec<(f64, i8)>,
    /// Heights of the year before, as one path of steps; empty where there is none.
    pub(super) before: String,
}

/// One bar.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Bar {
    /// Left and right.
    pub(super) x: f64,
    /// How wide.
    pub(super) w: f64,
    /// Top and height of the outline; nothing of what is not told.
    pub(super) asked: Option<(f64, f64)>,
    /// Top and height of the solid part.
    pub(super) found: Option<(f64, f64)>,
    /// Where dots say that something is there and not told.
    pub(super) dots: Option<f64>,
    /// Phones may still bring more.
    pub(super) late: bool,
}

impl Bars {
    /// Draws weeks over a scale that ends at `most`, so that drawings beside each other compare.
    pub(super) fn of(weeks: &[Week], most: u64, width: f64) -> Self {
        let left = 22.0;
        #[expect(clippy::cast_precision_loss, reason = "at most 53 weeks")]
        let step = (width - left) / weeks.len().max(1) as f64;
        let air = if step > 12.0 { step * 0.15 } else { step * 0.08 };
        let ticks = ticks(most);
        let full = ticks.last().copied().unwrap_or(1).max(most).max(1);
        #[expect(clippy::cast_precision_loss, reason = "counts of a county")]
        let high = |n: u64| round(n as f64 / full as f64 * HIGH);
        let span = |n: u64| (round(TOP + HIGH - high(n)), high(n));
        #[expect(clippy::cast_precision_loss, reason = "at most 53 weeks")]
        let at = |i: usize| left + i as f64 * step;
        let every = [1, 2, 4, 5, 10].into_iter().find(|n| f64::from(*n) * step >= 28.0).unwrap_or(13);
        let bars = weeks.iter().enumerate().map(|(i, week)| Bar {
            x: round(at(i) + air),
            w: round(step - 2.0 * air),
            asked: week.asked.filter(|n| *n > 0).map(span),
            found: week.found.filter(|n| *n > 0).map(span),
            dots: (week.asked.is_none()).then(|| round(at(i) + step / 2.0)),
            late: week.late,
        });
        let numbers = weeks.iter().enumerate().filter(|(i, _)| i % usize::from(every as u8) == 0);
        let mut before = String::new();
        if weeks.iter().any(|w| w.before.is_some_and(|n| n > 0)) {
            for (i, week) in weeks.iter().enumerate() {
                let y = span(week.before.unwrap_or(0)).0;
                let begins = if i == 0 { 'M' } else { 'L' };
                before.push_str(&format!("{begins}{} {y}H{}", round(at(i)), round(at(i) + step)));
            }
        }
        Self {
            width,
            ticks: ticks.iter().map(|n| (span(*n).0, *n)).collect(),
            bars: bars.collect(),
            weeks: numbers.map(|(i, week)| (round(at(i) + step / 2.0), week.week)).collect(),
            before,
        }
    }
}

/// One or two round numbers up to a count.
fn ticks(most: u64) -> Vec<u64> {
    let mut unit = 1;
    loop {
        for step in [1, 2, 5] {
            let step = step * unit;
            if step * 2 >= most {
                return if step * 2 == most || most > step { vec![step, step * 2] } else { vec![step] };
            }
        }
        unit *= 10;
    }
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn week(week: i8, asked: u64, found: u64) -> Week {
        Week { week, asked: Some(asked), found: Some(found), before: None, late: false }
    }

    #[test]
    fn heights_are_in_the_ratio_of_the_counts_over_one_scale() {
        let drawn = Bars::of(&[week(22, 20, 10), week(23, 5, 0)], 20, 340.0);
        let high = |at: usize| drawn.bars[at].asked.map(|(_, h)| h);
        assert_eq!((high(0), drawn.bars[0].found, high(1)), (Some(100.0), Some((58.0, 50.0)), Some(25.0)));
        assert_eq!(drawn.bars[1].found, None, "nothing found draws nothing");
        assert_eq!(drawn.ticks, [(58.0, 10), (8.0, 20)]);
    }

    #[test]
    fn what_is_not_told_has_dots_and_no_height() {
        let hidden = Week { asked: None, found: None, ..week(22, 0, 0) };
        let drawn = Bars::of(&[hidden, week(23, 9, 9)], 9, 340.0);
        assert!(drawn.bars[0].dots.is_some() && drawn.bars[0].asked.is_none() && drawn.bars[0].found.is_none());
        assert!(drawn.bars[1].dots.is_none());
    }

    #[test]
    fn a_year_of_weeks_has_fewer_numbers_under_it_than_bars() {
        let weeks: Vec<Week> = (1..=53).map(|n| week(n, 3, 1)).collect();
        let drawn = Bars::of(&weeks, 3, 340.0);
        assert!(drawn.weeks.len() < 20 && drawn.bars.len() == 53);
        let last = drawn.bars.last().unwrap();
        assert!(last.x + last.w <= 340.0);
        for pair in drawn.weeks.windows(2) {
            assert!(pair[1].0 - pair[0].0 >= 27.9);
        }
    }

    #[test]
    fn ticks_are_round_and_reach_the_most() {
        for (most, expected) in [
            (0, vec![1]),
            (1, vec![1]),
            (2, vec![1, 2]),
            (3, vec![2, 4]),
            (18, vec![10, 20]),
            (20, vec![10, 20]),
            (900, vec![500, 1000]),
        ] {
            assert_eq!(ticks(most), expected, "{most}");
        }
    }

    #[test]
    fn the_year_before_is_one_line_of_steps() {
        let mut weeks = vec![week(22, 4, 0), week(23, 4, 0)];
        assert_eq!(Bars::of(&weeks, 4, 340.0).before, "");
        weeks[1].before = Some(2);
        assert_eq!(Bars::of(&weeks, 4, 342.0).before, "M22 108H182L182 58H342");
    }
}
