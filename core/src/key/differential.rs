//! The differential: from observations to ranked causes.

use super::{
    Escalate, Language, Observations, Pack, ProbabilityWord, RaisedStop, Reason, Role, Settings, reasons,
    sets::Set,
    solve::{Shares, Solved},
};
use crate::Result;
use serde::Serialize;

/// The ranked causes of one plant's trouble. It is a thinking aid: a person decides.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Differential {
    /// Which content it comes from: [`Pack::content_version`].
    pub content_version: String,
    /// What has to be shown with it: [`Pack::notice`].
    pub notice: Option<&'static str>,
    /// The stops that the findings raise. They come first, whatever the rest says.
    pub stops: Vec<RaisedStop>,
    /// Every cause the host can have, best first. Show those that are not [`Band::Idle`].
    pub ranked: Vec<RankedCause>,
    /// Probability that none of them is there.
    pub none_share: f64,
    /// The answer rolled up to what one would do, best first; groups that no candidate has are left out.
    pub advice: Vec<RankedAdvice>,
    /// Ids of the causes that are likely, best first. Never a secondary cause alone.
    pub named: Vec<String>,
    /// The most probable sets of causes, best first.
    pub sets: Vec<RankedSet>,
    /// Whether the findings do not settle it: nothing can be named, and another look is due.
    pub look_again: bool,
}

/// One cause in its place.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct RankedCause {
    /// Id of the cause.
    pub cause: String,
    /// Probability that it is the main cause. These and `none_share` add up to 1; causes are ranked by it.
    pub share: f64,
    /// Probability that it is there, alone or with others.
    pub probability: f64,
    /// The word for `probability`.
    pub word: ProbabilityWord,
    /// `probability` divided by what it was for the host and the day before any finding.
    pub lift: f64,
    /// How it is to be shown.
    pub band: Band,
    /// Its part in the trouble.
    pub role: Role,
    /// Who has to answer if it is the cause.
    pub escalate: Escalate,
    /// What speaks for it, weightiest first.
    #[serde(rename = "for")]
    pub for_: Vec<Reason>,
    /// What speaks against it, weightiest first.
    pub against: Vec<Reason>,
    /// Ids of the characters that would say something about it, and that nobody looked at.
    pub unlooked: Vec<String>,
}

/// An advice group: all causes for which one would do the same.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct RankedAdvice {
    /// Id of the group.
    pub group: String,
    /// Probability that the main cause is one of its causes.
    pub share: f64,
    /// Probability that any of its causes is there.
    pub probability: f64,
}

/// A set of causes that are there together.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct RankedSet {
    /// Ids of the causes; none for "no listed cause".
    pub causes: Vec<String>,
    /// Probability that these are there and no others.
    pub weight: f64,
}

/// How a cause is to be shown.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Band {
    /// More likely than not.
    Likely,
    /// Also possible.
    Possible,
    /// Raised by the findings, and still not likely: for the list only.
    Listed,
    /// About where it was before any finding, or lower: not to be shown among the causes.
    Idle,
}

impl Differential {
    /// The differential of one plant.
    ///
    /// # Errors
    /// [`crate::Error::Invalid`] with every name the pack does not have (`UNKNOWN_FIELD` a character, `UNKNOWN_WORD` a
    /// `character.state` or the host), every seen or absent without a state, and a date that is none.
    pub fn new(pack: &Pack, settings: &Settings, observations: &Observations) -> Result<Self> {
        let solved = Solved::new(pack, settings, observations)?;
        let advice = rolled_up(pack, &solved);
        let Solved { candidates, looked, shifts, terms, before, after, .. } = solved;
        let mut tried = vec![false; pack.characters.len()];
        for one in &looked {
            tried[one.character] = one.tried;
        }
        let mut ranked = Vec::with_capacity(candidates.len());
        for (i, cause) in candidates.iter().enumerate() {
            let reasons = reasons::reasons(pack, i, &shifts, &terms, settings);
            let (probability, lift) = (after.marginal[i], after.marginal[i] / before[i]);
            ranked.push(RankedCause {
                cause: cause.id.clone(),
                share: after.share[i],
                probability,
                word: ProbabilityWord::of(probability, reasons.proof),
                lift,
                band: band(probability, lift, settings),
                role: cause.role,
                escalate: cause.escalate,
                for_: reasons.for_,
                against: reasons.against,
                unlooked: reasons::unlooked(pack, cause, &tried),
            });
        }
        ranked.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.cause.cmp(&b.cause)));
        let named = named(&ranked);
        let ids = |set: Set| set.members().map(|i| candidates[i].id.clone()).collect();
        Ok(Self {
            content_version: pack.content_version(),
            notice: pack.notice(Language::En),
            stops: pack.raise_stops(&observations.findings),
            none_share: after.none,
            look_again: named.is_empty(),
            advice,
            named,
            sets: after.top.into_iter().map(|(set, weight)| RankedSet { causes: ids(set), weight }).collect(),
            ranked,
        })
    }
}

fn rolled_up(pack: &Pack, solved: &Solved<'_>) -> Vec<RankedAdvice> {
    let shares = Shares::new(pack, solved, solved.after.share.clone());
    let ranked = pack.guidance.groups.iter().enumerate().filter(|(g, _)| solved.after.group[*g] > 0.0);
    let mut ranked: Vec<RankedAdvice> = ranked
        .map(|(g, group)| RankedAdvice {
            group: group.id.clone(),
            share: shares.advice[g],
            probability: solved.after.group[g],
        })
        .collect();
    ranked.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.group.cmp(&b.group)));
    ranked
}

fn band(probability: f64, lift: f64, settings: &Settings) -> Band {
    if lift < settings.shown_lift {
        Band::Idle
    } else if probability > settings.named_above {
        Band::Likely
    } else if probability >= settings.possible_from {
        Band::Possible
    } else {
        Band::Listed
    }
}

/// The likely causes in their order; none if all of them are secondary, for something must have come first.
fn named(ranked: &[RankedCause]) -> Vec<String> {
    let likely = || ranked.iter().filter(|r| r.band == Band::Likely);
    if likely().all(|r| r.role == Role::Secondary) {
        return Vec::new();
    }
    likely().map(|r| r.cause.clone()).collect()
}
