//! `dooryard key score`: the key's answer to every described case of a file, for scorers.

use std::path::Path;

use anyhow::{Context, Result, anyhow};
use dooryard_core::key::{Case, Differential, NextLooks, Pack};
use serde_json::{Value, json};

use super::tell::Tell;

/// Answers every case; with `why`, each cause comes with all that speaks for and against them.
///
/// # Errors
/// A file that cannot be read or is not in its form; a case with a name that the pack does not have.
pub fn score(cases: &Path, pack: &Pack, why: bool, tell: &Tell) -> Result<()> {
    let text = std::fs::read_to_string(cases).with_context(|| format!("reading {}", cases.display()))?;
    let cases = Case::read(&text).map_err(|e| anyhow!("{}: {e}", cases.display()))?;
    for case in &cases {
        let given = case.observations()?;
        let found = pack.differential(&given).map_err(|e| anyhow!("{}: {e}", case.id))?;
        let next = pack.next_looks(&given)?;
        tell.say(|| line(case, &found, &next), || answer(&case.id, &found, &next, why));
    }
    Ok(())
}

fn answer(id: &str, found: &Differential, next: &NextLooks, why: bool) -> Value {
    let ranked = found.ranked.iter();
    let mut answer = json!({
        "id": id,
        "ranked": ranked.map(|r| json!({"cause": r.cause, "share": r.share, "probability": r.probability})).collect::<Vec<_>>(),
        "named": found.named,
        "sets": found.sets,
        "advice": found.advice,
        "look_again": found.look_again,
        "ask_first": next.first,
        "next": next.looks.iter().map(|l| json!({"character": l.character, "gain": l.gain})).collect::<Vec<_>>(),
        "enough": next.enough,
        "stops": found.stops.iter().map(|s| &s.id).collect::<Vec<_>>(),
    });
    if why {
        answer["why"] = json!(found.ranked);
    }
    answer
}

fn line(case: &Case, found: &Differential, next: &NextLooks) -> String {
    let first: Vec<String> =
        found.ranked.iter().take(3).map(|r| format!("{} {:.0} in 100", r.cause, 100.0 * r.probability)).collect();
    let look = next.looks.first().map_or("nothing", |l| l.character.as_str());
    let settled = if found.look_again { "look again" } else { "settled" };
    format!("{}: {}; {settled}; next look: {look}", case.id, first.join(", "))
}
