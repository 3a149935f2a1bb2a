//! `bagwright lay`: cutting jobs of any kind.

use serde_json::Value;

use crate::table::Table;

const JOB: &str = r#"{"units": "mm",
  "stock": {"width": 1066.8, "increments": [114.3, 304.8]},
  "pieces": [
    {"name": "lining", "rect": [533.4, 431.8], "count": 2, "rotations": [0, 180]},
    {"name": "pocket", "rect": [304.8, 228.6], "count": 2, "rotations": [0, 180]}]}"#;

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("it prints JSON")
}

#[test]
fn two_linings_and_their_pockets_take_three_quarters_of_a_yard_and_no_less() {
    // Common practice, no source: 17 + 9 in of 42 in wide fabric, sold by the eighth of a yard.
    let table = Table::new().design("job.json", JOB);
    let ran = table.run(&["lay", "job.json", "--rounds", "100", "--seed", "3", "--json"]);
    let layout = json(&ran.exits(0).out());
    assert_eq!((&layout["length"], &layout["bought"]), (&660.4.into(), &685.8.into()));
    assert_eq!((&layout["bound"], &layout["proof"]), (&660.4.into(), &"shortest".into()));
    assert!(layout.get("seconds").is_none(), "{layout}");
    let again = table.run(&["lay", "job.json", "--rounds", "100", "--seed", "3", "--json"]);
    assert_eq!(ran.out(), again.out());
    let timed = table.run(&["lay", "job.json", "--seconds", "1", "--json"]);
    assert!(json(&timed.exits(0).out())["seconds"].is_number());
    table.run(&["lay", "job.json"]).exits(0).prints("shortest possible");
}

#[test]
fn a_layout_is_verified() {
    let table = Table::new().design("job.json", JOB);
    let layout = table.run(&["lay", "job.json", "--json"]).out();
    let moved = layout.replacen("\"y\": 0.0", "\"y\": 1.0", 1);
    let table = table.design("right.json", &layout).design("moved.json", &moved);
    table.run(&["lay", "job.json", "--verify", "right.json"]).exits(0).prints("right");
    let ran = table.run(&["lay", "job.json", "--verify", "moved.json", "--json"]);
    assert_eq!(json(&ran.exits(1).out())["right"], false);
}

#[test]
fn what_is_not_offered_or_does_not_fit_is_refused() {
    let strips = JOB.replace("\"units\"", "\"cutting\": \"strips-first\", \"units\"");
    let slanted = JOB.replace("\"units\"", "\"cutting\": \"slanted\", \"units\"");
    let wide = JOB.replace("533.4", "1100");
    let table = Table::new().design("strips.json", &strips).design("wide.json", &wide);
    let table = table.design("slanted.json", &slanted);
    table.run(&["lay", "strips.json"]).exits(0).prints("strips first").prints("1. Fabric flat");
    table.run(&["lay", "slanted.json"]).exits(2).tells("slanted.json: line 1, cutting: must be");
    table.run(&["lay", "wide.json"]).exits(1).tells("lining");
}
