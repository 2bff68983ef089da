//! The JSON form of values: what people, scripts and the phones' shells read and write.

use serde_json::{Map, Number, Value as Json, json};

use super::{registry::Type, validate::check_value, value::Value};
use crate::{
    error::FieldCode,
    ids::{BlobId, RecordId},
};

/// 10^-7 degrees in a degree.
const DEGREE: f64 = 1e7;

/// Reads a value of this type from JSON and checks it.
///
/// # Errors
/// What is wrong with it.
pub fn from_json(ty: &Type, json: &Json) -> Result<Value, FieldCode> {
    let value = read(ty, json)?;
    check_value(ty, &value)?;
    Ok(value)
}

fn read(ty: &Type, json: &Json) -> Result<Value, FieldCode> {
    let text = || json.as_str().ok_or(FieldCode::WrongType);
    match ty {
        Type::Existence => Err(FieldCode::NotYours),
        Type::Text(_) | Type::Key | Type::Date | Type::Instant => Ok(Value::Text(text()?.to_owned())),
        Type::Decimal => match json {
            // Numbers are taken by their decimal text: 6.25 stays 6.25.
            Json::Number(n) => Ok(Value::Text(n.to_string())),
            _ => Ok(Value::Text(text()?.to_owned())),
        },
        Type::Int(..) => json.as_i64().map(Value::Int).ok_or(FieldCode::WrongType),
        Type::Bool => json.as_bool().map(Value::Bool).ok_or(FieldCode::WrongType),
        Type::Word(words) => {
            let at = words.iter().position(|w| json.as_str() == Some(w)).ok_or(FieldCode::UnknownWord)?;
            Ok(Value::Int(i64::try_from(at).map_err(|_| FieldCode::UnknownWord)?))
        }
        Type::Degrees(..) => {
            let degrees = json.as_f64().filter(|d| d.abs() <= 360.0).ok_or(FieldCode::WrongType)?;
            #[expect(clippy::cast_possible_truncation, reason = "at most 3.6e9")]
            Ok(Value::Int((degrees * DEGREE).round() as i64))
        }
        Type::Ref(_) => {
            text()?.parse::<RecordId>().map(|id| Value::Bytes(id.0.to_vec())).map_err(|_| FieldCode::BadForm)
        }
        Type::Blob => text()?.parse::<BlobId>().map(|id| Value::Bytes(id.0.to_vec())).map_err(|_| FieldCode::BadForm),
        Type::List(item) => {
            let items = json.as_array().ok_or(FieldCode::WrongType)?;
            Ok(Value::List(items.iter().map(|json| read(item, json)).collect::<Result<_, _>>()?))
        }
        Type::Group(parts) => {
            let given = json.as_object().ok_or(FieldCode::WrongType)?;
            let read_part = |(name, json): (&String, &Json)| {
                let part = parts.iter().find(|p| p.name == name).ok_or(FieldCode::UnknownField)?;
                Ok((part.key, read(&part.ty, json)?))
            };
            Ok(Value::Group(given.iter().map(read_part).collect::<Result<_, _>>()?))
        }
    }
}

/// The JSON form of a value of this type. A word of a newer version shows as `{"word": 17}`, bytes of no known form as hex.
pub fn to_json(ty: &Type, value: &Value) -> Json {
    match (ty, value) {
        (Type::Word(words), Value::Int(i)) => {
            usize::try_from(*i).ok().and_then(|i| words.get(i)).map_or_else(|| json!({ "word": i }), |w| json!(w))
        }
        (Type::Degrees(..), Value::Int(i)) => {
            #[expect(clippy::cast_precision_loss, reason = "at most 3.6e9")]
            let degrees = *i as f64 / DEGREE;
            Number::from_f64(degrees).map_or(Json::Null, Json::Number)
        }
        (Type::Ref(_), Value::Bytes(b)) => match RecordId::from_slice(b) {
            Ok(id) => json!(id.to_string()),
            Err(_) => json!(hex::encode(b)),
        },
        (Type::List(item), Value::List(items)) => items.iter().map(|value| to_json(item, value)).collect(),
        (Type::Group(parts), Value::Group(given)) => Json::Object(
            given
                .iter()
                .map(|(key, value)| match parts.iter().find(|p| p.key == *key) {
                    Some(part) => (part.name.to_owned(), to_json(&part.ty, value)),
                    None => (key.to_string(), plain(value)),
                })
                .collect::<Map<_, _>>(),
        ),
        _ => plain(value),
    }
}

/// JSON of a value whose type is not known here.
fn plain(value: &Value) -> Json {
    match value {
        Value::Text(t) => json!(t),
        Value::Int(i) => json!(i),
        Value::Bool(b) => json!(b),
        Value::Bytes(b) => json!(hex::encode(b)),
        Value::List(items) => items.iter().map(plain).collect(),
        Value::Group(parts) => Json::Object(parts.iter().map(|(key, value)| (key.to_string(), plain(value))).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Kind, fields_of};

    fn ty(kind: Kind, name: &str) -> Type {
        fields_of(kind).iter().find(|f| f.name == name).unwrap().ty
    }

    #[test]
    fn values_of_every_form_survive_json() {
        for (kind, name, json) in [
            (Kind::Inquiry, "channel", json!("email")),
            (Kind::Inquiry, "opened", json!("2026-05-12T10:42:00-05:00[America/Chicago]")),
            (
                Kind::Site,
                "point",
                json!({"latitude": 42.5, "longitude": -87.25, "datum": "EPSG:4326", "method": "pin"}),
            ),
            (Kind::Sample, "kept_cool", json!(true)),
            (Kind::Site, "hazards", json!(["dog", "wire"])),
            (Kind::Hours, "hours", json!("1.25")),
            (Kind::FollowUp, "due", json!("2026-06-01")),
            (Kind::Finding, "plant", json!("0197f0c0-0000-7000-8000-000000000000")),
        ] {
            let ty = ty(kind, name);
            let value = from_json(&ty, &json).unwrap();
            assert_eq!(to_json(&ty, &value), json, "{name}");
        }
    }

    #[test]
    fn a_word_of_a_newer_version_is_kept_and_shown_as_its_number() {
        let ty = ty(Kind::Inquiry, "channel");
        assert!(check_value(&ty, &Value::Int(17)).is_ok());
        assert_eq!(to_json(&ty, &Value::Int(17)), json!({"word": 17}));
    }
}
