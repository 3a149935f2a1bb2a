//! `bagwright sizes`, and `make` for one of them.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n\
                   [fabric.outside]\nname = \"duck, washed\"\n\
                   [size.small]\nbody.width = 10\n[option.webbing]\nhandles.kind = \"webbing\"\n";

#[test]
fn sizes_and_options_stand_side_by_side() {
    let table = Table::new().design("bag.toml", BAG);
    table
        .run(&["sizes", "bag.toml"])
        .exits(0)
        .prints("as it stands")
        .prints("small")
        .prints("webbing")
        .prints("Thread")
        .prints("Time")
        .prints("10 × 14 in");
    // RFC 4180: a cell with a comma stands in quotes.
    table.run(&["sizes", "bag.toml", "--csv"]).exits(0).prints("\"Buy duck, washed\"");
}

#[test]
fn one_size_with_one_option_is_made() {
    let table = Table::new().design("bag.toml", BAG);
    let make = ["make", "bag.toml", "-o", "bag", "--rounds", "0", "--only", "lists"];
    let call = |more: &[&str]| table.run(&[&make[..], more].concat());
    call(&["--size", "small", "--option", "webbing"]).exits(0).prints("Tote, small, webbing");
    assert!(table.text("bag/cut-list.txt").contains("Tote, small, webbing"));
    call(&["--size", "huge", "--replace"]).exits(2).tells("there are small, webbing");
}
