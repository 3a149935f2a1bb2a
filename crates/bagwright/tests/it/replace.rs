//! The folder of a packet: written whole or not at all, and never mixed with other files.

use std::fs;

use crate::table::{Ran, Table};

const BAG: &str = "units = \"inch\"\n[body]\nkind = \"flat\"\nwidth = 8\nheight = 6\n\
                   [handles]\nkind = \"none\"\n";

fn make(table: &Table, folder: &str, more: &[&str]) -> Ran {
    table.run(&[&["make", "bag.toml", "--rounds", "0", "-o", folder], more].concat())
}

#[test]
fn a_packet_is_replaced_only_when_that_is_asked_for() {
    let table = Table::new().design("bag.toml", BAG);
    make(&table, "bag", &[]).exits(0);
    let first = table.files("bag");
    fs::write(table.at("bag/pieces/stale.svg"), "old").expect("it can be written");
    let again = make(&table, "bag", &[]);
    again.exits(2).prints_nothing().tells("bag exists").tells("--replace");
    assert!(table.at("bag/pieces/stale.svg").is_file(), "a refused run changes nothing");
    // The folder may be named with a slash at its end, as a shell completes it.
    for name in ["bag", "bag/", "./bag"] {
        fs::write(table.at("bag/pieces/stale.svg"), "old").expect("it can be written");
        make(&table, name, &["--replace"]).exits(0);
        assert_eq!(table.files("bag"), first, "{name}: nothing old is left");
        assert_eq!(table.lies_there(), ["bag", "bag.toml"]);
    }
}

#[test]
fn a_folder_that_is_no_packet_is_left_alone() {
    let table = Table::new().design("bag.toml", BAG);
    fs::create_dir(table.at("letters")).expect("a folder can be made");
    fs::write(table.at("letters/dear-aunt.txt"), "…").expect("it can be written");
    for more in [&[][..], &["--replace"]] {
        make(&table, "letters", more).exits(2).tells("letters exists and is not a packet");
    }
    make(&table, "bag.toml", &["--replace"]).exits(2).tells("bag.toml exists and is not a folder");
    make(&table, "bag.toml/packet", &[]).exits(2).tells("bag.toml");
    assert_eq!(table.lies_there(), ["bag.toml", "letters"]);
    assert_eq!(table.text("bag.toml"), BAG);
    let letters: Vec<String> = table.files("letters").into_keys().collect();
    assert_eq!(letters, ["dear-aunt.txt"]);
    // The folder in which the design lies is not a packet either.
    make(&table, ".", &["--replace"]).exits(2);
}

#[test]
fn an_empty_folder_is_filled_and_missing_ones_are_made() {
    let table = Table::new().design("bag.toml", BAG);
    fs::create_dir(table.at("empty")).expect("a folder can be made");
    make(&table, "empty", &[]).exits(0);
    make(&table, "autumn/course/bag", &[]).exits(0);
    assert_eq!(table.files("empty"), table.files("autumn/course/bag"));
    assert_eq!(table.lies_there(), ["autumn", "bag.toml", "empty"]);
}

/// Others on the same machine, a print server say, may read a packet as any other folder.
#[cfg(unix)]
#[test]
fn a_packet_has_the_permissions_of_any_folder() {
    use std::os::unix::fs::PermissionsExt;
    let table = Table::new().design("bag.toml", BAG);
    make(&table, "bag", &[]).exits(0);
    fs::create_dir(table.at("other")).expect("a folder can be made");
    let mode = |name: &str| {
        fs::metadata(table.at(name)).expect("it is there").permissions().mode() & 0o777
    };
    assert_eq!(mode("bag"), mode("other"));
}
