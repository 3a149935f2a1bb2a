//! `bagwright shopping`.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n\
                   [closure]\nkind = \"magnetic-snap\"\n\
                   [size.small]\nbody.width = 10\n";

#[test]
fn one_list_for_several_bags_by_counter() {
    let table = Table::new().design("bag.toml", BAG);
    let ran = table.run(&["shopping", "--rounds", "0", "bag.toml:3", "bag.toml:small"]);
    ran.exits(0)
        .prints("For 3 × Tote, 1 × Tote, small.")
        .prints("Fabric, by the length\n[ ] outside fabric, 44 in wide: ")
        .prints("Thread\n[ ] thread to match the outside fabric: about ")
        .prints("Zips, snaps and buttons\n[ ] 4 magnetic snaps, 3/4 in wide, with washers\n");
    assert!(!ran.out().contains("pins"), "tools are not bought:\n{}", ran.out());
    table.run(&["shopping", "none.toml"]).exits(2).tells("there is no file none.toml");
}
