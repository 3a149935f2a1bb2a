//! How JSON is written here: readable, and the same bytes for the same data.

use serde::Serialize;

/// `data` as JSON with a line end at its end.
pub(crate) fn pretty(data: &impl Serialize) -> String {
    // Writing to a string fails only for a key that is no text; the structs here have none.
    let mut text = serde_json::to_string_pretty(data).unwrap_or_default();
    text.push('\n');
    text
}
