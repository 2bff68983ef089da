//! Causes as records hold them.

use serde_json::Value as Json;

/// Causes and chances in a hundred out of a diagnosis' `causes`.
pub fn named_causes(causes: Option<&Json>) -> Vec<(String, Option<u8>)> {
    let items = causes.and_then(Json::as_array).into_iter().flatten();
    items
        .filter_map(|c| {
            let percent = c.get("percent").and_then(Json::as_u64).and_then(|p| u8::try_from(p).ok());
            Some((c.get("cause")?.as_str()?.to_owned(), percent))
        })
        .collect()
}
