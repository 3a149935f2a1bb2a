//! `bagwright takes`.

use crate::table::Table;

#[test]
fn thread_time_and_evenings_are_told() {
    let table = Table::new().example("market-day-bag");
    let call = |more: &[&str]| table.run(&[&["takes", "market-day-bag.toml"], more].concat());
    call(&["--evening", "150"])
        .exits(0)
        .prints("thread to match the")
        .prints("spool")
        .prints("all together")
        .prints("Evenings with 2 h 10 min")
        .prints("goes in");
    let json = |more: &[&str]| -> serde_json::Value {
        let ran = call(&[more, &["--json"]].concat());
        serde_json::from_str(&ran.exits(0).out()).expect("it is JSON")
    };
    let (one, many) = (json(&[]), json(&["--bags", "20", "--pace", "200"]));
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let thread = |it: &serde_json::Value| number(&it["thread"][0]["length_mm"]);
    assert!((thread(&many) - 20.0 * thread(&one)).abs() < 1e-3);
    let ratio = number(&many["seconds"]["all"]) / number(&one["seconds"]["all"]);
    assert!((ratio - 2.0).abs() < 0.01, "{ratio}");
    call(&["--evening", "20"]).exits(2).tells("leaves nothing");
}
