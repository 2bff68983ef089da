//! Reading SDD, with a report of all that was not understood.

use std::collections::BTreeMap;

use anyhow::{Context, Result, bail};
use dooryard_core::key::{Language, Text};
use serde::Serialize;

use super::{
    NAMESPACE, TIES,
    tree::Element,
    vocabulary::{Look, Named, State, Vocabulary},
};

/// What a file says and we have no words for: the place in the file, and how often.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize)]
pub struct NotUnderstood(pub BTreeMap<String, u64>);

/// What was read.
#[derive(Clone, PartialEq, Debug)]
pub struct Read {
    /// What was understood.
    pub vocabulary: Vocabulary,
    /// What was not.
    pub not_understood: NotUnderstood,
}

/// Reads an SDD 1.1 document of one data set.
///
/// # Errors
/// When it is not well-formed, no SDD, or breaks a limit of reading. Everything else that we have no words for is in the
/// report.
pub fn read(text: &str) -> Result<Read> {
    let root = Element::read(text)?;
    if root.name != "Datasets" || root.namespace != NAMESPACE {
        bail!("it is no SDD 1.1: its outermost element is {}", root.name);
    }
    let mut reader = Reader::default();
    let mut sets = Vec::new();
    for child in &root.children {
        match child.name.as_str() {
            "TechnicalMetadata" => {}
            "Dataset" => sets.push(child),
            _ => reader.unknown(&root, child),
        }
    }
    let first = sets.first().context("it holds no data set")?;
    sets.iter().skip(1).for_each(|other| reader.unknown(&root, other));
    reader.dataset(first);
    Ok(Read { vocabulary: reader.found, not_understood: NotUnderstood(reader.unknown) })
}

/// What was read so far.
#[derive(Default)]
pub(super) struct Reader {
    /// What was understood.
    pub(super) found: Vocabulary,
    unknown: BTreeMap<String, u64>,
    /// Language of what has none of its own.
    language: Option<Language>,
    /// States by their id in the file: character, state.
    pub(super) states: BTreeMap<String, (String, String)>,
    /// Modifiers by their id in the file.
    pub(super) words: BTreeMap<String, String>,
    /// Parts of the plant by the id of their node in the file.
    parts: BTreeMap<String, String>,
}

impl Reader {
    pub(super) fn note(&mut self, place: String) {
        *self.unknown.entry(place).or_default() += 1;
    }

    pub(super) fn unknown(&mut self, around: &Element, element: &Element) {
        self.note(format!("{}/{}", around.name, element.name));
    }

    /// Attributes that nobody reads.
    pub(super) fn attributes(&mut self, element: &Element, known: &[&str]) {
        // A name for people who read the file itself.
        for name in
            element.attributes.keys().filter(|n| !known.contains(&n.as_str()) && *n != "debuglabel" && *n != "xmlns")
        {
            self.note(format!("{}/@{name}", element.name));
        }
    }

    fn dataset(&mut self, set: &Element) {
        self.attributes(set, &["xml:lang"]);
        self.language = Language::from_tag(set.attribute("xml:lang"));
        // What others refer to comes first, in whatever order the file has it.
        let of = |name: &'static str| set.children.iter().filter(move |c| c.name == name);
        of("Representation").for_each(|r| {
            let (label, details) = self.representation(set, r);
            self.found.title = label;
            self.found.detail = details.into_iter().map(|(_, t)| t.en).collect::<Vec<_>>().join(" ");
        });
        of("TaxonNames").for_each(|names| self.taxa(names));
        let concepts: BTreeMap<String, String> = of("DescriptiveConcepts").flat_map(|c| self.concepts(c)).collect();
        of("Characters").for_each(|c| self.characters(c));
        of("CharacterTrees").for_each(|t| self.trees(t, &concepts));
        of("CodedDescriptions").for_each(|d| self.descriptions(d));
        let known = [
            "Representation",
            "TaxonNames",
            "DescriptiveConcepts",
            "Characters",
            "CharacterTrees",
            "CodedDescriptions",
        ];
        set.children.iter().filter(|c| !known.contains(&c.name.as_str())).for_each(|other| self.unknown(set, other));
    }

    /// Label, and details by role.
    fn representation(&mut self, of: &Element, representation: &Element) -> (Text, Vec<(String, Text)>) {
        let (mut label, mut details): (Text, Vec<(String, Text)>) = Default::default();
        for child in &representation.children {
            match child.name.as_str() {
                "Label" if child.attribute("role").is_empty() || child.attribute("role") == "Full" => {
                    self.say(of, child, &mut label);
                }
                "Detail" => {
                    let role = child.attribute("role").to_owned();
                    let at = details.iter().position(|(known, _)| *known == role).unwrap_or(details.len());
                    if at == details.len() {
                        details.push((role, Text::default()));
                    }
                    if let Some((_, text)) = details.get_mut(at) {
                        self.say(of, child, text);
                    }
                }
                _ => self.note(format!("{}/Representation/{}", of.name, child.name)),
            }
        }
        (label, details)
    }

    /// A text in its language; a third language, and a second text in one language, are not understood.
    pub(super) fn say(&mut self, of: &Element, element: &Element, text: &mut Text) {
        self.attributes(element, &["xml:lang", "role"]);
        let tag = element.attribute("xml:lang");
        let language = if tag.is_empty() { self.language.or(Some(Language::En)) } else { Language::from_tag(tag) };
        let place = match language {
            Some(Language::En) => &mut text.en,
            Some(Language::Es) => &mut text.es,
            // A scientific name is in no language.
            None if tag.starts_with("zxx") || tag == "la" => &mut text.en,
            None => return self.note(format!("{}/{} in the language {tag}", of.name, element.name)),
        };
        if place.is_empty() {
            element.text.trim().clone_into(place);
        } else {
            self.note(format!("{}/{} twice in one language", of.name, element.name));
        }
    }

    /// A thing with a name; gives its children that are something else.
    pub(super) fn named<'e>(
        &mut self,
        sort: &str,
        element: &'e Element,
    ) -> (Named, Vec<(String, Text)>, Vec<&'e Element>) {
        self.attributes(element, &["id"]);
        let mut named = Named { id: own_id(element.attribute("id"), sort), ..Named::default() };
        let (mut details, mut rest) = (Vec::new(), Vec::new());
        for child in &element.children {
            if child.name == "Representation" {
                (named.name, details) = self.representation(element, child);
            } else {
                rest.push(child);
            }
        }
        (named, details, rest)
    }

    fn taxa(&mut self, names: &Element) {
        for name in &names.children {
            if name.name != "TaxonName" {
                self.unknown(names, name);
                continue;
            }
            let (mut named, details, rest) = self.named("host", name);
            named.detail = self.only("Description", details, name);
            rest.into_iter().for_each(|r| self.unknown(name, r));
            self.found.hosts.push(named);
        }
    }

    /// The detail with this role; others are not understood. One without a role counts where nothing else does.
    pub(super) fn only(&mut self, role: &str, details: Vec<(String, Text)>, of: &Element) -> Text {
        let mut found = Text::default();
        for (given, text) in details {
            if (given == role || given.is_empty()) && found.en.is_empty() {
                found = text;
            } else {
                self.note(format!("{}/Representation/Detail role {given}", of.name));
            }
        }
        found
    }

    /// Words of frequency; gives the concepts that may be parts of a plant, by their id in the file.
    fn concepts(&mut self, concepts: &Element) -> Vec<(String, String)> {
        let mut parts = Vec::new();
        for concept in &concepts.children {
            let (named, details, rest) = self.named("part", concept);
            details.into_iter().for_each(|_| self.note("DescriptiveConcept/Representation/Detail".into()));
            let is_part = rest.is_empty();
            for child in rest {
                if child.name == "Modifiers" {
                    child.children.iter().for_each(|m| self.modifier(m));
                } else {
                    self.unknown(concept, child);
                }
            }
            if is_part {
                parts.push((concept.attribute("id").to_owned(), named.id));
            }
        }
        parts
    }

    fn modifier(&mut self, modifier: &Element) {
        let id = modifier.attribute("id");
        if TIES.iter().any(|(_, tie, _)| id == format!("tie.{tie}")) {
            return;
        }
        let (named, _, rest) = self.named("word", modifier);
        let class = rest.iter().find(|c| c.name == "ModifierClass").map_or("", |c| c.text.trim());
        if class != "Frequency" {
            return self.note(format!(
                "Modifier of the class {}",
                if class.is_empty() { "OtherModifierClass" } else { class }
            ));
        }
        let mut share = None;
        for child in rest.iter().filter(|c| c.name != "ModifierClass") {
            let bound = |name: &str| child.attribute(name).parse::<f64>().ok().filter(|n| (0.0..=1.0).contains(n));
            match (child.name.as_str(), bound("lowerestimate"), bound("upperestimate")) {
                ("ProportionRange", Some(low), Some(high)) => {
                    share = Some(f64::midpoint(low, high));
                    if (high - low).abs() > f64::EPSILON {
                        self.note("Modifier/ProportionRange: the middle was taken".into());
                    }
                }
                _ => self.unknown(modifier, child),
            }
        }
        self.words.insert(id.to_owned(), named.id.clone());
        match share {
            Some(share) => drop(self.found.words.insert(named.id, share)),
            None => self.note("Modifier of the class Frequency without a share".into()),
        }
    }

    fn characters(&mut self, characters: &Element) {
        for element in &characters.children {
            match element.name.as_str() {
                "CategoricalCharacter" => self.character(element),
                // Its words stand in the descriptions.
                "TextCharacter" => {}
                _ => self.unknown(characters, element),
            }
        }
    }

    fn character(&mut self, element: &Element) {
        let (named, details, rest) = self.named("character", element);
        let mut look = Look { id: named.id, label: named.name, ..Look::default() };
        for (role, text) in details {
            match role.as_str() {
                "Caption" if look.ask.en.is_empty() => look.ask = text,
                "Description" | "" if look.how.en.is_empty() => look.how = text,
                _ => self.note(format!("CategoricalCharacter/Representation/Detail role {role}")),
            }
        }
        for child in rest {
            if child.name != "States" {
                self.unknown(element, child);
                continue;
            }
            for definition in &child.children {
                if definition.name != "StateDefinition" {
                    self.unknown(child, definition);
                    continue;
                }
                let (state, details, rest) = self.named("state", definition);
                details.into_iter().for_each(|_| self.note("StateDefinition/Representation/Detail".into()));
                rest.into_iter().for_each(|r| self.unknown(definition, r));
                let id = state.id.strip_prefix(&format!("{}.", look.id)).unwrap_or(&state.id).to_owned();
                self.states.insert(definition.attribute("id").to_owned(), (look.id.clone(), id.clone()));
                look.states.push(State { id, text: state.name });
            }
        }
        self.found.characters.push(look);
    }

    fn trees(&mut self, trees: &Element, concepts: &BTreeMap<String, String>) {
        for tree in &trees.children {
            let nodes = tree.children.iter().filter(|c| c.name == "Nodes").flat_map(|n| &n.children);
            let mut placed = 0;
            for node in nodes {
                let refers = |name: &str| node.children.iter().find(|c| c.name == name).map(|c| c.attribute("ref"));
                match (node.name.as_str(), refers("DescriptiveConcept"), refers("Parent"), refers("Character")) {
                    ("Node", Some(concept), None, None) if concepts.contains_key(concept) => {
                        let part = concepts.get(concept).cloned().unwrap_or_default();
                        self.parts.insert(node.attribute("id").to_owned(), part);
                    }
                    ("CharNode", None, Some(parent), Some(character)) if self.parts.contains_key(parent) => {
                        let (part, id) = (self.parts.get(parent).cloned(), own_id(character, "character"));
                        let look = self.found.characters.iter_mut().find(|c| c.id == id);
                        if let (Some(look), Some(part)) = (look, part) {
                            look.part = part;
                            placed += 1;
                        }
                    }
                    _ => self.unknown(tree, node),
                }
            }
            if placed == 0 {
                self.unknown(trees, tree);
            }
        }
    }
}

/// The id within its sort: `character.leaf_spot` is `leaf_spot`; ids of others stay as they are.
pub(super) fn own_id(id: &str, sort: &str) -> String {
    id.strip_prefix(sort).and_then(|rest| rest.strip_prefix('.')).unwrap_or(id).to_owned()
}

impl NotUnderstood {
    /// In lines for people.
    pub fn lines(&self) -> Vec<String> {
        self.0.iter().map(|(place, n)| format!("{n} x {place}")).collect()
    }
}
