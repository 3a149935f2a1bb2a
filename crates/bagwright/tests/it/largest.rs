//! `bagwright largest`.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = 12\n\
                   height = 12\ndepth = 4\n[handles]\nkind = \"folded\"\n";

#[test]
fn the_largest_bag_is_told_and_written_as_a_design() {
    let table = Table::new().design("bag.toml", BAG);
    let call = ["largest", "bag.toml", "--fabric", "1 yd of 54 in"];
    table.run(&[&call[..], &["-o", "grown.toml"]].concat()).exits(0).prints("takes ");
    table.run(&["check", "grown.toml"]).exits(0);
    // The larger bag is the largest of its shape from that fabric, too.
    let again = ["largest", "grown.toml", "--fabric", "1 yd of 54 in", "--json"];
    let first = table.run(&[&call[..], &["--json"]].concat()).exits(0).out();
    assert_eq!(table.run(&again).exits(0).out(), first);
}

#[test]
fn a_question_without_sense_is_told_what_is_wrong() {
    let table = Table::new().design("bag.toml", BAG);
    let call = |more: &[&str]| table.run(&[&["largest", "bag.toml"], more].concat());
    call(&["--fabric", "1 yd"]).exits(2).tells("as in `1 yd of 54 in`");
    call(&["--fabric", "hem: 1 yd of 54 in"]).exits(2).tells("`hem` is no part of a bag");
    call(&["--fabric", "base: 1 yd of 54 in"]).exits(2).tells("[fabric.base]");
    let only = call(&["--fabric", "1 yd of 54 in", "--only", "girth"]);
    only.exits(2).tells("it has width, height, depth");
    call(&["--fabric", "2 in of 54 in"]).exits(1).tells("no size of bag.toml");
}

/// A body names its own sizes: those of a barrel are its length and its diameter.
#[test]
fn a_duffel_grows_by_its_own_sizes() {
    let bag = "title = \"Barrel\"\nunits = \"inch\"\n[body]\nkind = \"duffel\"\nlength = 12\n\
               diameter = 7\n[handles]\nkind = \"none\"\n[lining]\nkind = \"unlined\"\n\
               finish = \"bound\"\n";
    let table = Table::new().design("bag.toml", bag);
    let call = ["largest", "bag.toml", "--fabric", "1 yd of 54 in"];
    table.run(&call).exits(0).prints("as large as it goes").prints("diameter = ");
    table.run(&[&call[..], &["--only", "length"]].concat()).exits(0).prints("length = ");
    let only = table.run(&[&call[..], &["--only", "width"]].concat());
    only.exits(2).tells("it has length, diameter");
}
