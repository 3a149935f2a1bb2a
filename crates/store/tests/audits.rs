//! Audit files as people write them, right and wrong, and the examples.

use std::fs;
use std::path::Path;

use bag::Severity;
use expect_test::{Expect, expect};
use packet::audit::{Audit, audit};
use proptest::prelude::*;
use store::{Problem, audit_json, audit_page, locate, read_audit};

/// The smallest list of claims there can be.
const SMALLEST: &str = "units = \"inch\"\n[[fabric]]\nname = \"cotton\"\nwidth = 44\n\
                        [[piece]]\nname = \"panel\"\ncount = 2\nwidth = 21\nheight = 17\n\
                        from = \"cotton\"\n";

fn shown(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[track_caller]
fn audited(file: &str, text: &str) -> Audit {
    let claims = read_audit(file, text).unwrap_or_else(|problems| panic!("{}", shown(&problems)));
    audit(&claims)
}

/// Compares all problems of a file with `expected`.
#[track_caller]
fn refuses(text: &str, expected: Expect) {
    let problems = read_audit("sheet.toml", text).expect_err("it has problems");
    expected.assert_eq(&shown(&problems));
}

fn examples() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/audit");
    let entries = fs::read_dir(folder).expect("there are examples");
    let paths = entries.map(|entry| entry.expect("the folder can be listed").path());
    let mut examples: Vec<(String, String)> = paths
        .map(|path| {
            let text = fs::read_to_string(&path).expect("an example is text");
            (path.file_name().unwrap_or_default().to_string_lossy().into_owned(), text)
        })
        .collect();
    examples.sort();
    examples
}

#[test]
fn each_example_has_just_the_slips_that_its_first_line_names() {
    let mut clean = 0;
    for (file, text) in examples() {
        let line = text.lines().next().unwrap_or_default();
        let line = line.strip_prefix("# Expected: ").unwrap_or_else(|| panic!("{file}: {line}"));
        let mut expected: Vec<String> =
            line.split(", ").filter(|kind| *kind != "nothing").map(str::to_owned).collect();
        let audit = audited(&file, &text);
        let slips = audit.findings.iter().filter(|f| f.severity != Severity::Note);
        let mut slips: Vec<String> =
            slips.map(|f| format!("{} {}", f.severity.word(), f.check)).collect();
        expected.sort();
        slips.sort();
        slips.dedup();
        assert_eq!(slips, expected, "{file}: {:#?}", audit.findings);
        assert!(audit.is_clean() || audit.count(Severity::Error) > 0);
        clean += usize::from(audit.findings.is_empty());
        for finding in &audit.findings {
            let parameter = finding.place.parameter.as_deref().unwrap_or_default();
            assert!(locate(&text, parameter).is_some(), "{file}: {parameter}");
        }
        for laid in &audit.laid {
            let layout = laid.layout.as_ref().expect("everything fits");
            assert_eq!(layout::verify(&laid.problem, layout), Ok(()), "{file}");
        }
    }
    assert_eq!(clean, 1);
}

#[test]
fn what_the_swimming_bag_is_told() {
    let (file, text) =
        examples().into_iter().find(|(file, _)| file == "swimming-bag.toml").expect("it is there");
    let audit = audited(&file, &text);
    let told: Vec<String> = audit
        .findings
        .iter()
        .map(|f| format!("{}: {}\n  = {}", f.severity.word(), f.message, f.cure))
        .chain(audit.fine.iter().map(|fine| format!("fine: {}", fine.message)))
        .collect();
    expect![[r#"
        error: the list has 1 of `pocket`, and 2 are needed for 1 pocket of 2 layers each
          = list 2 of `pocket`
        error: 0.2 m of webbing cloth is too short by 100 mm: it gives 200 mm, and its pieces take 300 mm at least; of 2 listed `strap`, 1 comes out
          = buy 0.3 m, as the layout shows (300 mm used, shortest possible)
        error: the pattern says a strap length of 1450 mm; `strap` is cut 1400 mm long: that gives 1400 mm
          = cut `strap` 1450 mm long
        error: the pattern says a finished strap width of 30 mm; `strap` is cut 100 mm wide, and four layers are a quarter of it: that gives 25 mm
          = cut `strap` 120 mm wide
        error: the pattern says a free strap length above the finished rim of 750 mm; a strap 1400 mm long goes up `panel`, 370 mm high as cut, from the base and down again, with 10 mm at the rim: that gives 680 mm
          = cut straps 1470 mm long
        error: the pattern says a finished pocket width of 220 mm; `pocket` is cut 220 × 180 mm, two layers sewn around with 10 mm: that gives 200 mm
          = cut it 240 mm wide
        fine: 2 of `panel` for the outside
        fine: 2 of `strap` for 2 straps
        fine: 0.4 m of towelling is enough: 3 pieces take 370 mm of 400 mm (shortest possible)
        fine: finished width at the base 400 mm: `panel` is cut 420 mm wide, less two allowances of 10 mm
        fine: finished height 350 mm: `panel` is cut 370 mm high, less 10 mm at the base and at the rim
        fine: finished pocket height 160 mm: `pocket` is cut 220 × 180 mm, two layers sewn around with 10 mm"#]].assert_eq(&told.join("\n"));
}

#[test]
fn the_smallest_list_claims_nothing() {
    let claims = read_audit("sheet.toml", SMALLEST).expect("it is understood");
    assert_eq!((claims.fabrics.len(), claims.pieces.len()), (1, 1));
    assert!(!claims.fabrics[0].usable_given);
    let audit = audit(&claims);
    assert!(audit.findings.is_empty() && audit.fine.is_empty());
}

#[test]
fn everything_that_is_wrong_is_told_at_once() {
    refuses(
        "title = 3\nunit = \"inch\"\n[[fabric]]\nwidht = 44\n[[piece]]\nname = \"panel\"\n\
         count = 0\nwidth = \"wide\"\nfrom = [\"canvas\"]\n[seams]\nall = true\n[size]\n\
         panel = \"pannel\"\nbody = \"sqare\"\n",
        expect![[r#"
            sheet.toml:1:1: the file does not name its `units`
              1 | title = 3
                | ^
                = write `units = "inch"` (or "cm" or "mm") at the top: it says what a number without a unit means
            sheet.toml:1:9: `title` should be a text in quotes, not a whole number
              1 | title = 3
                |         ^
                = `title` takes a text of at most 200 characters
            sheet.toml:2:1: an audit file has no key `unit`
              2 | unit = "inch"
                | ^^^^
                = did you mean `units`? an audit file takes title, about, units, pieces-in-all, fabric, piece, seams, size, strap, pocket, shop
            sheet.toml:3:1: [[fabric]] does not say its `name`
              3 | [[fabric]]
                | ^^^^^^^^^^
                = write `name = …`: What the pattern calls it; pieces refer to it.
            sheet.toml:3:1: [[fabric]] says neither its `width` nor its `usable` width
              3 | [[fabric]]
                | ^^^^^^^^^^
                = write `width = …`, as it is sold; or `usable = …`, if you know it
            sheet.toml:4:1: [[fabric]] has no key `widht`
              4 | widht = 44
                | ^^^^^
                = did you mean `width`? [[fabric]] takes name, width, usable, yardage, pieces, one-way, turnable, shrinks-in-length, shrinks-in-width
            sheet.toml:5:1: [[piece]] does not say its `height`
              5 | [[piece]]
                | ^^^^^^^^^
                = write `height = …`: Height as cut, seam allowances included.
            sheet.toml:7:9: `0` is not among the numbers that `count` takes
              7 | count = 0
                |         ^
                = `count` takes a whole number from 1 to 500
            sheet.toml:8:9: `wide`: has `wide` where a number should be; write in, cm, mm, yd, ft or m, as in `4 1/2 in`
              8 | width = "wide"
                |         ^^^^^^
                = `width` takes a length from 1/4 in to 787 3/8 in
            sheet.toml:9:9: there is no [[fabric]] called `canvas`
              9 | from = ["canvas"]
                |         ^^^^^^^^
                = there is no [[fabric]] with a name
            sheet.toml:11:7: `all` should be a length, not true or false
              11 | all = true
                 |       ^^^^
                 = `all` takes a length from 0 in to 11 3/4 in
            sheet.toml:13:9: there is no [[piece]] called `pannel`
              13 | panel = "pannel"
                 |         ^^^^^^^^
                 = did you mean `panel`? the names are panel
            sheet.toml:14:8: `body` has no choice `sqare`
              14 | body = "sqare"
                 |        ^^^^^^^
                 = `body` is one of front-and-back, round, under-the-base"#]],
    );
    refuses(
        "",
        expect![[r#"
        sheet.toml:1:1: the file does not name its `units`
            = write `units = "inch"` (or "cm" or "mm") at the top: it says what a number without a unit means
        sheet.toml:1:1: the file has no section [[fabric]]
            = add a line `[[fabric]]`, and its keys under it
        sheet.toml:1:1: the file has no section [[piece]]
            = add a line `[[piece]]`, and its keys under it"#]],
    );
    refuses(
        "units = \"inch\"\nfabric = 3\npiece = []\n",
        expect![[r#"
            sheet.toml:2:10: [[fabric]] should be a section, not a whole number
              2 | fabric = 3
                |          ^
                = write a line `[[fabric]]`, and its keys under it, each on its line
            sheet.toml:3:9: the file has no section [[piece]]
              3 | piece = []
                |         ^^
                = add a line `[[piece]]`, and its keys under it"#]],
    );
}

#[test]
fn what_contradicts_itself_is_refused() {
    let more = |more: &str| format!("{SMALLEST}{more}");
    refuses(
        &more("[size]\npanel = \"panel\"\nboxed = 4\ncut-out = 2\n"),
        expect![[r#"
        sheet.toml:14:11: [size] has both `boxed` and `cut-out`
          14 | cut-out = 2
             |           ^
             = corners are either folded and boxed or cut out: leave one of them out"#]],
    );
    refuses(
        &more("[[piece]]\nname = \"panel\"\ncount = 1\nwidth = 4\nheight = 4\nfrom = \"wool\"\n"),
        expect![[r#"
            sheet.toml:12:8: [[piece]] `panel` is there twice
              12 | name = "panel"
                 |        ^^^^^^^
                 = give each its own name, or write it once with the whole count
            sheet.toml:16:8: there is no [[fabric]] called `wool`
              16 | from = "wool"
                 |        ^^^^^^
                 = the names are cotton"#]],
    );
    refuses(
        &more(
            "joins = 2\n[[pocket]]\npiece = \"panel\"\nhem = 1\n[[strap]]\npiece = \"panel\"\nallowance = \"1/4\"\n",
        ),
        expect![[r#"
            sheet.toml:11:9: `joins` is said of a piece that is not joined
              11 | joins = 2
                 |         ^
                 = write `join = "centre"` or `join = "anywhere"`, or leave it out
            sheet.toml:14:7: `hem` is said of a pocket that is turned, and has none
              14 | hem = 1
                 |       ^
                 = write `made = "one-layer"`, or leave `hem` out
            sheet.toml:17:13: `allowance` is said of a strap that is not sewn along and turned
              17 | allowance = "1/4"
                 |             ^^^^^
                 = write `layers = "two"`, or leave `allowance` out"#]],
    );
    refuses(
        &more("join = \"centre\"\n"),
        expect![[r#"
        sheet.toml:11:8: a piece may be joined, and nothing says with which allowance
          11 | join = "centre"
             |        ^^^^^^^^
             = write `join-allowance = …`, or `all = …` under [seams]"#]],
    );
    refuses(
        &SMALLEST.replace("width = 44", "usable = 44\nwidth = 42"),
        expect![[r#"
        sheet.toml:4:10: [[fabric]] has 44 in usable of a bought `width` of 42 in
          4 | usable = 44
            |          ^^
            = give the bought width, or leave one of the two out"#]],
    );
    refuses(
        &SMALLEST.replace("width = 44\n", ""),
        expect![[r#"
        sheet.toml:2:1: [[fabric]] says neither its `width` nor its `usable` width
          2 | [[fabric]]
            | ^^^^^^^^^^
            = write `width = …`, as it is sold; or `usable = …`, if you know it"#]],
    );
    let crowd: String = (0..9)
        .map(|n| format!("[[piece]]\nname = \"p{n}\"\ncount = 500\nwidth = 1\nheight = 1\nfrom = \"cotton\"\n"))
        .collect();
    refuses(
        &more(&crowd),
        expect![[r#"
        sheet.toml:31:9: there are more than 2000 pieces up to here
          31 | count = 500
             |         ^^^
             = audit a pattern for one bag, not for a whole class"#]],
    );
    refuses(
        &more("[shop]\nincrements = [\"1/8 yrd\"]\n"),
        expect![[r#"
            sheet.toml:12:14: `1/8 yrd`: `yrd` is not a unit; did you mean `yd`? Otherwise write in, cm, mm, yd, ft or m, as in `4 1/2 in`
              12 | increments = ["1/8 yrd"]
                 |              ^^^^^^^^^^^
                 = The lengths in which cloth is sold, as in `["1/8 yd"]`; what is generous is told by it."#]],
    );
}

#[test]
fn results_are_json() {
    let (file, text) = examples().remove(0);
    let claims = read_audit(&file, &text).expect("it is understood");
    let json: serde_json::Value =
        serde_json::from_str(&audit_json(&claims, &audit(&claims))).expect("it is JSON");
    assert_eq!(json["format"], "bagwright audit");
    assert_eq!(json["can_be"], false);
    assert_eq!(json["findings"][0]["severity"], "error");
    assert!(json["layouts"][0]["placements"].as_array().is_some_and(|all| !all.is_empty()));
}

#[test]
fn the_page_names_every_check_that_an_example_meets() {
    let page = audit_page();
    for (file, text) in examples() {
        let audit = audited(&file, &text);
        let checks = audit.findings.iter().map(|f| f.check);
        for check in checks.chain(audit.fine.iter().map(|fine| fine.check)) {
            assert!(page.contains(&format!("`{check}`")), "{file}: {check}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Nothing that a person may write makes it fail: numbers of the clean example are replaced.
    #[test]
    fn any_numbers_are_judged_or_refused(
        numbers in proptest::collection::vec(0_u32..3_000, 40),
    ) {
        let (_, text) = examples().remove(4);
        let mut next = numbers.iter().cycle();
        let lines = text.lines().map(|line| match line.split_once(" = ") {
            Some((key, value)) if value.starts_with(|c: char| c.is_ascii_digit()) => {
                let number = *next.next().unwrap_or(&1);
                let number = match key {
                    "count" | "pieces" | "pieces-in-all" | "straps" => (number % 40).to_string(),
                    _ => (f64::from(number) / 8.0).to_string(),
                };
                format!("{key} = {number}\n")
            }
            _ => format!("{line}\n"),
        });
        let text: String = lines.collect();
        if let Ok(claims) = read_audit("sheet.toml", &text) {
            let audit = audit(&claims);
            for laid in &audit.laid {
                if let Some(layout) = &laid.layout {
                    prop_assert_eq!(layout::verify(&laid.problem, layout), Ok(()));
                }
            }
        }
    }

    /// Nor does nonsense.
    #[test]
    fn nonsense_is_refused(text in "[\\[\\]a-z =\"0-9\n.]{0,200}") {
        prop_assert!(read_audit("sheet.toml", &text).is_err());
    }
}
