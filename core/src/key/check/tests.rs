//! Each kind of finding on a small sound pack into which one fault was put.

use super::*;
use crate::key::tests::small_files;
use std::collections::BTreeMap;

const CHARACTERS: &str = "
- {id: rain, part: site, cost: glance, nature: circumstance, label: l, ask: a, how: h, normal: usual, states: {usual: as usual, dry: dry}, leak: {dry: often}}
- {id: edge, part: leaf, cost: glance, label: l, ask: a, how: h, normal: clean, states: {clean: clean, brown: brown}}
- {id: holes, part: trunk, cost: touch, nature: sign, label: l, ask: a, how: h, normal: none, states: {none: none, round: round}}
- {id: spots, part: leaf, cost: glance, label: l, ask: a, how: h, normal: none, states: {none: none, black: black}}
- {id: pests, part: leaf, cost: glance, multi: true, label: l, ask: a, how: h, normal: none, states: {none: none, aphids: aphids}}
";
const CAUSES: &str = "
- {id: drought, name: Drought, cause: c, type: abiotic, hosts: [tree], prior: often, key: {rain.dry: usually, edge.brown: usually, spots.black: rarely, pests.aphids: sometimes}, confirm: c, confusers: [borer], window: [06-01, 09-30], weather: w, do: d, dont: d, group: a, role: environment, escalate: none}
- {id: borer, name: Borer, cause: c, type: insect, hosts: [tree], prior: sometimes, key: {holes.round: usually, edge.brown: often, spots.black: usually}, confirm: c, confusers: [drought], window: [06-01, 09-30], weather: w, do: d, dont: d, group: b, role: primary, escalate: none}
";
const GROUPS: &str = "
acts: {remove_plant: {en: Took it out, es: La sacó}}
blocks:
- {id: wait, kind: now, needs: possible, text: {en: Wait, es: Espere}}
- {id: take_out, kind: now, acts: [remove_plant], needs: very_likely, text: {en: Take it out, es: Sáquela}}
groups:
- {id: general_care, name: {en: n, es: n}, harm: 1, blocks: [wait], follow_up: null}
- {id: a, name: {en: n, es: n}, harm: 1, blocks: [wait], follow_up: null}
- {id: b, name: {en: n, es: n}, harm: 1, blocks: [take_out, wait], follow_up: null}
";
const SPANISH: [(&str, &str); 3] = [
    (
        "es/characters/all.yaml",
        "
rain: {label: l, ask: a, how: h, states: {usual: n, dry: s}}
edge: {label: l, ask: a, how: h, states: {clean: n, brown: s}}
holes: {label: l, ask: a, how: h, states: {none: n, round: s}}
spots: {label: l, ask: a, how: h, states: {none: n, black: s}}
pests: {label: l, ask: a, how: h, states: {none: n, aphids: s}}
",
    ),
    (
        "es/causes/all.yaml",
        "
drought: {name: n, cause: c, confirm: c, weather: w, do: d, dont: d}
borer: {name: n, cause: c, confirm: c, weather: w, do: d, dont: d}
",
    ),
    ("es/hosts.yaml", "{tree: {name: n}}"),
];

fn files() -> BTreeMap<String, String> {
    let mut files = small_files(CHARACTERS, CAUSES);
    let pack = files["pack.yaml"].replace("{en: Small}", "{en: Small, es: Chico}");
    let own = [("pack.yaml", pack.as_str()), ("advice/groups.yaml", GROUPS)];
    files.extend(own.iter().chain(&SPANISH).map(|(path, text)| ((*path).to_owned(), (*text).to_owned())));
    files
}

/// What is found when this text of a file is replaced, as severity, kind and place.
fn found(path: &str, from: &str, to: &str) -> Vec<(Severity, Kind, String)> {
    let mut files = files();
    let changed = files[path].replacen(from, to, 1);
    assert_ne!(files[path], changed, "{from:?} is in {path}");
    files.insert(path.to_owned(), changed);
    let findings = check(&Source::from_files(&files).unwrap());
    findings.into_iter().map(|f| (f.severity, f.kind, f.place)).collect()
}

fn one(severity: Severity, kind: Kind, place: &str) -> Vec<(Severity, Kind, String)> {
    vec![(severity, kind, place.to_owned())]
}

use Severity::{Error, Note, Warning};

const IN_CAUSES: &str = "causes/all.yaml";
const IN_CHARACTERS: &str = "characters/all.yaml";
const IN_ADVICE: &str = "advice/groups.yaml";

#[test]
fn a_sound_pack_gives_no_finding() {
    assert_eq!(check(&Source::from_files(&files()).unwrap()), []);
}

#[test]
fn content_that_cannot_be_read_is_one_error_a_problem() {
    let both = found(IN_CAUSES, "group: a, role: environment", "group: x, role: environment");
    assert_eq!(both, one(Error, Kind::Unreadable, ""));
    assert_eq!(found(IN_CAUSES, "id: borer", "id: drought")[0].1, Kind::Unreadable);
}

#[test]
fn what_nothing_is_made_of() {
    let state = found(IN_CHARACTERS, "brown: brown}", "brown: brown, red: red}");
    assert!(state.contains(&(Warning, Kind::DeadState, "edge.red".into())), "{state:?}");
    for alive in ["also_stop: tree_failure, ", "not_known: [red], "] {
        let states = found(
            IN_CHARACTERS,
            "normal: clean, states: {clean: clean, ",
            &format!("{alive}normal: clean, states: {{clean: clean, red: red, "),
        );
        assert!(!states.iter().any(|f| f.1 == Kind::DeadState), "{alive} {states:?}");
    }
    let character = found(IN_CAUSES, ", pests.aphids: sometimes", "");
    assert_eq!(
        character,
        [(Warning, Kind::FewEffects, "drought".into()), (Warning, Kind::UnusedCharacter, "pests".into())]
    );
    let base = found(IN_CHARACTERS, ", leak: {dry: often}", "");
    assert_eq!(base, one(Warning, Kind::NoBaseRate, "rain.dry"));
}

#[test]
fn causes_that_no_finding_tells_apart() {
    let like = "key: {rain.dry: usually, edge.brown: usually, spots.black: rarely, pests.aphids: sometimes, holes.round: usually}";
    let (drought, borer) = (
        "key: {rain.dry: usually, edge.brown: usually, spots.black: rarely, pests.aphids: sometimes}",
        "key: {holes.round: usually, edge.brown: often, spots.black: usually}",
    );
    let mut files = files();
    let causes = CAUSES.replace(drought, like).replace(borer, like);
    files.insert(IN_CAUSES.into(), causes.clone());
    let differing = &check(&Source::from_files(&files).unwrap())[0];
    assert_eq!((differing.severity, differing.kind), (Warning, Kind::Alike));
    assert_eq!((differing.place.as_str(), &differing.text[..13]), ("drought and borer", "apart by 0.00"));
    files.insert(IN_CAUSES.into(), causes.replace("group: b", "group: a"));
    let alike: Vec<_> =
        check(&Source::from_files(&files).unwrap()).into_iter().filter(|f| f.kind == Kind::Alike).collect();
    assert_eq!(alike.iter().map(|f| f.severity).collect::<Vec<_>>(), [Note]);
}

#[test]
fn separability_is_the_total_variation_summed_over_characters() {
    let pack = Pack::from_source(Source::from_files(&files()).unwrap()).unwrap();
    let [a, b] = ["drought", "borer"].map(|id| pack.cause(id).unwrap());
    // Chance of the one abnormal state: leak and cause by noisy-OR.
    let or = |leak: f64, q: f64| 1.0 - (1.0 - leak) * (1.0 - q);
    let (leak, sign, dry) = (0.04, 0.01, 0.6);
    let expected = (or(dry, 0.8) - dry)
        + (or(leak, 0.8) - or(leak, 0.6))
        + (or(leak, 0.8) - or(leak, 0.05))
        + (or(leak, 0.35) - leak)
        + (or(sign, 0.8) - sign);
    assert!((separability(&pack, a, b) - expected).abs() < 1e-12);
    assert!((separability(&pack, b, a) - expected).abs() < 1e-12);
    assert_eq!(separability(&pack, a, a), 0.0);
}

#[test]
fn look_alikes_and_things_named_twice() {
    let none = found(IN_CAUSES, "confusers: [borer], ", "");
    assert_eq!(none, [(Warning, Kind::NoConfusers, "drought".into()), (Note, Kind::OneSidedConfuser, "borer".into())]);
    assert_eq!(
        found(IN_CAUSES, "confusers: [borer]", "confusers: [borer, drought]"),
        one(Warning, Kind::Twice, "drought")
    );
    assert_eq!(
        found(IN_CAUSES, "confusers: [borer]", "confusers: [borer, borer]"),
        one(Warning, Kind::Twice, "drought")
    );
    assert_eq!(found(IN_CAUSES, "hosts: [tree]", "hosts: [tree, tree]"), one(Warning, Kind::Twice, "drought"));
    assert_eq!(found(IN_CAUSES, "name: Borer", "name: Drought"), one(Warning, Kind::Twice, "borer"));
    let both = found(
        IN_CAUSES,
        "confirm: c, confusers: [drought]",
        "against: {holes.round: rarely}, confirm: c, confusers: [drought]",
    );
    assert_eq!(both, one(Warning, Kind::Twice, "borer"));
    assert_eq!(found(IN_CHARACTERS, "brown: brown", "brown: clean"), one(Warning, Kind::Twice, "edge.brown"));
    assert_eq!(found(IN_ADVICE, "[take_out, wait]", "[take_out, wait, wait]"), one(Warning, Kind::Twice, "b"));
}

#[test]
fn a_season_of_one_day() {
    assert_eq!(
        found(IN_CAUSES, "window: [06-01, 09-30]", "window: [06-01, 06-01]"),
        one(Warning, Kind::EmptySeason, "drought")
    );
    let block = found(IN_ADVICE, "needs: possible,", "needs: possible, season: [03-01, 03-01],");
    assert_eq!(block, one(Warning, Kind::EmptySeason, "wait"));
}

#[test]
fn advice_is_no_stronger_than_its_evidence_and_leaves_nobody_without_a_word() {
    let strong = found(IN_ADVICE, "needs: very_likely", "needs: likely");
    assert_eq!(strong, one(Error, Kind::AdviceTooStrong, "take_out"));
    assert_eq!(
        found(
            IN_ADVICE,
            "kind: now, acts: [remove_plant], needs: very_likely",
            "kind: when_not, acts: [remove_plant], needs: likely"
        ),
        []
    );
    for escalate in ["lab", "arborist", "regulated"] {
        let mut files = files();
        files.insert(
            IN_CAUSES.into(),
            CAUSES.replace("role: primary, escalate: none", &format!("role: primary, escalate: {escalate}")),
        );
        assert_eq!(check(&Source::from_files(&files).unwrap()), []);
        files.insert(IN_ADVICE.into(), GROUPS.replace("[take_out, wait]", "[take_out]"));
        let findings = check(&Source::from_files(&files).unwrap());
        let found: Vec<_> = findings.iter().map(|f| (f.kind, f.place.as_str())).collect();
        // Only before a laboratory has answered nothing else is told.
        let expected: &[_] = if escalate == "lab" { &[(Kind::NothingToTell, "borer")] } else { &[] };
        assert_eq!(found, expected, "{escalate}");
    }
    assert_eq!(found(IN_ADVICE, "[take_out, wait]", "[wait]"), one(Warning, Kind::UnusedBlock, "take_out"));
}

#[test]
fn a_stop_that_nothing_raises() {
    let stop = "stops: [{id: lonely, kind: stop, title: {en: t, es: t}, text: {en: t, es: t}}]";
    assert_eq!(found("stops.yaml", "stops: []", stop), one(Warning, Kind::UnreachableStop, "lonely"));
    let asked = format!("{{questions: [{{id: q, ask: {{en: a, es: a}}, raises: [lonely]}}], {stop}}}");
    assert_eq!(found("stops.yaml", "{questions: [], stops: []}", &asked), []);
}

#[test]
fn texts_without_translation_and_words_that_must_not_be_there() {
    assert_eq!(
        found("es/causes/all.yaml", "borer: {name: n, ", "borer: {"),
        one(Warning, Kind::NoTranslation, "borer")
    );
    assert_eq!(
        found("es/characters/all.yaml", "{clean: n, brown: s}", "{clean: n}"),
        one(Warning, Kind::NoTranslation, "edge")
    );
    assert_eq!(found("es/hosts.yaml", "{tree: {name: n}}", "{}"), one(Warning, Kind::NoTranslation, "tree"));
    assert_eq!(found(IN_ADVICE, "{en: Wait, es: Espere}", "{en: Wait}"), one(Warning, Kind::NoTranslation, "wait"));
    assert_eq!(
        found("es/causes/all.yaml", "borer: {", "borrer: {name: n}\nborer: {"),
        one(Warning, Kind::TranslationOfNothing, "borrer")
    );
    for text in ["Mix 2 OZ in water", "one tsp. of it", "a tablespoon", "3 per gallon", "Best® spray", "dos cucharadas"]
    {
        let findings = found(IN_ADVICE, "{en: Wait,", &format!("{{en: {text},"));
        assert_eq!(findings, one(Error, Kind::ForbiddenWord, "wait"), "{text}");
    }
    assert_eq!(found(IN_ADVICE, "{en: Wait,", "{en: A dozen gallons of water per tree,"), []);
}
