//! Which causes are living things, what they are called in taxonomy, and by what a look for one can come to nothing.

use dooryard_core::{
    key::{Cause, Escalate, Kind, Nature, Pack},
    notebook::Summary,
};

/// How surely a cause shows a sign before its absence says anything of the cause: the chance of `usually`, or more.
const SURE: f64 = 0.8;

/// Words of a pack's origins that are no names.
const NO_EPITHET: [&str; 14] = [
    "species",
    "kinds",
    "kind",
    "relatives",
    "complex",
    "and",
    "or",
    "that",
    "which",
    "in",
    "on",
    "carried",
    "like",
    "with",
];

/// A living cause as a taxon.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Taxon {
    /// The most exact name that the pack gives for sure: species, genus, family, or the kingdom alone.
    pub scientific: String,
    /// Rank of that name.
    pub rank: &'static str,
    /// Kingdom.
    pub kingdom: &'static str,
}

impl Taxon {
    /// The taxon of a cause. Nothing for weather, site, people and a plant's own ways, which are no occurrence of anything,
    /// and for what is regulated, which is not named.
    pub fn of(cause: &Cause) -> Option<Self> {
        if cause.escalate == Escalate::Regulated {
            return None;
        }
        let kingdom = match cause.kind {
            Kind::Abiotic | Kind::Natural => return None,
            Kind::Fungus => "Fungi",
            Kind::Bacterium | Kind::Phytoplasma => "Bacteria",
            Kind::Oomycete => "Chromista",
            Kind::Virus => "Viruses",
            Kind::Nematode | Kind::Insect | Kind::Mite | Kind::Animal => "Animalia",
        };
        let (scientific, rank) = named(&cause.origin.en).unwrap_or_else(|| (kingdom.to_owned(), "kingdom"));
        Some(Self { scientific, rank, kingdom })
    }
}

/// The one scientific name with which an origin begins, and its rank; nothing where it names none, or several.
fn named(origin: &str) -> Option<(String, &'static str)> {
    let origin = origin.split(" (").next().unwrap_or_default();
    let several = [",", ";", "/", " and ", " or "];
    if several.iter().any(|s| origin.contains(s)) {
        return None;
    }
    let mut words = origin.split(' ');
    let first = words.next()?;
    let letters = |word: &str, first: fn(&char) -> bool| {
        word.len() > 3
            && word.chars().next().as_ref().is_some_and(first)
            && word.chars().skip(1).all(|c| c.is_ascii_lowercase())
    };
    if !letters(first, char::is_ascii_uppercase) {
        return None;
    }
    match words.next() {
        None if first.ends_with("idae") || first.ends_with("aceae") => Some((first.to_owned(), "family")),
        Some(epithet) if letters(epithet, char::is_ascii_lowercase) && !NO_EPITHET.contains(&epithet) => {
            // A third word of the name itself would be a rank below, which nobody here tells apart.
            words.next().is_none_or(|w| NO_EPITHET.contains(&w)).then(|| (format!("{first} {epithet}"), "species"))
        }
        Some("species") => Some((first.to_owned(), "genus")),
        _ => None,
    }
}

/// What the findings of one plant in one visit say of one living cause.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Looked {
    /// A sign of it was seen. Whether it is there, a diagnosis says.
    SignSeen,
    /// Its sign was looked for and was not there: (character, state) of the sign.
    NotThere(String, String),
}

/// The living causes that the findings of one plant in one visit were a look for, by index in the pack.
///
/// Only causes that are one species: of a genus or a kingdom nobody can say that it is absent because one disease was not
/// found. A look for a cause is a look for a sign that it usually shows, that no other cause of this host shows, and that does not
/// walk or fly away. Only *looked and
/// absent* counts, or the normal state seen; not looked and could not tell say nothing.
pub fn looked_for(pack: &Pack, host: &str, findings: &[&Summary]) -> Vec<(usize, Looked)> {
    let Some(host) = pack.hosts.iter().position(|h| h.id == host) else { return Vec::new() };
    let possible: Vec<usize> = (0..pack.causes.len()).filter(|c| pack.causes[*c].fits_host(host)).collect();
    let mut found = Vec::new();
    for &at in &possible {
        let cause = &pack.causes[at];
        if Taxon::of(cause).is_none_or(|taxon| taxon.rank != "species") {
            continue;
        }
        let is_its_sign = |c: usize, s: usize| {
            pack.characters[c].nature == Nature::Sign
                && !pack.characters[c].mobile
                && possible.iter().filter(|other| pack.causes[**other].chance(c, s).is_some()).count() == 1
        };
        let mut looked = None;
        for link in cause.key.iter().filter(|l| l.chance >= SURE && is_its_sign(l.character, l.state)) {
            match look(pack, link.character, link.state, findings) {
                Some(true) => {
                    looked = Some(Looked::SignSeen);
                    break;
                }
                Some(false) => {
                    let character = &pack.characters[link.character];
                    looked = Some(Looked::NotThere(character.id.clone(), character.states[link.state].id.clone()));
                }
                None => {}
            }
        }
        found.extend(looked.map(|looked| (at, looked)));
    }
    found
}

/// Whether a state was seen, or looked for and not there; nothing when nobody looked or could tell.
fn look(pack: &Pack, character: usize, state: usize, findings: &[&Summary]) -> Option<bool> {
    let known = &pack.characters[character];
    let mut answer = None;
    for finding in findings.iter().filter(|f| f.text("character") == Some(&known.id)) {
        let id = finding.text("state").map(|s| s.strip_prefix(&format!("{}.", known.id)).unwrap_or(s));
        let said = id.and_then(|id| known.state_index(id));
        match (finding.text("status"), said) {
            (Some("seen"), Some(s)) if s == state => return Some(true),
            (Some("seen"), Some(s)) if s == known.normal => answer = Some(false),
            (Some("absent"), Some(s)) if s == state => answer = Some(false),
            _ => {}
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_taken_only_where_there_is_one_and_only_one() {
        let said = |origin| named(origin).map(|(name, rank)| format!("{rank} {name}"));
        assert_eq!(said("Venturia inaequalis").as_deref(), Some("species Venturia inaequalis"));
        assert_eq!(said("Fusarium oxysporum kinds in the soil").as_deref(), Some("species Fusarium oxysporum"));
        assert_eq!(said("Cladosporium paeoniae (Dichocladosporium)").as_deref(), Some("species Cladosporium paeoniae"));
        assert_eq!(said("Rhizoctonia species").as_deref(), Some("genus Rhizoctonia"));
        assert_eq!(said("Coccidae").as_deref(), Some("family Coccidae"));
        for none in
            ["many", "Achatodes zeae and Desmocerus species", "Rhizosphaera, Stigmina and relatives", "gall makers"]
        {
            assert_eq!(said(none), None, "{none}");
        }
    }
}
