//! What stands around every page: the office's name, the ways between pages, the pack and its notice.

use askama::Template;

use super::names::Names;

/// Pages one can go to from everywhere.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Here {
    /// The list of inquiries, and one of them.
    Inquiries,
    /// The log of bundles.
    TakeIn,
    /// The phones.
    Phones,
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
    here: Here,
}

impl Frame {
    /// Of one page.
    pub fn new(office: &str, names: &Names, here: Here) -> Self {
        Self { office: office.to_owned(), pack: names.pack.clone(), notice: names.notice.clone(), here }
    }

    /// The ways: (address, name, whether one is there).
    pub fn nav(&self) -> [(&'static str, &'static str, bool); 3] {
        [
            ("/inquiries", "Inquiries", self.here == Here::Inquiries),
            ("/take-in", "Taken in", self.here == Here::TakeIn),
            ("/phones", "Phones", self.here == Here::Phones),
        ]
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
