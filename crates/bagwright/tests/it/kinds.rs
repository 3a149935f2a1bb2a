//! `bagwright kinds`, help, and what does not depend on a design.

use std::process::Stdio;

use serde_json::Value;

use crate::table::Table;

#[test]
fn kinds_as_json_have_every_list_and_their_parameters() {
    let ran = Table::new().run(&["kinds", "--json"]);
    ran.exits(0);
    let json: Value = serde_json::from_str(&ran.out()).expect("it prints JSON");
    for list in ["bodies", "pockets", "handles", "closures", "linings"] {
        let kinds = json[list].as_array().unwrap_or_else(|| panic!("{list} is no list"));
        assert!(!kinds.is_empty(), "{list} is empty");
        for kind in kinds {
            let name = kind["name"].as_str().expect("a name");
            let parameters = kind["parameters"].as_array().expect("parameters");
            let named = parameters.iter().all(|parameter| parameter["key"].is_string());
            assert!(named, "{list}, {name}: {parameters:?}");
        }
    }
    let checks = json["checks"].as_array().expect("a list of checks");
    let names: Vec<&str> = checks.iter().filter_map(|check| check["name"].as_str()).collect();
    for name in ["joined-edges-match", "finished-size", "fits-the-fabric", "strip-joins"] {
        assert!(names.contains(&name), "{name} is missing: {names:?}");
    }
}

#[test]
fn kinds_are_listed_for_people_too() {
    let ran = Table::new().run(&["kinds"]);
    ran.exits(0).prints("Bodies\n").prints("boxed: ").prints("Pockets\n").prints("Checks\n");
    ran.prints("contrast-base: How high");
}

#[test]
fn help_names_every_command_and_no_command_is_an_error() {
    let table = Table::new();
    let help = table.run(&["--help"]);
    help.exits(0);
    for command in ["make", "check", "new", "kinds"] {
        help.prints(command);
    }
    table.run(&["--version"]).exits(0).prints(env!("CARGO_PKG_VERSION"));
    table.run(&["stitch"]).exits(2).prints_nothing();
}

/// `bagwright kinds | head -1`: a reader that goes away is no error.
#[test]
fn a_reader_that_goes_away_is_no_error() {
    let table = Table::new().example("thread-pouch");
    for arguments in [&["kinds"][..], &["new", "boxed"], &["check", "thread-pouch.toml"]] {
        let (reader, writer) = std::io::pipe().expect("a pipe can be made");
        drop(reader);
        let mut command = table.command(arguments);
        let child = command.stdout(writer).stderr(Stdio::piped()).spawn();
        let output = child.and_then(std::process::Child::wait_with_output).expect("it runs");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
    }
}
