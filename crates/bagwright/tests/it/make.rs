//! `bagwright make`.

use crate::table::Table;

/// A bag that cannot be cut: its panel is wider than the fabric.
const TOO_WIDE: &str = "# My bag.\nunits = \"inch\"\n[body]\nkind = \"flat\"\nwidth = 44\n";
/// A bag that cannot be drafted at all.
const IMPOSSIBLE: &str = "units = \"inch\"\n[body]\nkind = \"boxed\"\ndepth = 23\nheight = 3\n";
/// The smallest and quickest.
const SMALL: &str = "units = \"inch\"\n[body]\nkind = \"flat\"\nwidth = 8\nheight = 6\n\
                     [handles]\nkind = \"none\"\n";

#[test]
fn a_packet_has_every_file_and_is_the_same_every_time() {
    let table = Table::new().example("market-day-bag");
    let make =
        |folder: &str| table.run(&["make", "market-day-bag.toml", "-o", folder, "--rounds", "20"]);
    make("one").exits(0).prints("Market day bag");
    make("two").exits(0);
    assert_eq!(table.lies_there(), ["market-day-bag.toml", "one", "two"]);
    let files = table.files("one");
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    let layouts = names.iter().filter(|name| name.starts_with("layouts/")).count();
    assert_eq!(layouts, 4, "{names:?}");
    let pieces: Vec<&&str> = names.iter().filter(|name| name.starts_with("pieces/")).collect();
    assert_eq!(
        pieces,
        [
            &"pieces/handle.svg",
            &"pieces/inside-pocket.svg",
            &"pieces/lining-panel.svg",
            &"pieces/outside-panel.svg",
            &"pieces/outside-pocket.svg"
        ]
    );
    // One machine file for each piece and for each layout.
    let machine = names.iter().filter(|name| name.starts_with("dxf/")).count();
    assert_eq!(machine, layouts + pieces.len(), "{names:?}");
    for name in [
        "booklet.pdf",
        "templates.pdf",
        "handout.html",
        "cut-list.txt",
        "shopping.txt",
        "packet.json",
        "finished.png",
        "finished.svg",
    ] {
        assert!(names.contains(&name), "{name} is missing: {names:?}");
    }
    assert_eq!(names.len(), layouts + pieces.len() + machine + 8);
    assert!(files["booklet.pdf"].starts_with(b"%PDF-"));
    for (name, bytes) in &files {
        if name.ends_with(".svg") {
            assert!(bytes.windows(4).any(|four| four == b"<svg"), "{name} is no SVG");
        }
    }
    let shopping = table.text("one/shopping.txt");
    assert!(shopping.contains("blue duck canvas"), "{shopping}");
    let cut_list = table.text("one/cut-list.txt");
    assert!(cut_list.contains("21 × 16 1/2 in"), "{cut_list}");
    let other = table.files("two");
    for (name, bytes) in &files {
        assert_eq!(Some(bytes), other.get(name), "{name} differs between two runs");
    }
}

#[test]
fn only_the_parts_that_are_asked_for_are_made() {
    let table = Table::new().design("bag.toml", SMALL);
    table.run(&["make", "bag.toml", "-o", "bag", "--rounds", "0", "--only", "lists,dxf"]).exits(0);
    let files = table.files("bag");
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    assert!(names.iter().all(|name| {
        name.starts_with("dxf/") || ["cut-list.txt", "packet.json", "shopping.txt"].contains(name)
    }));
    assert!(names.len() > 4, "{names:?}");
}

/// A booklet in large print has more pages, and one for both rulers says more than either.
#[test]
fn booklets_for_other_eyes_and_rulers() {
    let table = Table::new().design("bag.toml", SMALL);
    let mut sizes = Vec::new();
    for (folder, more) in
        [("plain", None), ("large", Some("--large-print")), ("both", Some("--both"))]
    {
        let mut call = vec!["make", "bag.toml", "-o", folder, "--rounds", "0", "--only", "booklet"];
        call.extend(more);
        table.run(&call).exits(0);
        let booklet = table.files(folder).remove("booklet.pdf").expect("it is there");
        assert!(booklet.starts_with(b"%PDF-"), "{folder}");
        sizes.push(booklet.len());
    }
    assert!(sizes[0] != sizes[1] && sizes[0] < sizes[2], "{sizes:?}");
}

#[test]
fn templates_are_one_file_and_a_wrong_paper_is_told() {
    let table = Table::new().design("bag.toml", SMALL);
    table.run(&["templates", "bag.toml", "-o", "all.pdf", "--paper", "a3"]).exits(0);
    assert!(table.files(".")["all.pdf"].starts_with(b"%PDF-"));
    let ran = table.run(&["templates", "bag.toml", "-o", "no.pdf", "--paper", "b5"]);
    ran.exits(2);
    assert_eq!(table.lies_there(), ["all.pdf", "bag.toml"]);
}

#[test]
fn a_bag_that_cannot_be_cut_writes_nothing_and_says_where() {
    let table = Table::new().design("bag.toml", TOO_WIDE);
    let ran = table.run(&["make", "bag.toml", "-o", "bag"]);
    ran.exits(1).prints_nothing();
    ran.tells("bag.toml").tells("error").tells("fits-the-fabric").tells("--draft");
    assert_eq!(table.lies_there(), ["bag.toml"]);
    let table = Table::new().design("bag.toml", IMPOSSIBLE);
    let ran = table.run(&["make", "bag.toml", "-o", "deep/er/bag"]);
    // The finding names the line of the depth or of the height.
    ran.exits(1).tells("bag.toml:").tells("can-be-drafted");
    assert_eq!(table.lies_there(), ["bag.toml"]);
}

#[test]
fn a_draft_is_written_in_spite_of_errors() {
    let table = Table::new().design("bag.toml", TOO_WIDE);
    let ran = table.run(&["make", "bag.toml", "-o", "bag", "--draft", "--rounds", "0"]);
    ran.exits(1).tells("fits-the-fabric");
    assert!(table.at("bag/booklet.pdf").is_file());
    assert!(table.text("bag/packet.json").contains("\"ready_to_cut\": false"));
    // What is not even drafted has no packet to look at.
    let table = Table::new().design("bag.toml", IMPOSSIBLE);
    table.run(&["make", "bag.toml", "-o", "bag", "--draft"]).exits(1);
    assert_eq!(table.lies_there(), ["bag.toml"]);
}

#[test]
fn a_file_that_is_not_understood_exits_2_with_every_problem() {
    let table = Table::new().example("unreadable/typed-in-a-hurry");
    let ran = table.run(&["make", "typed-in-a-hurry.toml", "-o", "bag"]);
    ran.exits(2).prints_nothing();
    for place in ["2:1", "3:9", "6:8", "7:9", "11:1", "12:8"] {
        ran.tells(&format!("typed-in-a-hurry.toml:{place}: "));
    }
    ran.tells("did you mean `title`?").tells("6 problems");
    assert_eq!(table.lies_there(), ["typed-in-a-hurry.toml"]);
}

#[test]
fn a_file_that_cannot_be_read_exits_2() {
    let table = Table::new();
    table.run(&["make", "none.toml", "-o", "bag"]).exits(2).tells("there is no file none.toml");
    std::fs::create_dir(table.at("designs")).expect("a folder can be made");
    table.run(&["make", "designs", "-o", "bag"]).exits(2).tells("designs is a folder");
    std::fs::write(table.at("latin.toml"), b"title = \"caf\xe9\"\n").expect("it can be written");
    table.run(&["make", "latin.toml", "-o", "bag"]).exits(2).tells("not text in UTF-8");
    table.run(&["make", "latin.toml"]).exits(2).tells("--output");
    let table = table.design("bag.toml", SMALL);
    table.run(&["make", "bag.toml", "-o", "bag", "--rounds", "many"]).exits(2);
    table.run(&["make", "bag.toml", "-o", "bag", "--converted"]).exits(2).tells("--units");
    assert_eq!(table.lies_there(), ["bag.toml", "designs", "latin.toml"]);
}

#[test]
fn a_packet_for_the_other_ruler_is_drafted_anew_or_converted() {
    let table = Table::new().design("bag.toml", SMALL);
    let make = |more: &[&str]| {
        let arguments = ["make", "bag.toml", "--rounds", "0", "--json", "--replace", "-o", "bag"];
        let ran = table.run(&[&arguments[..], more].concat());
        ran.exits(0);
        assert_eq!(ran.out(), table.text("bag/packet.json"));
        serde_json::from_str::<serde_json::Value>(&ran.out()).expect("it prints JSON")
    };
    let own = make(&[]);
    assert_eq!(own["finished"]["width_mm"], 203.2);
    assert_eq!((&own["read_in"], &own["reading"]), (&"inch".into(), &"own".into()));
    let converted = make(&["--units", "metric", "--converted"]);
    assert_eq!(converted["finished"]["width_mm"], 203.2);
    assert_eq!(
        (&converted["read_in"], &converted["reading"]),
        (&"metric".into(), &"converted".into())
    );
    let redrafted = make(&["--units", "metric", "--paper", "a4"]);
    assert_eq!(redrafted["reading"], "redrafted");
    let width = redrafted["finished"]["width_mm"].as_f64().expect("a number");
    assert!((width - 203.2).abs() < 5.0 && width.fract() == 0.0, "{width} mm is a whole number");
    let allowance = &redrafted["pieces"][0]["edges"][0]["allowance_mm"];
    assert_eq!(allowance, 12.0, "a metric seam allowance");
}
