//! `packet.json` against its documentation.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use serde_json::Value;

use crate::table::{Table, root};

/// What each field of `docs/packet-json.md` holds, by its path.
fn documented() -> BTreeMap<String, String> {
    let page = fs::read_to_string(root().join("docs/packet-json.md")).expect("the page is there");
    let rows = page.lines().filter_map(|line| {
        let mut cells = line.strip_prefix("| `")?.splitn(2, "` | ");
        let path = cells.next()?.to_owned();
        let holds = cells.next()?.split(" | ").next()?.to_owned();
        Some((path, holds))
    });
    let fields: BTreeMap<String, String> = rows.collect();
    assert!(fields.len() > 50, "the page has its table");
    fields
}

/// Every path in a value that is an object's key, with what kinds of value stand there.
fn walk(value: &Value, path: &str, found: &mut BTreeMap<String, BTreeSet<&'static str>>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                let kind = match value {
                    Value::Null => "null",
                    Value::Bool(_) => "flag",
                    Value::Number(_) => "number",
                    Value::String(_) => "text",
                    Value::Array(_) => "list",
                    Value::Object(_) => "object",
                };
                found.entry(path.clone()).or_default().insert(kind);
                walk(value, &path, found);
            }
        }
        Value::Array(items) => {
            for item in items {
                walk(item, &format!("{path}[]"), found);
            }
        }
        _ => {}
    }
}

/// A bag that is cut in strips, with handles that are joined.
const IN_STRIPS: &str = "title = \"Strips\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n\
                         [handles]\nkind = \"folded\"\n[shop]\ncutting = \"strips-first\"\n";

/// Designs that have everything between them: joins, interfacing, a fused block, webbing, notes,
/// cuts in order, notions.
fn packets() -> Vec<Value> {
    let table = ["market-day-bag", "workshop-bag", "library-bag", "swimming-bag"]
        .into_iter()
        .fold(Table::new().design("in-strips.toml", IN_STRIPS), Table::example);
    ["market-day-bag", "workshop-bag", "library-bag", "swimming-bag", "in-strips"]
        .iter()
        .map(|name| {
            let file = format!("{name}.toml");
            table.run(&["make", &file, "-o", name, "--rounds", "0"]).exits(0);
            let json = table.text(&format!("{name}/packet.json"));
            serde_json::from_str(&json).expect("packet.json is JSON")
        })
        .collect()
}

#[test]
fn packet_json_is_what_its_page_says() {
    let documented = documented();
    let packets = packets();
    let mut found = BTreeMap::new();
    for packet in &packets {
        walk(packet, "", &mut found);
        // Whatever is not within a list that may be empty is always there.
        for path in documented.keys().filter(|path| !path.contains("[]")) {
            let pointer = format!("/{}", path.replace('.', "/"));
            assert!(packet.pointer(&pointer).is_some(), "{path} is missing");
        }
    }
    for path in documented.keys() {
        assert!(found.contains_key(path), "{path} is documented and not written");
    }
    for (path, kinds) in &found {
        let holds = documented.get(path);
        let holds = holds.unwrap_or_else(|| panic!("{path} is written and not documented"));
        let is_length = path.ends_with("_mm");
        assert_eq!(holds.contains("mm"), is_length, "{path} holds {holds}");
        assert!(!kinds.contains("null") || holds.contains("null"), "{path} may be null");
        if kinds.contains("number") && !is_length {
            let others = ["_l", "_g", "_percent", "_degrees", "version", "number", "count", "copy"];
            let others = others.into_iter().chain(["part", "most", "layers", "seconds"]);
            assert!(others.clone().any(|end| path.ends_with(end)), "{path} is a bare number");
        }
    }
}

#[test]
fn packet_json_gives_the_finished_bag_and_the_purchase() {
    let packets = packets();
    let market = &packets[0];
    // 15 × 13 × 5 in, an inch being 25.4 mm; 975 cu in are 15.98 L (1 in³ = 16.387064 mL, GNU
    // units 2.22).
    assert_eq!(market["finished"]["width_mm"], 381.0);
    assert_eq!(market["finished"]["height_mm"], 330.2);
    assert_eq!(market["finished"]["depth_mm"], 127.0);
    let litres = market["finished"]["volume_l"].as_f64().expect("a number");
    assert!((litres - 975.0 * 0.016_387_064).abs() < 1e-6, "{litres}");
    assert_eq!(market["edition"]["number"], 2);
    let yardage = market["yardage"].as_array().expect("a list");
    for line in yardage {
        let used = line["used_mm"].as_f64().expect("it fits");
        let bought = line["bought_mm"].as_f64().expect("it fits");
        assert!(used > 0.0 && bought >= used, "{line}");
        // Sold in eighths of a yard, 114.3 mm.
        let eighths = bought / 114.3;
        assert!((eighths - eighths.round()).abs() < 1e-9, "{line}");
        assert!(line["why"].as_str().is_some_and(|why| why.contains("squaring up")), "{line}");
    }
    let steps = market["steps"].as_array().expect("a list");
    let ids: BTreeSet<&str> = steps.iter().filter_map(|step| step["id"].as_str()).collect();
    assert_eq!(ids.len(), steps.len(), "step ids are unique words");
    assert!(ids.contains("join-rim") && ids.contains("box-outside-corners"));
}
