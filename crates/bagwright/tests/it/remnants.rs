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

/// Which design makes the best use of a fat quarter, and what is left of it, with a picture of what
/// comes from it; and of a piece of which a corner is gone.
#[test]
fn the_use_of_a_fat_quarter_is_drawn() {
    let table = Table::new().design("bag.toml", BAG).design("pouch.toml", SMALL);
    let call = |piece: &str, to: &str| {
        let lining = "lining fabric: fat quarter";
        let call = ["remnants", "bag.toml", "pouch.toml", "--piece", piece, "--piece", lining];
        table.run(&[&call[..], &["-o", to]].concat()).exits(0).out()
    };
    let told = call("fat quarter", "quarter");
    assert!(told.starts_with("Pouch: yes") && told.contains("leaves "), "{told}");
    assert!(told.contains("Tote: no; there is too little"), "{told}");
    let files = table.files("quarter");
    let of = |piece: u8| ["png", "svg"].map(|end| format!("pouch-from-piece-{piece}.{end}"));
    let wanted = [of(1), of(2)].concat();
    assert!(wanted.iter().all(|name| files.contains_key(name)), "{:?}", files.keys());
    let picture = String::from_utf8(files["pouch-from-piece-1.svg"].clone());
    let picture = picture.expect("it is text");
    assert!(picture.contains("remnant of outside fabric, 22 in wide and 18 in long"), "{picture}");
    call("22 x 18 in less 8 x 6 in", "corner");
    let whole = ["remnants", "pouch.toml", "--piece", "22 x 18 in less 22 x 6 in"];
    table.run(&whole).exits(2).tells("its corner is as large as itself");
}
