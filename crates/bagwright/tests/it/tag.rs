//! `bagwright tag`.

use crate::table::Table;

#[test]
fn a_label_is_written_and_claims_nothing() {
    let table = Table::new().example("market-day-bag");
    let call = |more: &[&str]| table.run(&[&["tag", "market-day-bag.toml"], more].concat());
    call(&["--maker", "A Maker", "--fibre", "outside: 100 % cotton", "--wash", "40"])
        .exits(0)
        .prints("Made by A Maker")
        .prints("Wash at 40 °C at most")
        .prints("check your local rules")
        .prints("Nothing here says that the bag conforms");
    call(&["--fibre", "outside: 90 % cotton"]).exits(2).tells("adds up to 90 %");
    call(&["--wash", "45"]).exits(2).tells("no care symbol is for 45 °C");
}
