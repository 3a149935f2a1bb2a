//! `bagwright kit`.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n\
                   [size.small]\nbody.width = 10\n";

#[test]
fn a_kit_of_two_sizes_is_written_whole() {
    let table = Table::new().design("bag.toml", BAG);
    let call = |more: &[&str]| table.run(&[&["kit", "--rounds", "0", "-o", "kit"], more].concat());
    call(&["bag.toml:3", "bag.toml:small:2", "--spare", "10"])
        .exits(0)
        .prints("3 × Tote and 1 spare")
        .prints("2 × Tote, small and 1 spare");
    for file in ["kit/kit.json", "kit/kit.pdf", "kit/labels.pdf", "kit/shopping.txt"] {
        assert!(table.at(file).is_file(), "{file}");
    }
    call(&["bag.toml:3"]).exits(2).tells("--replace");
    call(&["bag.toml:3", "--replace"]).exits(0);
}

#[test]
fn what_is_no_bag_or_no_number_is_told() {
    let table = Table::new().design("bag.toml", BAG);
    let call = |bag: &str| table.run(&["kit", bag, "-o", "kit"]);
    call("bag.toml:0").exits(2).tells("not a number of bags from 1 to 500");
    call("bag.toml:huge:2").exits(2).tells("there are small");
    call("none.toml:2").exits(2).tells("there is no file none.toml");
    assert!(!table.at("kit").exists());
}
