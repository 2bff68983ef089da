//! Writing SDD.

use std::{collections::BTreeMap, io};

use dooryard_core::{
    Result,
    key::{Language, Pack, Text},
};
use quick_xml::{
    Writer,
    events::{BytesDecl, BytesText, Event},
};

use super::{
    NAMESPACE, TEXTS, TIES,
    vocabulary::{Described, Look, Named, Ties, Vocabulary},
};
use crate::export::whole::writing;

type Out = Writer<Vec<u8>>;

/// The vocabulary as an SDD 1.1 document. `made`: when, `YYYY-MM-DD`.
///
/// # Errors
/// None in memory.
pub fn write(vocabulary: &Vocabulary, made: &str) -> Result<Vec<u8>> {
    let mut w = Writer::new_with_indent(Vec::new(), b' ', 2);
    w.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None))).map_err(writing)?;
    let created = format!("{made}T00:00:00");
    w.create_element("Datasets")
        .with_attribute(("xmlns", NAMESPACE))
        .write_inner_content(|w| {
            w.create_element("TechnicalMetadata").with_attribute(("created", created.as_str())).write_inner_content(
                |w| {
                    let generator = [("name", "Dooryard"), ("version", env!("CARGO_PKG_VERSION"))];
                    w.create_element("Generator").with_attributes(generator).write_empty()?;
                    Ok(())
                },
            )?;
            inner(w, "Dataset", &[("xml:lang", "en")], |w| dataset(w, vocabulary))
        })
        .map_err(writing)?;
    Ok(w.into_inner())
}

/// What a pack holds that SDD has no words for, with how much of it there is.
pub fn not_written(pack: &Pack) -> BTreeMap<&'static str, usize> {
    let characters = &pack.characters;
    let states = || characters.iter().flat_map(|c| &c.states);
    let all = [
        ("normal state of a character", characters.len()),
        ("cost of a look", characters.len()),
        ("nature of a character", characters.len()),
        ("several states at once", characters.iter().filter(|c| c.multi).count()),
        ("character that is often away or hidden", characters.iter().filter(|c| c.mobile).count()),
        ("chance of a state without any cause", states().filter(|s| s.leak.is_some()).count()),
        ("state that says that nobody knows", states().filter(|s| s.not_known).count()),
        ("stop that a state raises", states().map(|s| s.stops.len()).sum()),
        ("chance of a cause beforehand", pack.causes.len()),
        ("sort, part in the trouble, and who has to answer", pack.causes.len()),
        ("season of a cause", pack.causes.len()),
        ("cause that is mistaken for another", pack.causes.iter().map(|c| c.confusers.len()).sum()),
        ("host that cannot have a cause of all others", pack.causes.iter().map(|c| c.except.len()).sum()),
        ("group of a host, and whether people eat of it", pack.hosts.len()),
        ("note on a host", pack.hosts.iter().filter(|h| h.note.is_some()).count()),
        ("stop", pack.stops.len()),
        ("safety question", pack.questions.len()),
        ("step of advice", pack.guidance.blocks.len()),
        ("group of causes with the same advice", pack.guidance.groups.len()),
    ];
    all.into_iter().filter(|(_, n)| *n > 0).collect()
}

fn dataset(w: &mut Out, v: &Vocabulary) -> io::Result<()> {
    inner(w, "Representation", &[], |w| {
        said(w, "Label", &[], &v.title)?;
        text(w, "Detail", &[], &v.detail)
    })?;
    if !v.hosts.is_empty() {
        inner(w, "TaxonNames", &[], |w| v.hosts.iter().try_for_each(|h| named(w, "TaxonName", "host", h)))?;
    }
    inner(w, "DescriptiveConcepts", &[], |w| concepts(w, v))?;
    inner(w, "Characters", &[], |w| {
        v.characters.iter().try_for_each(|c| character(w, c))?;
        TEXTS.iter().try_for_each(|(id, label)| {
            let id = format!("text.{id}");
            inner(w, "TextCharacter", &[("id", &id)], |w| label_only(w, label))
        })
    })?;
    if v.characters.iter().any(|c| !c.part.is_empty()) {
        inner(w, "CharacterTrees", &[], |w| {
            inner(w, "CharacterTree", &[("id", "parts")], |w| {
                label_only(w, "By part of the plant")?;
                inner(w, "Nodes", &[], |w| tree(w, v))
            })
        })?;
    }
    inner(w, "CodedDescriptions", &[], |w| v.causes.iter().try_for_each(|c| description(w, c)))
}

/// Parts of the plant in order of their first character.
fn parts(v: &Vocabulary) -> Vec<&str> {
    let mut parts: Vec<&str> = Vec::new();
    for part in v.characters.iter().map(|c| c.part.as_str()).filter(|p| !p.is_empty()) {
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    parts
}

fn concepts(w: &mut Out, v: &Vocabulary) -> io::Result<()> {
    for part in parts(v) {
        let id = format!("part.{part}");
        inner(w, "DescriptiveConcept", &[("id", &id)], |w| label_only(w, &part.replace('_', " ")))?;
    }
    let modifier = |w: &mut Out, id: &str, label: &str, class: &str, share: Option<f64>| {
        inner(w, "Modifier", &[("id", id)], |w| {
            label_only(w, label)?;
            text(w, "ModifierClass", &[], class)?;
            share.map_or(Ok(()), |share| {
                let share = share.to_string();
                let range = [("lowerestimate", share.as_str()), ("upperestimate", share.as_str())];
                w.create_element("ProportionRange").with_attributes(range).write_empty().map(drop)
            })
        })
    };
    if !v.words.is_empty() {
        inner(w, "DescriptiveConcept", &[("id", "words")], |w| {
            label_only(w, "How often a cause shows a state")?;
            inner(w, "Modifiers", &[], |w| {
                v.words_in_order().into_iter().try_for_each(|(word, share)| {
                    modifier(w, &format!("word.{word}"), &word.replace('_', " "), "Frequency", Some(share))
                })
            })
        })?;
    }
    inner(w, "DescriptiveConcept", &[("id", "ties")], |w| {
        label_only(w, "How a cause is tied to a state")?;
        inner(w, "Modifiers", &[], |w| {
            TIES.iter()
                .try_for_each(|(_, id, label)| modifier(w, &format!("tie.{id}"), label, "OtherModifierClass", None))
        })
    })
}

fn character(w: &mut Out, c: &Look) -> io::Result<()> {
    let id = format!("character.{}", c.id);
    inner(w, "CategoricalCharacter", &[("id", &id)], |w| {
        inner(w, "Representation", &[], |w| {
            said(w, "Label", &[], &c.label)?;
            said(w, "Detail", &[("role", "Caption")], &c.ask)?;
            said(w, "Detail", &[("role", "Description")], &c.how)
        })?;
        inner(w, "States", &[], |w| {
            c.states.iter().try_for_each(|s| {
                let id = format!("state.{}.{}", c.id, s.id);
                inner(w, "StateDefinition", &[("id", &id)], |w| {
                    inner(w, "Representation", &[], |w| said(w, "Label", &[], &s.text))
                })
            })
        })
    })
}

fn tree(w: &mut Out, v: &Vocabulary) -> io::Result<()> {
    for part in parts(v) {
        let (node, concept) = (format!("node.{part}"), format!("part.{part}"));
        inner(w, "Node", &[("id", &node)], |w| reference(w, "DescriptiveConcept", &concept))?;
    }
    v.characters.iter().filter(|c| !c.part.is_empty()).try_for_each(|c| {
        inner(w, "CharNode", &[], |w| {
            reference(w, "Parent", &format!("node.{}", c.part))?;
            reference(w, "Character", &format!("character.{}", c.id))
        })
    })
}

fn description(w: &mut Out, c: &Described) -> io::Result<()> {
    let id = format!("cause.{}", c.named.id);
    inner(w, "CodedDescription", &[("id", &id)], |w| {
        representation(w, &c.named)?;
        if !c.hosts.is_empty() {
            inner(w, "Scope", &[], |w| {
                c.hosts.iter().try_for_each(|h| reference(w, "TaxonName", &format!("host.{h}")))
            })?;
        }
        if c.states.is_empty() && c.texts.is_empty() {
            return Ok(());
        }
        inner(w, "SummaryData", &[], |w| {
            let mut by_character: BTreeMap<&str, Vec<&Ties>> = BTreeMap::new();
            for tied in &c.states {
                by_character.entry(tied.state.0.as_str()).or_default().push(tied);
            }
            for (character, states) in by_character {
                let id = format!("character.{character}");
                inner(w, "Categorical", &[("ref", &id)], |w| states.into_iter().try_for_each(|s| state(w, s)))?;
            }
            c.texts.iter().try_for_each(|(id, words)| {
                let id = format!("text.{id}");
                inner(w, "TextChar", &[("ref", &id)], |w| said(w, "Content", &[], words))
            })
        })
    })
}

fn state(w: &mut Out, tied: &Ties) -> io::Result<()> {
    let id = format!("state.{}.{}", tied.state.0, tied.state.1);
    inner(w, "State", &[("ref", &id)], |w| {
        if let Some(word) = &tied.word {
            reference(w, "Modifier", &format!("word.{word}"))?;
        }
        let tie = TIES.iter().find(|(tie, ..)| *tie == tied.tie).map_or("shows", |(_, id, _)| id);
        reference(w, "Modifier", &format!("tie.{tie}"))
    })
}

fn named(w: &mut Out, element: &str, sort: &str, n: &Named) -> io::Result<()> {
    let id = format!("{sort}.{}", n.id);
    inner(w, element, &[("id", &id)], |w| representation(w, n))
}

fn representation(w: &mut Out, n: &Named) -> io::Result<()> {
    inner(w, "Representation", &[], |w| {
        said(w, "Label", &[], &n.name)?;
        said(w, "Detail", &[("role", "Description")], &n.detail)
    })
}

fn label_only(w: &mut Out, label: &str) -> io::Result<()> {
    inner(w, "Representation", &[], |w| text(w, "Label", &[], label))
}

/// A text in each language that it is in.
fn said(w: &mut Out, element: &str, attributes: &[(&str, &str)], words: &Text) -> io::Result<()> {
    for (language, words) in [(Language::En, &words.en), (Language::Es, &words.es)] {
        if !words.is_empty() {
            let with: Vec<(&str, &str)> =
                [("xml:lang", language.tag())].into_iter().chain(attributes.iter().copied()).collect();
            text(w, element, &with, words)?;
        }
    }
    Ok(())
}

fn text(w: &mut Out, element: &str, attributes: &[(&str, &str)], words: &str) -> io::Result<()> {
    w.create_element(element)
        .with_attributes(attributes.iter().copied())
        .write_text_content(BytesText::new(words))
        .map(drop)
}

fn reference(w: &mut Out, element: &str, id: &str) -> io::Result<()> {
    w.create_element(element).with_attribute(("ref", id)).write_empty().map(drop)
}

fn inner(
    w: &mut Out,
    element: &str,
    attributes: &[(&str, &str)],
    write: impl FnOnce(&mut Out) -> io::Result<()>,
) -> io::Result<()> {
    w.create_element(element).with_attributes(attributes.iter().copied()).write_inner_content(write).map(drop)
}
