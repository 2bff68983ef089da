//! A field's value and its one CBOR form.

use std::collections::BTreeMap;

use minicbor::data::Type;

use crate::{
    cbor::{self, Reader, WriteError, Writer, malformed},
    error::Result,
};

/// A value as it is carried. The registry's type of the field says what it means.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Value {
    /// Text as typed; also dates, instants, decimals and ids of the pack.
    Text(String),
    /// Whole number; also codes of an enumeration and degrees times 10^7.
    Int(i64),
    /// Yes or no.
    Bool(bool),
    /// Bytes: a reference to a record (16) or a photo (33).
    Bytes(Vec<u8>),
    /// Several values of one type.
    List(Vec<Value>),
    /// A group: one value with parts, each under its number.
    Group(BTreeMap<u32, Value>),
}

impl Value {
    /// The normal CBOR form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| self.write(w))
    }

    /// Writes the normal CBOR form behind what `w` holds.
    ///
    /// # Errors
    /// None in memory.
    pub fn write(&self, w: &mut Writer<'_>) -> Result<(), WriteError> {
        match self {
            Self::Text(t) => w.str(t).map(drop),
            Self::Int(i) => w.i64(*i).map(drop),
            Self::Bool(b) => w.bool(*b).map(drop),
            Self::Bytes(b) => w.bytes(b).map(drop),
            Self::List(items) => {
                w.array(items.len() as u64)?;
                items.iter().try_for_each(|item| item.write(w))
            }
            Self::Group(parts) => {
                w.map(parts.len() as u64)?;
                parts.iter().try_for_each(|(key, part)| {
                    w.u32(*key)?;
                    part.write(w)
                })
            }
        }
    }

    /// Reads the normal CBOR form.
    ///
    /// # Errors
    /// `SCHEMA` when the bytes are anything else.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self> {
        Self::read(&mut Reader::new(bytes)?)
    }

    fn read(r: &mut Reader<'_>) -> Result<Self> {
        Ok(match r.peek()? {
            Type::String => Self::Text(r.text()?.to_owned()),
            Type::Bool => Self::Bool(r.bool()?),
            Type::Bytes => Self::Bytes(r.bytes()?.to_vec()),
            Type::Array => {
                let len = r.array()?;
                Self::List((0..len).map(|_| Self::read(r)).collect::<Result<_>>()?)
            }
            Type::Map => {
                let len = r.map()?;
                Self::Group(
                    (0..len)
                        .map(|_| {
                            let key = u32::try_from(r.uint()?).map_err(|_| malformed("a part's number"))?;
                            Ok((key, Self::read(r)?))
                        })
                        .collect::<Result<_>>()?,
                )
            }
            Type::Null => return Err(malformed("a null value")),
            _ => Self::Int(r.int()?),
        })
    }

    /// The text, where it is one.
    pub fn as_text(&self) -> Option<&str> {
        if let Self::Text(t) = self { Some(t) } else { None }
    }

    /// The number, where it is one.
    pub fn as_int(&self) -> Option<i64> {
        if let Self::Int(i) = self { Some(*i) } else { None }
    }

    /// The bytes, where they are some.
    pub fn as_bytes(&self) -> Option<&[u8]> {
        if let Self::Bytes(b) = self { Some(b) } else { None }
    }

    /// The part of a group with this number.
    pub fn part(&self, key: u32) -> Option<&Value> {
        if let Self::Group(parts) = self { parts.get(&key) } else { None }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn any_value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            any::<String>().prop_map(Value::Text),
            any::<i64>().prop_map(Value::Int),
            any::<bool>().prop_map(Value::Bool),
            prop::collection::vec(any::<u8>(), 0..40).prop_map(Value::Bytes),
        ];
        leaf.prop_recursive(3, 24, 6, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..6).prop_map(Value::List),
                prop::collection::btree_map(any::<u32>(), inner, 0..6).prop_map(Value::Group),
            ]
        })
    }

    proptest! {
        #[test]
        fn every_value_survives_its_cbor_and_the_form_is_normal(value in any_value()) {
            let bytes = value.to_cbor();
            cbor::check(&bytes).unwrap();
            prop_assert_eq!(Value::from_cbor(&bytes).unwrap(), value);
        }
    }

    #[test]
    fn text_is_kept_as_typed() {
        for text in ["e\u{301}", "é", "שלום, עץ", "🌳👨‍👩‍👧", ""] {
            let value = Value::Text(text.into());
            assert_eq!(Value::from_cbor(&value.to_cbor()).unwrap().as_text(), Some(text));
        }
    }
}
