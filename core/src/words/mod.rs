//! What programs say to people, in each language: one Fluent file for each part of a program, one folder for each language.
//!
//! Comes in: the name of a sentence and what stands in it. Goes out: the sentence. What a content pack says is not here: it
//! carries its own languages.

mod forms;
mod language;
mod when;

use std::{borrow::Cow, sync::LazyLock};

use fluent_bundle::{FluentArgs, FluentError, FluentResource, FluentValue, concurrent::FluentBundle};
pub use forms::{number, sentence_case, size, spaced};
pub use language::Language;
pub use when::{When, day_begins_ms, day_of_ms, instant_ms};

/// The files, each in both languages.
macro_rules! files {
    ($language:literal) => {
        files!(
            $language,
            "key",
            "office-desk",
            "office-inquiry",
            "office-list",
            "office-map",
            "office-registry",
            "office-review",
            "office-season",
            "office-take-in",
            "page",
            "people",
            "phone-ask",
            "phone-keep",
            "phone-photo",
            "phone-today",
            "phone-walk",
            "time"
        )
    };
    ($language:literal, $($name:literal),+) => {
        [$(($name, include_str!(concat!("../../words/", $language, "/", $name, ".ftl")))),+]
    };
}

type Bundle = FluentBundle<FluentResource>;

static ENGLISH: LazyLock<Bundle> = LazyLock::new(|| read(Language::En, &files!("en")));
static SPANISH: LazyLock<Bundle> = LazyLock::new(|| read(Language::Es, &files!("es")));

/// Says sentences in one language.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Words(pub Language);

/// What can stand in a sentence: text as it is, a number by the rules of the language.
pub trait Argument {
    /// As Fluent takes it.
    fn value(&self) -> FluentValue<'_>;
}

impl Words {
    /// The sentence of this name. The name itself where there is none: a page is shown all the same, and tests look for it.
    pub fn say(self, name: &str) -> String {
        self.with(name, [])
    }

    /// The sentence of this name, with what stands in it.
    pub fn with<const N: usize>(self, name: &str, given: [(&str, &dyn Argument); N]) -> String {
        let args: FluentArgs<'_> = given.iter().map(|(name, value)| (Cow::Borrowed(*name), value.value())).collect();
        self.find(name, &args).or_else(|| Words::default().find(name, &args)).unwrap_or_else(|| name.to_owned())
    }

    /// Whether there is a sentence of this name.
    pub fn has(self, name: &str) -> bool {
        self.bundle().has_message(name)
    }

    /// The tag of BCP 47.
    pub fn tag(self) -> &'static str {
        self.0.tag()
    }

    fn find(self, name: &str, args: &FluentArgs<'_>) -> Option<String> {
        let bundle = self.bundle();
        let pattern = bundle.get_message(name)?.value()?;
        // What is missing shows as its name in braces.
        let mut missing: Vec<FluentError> = Vec::new();
        Some(bundle.format_pattern(pattern, Some(args), &mut missing).into_owned())
    }

    fn bundle(self) -> &'static Bundle {
        match self.0 {
            Language::En => &ENGLISH,
            Language::Es => &SPANISH,
        }
    }
}

/// A mistake in a file leaves out what is mistaken; the tests allow none.
fn read(language: Language, files: &[(&str, &str)]) -> Bundle {
    let mut bundle = Bundle::new_concurrent(vec![language.tag().parse().unwrap_or_default()]);
    // The marks around what stands in a sentence are for mixed directions of writing, and show in files and mails.
    bundle.set_use_isolating(false);
    bundle.set_formatter(Some(grouped));
    for (_, text) in files {
        let resource = FluentResource::try_new((*text).to_owned()).unwrap_or_else(|(sound, _)| sound);
        bundle.add_resource_overriding(resource);
    }
    bundle
}

/// Whole numbers with a comma at each thousand, as both languages write them in the United States.
fn grouped<M>(value: &FluentValue<'_>, _: &M) -> Option<String> {
    let FluentValue::Number(number) = value else { return None };
    let whole = (number.value.fract() == 0.0 && number.value.abs() < 1e15).then_some(number.value)?;
    let digits = format!("{:.0}", whole.abs());
    let mut text = if whole < 0.0 { String::from("-") } else { String::new() };
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    Some(text)
}

impl Argument for str {
    fn value(&self) -> FluentValue<'_> {
        FluentValue::String(Cow::Borrowed(self))
    }
}

impl Argument for String {
    fn value(&self) -> FluentValue<'_> {
        self.as_str().value()
    }
}

impl<T: Argument + ?Sized> Argument for &T {
    fn value(&self) -> FluentValue<'_> {
        (**self).value()
    }
}

macro_rules! numbers {
    ($($number:ty),+) => {$(
        impl Argument for $number {
            fn value(&self) -> FluentValue<'_> {
                FluentValue::from(*self)
            }
        }
    )+};
}

numbers!(u8, u16, u32, u64, usize, i64, f64);

#[cfg(test)]
mod tests;
