//! Every cause of the starter pack, told on each of its hosts in season.

use super::{Advice, Situation, advise, all_seen};
use crate::key::{
    Escalate, Language,
    ProbabilityWord::{NearlyCertain, VeryLikely},
    authored::BlockKind,
    guidance::Needs,
    tests::landscape,
};
use crate::letter::{Letter, Occasion};
use jiff::civil::date;

fn occasion() -> Occasion {
    Occasion {
        office: "Larkspur County Extension Office".into(),
        office_lines: vec!["Questions about gardens and landscapes".into()],
        inquiry: "26-0412".into(),
        date: date(2026, 7, 22),
        question: "What is <wrong> & why?".into(),
        reviewed_by: None,
        signed: "County horticulture educator".into(),
    }
}

#[test]
fn no_step_is_surer_than_the_evidence_and_none_contradicts_another() {
    let pack = landscape();
    let mut told = 0;
    for cause in &pack.causes {
        for host in pack.hosts.iter().enumerate().filter(|(h, _)| cause.fits_host(*h)).map(|(_, h)| h).take(3) {
            let given = all_seen(&pack, &cause.id, &host.id, cause.window.first_day());
            let advice = advise(&pack, &given);
            told += usize::from(!advice.steps.is_empty());
            let surest = advice.causes.iter().map(|c| c.word).max();
            for step in &advice.steps {
                let Some(block) = pack.guidance.blocks.iter().find(|b| b.id == step.id) else { continue };
                let general = pack.guidance.groups[pack.guidance.general].blocks.iter();
                let general = general.map(|b| &pack.guidance.blocks[*b]).any(|b| b.id == block.id);
                if block.needs == Needs::VeryLikely && !general && block.kind != BlockKind::Check {
                    assert!(surest >= Some(VeryLikely), "{} on {}: {}", cause.id, host.id, block.id);
                }
            }
            for conflict in &pack.guidance.conflicts {
                let asked = |act: &usize| advice.steps.iter().any(|s| s.acts.contains(act));
                let together = conflict.acts.iter().filter(|act| asked(act)).count();
                assert!(together < 2, "{} on {}: {:?}", cause.id, host.id, conflict.acts);
            }
            for named in &advice.causes {
                let known = pack.cause(&named.cause).unwrap();
                assert_ne!(known.escalate, Escalate::Regulated);
                assert!(named.word < NearlyCertain || named.probability >= 0.95);
            }
        }
    }
    assert!(told > pack.causes.len(), "{told} told");
}

/// Grade by Flesch and Kincaid: .39 words a sentence + 11.8 syllables a word - 15.59. Syllables are counted as groups of
/// vowels, without a silent e at the end.
fn grade(text: &str) -> f64 {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphabetic() && c != '\'')
        .filter(|w| w.chars().any(char::is_alphabetic))
        .map(str::to_lowercase)
        .collect();
    let vowel = |c: char| "aeiouy".contains(c);
    let syllables = |word: &String| {
        let (mut groups, mut before) = (0_usize, false);
        for c in word.chars() {
            groups += usize::from(vowel(c) && !before);
            before = vowel(c);
        }
        let silent = word.ends_with('e') && !word.ends_with("le") && groups > 1;
        (groups - usize::from(silent)).max(1)
    };
    let sentences = text.split(['.', '!', '?', ':', '\n']).filter(|s| s.chars().any(char::is_alphabetic)).count();
    let (n, s) = (words.len() as f64, sentences as f64);
    0.39 * n / s + 11.8 * words.iter().map(syllables).sum::<usize>() as f64 / n - 15.59
}

#[test]
fn letters_are_readable_at_grade_eight_and_say_who_looked_and_which_pack() {
    let pack = landscape();
    let mut grades = Vec::new();
    for cause in &pack.causes {
        let host = pack.hosts.iter().enumerate().find(|(h, _)| cause.fits_host(*h)).unwrap().1;
        let given = all_seen(&pack, &cause.id, &host.id, cause.window.first_day());
        let advice = Advice::new(&pack, &given, &Situation::new([], [])).unwrap();
        let next = pack.next_looks(&given).unwrap();
        let letter = |language| Letter::new(&pack, &given, &advice, &next, &occasion(), language).unwrap();
        let (en, es) = (letter(Language::En), letter(Language::Es));
        grades.push((grade(&en.text), cause.id.as_str()));
        assert!(en.text.contains("A person reviewed this letter: no") && en.text.contains(&pack.content_version()));
        assert!(es.text.contains("Una persona revisó esta carta: no") && es.text.contains(&pack.content_version()));
        assert!(en.html.contains("What is &#60;wrong&#62; &#38; why?"), "the question is escaped");
        assert!(!es.text.contains("What we saw") && es.html.contains("<html lang=\"es\">"));
        if advice.escalate == Escalate::Regulated {
            assert!(!en.text.contains(cause.name.en()) && !es.text.contains(&cause.name.es), "{} is named", cause.id);
        }
    }
    grades.sort_by(|a, b| b.0.total_cmp(&a.0));
    eprintln!("hardest letters: {:.1?}", &grades[..3]);
    assert!(grades[0].0 <= 8.0, "{:?}", &grades[..5]);
}
