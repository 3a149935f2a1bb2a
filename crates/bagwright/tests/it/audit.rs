//! `bagwright audit`.

use serde_json::Value;

use crate::table::Table;

#[test]
fn a_list_that_adds_up_comes_back_clean() {
    let table = Table::new().example("audit/tuesday-shopper");
    let ran = table.run(&["audit", "tuesday-shopper.toml"]);
    ran.exits(0).prints("checked and fine:").prints("every claim can be; 0 warnings, 0 notes");
    assert!(!ran.out().contains("error"), "{}", ran.out());
}

#[test]
fn slips_are_told_at_their_lines_with_both_numbers_and_a_cure() {
    let table = Table::new().example("audit/harvest-basket");
    let ran = table.run(&["audit", "harvest-basket.toml"]);
    ran.exits(1).prints("harvest-basket.toml:21:1: error: 5/8 yd of lining cotton is too short");
    ran.prints("it gives 22 1/2 in, and its pieces take 26 in at least");
    ran.prints("buy 3/4 yd, as the layout shows").prints("[yardage]");
    ran.prints("3 claims cannot be").prints("see the layouts with `-o DIR`");
    let metric = table.run(&["audit", "harvest-basket.toml", "--units", "metric"]);
    metric.exits(1).prints("a finished height of 406 mm");
}

#[test]
fn the_layouts_are_drawn_into_a_new_folder() {
    let table = Table::new().example("audit/harvest-basket");
    table.run(&["audit", "harvest-basket.toml", "-o", "shown"]).exits(1);
    let files = table.files("shown");
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    let expected = ["audit.json", "layout-1-outside-cotton.svg", "layout-2-lining-cotton.svg"];
    assert_eq!(names, expected);
    let picture = String::from_utf8_lossy(&files["layout-2-lining-cotton.svg"]).into_owned();
    assert!(picture.contains("inside pocket") && picture.contains("26 in"), "{picture}");
    // What lies there already is not written over.
    table.run(&["audit", "harvest-basket.toml", "-o", "shown"]).exits(2);
}

#[test]
fn results_as_json_have_every_part() {
    let table = Table::new().example("audit/square-patches");
    let ran = table.run(&["audit", "--json", "square-patches.toml"]);
    ran.exits(1);
    let json: Value = serde_json::from_str(&ran.out()).expect("it prints JSON");
    assert_eq!(json["can_be"], false);
    assert_eq!(json["findings"][0]["parameter"], "fabric[1].yardage");
    let laid = &json["layouts"][0];
    assert_eq!((&laid["given_mm"], &laid["used_mm"]), (&Value::from(914.4), &Value::from(1066.8)));
    assert_eq!(laid["placements"].as_array().map(Vec::len), Some(35));
}

#[test]
fn what_is_not_understood_exits_2_with_line_and_column() {
    let text = "units = \"inch\"\n[[fabric]]\nname = \"cotton\"\nwidht = 44\n";
    let table = Table::new().design("sheet.toml", text);
    let ran = table.run(&["audit", "sheet.toml"]);
    ran.exits(2).tells("sheet.toml:4:1: [[fabric]] has no key `widht`");
    ran.tells("did you mean `width`?").tells("nothing was audited");
    table.run(&["audit", "missing.toml"]).exits(2).tells("there is no file missing.toml");
}
