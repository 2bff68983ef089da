//! What stands around every page: the office's name, the ways between pages, the pack and its notice.

use askama::Template;

use super::names::Names;
use crate::people::{Role, Visitor};

/// Pages one can go to from everywhere.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Here {
    /// The list of inquiries, and one of them.
    Inquiries,
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
            here,
        }
    }

    /// The ways that whoever is signed in can go: (address, name, whether one is there).
    pub fn nav(&self) -> Vec<(&'static str, &'static str, bool)> {
        let ways = [
            ("/inquiries", "Inquiries", Here::Inquiries, Role::Reader),
            ("/take-in", "Taken in", Here::TakeIn, Role::Reader),
            ("/phones", "Phones", Here::Phones, Role::Reader),
            ("/people", "People", Here::People, Role::Admin),
        ];
        let Some(who) = &self.who else { return Vec::new() };
        let open = ways.into_iter().filter(|(.., least)| who.role >= *least);
        open.map(|(href, name, here, _)| (href, name, here == self.here)).collect()
    }

    /// The token that forms carry; nothing for whoever is not signed in.
    pub fn token(&self) -> &str {
        self.who.as_ref().map_or("", |who| &who.token)
    }
}

/// The page as text. Writing to memory does not fail; should a page all the same, it says so.
pub fn render(page: &impl Template) -> String {
    page.render().unwrap_or_else(|e| format!("This page could not be made: {e}"))
}

/// Pegs of the way of a visit: (place on the string, driven in), `steps` of four driven in.
pub fn pegs(steps: &usize) -> [(&'static str, bool); 4] {
    let at = ["4.0", "29.3", "54.6", "79.9"];
    std::array::from_fn(|i| (at[i], i < *steps))
}
