//! Design files as people write them, right and wrong.

use bag::kinds::Value;
use bag::{Design, Role, bodies};
use expect_test::{Expect, expect};
use measure::{Length, Units};
use proptest::prelude::*;
use store::{Problem, Starter, guide, kinds_json, read_design, starter, write_design};

/// The smallest file there can be.
const SMALLEST: &str = "units = \"inch\"\n[body]\nkind = \"boxed\"\n";

#[track_caller]
fn read(text: &str) -> Design {
    read_design("tote.toml", text).unwrap_or_else(|problems| panic!("{}", shown(&problems)))
}

fn shown(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// Compares all problems of a file with `expected`.
#[track_caller]
fn refuses(text: &str, expected: Expect) {
    let problems = read_design("tote.toml", text).expect_err("it has problems");
    expected.assert_eq(&shown(&problems));
}

#[test]
fn the_smallest_file_is_the_body_with_all_defaults() {
    let body = bodies::find("boxed").expect("there is such a body");
    assert_eq!(read(SMALLEST), Design::of(body, Units::Inch));
    let metric = read(&SMALLEST.replace("inch", "mm"));
    assert_eq!(metric, Design::of(body, Units::Mm));
    assert_eq!(metric.body.values.length("width"), Length::mm(400));
}

#[test]
fn every_value_arrives_exactly() {
    let design = read(
        r#"
        title = "Market tote"
        units = "cm"
        [edition]
        number = 3
        date = 2026-11-25
        changes = ["Longer straps", "The pocket is lined"]
        [body]
        kind = "boxed"
        width = 40.1
        height = "16 in"
        depth = '4 1/8"'
        [[pocket]]
        kind = "patch"
        divisions = 3
        [[pocket]]
        kind = "band"
        on = "both"
        [handles]
        kind = "webbing"
        [allowances]
        side = "5/8 in"
        [fabric.lining]
        name = "blue lawn"
        width = 140
        one-way = true
        shrinks-in-length = 2.5
        shrinks-in-width = "3 %"
        [interfacing.outside]
        held = "basted"
        "#,
    );
    assert_eq!(design.title, "Market tote");
    assert_eq!(design.edition.number, 3);
    assert_eq!(design.edition.date, "2026-11-25");
    assert_eq!(design.edition.changes, ["Longer straps", "The pocket is lined"]);
    let body = &design.body.values;
    assert_eq!(body.length("width"), Length::mm(401));
    assert_eq!(body.length("height"), Length::inch(16));
    assert_eq!(body.length("depth"), Length::inch_frac(33, 8));
    let pockets: Vec<&str> = design.pockets.iter().map(|pocket| pocket.kind).collect();
    assert_eq!(pockets, ["patch", "band"]);
    assert_eq!(design.pockets[0].values.count("divisions"), 3);
    assert_eq!(design.pockets[1].values.choice("on"), "both");
    assert_eq!(design.handles.kind, "webbing");
    assert_eq!(design.allowances.length("side"), Length::inch_frac(5, 8));
    assert_eq!(design.allowances.length("base"), Length::mm(12));
    let lining = &design.fabrics[&Role::Lining];
    assert_eq!(lining.text("name"), "blue lawn");
    assert_eq!(lining.length("width"), Length::mm(1_400));
    assert!(lining.flag("one-way"));
    assert_eq!(
        (lining.percent("shrinks-in-length"), lining.percent("shrinks-in-width")),
        (250, 300)
    );
    assert_eq!(design.interfacings[&Role::Outside].choice("held"), "basted");
    assert_eq!(design.fabrics[&Role::Outside].text("name"), "outside fabric");
}

#[test]
fn all_problems_are_told_at_once_in_the_order_of_the_file() {
    refuses(
        r#"tilte = "Tote"
units = "inch"
[body]
kind = "boxed"
width = 4 1/2
height = "four"
depth = 40
[[pocket]]
kind = "pach"
[[pocket]]
kind = "patch"
divisions = "two"
strip = 4
[handles]
from = "base"
[shop]
increments = "eights"
squaring = true
[fabric.linning]
[fabric.outside]
width = 44
usable = 45
shrinks-in-length = 99
one-way = "yes"
"#,
        expect![[r#"
            tote.toml:1:1: a design file has no key `tilte`
              1 | tilte = "Tote"
                | ^^^^^
                = did you mean `title`? a design file takes title, about, units, edition, body, pocket, handles, closure, lining, extra, allowances, stitching, shop, fabric, interfacing, size, option
            tote.toml:5:9: a value that is no plain number stands in quotes
              5 | width = 4 1/2
                |         ^^^^^
                = put it in quotes: "4 1/2"
            tote.toml:6:10: `four`: has `four` where a number should be; write in, cm, mm, yd, ft or m, as in `4 1/2 in`
              6 | height = "four"
                |          ^^^^^^
                = `height` takes a length from 2 3/8 in to 59 in
            tote.toml:7:9: `40` is too much for `depth`
              7 | depth = 40
                |         ^^
                = `depth` takes a length from 5/8 in to 23 9/16 in
            tote.toml:9:8: [[pocket]] has no kind `pach`
              9 | kind = "pach"
                |        ^^^^^^
                = did you mean `patch`? [[pocket]] is one of band, patch, flap, bellows, pleated, elastic, organiser, slip, zip-slit, zip-seam, window
            tote.toml:12:13: `divisions` should be a whole number, not a text in quotes
              12 | divisions = "two"
                 |             ^^^^^
                 = `divisions` takes a whole number from 1 to 12
            tote.toml:13:1: [[pocket]] of kind `patch` has no key `strip`
              13 | strip = 4
                 | ^^^^^
                 = [[pocket]] of kind `patch` takes on, width, height, below, divisions, opening, kind
            tote.toml:14:1: [handles] does not say its `kind`
              14 | [handles]
                 | ^^^^^^^^^
                 = write `kind = …`, one of folded, webbing, padded, rolled, rings, eyelets, grab-loop, cross-body, backpack, none
            tote.toml:17:14: `increments` has no choice `eights`
              17 | increments = "eights"
                 |              ^^^^^^^^
                 = did you mean `eighths`? `increments` is one of usual, eighths, thirds, eighths-and-thirds, quarters, halves, 10-cm, 5-cm, 25-cm
            tote.toml:18:12: `squaring` should be a length, not true or false
              18 | squaring = true
                 |            ^^^^
                 = `squaring` takes a length from 0 in to 11 3/4 in
            tote.toml:19:9: [fabric] knows no part `linning`
              19 | [fabric.linning]
                 |         ^^^^^^^
                 = did you mean `lining`? write [fabric.PART], where PART is one of outside, base, pocket, handle, lining, cuff, inside-pocket, binding
            tote.toml:22:10: [fabric.outside] has 45 in usable of a bought `width` of 44 in
              22 | usable = 45
                 |          ^^
                 = give the bought width, or leave `usable` out
            tote.toml:23:21: `99` is too much for `shrinks-in-length`
              23 | shrinks-in-length = 99
                 |                     ^^
                 = `shrinks-in-length` takes a percentage from 0 to 25
            tote.toml:24:11: `one-way` should be true or false without quotes, not a text in quotes
              24 | one-way = "yes"
                 |           ^^^^^
                 = `one-way` takes true or false"#]],
    );
}

#[test]
fn a_file_that_lacks_what_must_be_there_says_so() {
    refuses(
        "title = \"Tote\"\n",
        expect![[r#"
            tote.toml:1:1: the file does not name its `units`
              1 | title = "Tote"
                | ^
                = write `units = "inch"` (or "cm" or "mm") at the top: it says what a number without a unit means
            tote.toml:1:15: the file has no section [body]
              1 | title = "Tote"
                |               ^
                = add a line `[body]` and under it `kind = …`, one of boxed, flat, cut-corners, folded-base, wrapped, gusset, gusset-in-parts, round-base, rounded-base, zip-pouch, boxed-pouch, basket, bottle-carrier, lunch-bag, drawstring-bag, roll-top, messenger, backpack, duffel"#]],
    );
    refuses(
        "",
        expect![[r#"
            tote.toml:1:1: the file does not name its `units`
                = write `units = "inch"` (or "cm" or "mm") at the top: it says what a number without a unit means
            tote.toml:1:1: the file has no section [body]
                = add a line `[body]` and under it `kind = …`, one of boxed, flat, cut-corners, folded-base, wrapped, gusset, gusset-in-parts, round-base, rounded-base, zip-pouch, boxed-pouch, basket, bottle-carrier, lunch-bag, drawstring-bag, roll-top, messenger, backpack, duffel"#]],
    );
    refuses(
        "units = \"inches\"\nbody = 3\n",
        expect![[r#"
        tote.toml:1:9: `units` has no choice `inches`
          1 | units = "inches"
            |         ^^^^^^^^
            = did you mean `inch`? `units` is one of inch, cm, mm
        tote.toml:2:8: [body] should be a section, not a whole number
          2 | body = 3
            |        ^
            = write a line `[body]`, and its keys under it, each on its own line"#]],
    );
    refuses(
        "units = \"cm\"\n[body]\nwidth = 40\n[fabric]\nwidth = 110\n",
        expect![[r#"
            tote.toml:2:1: [body] does not say its `kind`
              2 | [body]
                | ^^^^^^
                = write `kind = …`, one of boxed, flat, cut-corners, folded-base, wrapped, gusset, gusset-in-parts, round-base, rounded-base, zip-pouch, boxed-pouch, basket, bottle-carrier, lunch-bag, drawstring-bag, roll-top, messenger, backpack, duffel
            tote.toml:5:1: [fabric] knows no part `width`
              5 | width = 110
                | ^^^^^
                = write [fabric.PART], where PART is one of outside, base, pocket, handle, lining, cuff, inside-pocket, binding"#]],
    );
}

#[test]
fn values_of_the_wrong_sort_are_told_apart() {
    refuses(
        r#"units = "mm"
[edition]
number = 1.5
date = 3
changes = "longer"
[body]
kind = "flat"
width = 0x190
height = 1e3
taper = [1]
[lining]
kind = true
[[pocket]]
kind = "patch"
divisions = 99
width = { mm = 30 }
height = -30
below = inf
"#,
        expect![[r#"
            tote.toml:3:10: `number` should be a whole number, not a number with decimals
              3 | number = 1.5
                |          ^^^
                = `number` takes a whole number from 1 to 999
            tote.toml:4:8: `date` should be a text in quotes, not a whole number
              4 | date = 3
                |        ^
                = `date` takes a text of at most 200 characters
            tote.toml:5:11: `changes` should be a list, not a text in quotes
              5 | changes = "longer"
                |           ^^^^^^^^
                = write a list of at most 24 texts, as in `changes = ["longer straps"]`
            tote.toml:8:9: `width` should be a length, not a number that is not decimal
              8 | width = 0x190
                |         ^^^^^
                = `width` takes a length from 60 mm to 1500 mm
            tote.toml:9:10: `1e3`: write the number out, without an exponent
              9 | height = 1e3
                |          ^^^
                = `height` takes a length from 60 mm to 1500 mm
            tote.toml:10:9: `taper` should be a length, not a list
              10 | taper = [1]
                 |         ^^^
                 = `taper` takes a length from 0 mm to 600 mm
            tote.toml:12:8: `kind` should be a word in quotes, not true or false
              12 | kind = true
                 |        ^^^^
                 = [lining] is one of turned, unlined, dropped, backed, faced
            tote.toml:15:13: `99` is not among the numbers that `divisions` takes
              15 | divisions = 99
                 |             ^^
                 = `divisions` takes a whole number from 1 to 12
            tote.toml:16:9: `width` should be a length, not a table
              16 | width = { mm = 30 }
                 |         ^^^^^^^^^^^
                 = `width` takes a length from 50 mm to 1200 mm
            tote.toml:17:10: `-30`: cannot be negative
              17 | height = -30
                 |          ^^^
                 = `height` takes a length from 50 mm to 1000 mm
            tote.toml:18:9: `inf`: has `inf` where a number should be; write in, cm, mm, yd, ft or m, as in `4 1/2 in`
              18 | below = inf
                 |         ^^^
                 = `below` takes a length from 15 mm to 600 mm"#]],
    );
}

#[test]
fn two_fabrics_of_one_name_are_one_fabric() {
    let file = |lining: u32| {
        format!(
            "{SMALLEST}[fabric.outside]\nname = \"canvas\"\nwidth = 60\n\
             [fabric.lining]\nname = \"Canvas\"\nwidth = {lining}\n"
        )
    };
    refuses(
        &file(44),
        expect![[r#"
        tote.toml:8:8: [fabric.outside] and [fabric.lining] are both called `Canvas`, but differ
          8 | name = "Canvas"
            |        ^^^^^^^^
            = give them different names, or the same values if they are one fabric"#]],
    );
    let same = file(60).replace("Canvas", "canvas");
    assert_eq!(read(&same).fabrics[&Role::Lining].length("width"), Length::inch(60));
}

#[test]
fn a_file_full_of_mistakes_is_told_of_in_short() {
    let keys = |indent: &str| -> String {
        (0..40_000).map(|n| format!("{indent}key-{n} = 0\n")).collect()
    };
    for text in [
        format!("{}{SMALLEST}", keys("")),
        format!("{SMALLEST}{}", keys(" ")),
        format!("{SMALLEST}[fabric]\n{}", keys("  ")),
    ] {
        let problems = read_design("a.toml", &text).expect_err("it has problems");
        assert_eq!(problems.len(), 100);
    }
}

#[test]
fn a_range_is_told_in_the_units_of_the_design() {
    for (units, range) in [
        ("inch", "`side` takes a length from 1/8 in to 1 9/16 in"),
        ("cm", "`side` takes a length from 0.3 cm to 4 cm"),
        ("mm", "`side` takes a length from 3 mm to 40 mm"),
    ] {
        let text = SMALLEST.replace("inch", units) + "[allowances]\nside = \"90 mm\"\n";
        let problems = read_design("tote.toml", &text).expect_err("it is out of range");
        assert_eq!(problems[0].hint, range);
        assert_eq!((problems[0].line, problems[0].column), (5, 8));
        assert_eq!(problems[0].text, "\"90 mm\"");
    }
}

#[test]
fn the_starter_of_every_body_reads_back_as_its_defaults() {
    for body in bodies::ALL {
        for units in Units::ALL {
            for extent in [Starter::Short, Starter::Whole] {
                let text = starter(body.name(), units, extent).expect("there is such a body");
                assert_eq!(read(&text), Design::of(*body, units), "{text}");
            }
        }
    }
    assert_eq!(starter("no-such-body", Units::Inch, Starter::Whole), None);
}

/// The text of a starter with the # of its proposals taken away.
fn with_its_proposals(text: &str) -> String {
    let is_proposal = |line: &&str| line.starts_with('#') && !line.starts_with("# ");
    assert!(text.lines().any(|line| is_proposal(&line)));
    let taken = |line| if is_proposal(&line) { &line[1..] } else { line };
    let text: Vec<&str> = text.lines().map(taken).collect();
    text.join("\n")
}

#[test]
fn the_proposals_of_a_starter_can_be_taken_as_they_stand() {
    for body in bodies::ALL {
        let text = starter(body.name(), Units::Mm, Starter::Whole).expect("there is such a body");
        let design = read(&with_its_proposals(&text));
        assert_eq!(design.pockets.len(), bag::pockets::ALL.len());
        assert_eq!(design.interfacings.len(), 1);
    }
}

#[test]
fn a_short_starter_proposes_what_can_be_sewn_on_its_body() {
    let mut proposed = 0;
    for body in bodies::ALL {
        for units in [Units::Inch, Units::Mm] {
            let text = starter(body.name(), units, Starter::Short).expect("there is such a body");
            assert!(text.lines().count() < 400, "{}: {}", body.name(), text.lines().count());
            let design = read(&with_its_proposals(&text));
            proposed += design.pockets.len() + design.extras.len();
            let drafted = bag::draft(&design);
            assert!(drafted.pattern.is_some(), "{}: {:?}", body.name(), drafted.findings);
        }
    }
    assert!(proposed > 3 * bodies::ALL.len(), "{proposed}");
}

#[test]
fn a_written_design_reads_back_as_itself() {
    let mut design = read(SMALLEST);
    design.title = "Quotes \" and \\ and ' and ½".to_owned();
    design.edition.changes = vec!["one \"two\"".to_owned(), "three".to_owned()];
    design.body.values.set("width", Value::Length(Length::nm(400_000_001)));
    for pocket in bag::pockets::ALL {
        design.pockets.push(bag::Chosen::new(*pocket, design.system()));
    }
    assert_eq!(read(&write_design(&design)), design);
}

#[test]
fn every_example_is_read_and_written_back_as_itself() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("there are examples") {
        let path = entry.expect("it can be listed").path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let text = std::fs::read_to_string(&path).expect("it is text");
            let design = read(&text);
            assert_eq!(read(&write_design(&design)), design, "{}", path.display());
            count += 1;
        }
    }
    assert!(count >= 4, "there are only {count} examples");
}

#[test]
fn the_guide_names_every_key_and_every_kind() {
    let page = guide();
    let lists: [Vec<&dyn bag::kinds::Kind>; 6] = [
        bodies::ALL.iter().map(|kind| *kind as _).collect(),
        bag::pockets::ALL.iter().map(|kind| *kind as _).collect(),
        bag::handles::ALL.iter().map(|kind| *kind as _).collect(),
        bag::closures::ALL.iter().map(|kind| *kind as _).collect(),
        bag::linings::ALL.iter().map(|kind| *kind as _).collect(),
        bag::extras::ALL.iter().map(|kind| *kind as _).collect(),
    ];
    for kind in lists.iter().flatten() {
        assert!(page.contains(&format!("### `kind = \"{}\"`", kind.name())), "{}", kind.name());
        for param in kind.params() {
            assert!(page.contains(&format!("| `{}` | {}", param.key, param.help)), "{}", param.key);
        }
    }
    for role in Role::ALL {
        assert!(page.contains(&format!("`{}` ({})", role.key(), role.title())));
    }
    assert!(page.lines().all(|line| !line.ends_with(' ')));
}

#[test]
fn kinds_are_told_to_other_programs() {
    let json: serde_json::Value = serde_json::from_str(&kinds_json()).expect("it is JSON");
    let names = |list: &str| -> Vec<String> {
        let list = json[list].as_array().expect("there is such a list");
        list.iter().map(|kind| kind["name"].as_str().unwrap_or_default().to_owned()).collect()
    };
    let own = |all: Vec<&str>| all.into_iter().map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(names("bodies"), own(bodies::ALL.iter().map(|kind| kind.name()).collect()));
    assert_eq!(names("bodies")[..2], ["boxed", "flat"]);
    assert_eq!(names("closures")[..2], ["open", "magnetic-snap"]);
    assert_eq!(names("closures").len(), bag::closures::ALL.len());
    assert_eq!(names("extras").len(), bag::extras::ALL.len());
    assert_eq!(names("checks").len(), bag::checks::ALL.len());
    let width = &json["bodies"][0]["parameters"][1];
    assert_eq!(width["key"], "width");
    assert_eq!(width["default_inch_mm"], 406.4);
    assert_eq!(width["default_metric_mm"], 400.0);
}

/// Bits of files, right and wrong, that stand beside each other in a random order.
fn fragments() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        "units = \"cm\"\n",
        "[body]\n",
        "kind = \"boxed\"\n",
        "[[pocket]]\n",
        "kind = \"patch\"\n",
        "width = 4\n",
        "width = \"4 1/2\"\n",
        "[fabric.outside]\n",
        "[fabric]\n",
        "name = \"\"\n",
        "one-way = true\n",
        "[edition]\n",
        "changes = [1, \"x\", [[]]]\n",
        "number = -3\n",
        "= = =\n",
        "\"\"\"",
        "'''",
        "{",
        "}",
        "[",
        "]",
        ".",
        "\\",
        "\u{0}",
        "½",
        "\r\n",
        "#",
        "1e999999",
        "0x",
        "inf",
        "body.kind = 'flat'\n",
        "pocket = 1\n",
        "fabric.x.y = 2\n",
        "99999999999999999999999",
        "date = 2026-13-45\n",
        "[interfacing.outside]\n",
        "held = 'block'\n",
    ]);
    prop::collection::vec(bits, 0..40).prop_map(|bits| bits.concat())
}

/// Whatever is wrong with a file, each problem has a place in it and something to say.
fn assert_told_well(text: &str) -> Result<(), TestCaseError> {
    let Err(problems) = read_design("a.toml", text) else { return Ok(()) };
    prop_assert!(!problems.is_empty());
    let lines = text.split('\n').count();
    for problem in problems {
        prop_assert!((1..=lines).contains(&problem.line), "{problem}");
        prop_assert!(problem.column >= 1 && !problem.message.is_empty());
        let shown = problem.to_string();
        prop_assert!(shown.chars().all(|c| c == '\n' || !c.is_control()), "{shown:?}");
    }
    Ok(())
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}") {
        assert_told_well(&text)?;
    }

    #[test]
    fn no_mixture_of_sections_makes_the_reader_panic(text in fragments()) {
        assert_told_well(&text)?;
    }

    #[test]
    fn no_change_to_a_good_file_makes_the_reader_panic(
        at in 0_usize..20_000, cut in 0_usize..30, put in "[\\PC\n]{0,6}",
    ) {
        let good = starter("boxed", Units::Inch, Starter::Whole).unwrap_or_default();
        let chars: Vec<char> = good.chars().collect();
        let at = at % chars.len();
        let end = (at + cut).min(chars.len());
        let text: String = chars[..at].iter().copied().chain(put.chars()).chain(chars[end..].iter().copied()).collect();
        assert_told_well(&text)?;
    }

    #[test]
    fn any_length_in_range_is_read_back_exactly(nm in 60_000_000_i64..1_500_000_000) {
        let mut design = read(SMALLEST);
        for units in Units::ALL {
            design.units = units;
            design.body.values.set("width", Value::Length(Length::nm(nm)));
            let again = read_design("a.toml", &write_design(&design));
            prop_assert_eq!(again.as_ref(), Ok(&design));
        }
    }
}
