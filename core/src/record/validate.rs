//! Limits, and whether a value is one that its field may hold.

use super::{
    json,
    lookup::fields_of,
    registry::{Field, Kind, Part, Role, Type},
    value::Value,
};
use crate::error::{Error, FieldCode, FieldProblem, Result};

/// Limits of one value or one change.
pub struct Limits {
    /// Characters of a text.
    pub text_chars: usize,
    /// Bytes of a value's CBOR.
    pub value_bytes: usize,
    /// Fields of one change.
    pub fields: usize,
    /// Predecessors of one field of one change.
    pub preds: usize,
    /// Items of a list.
    pub items: usize,
}

/// The limits in force (sync notes, section 14).
pub const LIMITS: Limits = Limits { text_chars: 16_000, value_bytes: 65_536, fields: 200, preds: 64, items: 200 };

/// Checks a value against the type of its field.
///
/// # Errors
/// What is wrong with it.
pub fn check_value(ty: &Type, value: &Value) -> Result<(), FieldCode> {
    match (ty, value) {
        (Type::Existence, Value::Int(1)) => Ok(()),
        (Type::Existence, Value::List(items)) => match items.as_slice() {
            [Value::Int(0), Value::List(seen)]
                if seen.iter().all(|h| matches!(h, Value::Bytes(b) if b.len() == 32)) =>
            {
                Ok(())
            }
            _ => Err(FieldCode::BadForm),
        },
        (Type::Text(limit), Value::Text(text)) => within(text.chars().count() <= *limit, FieldCode::TooLong),
        (Type::Key, Value::Text(text)) => within(is_key(text), FieldCode::BadForm),
        (Type::Int(low, high), Value::Int(i)) => within((low..=high).contains(&i), FieldCode::OutOfRange),
        (Type::Decimal, Value::Text(text)) => within(is_decimal(text), FieldCode::BadForm),
        (Type::Bool, Value::Bool(_)) => Ok(()),
        // A word of a newer version is kept, so any small number passes here; JSON knows only today's words.
        (Type::Word(_), Value::Int(i)) => within((0..1_000).contains(i), FieldCode::UnknownWord),
        (Type::Date, Value::Text(text)) => {
            within(text.len() == 10 && text.parse::<jiff::civil::Date>().is_ok(), FieldCode::BadForm)
        }
        (Type::Instant, Value::Text(text)) => {
            within(text.len() <= 100 && text.parse::<jiff::ZonedDateTime>().is_ok(), FieldCode::BadForm)
        }
        (Type::Degrees(low, high), Value::Int(i)) => {
            within((low * 10_000_000..=high * 10_000_000).contains(i), FieldCode::OutOfRange)
        }
        (Type::Ref(_), Value::Bytes(b)) => within(b.len() == 16, FieldCode::BadForm),
        (Type::Blob, Value::Bytes(b)) => within(b.len() == 33 && b[0] == 0x1e, FieldCode::BadForm),
        (Type::List(item), Value::List(items)) => {
            within(items.len() <= LIMITS.items, FieldCode::TooLong)?;
            items.iter().try_for_each(|value| check_value(item, value))
        }
        (Type::Group(parts), Value::Group(given)) => {
            within(given.keys().all(|key| parts.iter().any(|p| p.key == *key)), FieldCode::UnknownField)?;
            parts.iter().try_for_each(|part| check_part(part, given.get(&part.key)))
        }
        _ => Err(FieldCode::WrongType),
    }
}

fn check_part(part: &Part, value: Option<&Value>) -> Result<(), FieldCode> {
    match value {
        Some(value) => check_value(&part.ty, value),
        None => within(!part.needed, FieldCode::Missing),
    }
}

fn within(holds: bool, otherwise: FieldCode) -> Result<(), FieldCode> {
    if holds { Ok(()) } else { Err(otherwise) }
}

fn is_key(text: &str) -> bool {
    (1..=100).contains(&text.len())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_' || b == b'.')
}

fn is_decimal(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, "0"));
    let all_digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    text.len() <= 30 && all_digits(whole) && all_digits(fraction)
}

/// Reads the fields of one record from JSON, by name, each checked; all problems are reported at once.
///
/// # Errors
/// [`Error::Invalid`] with one problem a field.
pub fn parse_fields(
    kind: Kind,
    role: Role,
    given: &serde_json::Map<String, serde_json::Value>,
) -> Result<Vec<(&'static Field, Value)>> {
    let (mut good, mut problems) = (Vec::new(), Vec::new());
    for (name, json) in given {
        let parsed = match fields_of(kind).iter().find(|f| f.name == name) {
            None => Err(FieldCode::UnknownField),
            Some(field) if !field.writers.has(role) => Err(FieldCode::NotYours),
            Some(field) => json::from_json(&field.ty, json).map(|value| (field, value)),
        };
        match parsed {
            Ok(pair) => good.push(pair),
            Err(code) => problems.push(FieldProblem { field: name.chars().take(60).collect(), code }),
        }
    }
    if problems.is_empty() { Ok(good) } else { Err(Error::Invalid(problems)) }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn codes(kind: Kind, role: Role, given: &serde_json::Value) -> Vec<(String, FieldCode)> {
        match parse_fields(kind, role, given.as_object().unwrap()) {
            Ok(_) => Vec::new(),
            Err(Error::Invalid(problems)) => problems.into_iter().map(|p| (p.field, p.code)).collect(),
            Err(other) => panic!("{other}"),
        }
    }

    #[test]
    fn every_problem_is_named_by_its_field() {
        let given = json!({
            "chanel": "phone", "channel": "pigeon", "opened": "yesterday", "question": 5, "status": "closed",
            "consent": {"visit": true}, "contact": "../../etc"
        });
        let mut found = codes(Kind::Inquiry, Role::Scout, &given);
        found.sort_by(|a, b| a.0.cmp(&b.0));
        let expected = [
            ("chanel", FieldCode::UnknownField),
            ("channel", FieldCode::UnknownWord),
            ("consent", FieldCode::Missing),
            ("contact", FieldCode::BadForm),
            ("opened", FieldCode::BadForm),
            ("question", FieldCode::WrongType),
            ("status", FieldCode::NotYours),
        ];
        assert_eq!(found, expected.map(|(f, c)| (f.to_owned(), c)));
    }

    #[test]
    fn text_up_to_sixteen_thousand_characters_of_any_script_is_kept_whole_and_one_more_is_refused() {
        for letter in ["a", "ñ", "ש", "🌳"] {
            let longest = letter.repeat(16_000);
            let fields = parse_fields(Kind::Inquiry, Role::Scout, json!({"question": longest}).as_object().unwrap());
            assert_eq!(fields.unwrap()[0].1.as_text(), Some(longest.as_str()));
            let over = json!({"question": letter.repeat(16_001)});
            assert_eq!(codes(Kind::Inquiry, Role::Scout, &over), [("question".to_owned(), FieldCode::TooLong)]);
        }
    }

    #[test]
    fn the_desk_may_write_what_a_scout_may_not() {
        assert!(codes(Kind::Inquiry, Role::Educator, &json!({"status": "closed"})).is_empty());
        assert_eq!(
            codes(Kind::Review, Role::Lead, &json!({"agrees": true})),
            [("agrees".to_owned(), FieldCode::NotYours)]
        );
    }
}
