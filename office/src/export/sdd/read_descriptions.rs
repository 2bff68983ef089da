//! Reading coded descriptions: which states a cause has, how often, on which hosts.

use dooryard_core::key::Text;

use super::{
    TIES,
    read::{Reader, own_id},
    tree::Element,
    vocabulary::{Described, Named, Ties},
};

impl Reader {
    /// Reads all of them.
    pub(super) fn descriptions(&mut self, descriptions: &Element) {
        for element in &descriptions.children {
            if element.name != "CodedDescription" {
                self.unknown(descriptions, element);
                continue;
            }
            let (named, details, rest) = self.named("cause", element);
            let detail = self.only("Description", details, element);
            let mut described = Described { named: Named { detail, ..named }, ..Described::default() };
            for child in rest {
                match child.name.as_str() {
                    "Scope" => {
                        for scope in &child.children {
                            if scope.name == "TaxonName" {
                                described.hosts.push(own_id(scope.attribute("ref"), "host"));
                            } else {
                                self.unknown(child, scope);
                            }
                        }
                    }
                    "SummaryData" => child.children.iter().for_each(|data| self.data(child, data, &mut described)),
                    _ => self.unknown(element, child),
                }
            }
            described.states.sort_by(|a, b| (&a.state, a.tie).cmp(&(&b.state, b.tie)));
            self.found.causes.push(described);
        }
    }

    fn data(&mut self, around: &Element, data: &Element, described: &mut Described) {
        match data.name.as_str() {
            "Categorical" => {
                self.attributes(data, &["ref"]);
                for state in &data.children {
                    match self.states.get(state.attribute("ref")).cloned() {
                        Some(id) if state.name == "State" => {
                            let ties = self.ties(state, id);
                            described.states.push(ties);
                        }
                        None if state.name == "State" => self.note("State that no character defines".into()),
                        _ => self.unknown(data, state),
                    }
                }
            }
            "TextChar" | "Text" => {
                let mut text = Text::default();
                for child in &data.children {
                    if child.name == "Content" {
                        self.say(data, child, &mut text);
                    } else {
                        self.unknown(data, child);
                    }
                }
                described.texts.insert(own_id(data.attribute("ref"), "text"), text);
            }
            _ => self.unknown(around, data),
        }
    }

    fn ties(&mut self, element: &Element, state: (String, String)) -> Ties {
        self.attributes(element, &["ref"]);
        let mut ties = Ties { state, ..Ties::default() };
        for child in &element.children {
            let id = child.attribute("ref");
            let tie = TIES.iter().find(|(_, tie, _)| id == format!("tie.{tie}")).map(|(tie, ..)| *tie);
            match (child.name.as_str(), tie, self.words.get(id)) {
                ("Modifier", Some(tie), _) => ties.tie = tie,
                ("Modifier", None, Some(word)) if ties.word.is_none() => {
                    ties.word = Some(word.clone());
                    self.attributes(child, &["ref"]);
                }
                _ => self.unknown(element, child),
            }
        }
        ties
    }
}
