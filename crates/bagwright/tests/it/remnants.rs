//! `bagwright remnants`.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n";
const SMALL: &str = "title = \"Pouch\"\nunits = \"inch\"\n[body]\nkind = \"flat\"\nwidth = 8\n\
                     height = 6\n[handles]\nkind = \"none\"\n";

#[test]
fn the_bag_that_leaves_most_comes_first() {
    let table = Table::new().design("bag.toml", BAG).design("pouch.toml", SMALL);
    let call = |pieces: &[&str]| {
        let pieces = pieces.iter().flat_map(|piece| ["--piece", piece]);
        let words: Vec<&str> =
            ["remnants", "bag.toml", "pouch.toml"].into_iter().chain(pieces).collect();
        table.run(&words)
    };
    let ran = call(&["1 yd of 44 in", "lining fabric: 1/2 yd of 44 in"]);
    ran.exits(0).prints("Tote: yes").prints("lining fabric: from lining fabric: 1/2 yd of 44 in");
    let out = ran.out();
    assert!(out.find("Pouch: yes") < out.find("Tote: yes"), "{out}");
    call(&["fat quarter", "fat quarter"])
        .exits(0)
        .prints("Pouch: yes")
        .prints("Tote: no; there is too little for the outside fabric");
    call(&["4 x 4 in"]).exits(1).prints("Pouch: no");
    call(&["much"]).exits(2).tells("`much` is no fabric");
}
