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

#[test]
fn a_kit_is_priced_for_each_student() {
    let shop = "hour = \"20.00 USD\"\nmargin = 10\n[prices]\n\"outside fabric\" = \"16.00 USD per yd\"\n\
                \"lining fabric\" = \"8.00 USD per yd\"\nthread = \"3.00 USD\"\n";
    let table = Table::new().design("bag.toml", BAG).design("shop.toml", shop);
    let more = ["bag.toml:3", "bag.toml:small:2", "--workshop", "shop.toml", "--rounds", "0"];
    let ran = table.run(&[&["kit", "-o", "kit"], &more[..]].concat());
    ran.exits(0)
        .prints("for one student")
        .prints("price of the kit")
        .prints("Materials for all cost")
        .prints("kit/price.txt");
    let json = std::fs::read_to_string(table.at("kit/kit.json")).expect("it is written");
    assert!(json.contains("\"currency\": \"USD\"") && json.contains("\"students\": 3"), "{json}");
    let nothing = table.run(&["kit", "bag.toml:3", "-o", "other", "--workshop", "none.toml"]);
    nothing.exits(2).tells("there is no file none.toml");
    assert!(!table.at("other").exists());
}

/// Bags of both rulers lie in one kit when its ruler is said: all pieces are cut with that one.
#[test]
fn designs_of_both_rulers_need_one_to_be_said() {
    let metric = "title = \"Pouch\"\nunits = \"cm\"\n[body]\nkind = \"flat\"\n";
    let table = Table::new().design("bag.toml", BAG).design("pouch.toml", metric);
    let call = |more: &[&str]| {
        let all = ["bag.toml:2", "pouch.toml:3", "--rounds", "0"];
        table.run(&[&["kit", "-o", "kit"], &all[..], more].concat())
    };
    call(&[]).exits(2).tells("with `--units inch` or `--units metric` all of them are drafted");
    call(&["--units", "metric"]).exits(0).prints(" mm");
    assert!(!call(&["--units", "metric", "--replace"]).out().contains(" in wide"));
    table
        .run(&["shopping", "--rounds", "0", "--units", "inch", "bag.toml", "pouch.toml"])
        .exits(0)
        .prints(" in wide");
}
