//! `bagwright workroom`: what it refuses before it serves. (What it serves is tested in its crate.)

use crate::table::Table;

#[test]
fn a_file_of_another_program_is_left_alone() {
    let table = Table::new().design("workroom.sqlite", "these are no bags of ours, but some text");
    let ran = table.run(&["workroom", "--no-browser", "--port", "0", "--data", "."]);
    ran.exits(2).prints_nothing().tells("is not one of bagwright's; nothing in it was changed");
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let table = Table::new().design("a-file.toml", "");
    let ran = table.run(&["workroom", "--no-browser", "--port", "0", "--data", "a-file.toml/here"]);
    ran.exits(2).prints_nothing().tells("a-file.toml/here").tells("cannot be made");
}

#[test]
fn the_class_needs_an_address_and_a_word_worth_asking_for() {
    let run = |arguments: &[&str]| {
        let mut all = vec!["workroom", "--no-browser", "--data", "here"];
        all.extend(arguments);
        Table::new().run(&all)
    };
    run(&["--listen", "the-classroom"]).exits(2).tells("0.0.0.0:8080");
    run(&["--listen", "127.0.0.1:0", "--word", "zip"]).exits(2).tells("at least six");
    run(&["--word", "bobbin-seam"]).exits(2).tells("--listen");
}
