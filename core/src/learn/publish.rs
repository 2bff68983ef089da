//! A proposal written into the pack's own files: the next revision, for people to read and sign. Only words change; comments
//! and order stay as they are.

use super::{Change, NotPublished, Place, Proposal};
use crate::key::Pack;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The files of the next revision, and how many words changed in them. A change whose nearest word is the old one, and one
/// for a single host or month, changes no file: a pack has one word for it.
///
/// # Errors
/// Nobody said yes; the proposal was made for another version of the pack.
pub fn publish(
    pack: &Pack,
    files: &BTreeMap<String, String>,
    proposal: &Proposal,
    date: Date,
    yes: bool,
) -> Result<(BTreeMap<String, String>, usize), NotPublished> {
    if !yes {
        return Err(NotPublished::NoYes);
    }
    if proposal.content_version != pack.content_version() {
        return Err(NotPublished::OtherContent);
    }
    let (mut files, mut changed) = (files.clone(), 0);
    for change in &proposal.changes {
        changed += usize::from(write(&mut files, change));
    }
    if let Some(text) = files.get_mut("pack.yaml") {
        *text = text
            .lines()
            .map(|line| match line.split_once(':') {
                Some(("version", rest)) => {
                    format!("version:{}", rest.replacen(&pack.version.to_string(), &(pack.version + 1).to_string(), 1))
                }
                Some(("date", rest)) => format!("date:{}", rest.replacen(&pack.date.to_string(), &date.to_string(), 1)),
                _ => line.to_owned(),
            })
            .fold(String::new(), |text, line| text + &line + "\n");
    }
    Ok((files, changed))
}

/// Writes one change; false if it changes no word.
fn write(files: &mut BTreeMap<String, String>, change: &Change) -> bool {
    let (Some(old), Some(new)) = (&change.old_word, &change.new_word) else { return false };
    let (folder, id, field, name) = match &change.place {
        Place::Link { cause, character, state } => ("causes/", cause, "key", format!("{character}.{state}")),
        Place::Leak { character, state } => ("characters/", character, "leak", state.clone()),
        Place::Prior { cause, host: None, month: None } => ("causes/", cause, "prior", String::new()),
        Place::Prior { .. } => return false,
    };
    if old == new {
        return false;
    }
    for (_, text) in files.iter_mut().filter(|(path, _)| path.starts_with(folder)) {
        if let Some(entry) = entry(text, id) {
            let Some(changed) = replaced(&text[entry.clone()], field, &name, old, new) else { return false };
            text.replace_range(entry, &changed);
            return true;
        }
    }
    false
}

/// Where the entry with this id stands in a list.
fn entry(text: &str, id: &str) -> Option<std::ops::Range<usize>> {
    let head = format!("- id: {id}\n");
    let start = if text.starts_with(&head) { 0 } else { text.find(&format!("\n{head}"))? + 1 };
    let end = text[start + 1..].find("\n- id: ").map_or(text.len(), |at| start + 1 + at + 1);
    Some(start..end)
}

/// The entry with the word of one name in one field replaced; nothing if it is not there as expected.
fn replaced(entry: &str, field: &str, name: &str, old: &str, new: &str) -> Option<String> {
    let head = format!("\n  {field}: ");
    let start = entry.find(&head)? + head.len();
    let end = entry[start..].find('\n').map_or(entry.len(), |at| start + at);
    let line = &entry[start..end];
    let at = if name.is_empty() {
        line.starts_with(old).then_some(0)?
    } else {
        let link = format!("{name}: {old}");
        let found = line.match_indices(&link).map(|(at, _)| at);
        let whole = |at: &usize| at.checked_sub(1).is_none_or(|b| matches!(line.as_bytes()[b], b' ' | b'{'));
        found.into_iter().find(whole)? + name.len() + 2
    };
    Some(format!("{}{}{new}{}{}", &entry[..start], &line[..at], &line[at + old.len()..], &entry[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::tests::{files, landscape, pack_of};
    use crate::learn::{LearnSettings, Model};
    use jiff::civil::date;

    fn proposal(pack: &Pack) -> Proposal {
        let model = Model::from_pack(pack, &pack.settings);
        Proposal::new(pack.content_version(), &model, &[], &LearnSettings::default(), |_| (), |(), _| Vec::new())
    }

    fn change(place: Place, old: &str, new: &str) -> Change {
        Change {
            place,
            old_word: Some(old.into()),
            old: 0.5,
            new: 0.3,
            new_word: Some(new.into()),
            cases: 40,
            hits: 12.0,
            interval: [0.2, 0.4],
        }
    }

    #[test]
    fn the_next_revision_reads_and_holds_the_new_words_and_nothing_else() {
        let (pack, files) = (landscape(), files());
        let cause = pack.cause("fire_blight").unwrap();
        let link = cause.key[0];
        let character = &pack.characters[link.character];
        let (id, state) = (character.id.clone(), character.states[link.state].id.clone());
        let mut proposal = proposal(&pack);
        let place = Place::Link { cause: cause.id.clone(), character: id, state };
        proposal.changes = vec![change(place, link.word.name(), "rarely")];
        let (next, changed) = publish(&pack, &files, &proposal, date(2027, 2, 1), true).unwrap();
        assert_eq!(changed, 1);
        let next_pack = pack_of(&next).unwrap();
        assert_eq!((next_pack.version, next_pack.date), (pack.version + 1, date(2027, 2, 1)));
        assert_eq!(next_pack.cause("fire_blight").unwrap().key[0].word.name(), "rarely");
        let different = files.iter().filter(|(path, text)| next.get(*path) != Some(text)).count();
        assert_eq!(different, 2, "one file of causes and pack.yaml");
        for (a, b) in pack.causes.iter().zip(&next_pack.causes).filter(|(a, _)| a.id != "fire_blight") {
            assert_eq!(a, b);
        }
    }

    #[test]
    fn nothing_is_published_without_a_yes_or_for_other_content() {
        let (pack, files) = (landscape(), files());
        let mut proposal = proposal(&pack);
        let day = date(2027, 2, 1);
        assert_eq!(publish(&pack, &files, &proposal, day, false).unwrap_err(), NotPublished::NoYes);
        proposal.content_version = "landscape 0".into();
        assert_eq!(publish(&pack, &files, &proposal, day, true).unwrap_err(), NotPublished::OtherContent);
    }

    #[test]
    fn a_word_is_found_by_its_whole_name() {
        let entry = "- id: a\n  prior: often\n  key: {x.ab: often, b.ab: often}\n";
        assert_eq!(
            replaced(entry, "key", "b.ab", "often", "rarely").unwrap(),
            "- id: a\n  prior: often\n  key: {x.ab: often, b.ab: rarely}\n"
        );
        assert_eq!(
            replaced(entry, "prior", "", "often", "rarely").unwrap(),
            "- id: a\n  prior: rarely\n  key: {x.ab: often, b.ab: often}\n"
        );
        assert!(replaced(entry, "key", "ab", "often", "rarely").is_none());
    }
}
