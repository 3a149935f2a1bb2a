//! `bagwright explain`, and pattern files in `check` and `make`.

use crate::table::{Table, designs_in};

/// Makes a design and what is explained of it, with `more` options, and compares files of both.
fn is_the_same_explained(name: &str, more: &[&str], parts: &[&str]) {
    let table = Table::new().example(name);
    let design = format!("{name}.toml");
    let ran = table.run(&["explain", &design]);
    ran.exits(0).prints("format = \"pattern\"");
    let table = table.design("explained.toml", &ran.out());
    for (file, to) in [(design.as_str(), "one"), ("explained.toml", "other")] {
        table.run(&[&["make", file, "-o", to, "--rounds", "0"], more].concat()).exits(0);
    }
    for part in parts {
        let [one, other] = ["one", "other"].map(|folder| table.files(folder).remove(*part));
        assert!(one.is_some() && one == other, "{name}: {part} differs");
    }
}

/// All that is printed and drawn is made from what is in packet.json.
#[test]
fn an_explained_design_gives_the_same_packet_byte_for_byte() {
    for name in designs_in("examples") {
        let parts = ["packet.json", "cut-list.txt", "shopping.txt"];
        is_the_same_explained(&name, &["--only", "lists"], &parts);
    }
}

#[test]
fn an_explained_design_gives_the_same_booklet_byte_for_byte() {
    for name in ["market-day-bag", "swimming-bag"] {
        is_the_same_explained(name, &["--only", "booklet"], &["packet.json", "booklet.pdf"]);
    }
}

#[test]
fn a_pattern_written_by_hand_is_ready_to_cut() {
    let table = Table::new().example("written/letter-fold-pouch");
    table
        .run(&["check", "letter-fold-pouch.toml"])
        .exits(0)
        .prints("ready to cut: 0 errors, 0 warnings");
    let ran = table.run(&["make", "letter-fold-pouch.toml", "-o", "pouch", "--rounds", "0"]);
    ran.exits(0).prints("Letter-fold pouch: 11 steps, 1 pieces to cut");
    // What is explained of a pattern file is the same pattern.
    let once = table.run(&["explain", "letter-fold-pouch.toml"]).out();
    let table = table.design("again.toml", &once);
    assert_eq!(table.run(&["explain", "again.toml"]).out(), once);
}

#[test]
fn the_work_is_shown_as_it_lies_after_a_step() {
    let table = Table::new().example("written/letter-fold-pouch");
    let file = "letter-fold-pouch.toml";
    let ran = table.run(&["check", file, "--after", "side-seams"]);
    ran.exits(0).prints("body of strip: wrong side out").prints("sewn by side-seams");
    let ran = table.run(&["check", file, "--after", "turn"]);
    ran.exits(0).prints("body of strip: right side out");
    let ran = table.run(&["check", file, "--after", "side-seam"]);
    ran.exits(2).tells("no step is called `side-seam`; did you mean `side-seams`?");
    let design = Table::new().example("lunch-bag");
    design
        .run(&["check", "lunch-bag.toml", "--after", "join-rim"])
        .exits(0)
        .prints("sewn by join-rim");
}

#[test]
fn problems_and_findings_of_a_pattern_file_have_their_line() {
    let text = Table::new().example("written/letter-fold-pouch").text("letter-fold-pouch.toml");
    let with = |right: &str, wrong: &str| {
        assert!(text.contains(right), "the example has no {right:?} any more");
        text.replace(right, wrong)
    };
    let table = Table::new()
        .design("unknown.toml", &with("bodies = [\"strip\"]", "bodies = [\"stripe\"]"))
        .design("short.toml", &with("tip = \"1 in\"", "tip = \"1 1/2 in\""))
        .design("nameless.toml", &with("format = \"pattern\"\n", ""));
    table
        .run(&["check", "unknown.toml"])
        .exits(2)
        .tells("unknown.toml:171:11: there is no copy `stripe`");
    table
        .run(&["check", "short.toml"])
        .exits(1)
        .prints("short.toml:151:6: error: a line 1 1/2 in from");
    table.run(&["check", "nameless.toml"]).exits(2).tells("the file does not say its `format`");
}

#[test]
fn an_impossible_design_is_not_explained() {
    let table = Table::new().example("faulty/base-up-to-the-rim");
    let ran = table.run(&["explain", "base-up-to-the-rim.toml"]);
    ran.exits(1).tells(": error: ").tells("cannot be made as it stands");
    assert_eq!(ran.out(), "");
}
