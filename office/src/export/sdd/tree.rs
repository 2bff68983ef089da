//! An XML document as a tree, within limits: no document type, nothing fetched, nothing that grows by being read.

use std::collections::BTreeMap;

use anyhow::{Context, Result, bail};
use quick_xml::{
    NsReader,
    events::{BytesStart, Event},
    name::ResolveResult,
};

/// Largest document that is read, in bytes.
pub const LARGEST: usize = 64 * 1024 * 1024;

/// How deep elements may stand in each other.
const DEEPEST: usize = 64;

/// One element.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Element {
    /// Its name, without namespace.
    pub name: String,
    /// Its namespace.
    pub namespace: String,
    /// Its attributes, `xml:lang` with its prefix, others as written.
    pub attributes: BTreeMap<String, String>,
    /// Elements in it.
    pub children: Vec<Element>,
    /// Text in it, without that of its children.
    pub text: String,
}

impl Element {
    /// Reads a document; gives its outermost element.
    ///
    /// # Errors
    /// When it is not well-formed, larger or deeper than the limits, or has a document type.
    pub fn read(text: &str) -> Result<Self> {
        if text.len() > LARGEST {
            bail!("it is larger than {} MiB", LARGEST / 1024 / 1024);
        }
        let mut reader = NsReader::from_str(text);
        let mut open: Vec<Self> = Vec::new();
        let mut root = None;
        loop {
            let at = reader.buffer_position();
            let (namespace, event) =
                reader.read_resolved_event().with_context(|| format!("it is no XML at byte {at}"))?;
            let space = match namespace {
                ResolveResult::Bound(space) => space.as_ref().to_owned(),
                _ => String::new(),
            };
            let mut done = None;
            match event {
                Event::Start(start) if open.len() < DEEPEST => open.push(Self::of(&start, space)?),
                Event::Start(_) => bail!("its elements stand more than {DEEPEST} deep in each other"),
                Event::Empty(start) => done = Some(Self::of(&start, space)?),
                Event::End(_) => done = open.pop(),
                Event::DocType(_) => bail!("it has a document type, which is never read"),
                Event::Text(words) => {
                    if let Some(element) = open.last_mut() {
                        element.text.push_str(&words);
                    }
                }
                Event::CData(words) => {
                    if let Some(element) = open.last_mut() {
                        element.text.push_str(&words);
                    }
                }
                Event::GeneralRef(name) => {
                    let known = quick_xml::escape::unescape(&format!("&{};", &*name)).map(|c| c.into_owned());
                    let known = known.with_context(|| format!("it refers to {:?}, which nothing defines", &*name))?;
                    if let Some(element) = open.last_mut() {
                        element.text.push_str(&known);
                    }
                }
                Event::Eof => break,
                _ => {}
            }
            match (done, open.last_mut()) {
                (Some(element), Some(around)) => around.children.push(element),
                (Some(element), None) => root = root.or(Some(element)),
                _ => {}
            }
        }
        if !open.is_empty() {
            bail!("it ends in the middle of an element");
        }
        root.context("there is nothing in it")
    }

    fn of(start: &BytesStart<'_>, namespace: String) -> Result<Self> {
        let mut attributes = BTreeMap::new();
        for attribute in start.attributes() {
            let attribute = attribute.context("an attribute is no XML")?;
            let value = quick_xml::escape::unescape(&attribute.value).context("an attribute is no XML")?.into_owned();
            attributes.insert(attribute.key.as_ref().to_owned(), value);
        }
        Ok(Self { name: start.local_name().as_ref().to_owned(), namespace, attributes, ..Self::default() })
    }

    /// An attribute; empty when it is not there.
    pub fn attribute(&self, name: &str) -> &str {
        self.attributes.get(name).map_or("", String::as_str)
    }
}
