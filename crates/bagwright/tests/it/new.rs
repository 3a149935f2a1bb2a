//! `bagwright new`.

use crate::table::Table;

#[test]
fn every_body_prints_a_design_that_can_be_cut() {
    let table = Table::new();
    let kinds = table.run(&["kinds", "--json"]);
    let kinds: serde_json::Value = serde_json::from_str(&kinds.out()).expect("it prints JSON");
    let bodies = kinds["bodies"].as_array().expect("a list of bodies");
    assert!(bodies.len() >= 2);
    for body in bodies {
        let body = body["name"].as_str().expect("a name");
        for units in ["inch", "metric"] {
            let printed = table.run(&["new", body, "--units", units]);
            printed.exits(0).prints(&format!("kind = \"{body}\""));
            let table = Table::new().design("new.toml", &printed.out());
            let checked = table.run(&["check", "new.toml"]);
            // Handles that run down into a thick base seam are worth a warning.
            checked.exits(0).prints("ready to cut: 0 errors");
            assert_eq!(checked.err(), "");
        }
        let usual = table.run(&["new", body]);
        assert_eq!(usual.out(), table.run(&["new", body, "--units", "inch"]).out());
        let whole = table.run(&["new", body, "--whole"]);
        whole.exits(0).prints("#kind = \"organiser\"").prints("#kind = \"piping\"");
        assert!(whole.out().len() > 2 * usual.out().len());
    }
}

#[test]
fn an_unknown_body_names_those_there_are() {
    let ran = Table::new().run(&["new", "barrel"]);
    ran.exits(2).prints_nothing().tells("`barrel`").tells("boxed").tells("flat");
}
