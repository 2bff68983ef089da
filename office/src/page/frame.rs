//! What stands around every page: the office's name, the ways between pages, the pack and its notice.

use askama::Template;
use dooryard_core::words::{Argument, Language, Words};

use super::{names::Names, words::When};
use crate::people::{Role, Visitor};

tokio::task_local! {
    /// What whoever asks for a page reads. The guard sets it around every page.
    static READS: Language;
}

/// Makes a page for somebody who reads this language.
pub(super) async fn in_language<T>(language: Language, page: impl Future<Output = T>) -> T {
    READS.scope(language, page).await
}

/// Pages one can go to from everywhere.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Here {
    /// What came in, is due and waits.
    Morning,
    /// Calls: taken, walked, answered.
    Desk,
    /// What is to be asked later.
    FollowUps,
    /// The list of inquiries, and one of them.
    Inquiries,
    /// What awaits a reviewer, and one review.
    Review,
    /// The map.
    Map,
    /// The season board, and reports of months.
    Season,
    /// The log of bundles.
    TakeIn,
    /// The phones.
    Phones,
    /// Accounts, the audit, what is known of one person, how long it is kept.
    People,
    /// None of these.
    Elsewhere,
}

/// What stands around a page.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The office's name.
    pub office: String,
    /// Pack and version.
    pub pack: String,
    /// What has to stand while nobody has reviewed the pack.
    pub notice: String,
    /// Who is signed in.
    pub who: Option<Signed>,
    /// What the page says, in the language of whoever reads it.
    pub words: Words,
    here: Here,
}

/// Who is signed in, as every page says it.
#[derive(Clone, Debug)]
pub struct Signed {
    /// The name of the account.
    pub name: String,
    /// What it may do.
    pub role: Role,
    /// The token that every form of the page carries.
    pub token: String,
}

impl Frame {
    /// Of one page.
    pub fn new(office: &str, names: &Names, who: Option<&Visitor>, here: Here) -> Self {
        let signed = |who: &Visitor| Signed { name: who.name.clone(), role: who.role, token: who.form_token.clone() };
        Self {
            office: office.to_owned(),
            pack: names.pack.clone(),
            notice: names.notice.clone(),
            who: who.map(signed),
            words: Words(READS.try_with(|language| *language).unwrap_or_default()),
            here,
        }
    }

    /// The ways that whoever is signed in can go: (address, name, whether one is there).
    pub fn nav(&self) -> Vec<(&'static str, String, bool)> {
        let ways = [
            ("/", "desk-nav-morning", Here::Morning, Role::Reader),
            ("/desk", "desk-nav-desk", Here::Desk, Role::ScoutLead),
            ("/follow-ups", "desk-nav-follow-ups", Here::FollowUps, Role::Reader),
            ("/inquiries", "page-inquiries", Here::Inquiries, Role::Reader),
            ("/review", "review-title", Here::Review, Role::Reader),
            ("/map", "map-nav", Here::Map, Role::Reader),
            ("/season", "season-nav", Here::Season, Role::Reader),
            ("/take-in", "page-take-in", Here::TakeIn, Role::Reader),
            ("/phones", "page-phones", Here::Phones, Role::Reader),
            ("/people", "page-people", Here::People, Role::Admin),
        ];
        let Some(who) = &self.who else { return Vec::new() };
        let open = ways.into_iter().filter(|(.., least)| who.role >= *least);
        open.map(|(href, name, here, _)| (href, self.say(name), here == self.here)).collect()
    }

    /// The other languages that the page speaks: (tag, its own name).
    pub fn languages(&self) -> impl Iterator<Item = (&'static str, &'static str)> {
        let others = Language::ALL.into_iter().filter(|language| *language != self.words.0);
        others.map(|language| (language.tag(), language.own_name()))
    }

    /// A sentence of the page.
    pub fn say(&self, name: &str) -> String {
        self.words.say(name)
    }

    /// A sentence of the page with one thing in it, as templates write it.
    pub fn fill(&self, name: &str, place: &str, value: impl Argument) -> String {
        self.words.with(name, [(place, &value)])
    }

    /// A sentence of the page with what stands in it.
    pub fn with<const N: usize>(&self, name: &str, given: [(&str, &dyn Argument); N]) -> String {
        self.words.with(name, given)
    }

    /// Days and times as seen from now.
    pub fn when(&self) -> When {
        When::now().told_in(self.words)
    }

    /// The token that forms carry; nothing for whoever is not signed in.
    pub fn token(&self) -> &str {
        self.who.as_ref().map_or("", |who| &who.token)
    }
}

/// The page as text. Writing to memory does not fail; should a page all the same, it says so.
pub fn render(page: &impl Template) -> String {
    page.render().unwrap_or_else(|e| Words::default().with("page-not-made", [("why", &e.to_string())]))
}

/// Pegs of the way of a visit: (place on the string, driven in), `steps` of four driven in.
pub fn pegs(steps: &usize) -> [(&'static str, bool); 4] {
    let at = ["4.0", "29.3", "54.6", "79.9"];
    std::array::from_fn(|i| (at[i], i < *steps))
}
