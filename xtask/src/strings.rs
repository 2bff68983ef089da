//! The Android app's files of strings: written out of the core's words (`app*.ftl`), or compared with what is committed.
//!
//! Only plain sentences cross: no arguments, no choices of number. What needs those is said by the core itself.

use std::{collections::BTreeMap, fmt::Write, fs, path::PathBuf};

use anyhow::{Context, Result, bail, ensure};
use fluent_syntax::ast::{Entry, InlineExpression, PatternElement};

use crate::{shell::root, tally::Tally, test::Outcome};

/// Folder of the words, and the folder of Android's resources that they go to.
const LANGUAGES: [(&str, &str); 2] = [("en", "values"), ("es", "values-es")];

/// Spanish needs room: a label may be this much longer than the English one, in hundredths, and some letters more.
const GROWTH: (usize, usize) = (140, 12);

/// The sentences of one language by name, in the order of the names.
type Sentences = BTreeMap<String, String>;

/// `cargo xtask strings`.
///
/// # Errors
/// For words that cannot cross, or that one language lacks; of the file system.
pub fn write() -> Result<()> {
    for (place, text) in made()? {
        fs::create_dir_all(place.parent().context("a folder")?)?;
        fs::write(&place, text)?;
    }
    Ok(())
}

/// The comparison as a part of the whole run.
///
/// # Errors
/// Naming each committed file that differs; as [`write()`].
pub fn compared() -> Result<Outcome> {
    for (place, text) in made()? {
        if fs::read_to_string(&place).ok().as_ref() != Some(&text) {
            bail!("{} is not what the words give (run `cargo xtask strings`)", place.display());
        }
    }
    Ok(Outcome::Ran(Tally::default()))
}

fn made() -> Result<Vec<(PathBuf, String)>> {
    let [english, spanish] = LANGUAGES.map(|(language, _)| sentences(language));
    let (english, spanish) = (english?, spanish?);
    same(&english, &spanish)?;
    let resources = root().join("android/app/src/main/res");
    let place = |values: &str| resources.join(values).join("strings.xml");
    Ok(vec![(place(LANGUAGES[0].1), xml(&english)), (place(LANGUAGES[1].1), xml(&spanish))])
}

/// Both languages have the same names, and the second leaves the layout its room.
fn same(english: &Sentences, spanish: &Sentences) -> Result<()> {
    for name in english.keys().chain(spanish.keys()) {
        let (Some(one), Some(other)) = (english.get(name), spanish.get(name)) else {
            bail!("{name} stands in one language only");
        };
        let room = one.chars().count() * GROWTH.0 / 100 + GROWTH.1;
        ensure!(other.chars().count() <= room, "{name}: the Spanish words are longer than {room} letters");
    }
    Ok(())
}

fn sentences(language: &str) -> Result<Sentences> {
    let folder = root().join("core/words").join(language);
    let mut found = Sentences::new();
    for file in fs::read_dir(&folder)? {
        let path = file?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if !(name.starts_with("app") && name.ends_with(".ftl")) {
            continue;
        }
        let text = fs::read_to_string(&path)?;
        for (name, sentence) in read(&text).with_context(|| path.display().to_string())? {
            ensure!(found.insert(name.clone(), sentence).is_none(), "{name} stands there twice");
        }
    }
    ensure!(!found.is_empty(), "no words for the apps in {}", folder.display());
    Ok(found)
}

/// The plain sentences of one file.
fn read(text: &str) -> Result<Vec<(String, String)>> {
    let resource = fluent_syntax::parser::parse(text).map_err(|(_, e)| anyhow::anyhow!("not Fluent: {e:?}"))?;
    let mut found = Vec::new();
    for entry in resource.body {
        let Entry::Message(message) = entry else { continue };
        let name = message.id.name.to_owned();
        let pattern = message.value.with_context(|| format!("{name} says nothing"))?;
        let mut sentence = String::new();
        for element in pattern.elements {
            match element {
                PatternElement::TextElement { value } => sentence.push_str(value),
                PatternElement::Placeable {
                    expression: fluent_syntax::ast::Expression::Inline(InlineExpression::StringLiteral { value }),
                } => sentence.push_str(value),
                PatternElement::Placeable { .. } => bail!("{name} has more in it than words: the core has to say it"),
            }
        }
        found.push((name, sentence));
    }
    Ok(found)
}

fn xml(sentences: &Sentences) -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<!-- Written by `cargo xtask strings` out of core/words. -->\n<resources>\n",
    );
    for (name, sentence) in sentences {
        let name = name.trim_start_matches("app-").replace('-', "_");
        let _ = writeln!(out, "    <string name=\"{name}\">{}</string>", escaped(sentence));
    }
    out.push_str("</resources>\n");
    out
}

/// As Android's resource compiler reads it.
fn escaped(sentence: &str) -> String {
    let mut out = String::with_capacity(sentence.len());
    for (i, c) in sentence.chars().enumerate() {
        match c {
            '\n' => out.push_str("\\n"),
            '\'' | '"' | '\\' => out.extend(['\\', c]),
            '@' | '?' if i == 0 => out.extend(['\\', c]),
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            _ => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_sentences_cross_escaped_and_nothing_else_does() {
        let read_one = |text: &str| read(text).map(|all| xml(&all.into_iter().collect()));
        let out = read_one("app-why-this = Don't ask < & \"that\"\n").unwrap();
        assert!(out.contains(r#"<string name="why_this">Don\'t ask &lt; &amp; \"that\"</string>"#), "{out}");
        assert!(read_one("app-n = { $n } visits\n").is_err(), "arguments are the core's to say");
        assert!(read_one("app-n = \n").is_err());
        assert!(read_one("= no\n").is_err());
    }

    #[test]
    fn a_language_that_lacks_a_sentence_or_needs_too_much_room_is_named() {
        let of = |text: &str| -> Sentences { read(text).unwrap().into_iter().collect() };
        same(&of("a = Back\n"), &of("a = Volver\n")).unwrap();
        assert!(same(&of("a = Back\nb = Go\n"), &of("a = Volver\n")).unwrap_err().to_string().starts_with("b "));
        assert!(same(&of("a = Back\n"), &of("a = Volver\nb = Ir\n")).is_err());
        assert!(same(&of("a = Back\n"), &of("a = Volver a la pantalla anterior\n")).is_err());
    }
}
