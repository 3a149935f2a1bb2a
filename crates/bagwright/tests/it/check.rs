//! `bagwright check`.

use serde_json::Value;

use crate::table::{Table, designs_in};

#[test]
fn every_example_can_be_cut() {
    for name in designs_in("examples") {
        let table = Table::new().example(&name);
        let ran = table.run(&["check", &format!("{name}.toml")]);
        ran.exits(0).prints("ready to cut: 0 errors, 0 warnings");
        assert_eq!(ran.err(), "");
    }
}

#[test]
fn every_faulty_example_is_told_and_exits_by_its_worst_finding() {
    for name in designs_in("examples/faulty") {
        let table = Table::new().example(&format!("faulty/{name}"));
        let file = format!("{name}.toml");
        let text = table.text(&file);
        let expected = text.lines().next().and_then(|line| line.strip_prefix("# Expected: "));
        let (told, _) = expected.and_then(|rest| rest.split_once('.')).expect("it says what");
        let (severity, check) = told.split_once(' ').expect("severity and check");
        let ran = table.run(&["check", &file]);
        let code = i32::from(severity == "error");
        ran.exits(code).prints(&format!(": {severity}: ")).prints(&format!("[{check}]"));
        ran.prints(if code == 1 { ": not ready to cut: " } else { ": ready to cut: " });
    }
}

#[test]
fn a_finding_points_at_the_line_to_change() {
    let table = Table::new().example("faulty/legs-too-far-apart");
    let ran = table.run(&["check", "legs-too-far-apart.toml"]);
    // `apart = 11` stands in the 14th line.
    ran.exits(1).prints("legs-too-far-apart.toml:14:1: error: legs 11 in apart");
    ran.prints("set them 8 7/8 in apart or less");
}

#[test]
fn findings_as_json_have_every_part() {
    let table = Table::new().example("faulty/pocket-above-the-rim");
    let ran = table.run(&["check", "--json", "pocket-above-the-rim.toml"]);
    ran.exits(1);
    let json: Value = serde_json::from_str(&ran.out()).expect("it prints JSON");
    let findings = json["findings"].as_array().or(json.as_array()).expect("a list of findings");
    let finding = &findings[0];
    for key in ["severity", "check", "message", "cure"] {
        assert!(finding[key].as_str().is_some_and(|text| !text.is_empty()), "{key}: {finding}");
    }
    assert_eq!(finding["severity"], "error");
    assert_eq!(finding["parameter"], "pocket[1].height");
    let place = finding["place"].as_object().expect("a place");
    let parts: Vec<&str> = place.keys().map(String::as_str).collect();
    assert_eq!(parts.len(), 4, "{parts:?}");
    for part in ["step", "piece", "edge", "at_mm"] {
        assert!(place.contains_key(part), "{part} is missing");
    }
}

#[test]
fn unreadable_designs_exit_2_with_line_and_column() {
    for name in designs_in("examples/unreadable") {
        let table = Table::new().example(&format!("unreadable/{name}"));
        let file = format!("{name}.toml");
        let ran = table.run(&["check", &file]);
        ran.exits(2).prints_nothing();
        let told = ran.err();
        let placed = told.lines().filter(|line| {
            line.strip_prefix(&format!("{file}:")).is_some_and(|rest| {
                let mut numbers = rest.splitn(3, ':');
                let mut number = || numbers.next().is_some_and(|text| text.parse::<u32>().is_ok());
                number() && number()
            })
        });
        let placed = placed.count();
        assert!(placed > 1, "{told}");
        ran.tells(&format!("has {placed} problems"));
    }
}

#[test]
fn the_edition_for_the_other_ruler_is_checked_too() {
    for name in designs_in("examples") {
        let table = Table::new().example(&name);
        for units in ["inch", "metric"] {
            table.run(&["check", &format!("{name}.toml"), "--units", units]).exits(0);
        }
    }
}

#[test]
fn a_file_that_is_not_understood_is_told_as_json_too() {
    let table = Table::new().example("unreadable/typed-in-a-hurry");
    let ran = table.run(&["check", "--json", "typed-in-a-hurry.toml"]);
    ran.exits(2);
    let json: Value = serde_json::from_str(&ran.out()).expect("it prints JSON");
    let problems = json["problems"].as_array().expect("a list of problems");
    assert!(problems.len() > 1, "{problems:?}");
    for problem in problems {
        assert!(problem["line"].as_u64().is_some_and(|line| line > 0), "{problem}");
        assert!(problem["message"].as_str().is_some_and(|text| !text.is_empty()), "{problem}");
    }
}
