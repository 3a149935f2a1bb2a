//! `bagwright earns`.

use crate::table::Table;

const BAG: &str = "title = \"Tote\"\nunits = \"inch\"\n[body]\nkind = \"boxed\"\n";
const SHOP: &str = "hour = \"18.00 USD\"\noverhead = 10\nmargin = 25\n\
                    [prices]\n\"outside fabric\" = \"16.00 USD per yd\"\nthread = \"3.00 USD\"\n\
                    [scenario.market]\nasks = \"12.00 USD\"\nbatch = \"60.00 USD\"\n\
                    [[session]]\ndesign = \"bag.toml\"\ntook = \"30 h\"\n";

#[test]
fn a_price_is_reckoned_and_one_below_cost_is_told() {
    let table = Table::new().design("bag.toml", BAG).design("shop.toml", SHOP);
    let call = |more: &[&str]| {
        table.run(&[&["earns", "bag.toml", "--workshop", "shop.toml"], more].concat())
    };
    let ran = call(&["--bags", "4"]);
    ran.exits(1)
        .prints("what it costs to make")
        .prints("Without a price, and not counted: lining fabric")
        .prints("BELOW COST (market): sold at 12.00 USD")
        .prints("never");
    let value: serde_json::Value =
        serde_json::from_str(&call(&["--json"]).out()).expect("it is JSON");
    let one = &value["scenarios"][0]["one_bag"];
    let minor = |key: &str| one[key].as_i64().expect("a whole number");
    let parts = ["materials", "labour", "overhead", "each"].map(minor);
    assert_eq!(parts.iter().sum::<i64>(), minor("cost"));
    // A pace of more than the usual was learnt from the session.
    let usual = table.run(&["takes", "bag.toml", "--json"]);
    let usual: serde_json::Value = serde_json::from_str(&usual.out()).expect("it is JSON");
    let learnt = table.run(&["takes", "bag.toml", "--workshop", "shop.toml", "--json"]);
    let learnt: serde_json::Value = serde_json::from_str(&learnt.out()).expect("it is JSON");
    let all = |it: &serde_json::Value| it["seconds"]["all"].as_f64().expect("a number");
    assert!(all(&learnt) > all(&usual) * 1.5, "{} {}", all(&learnt), all(&usual));
    call(&["--csv"]).prints("for one bag,as it stands,market\r\n");
}

#[test]
fn a_workshop_without_a_wage_or_with_slips_is_told() {
    let table = Table::new()
        .design("bag.toml", BAG)
        .design("none.toml", "overhead = 3\n")
        .design("slip.toml", "hour = \"18\"\n");
    let call = |shop: &str| table.run(&["earns", "bag.toml", "-w", shop]);
    call("none.toml").exits(2).tells("has no `hour`");
    call("slip.toml").exits(2).tells("slip.toml:1:8");
}
