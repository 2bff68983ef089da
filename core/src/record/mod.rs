//! What a record is: kinds, fields, types, privacy classes, who may write what, and the limits of each value.
//!
//! In comes JSON of a person or a script, or CBOR of a change; out go checked [`Value`]s, problems named by field, and
//! the documents that are generated from the one registry. Nothing here knows how records are kept or carried.

mod contact_fields;
mod document;
mod field_work;
mod json;
mod lookup;
mod office_work;
mod registry;
mod validate;
mod value;

pub use document::{fields_table, json_schema};
pub use json::{from_json, to_json};
pub(crate) use lookup::blob_fields;
pub use lookup::{field, fields_of};
pub use registry::{EXISTENCE, Field, Kind, Part, Privacy, REGISTRY_VERSION, Role, Roles, Type};
pub use validate::{LIMITS, Limits, check_value, parse_fields};
pub use value::Value;
