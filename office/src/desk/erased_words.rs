//! The words of private values that are about to be erased, and the saved views of the office page that search for them.
//!
//! A view goes when a word of its search or of its name stood in what is erased and nowhere else here, and names no plant and no
//! cause. Afterwards nobody could tell any more, so it is done before the erasure.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Query, Record},
    record::{Field, Privacy, Type, fields_of},
};
use serde_json::Value as Json;
use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

use crate::{index::names_of_plants_and_causes, people};

/// Letters of a beginning of a word that is looked at; with fewer it could be of any word.
const BEGINNING: usize = 3;
/// Records in which a word is looked for elsewhere.
const ELSEWHERE: usize = 500;

/// Words that are about to be erased.
#[derive(Default)]
pub(super) struct ErasedWords {
    words: BTreeSet<String>,
    records: BTreeSet<RecordId>,
}

impl ErasedWords {
    /// Adds the private words that were ever saved of a record: in the fields with these numbers, or in all when there are none.
    pub(super) fn add(&mut self, notebook: &Notebook, record: &Record, fields: &[u32]) -> Result<()> {
        self.records.insert(record.id);
        let is_one = |field: &&Field| {
            let covered = fields.is_empty() || fields.contains(&field.id);
            covered && matches!(field.class, Privacy::Private | Privacy::Sealed)
        };
        for (name, value) in notebook.history(record.id)?.into_iter().flat_map(|entry| entry.wrote) {
            let field = fields_of(record.kind).iter().filter(is_one).find(|field| field.name == name);
            if let (Some(field), Some(value)) = (field, &value) {
                self.words.extend(texts(field, value).into_iter().flat_map(words));
            }
        }
        Ok(())
    }

    /// Removes the views of everybody that search for one of them or are called by one; says how many.
    pub(super) fn forget_views(&self, folder: &Path, notebook: &Notebook) -> Result<usize> {
        if self.words.is_empty() {
            return Ok(0);
        }
        let names = names_of_plants_and_causes(folder)?;
        let names: BTreeSet<String> = names.iter().flat_map(|name| words(name)).collect();
        let mut known = BTreeMap::new();
        let mut is_gone = |word: &str| -> Result<bool> {
            if let Some(known) = known.get(word) {
                return Ok(*known);
            }
            let gone = self.is_gone_with_them(word, notebook, &names)?;
            known.insert(word.to_owned(), gone);
            Ok(gone)
        };
        let mut failed = Ok(());
        let mut names_it = |text: &str| {
            words(text).iter().any(|word| {
                is_gone(word).unwrap_or_else(|e| {
                    failed = Err(e);
                    false
                })
            })
        };
        let views = people::forget_views(folder, &mut names_it)?;
        failed.map(|()| views)
    }

    /// Whether a word, or the beginning of one, stands in what is erased and nowhere else.
    fn is_gone_with_them(&self, word: &str, notebook: &Notebook, names: &BTreeSet<String>) -> Result<bool> {
        let whole = self.words.contains(word);
        let begins = |known: &String| known.starts_with(word);
        if !whole && (word.chars().count() < BEGINNING || !self.words.iter().any(begins)) || names.iter().any(begins) {
            return Ok(false);
        }
        let query = Query { words: word.to_owned(), with_hidden: true, limit: ELSEWHERE, ..Query::default() };
        let found = notebook.list(&query)?.rows;
        for row in found.iter().filter(|row| !self.records.contains(&row.id)) {
            if !whole || words(&notebook.words_of(row.id)?).iter().any(|other| other == word) {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

/// The texts of a value, as a person typed them.
fn texts<'a>(field: &Field, value: &'a Json) -> Vec<&'a str> {
    let parts: Vec<&Json> = match field.ty {
        Type::Text(_) => vec![value],
        Type::Group(parts) => parts
            .iter()
            .filter(|part| matches!(part.ty, Type::Text(_)))
            .filter_map(|part| value.get(part.name))
            .collect(),
        _ => Vec::new(),
    };
    parts.into_iter().filter_map(Json::as_str).collect()
}

/// The words of a text as the text index has them: in small letters, without accents, cut at marks.
fn words(text: &str) -> Vec<String> {
    let plain: String = text.nfd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect();
    plain.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}
