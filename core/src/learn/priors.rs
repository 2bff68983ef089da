//! How often each cause came, over all its cases, by host and by month.

use super::{Change, Estimate, LearnSettings, Model, Outcome, Place, Tally, posterior};
use std::collections::BTreeMap;

/// Expected shares stay within these bounds, so that a Beta distribution of them exists.
const BOUNDS: [f64; 2] = [1e-4, 0.97];

/// Changes of the priors.
///
/// A pack's priors rank the causes of a host; taken as chances they add up to several causes a plant. So they are scaled
/// for each host to add up to what the cases add up to, the shares are estimated as Beta posteriors around that, and what
/// comes out is scaled back. A host or a month is shrunk to what holds over all cases of the cause, and is compared with it.
pub(super) fn changes(model: &Model, outcomes: &[Outcome], settings: &LearnSettings) -> Vec<Change> {
    let confirmed: usize = outcomes.iter().map(|o| o.causes.len()).sum();
    if confirmed == 0 {
        return Vec::new();
    }
    let mean_causes = confirmed as f64 / outcomes.len() as f64;
    let mut scales: BTreeMap<&str, f64> = BTreeMap::new();
    for outcome in outcomes {
        let candidates = model.causes.iter().filter(|c| c.fits_host(&outcome.host));
        scales.entry(&outcome.host).or_insert_with(|| mean_causes / candidates.map(|c| c.prior).sum::<f64>());
    }
    let mut changes = Vec::new();
    for cause in &model.causes {
        let cases: Vec<&Outcome> = outcomes.iter().filter(|o| cause.fits_host(&o.host)).collect();
        if cases.is_empty() {
            continue;
        }
        let tally = |cases: &[&Outcome]| {
            let mut tally = Tally::default();
            cases.iter().for_each(|o| tally.count(o.has(&cause.id)));
            tally
        };
        let expected = cases.iter().map(|o| cause.prior * scales[o.host.as_str()]).sum::<f64>() / cases.len() as f64;
        // From shares of cases back to the pack's own measure.
        let scale = cause.prior / expected;
        let estimate = |expected: f64, tally: Tally| -> Estimate {
            let expected = expected.clamp(BOUNDS[0], BOUNDS[1]);
            let found = posterior(expected, settings.prior_cases, tally, settings.interval);
            Estimate { chance: found.chance * scale, interval: found.interval.map(|end| end * scale), ..found }
        };
        let all = tally(&cases);
        let over_all = estimate(expected, all);
        let place = |host, month| Place::Prior { cause: cause.id.clone(), host, month };
        changes.extend(Change::at(place(None, None), cause.prior, over_all, all, model, settings));

        let base = over_all.chance.clamp(0.005, BOUNDS[1]);
        let mut by_host: BTreeMap<&str, Vec<&Outcome>> = BTreeMap::new();
        let mut by_month: BTreeMap<i8, Vec<&Outcome>> = BTreeMap::new();
        for outcome in &cases {
            by_host.entry(&outcome.host).or_default().push(outcome);
            by_month.entry(outcome.date.month()).or_default().push(outcome);
        }
        let hosts = by_host.into_iter().map(|(host, cases)| (place(Some(host.to_owned()), None), cases));
        let months = by_month.into_iter().map(|(month, cases)| (place(None, Some(month)), cases));
        for (place, part) in hosts.chain(months).filter(|(_, part)| part.len() < cases.len()) {
            let tally = tally(&part);
            changes.extend(Change::at(place, base, estimate(base / scale, tally), tally, model, settings));
        }
    }
    changes
}
