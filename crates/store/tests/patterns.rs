//! Pattern files: what is written reads back to the same packet, what is wrong is told, and
//! nothing that reads makes anything panic.

use std::fs;
use std::path::{Path, PathBuf};

use bag::assembly::{Assembly, report};
use bag::design::{Chosen, Design};
use bag::{Pattern, Severity, bodies, extras, handles, linings, pockets};
use expect_test::{Expect, expect};
use measure::Units;
use packet::Reading;
use proptest::prelude::*;
use store::{packet_json, read_pattern, write_pattern};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn files_in(folder: &str) -> Vec<(String, String)> {
    let entries = fs::read_dir(root().join(folder)).expect("the folder is there");
    let mut files: Vec<(String, String)> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| (path.display().to_string(), fs::read_to_string(&path).expect("it is text")))
        .collect();
    files.sort();
    files
}

#[track_caller]
fn read(name: &str, text: &str) -> Pattern {
    read_pattern(name, text).unwrap_or_else(|problems| {
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("{name}\n{}", told.join("\n"))
    })
}

/// Writes and reads a pattern: the packet's JSON is the same, byte for byte, and so is the file.
#[track_caller]
fn comes_back(name: &str, pattern: &Pattern) {
    let text = write_pattern(pattern);
    let again = read(name, &text);
    assert_eq!(write_pattern(&again), text, "{name}");
    assert_eq!(format!("{again:?}").replace("Words(\"\"), ", ""), format!("{pattern:?}"), "{name}");
    let json = |pattern: &Pattern| {
        let system = pattern.units.system();
        let built = packet::from_pattern(pattern.clone(), system, Reading::Own, Vec::new());
        packet_json(&built.packet.expect("a pattern gives a packet"))
    };
    assert_eq!(json(&again), json(pattern), "{name}");
}

fn drafted(name: &str, design: &Design) -> Option<Pattern> {
    let drafted = bag::draft(design);
    assert!(drafted.pattern.is_some() || !drafted.findings.is_empty(), "{name}");
    drafted.pattern
}

#[test]
fn every_example_comes_back() {
    let mut count = 0;
    for folder in ["examples", "examples/faulty"] {
        for (name, text) in files_in(folder) {
            let design = store::read_design(&name, &text).expect("an example is understood");
            let Some(pattern) = drafted(&name, &design) else { continue };
            comes_back(&name, &pattern);
            count += 1;
        }
    }
    assert!(count >= 10, "{count} patterns came back");
}

#[test]
fn every_kind_comes_back_with_every_other() {
    let (mut count, mut number) = (0, 0);
    for units in [Units::Inch, Units::Mm] {
        let system = units.system();
        for body in bodies::ALL {
            for lining in linings::ALL {
                // The handles, pockets and extras take turns, so that each meets every body sooner or
                // later; all combinations would take minutes.
                for turn in 0..2 {
                    let handle = &handles::ALL[(number + turn) % handles::ALL.len()];
                    number += 1;
                    let mut design = Design::of(*body, units);
                    design.lining = Chosen::new(*lining, system);
                    design.handles = Chosen::new(*handle, system);
                    let pocket = pockets::ALL[number % pockets::ALL.len()];
                    design.pockets = vec![Chosen::new(pocket, system)];
                    let extra = extras::ALL[number % extras::ALL.len()];
                    design.extras = vec![Chosen::new(extra, system)];
                    let name = format!(
                        "{} {} {} {} {system}",
                        body.name(),
                        lining.name(),
                        handle.name(),
                        pocket.name()
                    );
                    if let Some(pattern) = drafted(&name, &design) {
                        comes_back(&name, &pattern);
                        count += 1;
                    }
                }
            }
        }
    }
    assert!(count >= 10, "{count} patterns came back");
}

/// The example that is written by hand.
const POUCH: &str = include_str!("../../../examples/written/letter-fold-pouch.toml");

#[test]
fn written_examples_check_clean_and_make_a_packet() {
    for (name, text) in files_in("examples/written") {
        assert!(store::is_pattern(&text), "{name}");
        let pattern = read(&name, &text);
        comes_back(&name, &pattern);
        let system = pattern.units.system();
        let built = packet::from_pattern(pattern, system, Reading::Own, Vec::new());
        let bad = |f: &&bag::Finding| f.severity > Severity::Note;
        let bad: Vec<_> = built.findings.iter().filter(bad).collect();
        assert!(bad.is_empty(), "{name}: {bad:#?}");
        assert!(built.packet.is_some_and(|packet| packet.cuts.iter().all(|c| c.layout.is_some())));
    }
}

/// Worked out by hand: 10 in less 1 in of boxing at each side is 8 in; 21 in in three is 7 in, less
/// 1 in of boxing is 6 in; cut, the strip is 11 × 22 1/2 in.
#[test]
fn the_pouch_measures_what_was_worked_out_by_hand() {
    let pattern = read("pouch.toml", POUCH);
    let inch = measure::Length::inch;
    assert_eq!(pattern.pieces[0].cut_size(), (inch(11), measure::Length::inch_frac(45, 2)));
    let work = Assembly::sew(&pattern);
    let claims = &pattern.claims;
    let measured = [&claims.width_gauge, &claims.height_gauge, &claims.top_gauge]
        .map(|gauge| gauge.measure(&pattern, &work.sewn));
    assert_eq!(measured, [Some(inch(8)), Some(inch(6)), Some(inch(10))]);
    let surface = work.surface(bag::pattern::CopyId(0));
    assert_eq!((surface.mouths.len(), surface.orientable), (1, true));
}

#[test]
fn the_work_after_a_step_is_told() {
    let pattern = read("pouch.toml", POUCH);
    let index = pattern.steps.iter().position(|step| step.id == "side-seams").expect("it is there");
    let told = report(&Assembly::sew_first(&pattern, index + 1), pattern.units.system());
    for part in [
        "body of strip: wrong side out",
        "mouth 32 1/8 in around: hemmed by hem-flap, hemmed by hem-front",
        "right side: 7 in sewn by side-seams",
        "front edge: 10 in hemmed by hem-front",
    ] {
        assert!(told.contains(part), "{part} is missing in\n{told}");
    }
}

#[track_caller]
fn refuses(from: &str, to: &str, expected: Expect) {
    assert_eq!(POUCH.matches(from).count(), 1, "{from}");
    let text = POUCH.replace(from, to);
    let problems = read_pattern("pouch.toml", &text).expect_err("it has problems");
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    expected.assert_eq(&told.join("\n"));
}

#[test]
fn what_is_not_there_is_told_with_the_nearest_name() {
    refuses(
        "edge = \"flap edge\" }",
        "edge = \"flap egde\" }",
        expect![[r#"
        pouch.toml:106:30: there is no edge of the strip `flap egde`
          106 |     { copy = "strip", edge = "flap egde" },
              |                              ^^^^^^^^^^^
              = did you mean `flap edge`? name an edge of the strip that the file declares: flap edge, right flap side, right side, front edge, left side, left flap side"#]],
    );
    refuses(
        "bodies = [\"strip\"]",
        "bodies = [\"stripe\"]",
        expect![[r#"
        pouch.toml:171:11: there is no copy `stripe`
          171 | bodies = ["stripe"]
              |           ^^^^^^^^
              = did you mean `strip`? name a copy that the file declares: strip"#]],
    );
    refuses(
        "do = \"box-corner\"",
        "do = \"box-corners\"",
        expect![[r#"
            pouch.toml:153:6: `box-corners` is none of the words that stand here
              153 | do = "box-corners"
                  |      ^^^^^^^^^^^^^
                  = did you mean `box-corner`? write the word of an operation: cut-out, block-fuse, mark, interface, quilt, fold-panel, baste, join-strips, fold-strip, roll-strip, wrap-grip, fold-tab, fasten-end, thread-strap, join, join-folded, …"#]],
    );
    refuses(
        "wash-first = true",
        "wash-frist = true",
        expect![[r#"
        pouch.toml:68:1: no key `wash-frist` stands here
          68 | wash-frist = true
             | ^^^^^^^^^^
             = did you mean `wash-first`? there is: id, chapter, do, check, materials, wash-first"#]],
    );
    refuses(
        "through = \"rim\"",
        "through = { opening = \"side-seam\" }",
        expect![[r#"
        pouch.toml:172:23: there is no step `side-seam`
          172 | through = { opening = "side-seam" }
              |                       ^^^^^^^^^^^
              = did you mean `side-seams`? name a step that the file declares: cut-out, mark, finish-sides, hem-front, hem-flap, attach-snap, fold-base, side-seams, box-corners, turn, press"#]],
    );
    refuses(
        "chapter = \"panels\"\ndo = \"hardware\"",
        "chapter = \"cut\"\ndo = \"hardware\"",
        expect![[r#"
            pouch.toml:115:11: the chapter "Cut and mark" comes before "Prepare the panels", in which the last step stands
              115 | chapter = "cut"
                  |           ^^^^^
                  = put the step into a later chapter, or higher up"#]],
    );
}

#[test]
fn what_cannot_be_cut_or_sewn_is_told() {
    refuses(
        "edge = \"right side\", from = \"7 in\", to = \"14 in\"",
        "edge = \"right side\", from = \"7 in\", to = \"140 in\"",
        expect![[r#"
            pouch.toml:142:72: this lies beyond the end of the edge
              142 |     { sew = { copy = "strip", edge = "right side", from = "7 in", to = "140 in" }, to = { copy = "st
                  |                                                                        ^^^^^^^^
                  = the edge is 14 in long"#]],
    );
    refuses(
        "start = [\"1 in\"",
        "start = [\"90 m\"",
        expect![[r#"
        pouch.toml:36:10: `90 m` is longer than anything on a bag
          36 | start = ["90 m", "0 in"]
             |          ^^^^^^
             = at most 787 3/8 in are taken"#]],
    );
    refuses(
        "id = \"mark\"",
        "id = \"cut-out\"",
        expect![[r#"
        pouch.toml:71:6: `cut-out` is used twice
          71 | id = "cut-out"
             |      ^^^^^^^^^
             = give each its own"#]],
    );
    refuses(
        "{ name = \"front edge\"",
        "{ name = \"right side\"",
        expect![[r#"
        pouch.toml:42:5: two edges of this piece are called `right side`
          42 |     { name = "right side", allowance = "1 in", to = ["0 in", "21 in"] },
             |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
             = give each its own name"#]],
    );
    refuses(
        "side = \"right side\", fold = \"7 in\"",
        "side = \"right side\", base = \"left side\"",
        expect![[r#"
            pouch.toml:156:52: these two edges do not meet
              156 |     [{ copy = "strip", side = "right side", base = "left side" }],
                  |                                                    ^^^^^^^^^^^
                  = name two neighbouring edges"#]],
    );
    refuses(
        "side = \"right side\", fold = \"7 in\"",
        "side = \"right side\", base = \"right flap side\"",
        expect![[r#"
            pouch.toml:156:6: a corner of 172 degrees cannot be boxed
              156 |     [{ copy = "strip", side = "right side", base = "right flap side" }],
                  |      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
                  = box corners between 20 and 160 degrees"#]],
    );
    refuses(
        "to = [\"9 in\", \"0 in\"] }",
        "to = [\"9 in\", \"22 in\"] }",
        expect![[r#"
        pouch.toml:32:1: the stitching line crosses or touches itself
          32 | [[piece]]
             | ^^^^^^^^^
             = go round the piece once, without crossing or touching the line"#]],
    );
    refuses(
        "to = [\"1 in\", \"0 in\"] }",
        "to = [\"1 in\", \"1 in\"] }",
        expect![[r#"
        pouch.toml:32:1: the outline does not come back to its start
          32 | [[piece]]
             | ^^^^^^^^^
             = go round the piece with its inside on the left, seen from the right side, and let the last edge end at `start`"#]],
    );
    refuses(
        "id = \"strip\"\nname",
        "id = \"../strip\"\nname",
        expect![[r#"
        pouch.toml:33:6: `../strip` is no id
          33 | id = "../strip"
             |      ^^^^^^^^^^
             = write small letters, digits and hyphens, as in `front-panel`
        pouch.toml:61:11: there is no piece `strip`
          61 | "strip" = "strip"
             |           ^^^^^^^
             = name a piece that the file declares"#]],
    );
}

/// The pouch with another stitching line.
fn reshaped(start: &str, edges: &[(&str, &str)]) -> String {
    let from = POUCH.find("start = [").expect("it has a start");
    let to = POUCH.find("\nmarks = [").expect("it has marks");
    let edges = edges
        .iter()
        .map(|(name, way)| format!("{{ name = \"{name}\", allowance = \"1/2 in\", {way} }}"));
    let edges = edges.collect::<Vec<_>>().join(", ");
    format!("{}{start}\nedges = [{edges}]{}", &POUCH[..from], &POUCH[to..])
}

#[test]
fn outlines_are_read_with_curves_and_refused_clockwise_or_crossing() {
    let names =
        ["flap edge", "right flap side", "right side", "front edge", "left side", "left flap side"];
    let with = |ways: [&'static str; 6]| names.into_iter().zip(ways).collect::<Vec<_>>();
    let told = |text: &str| {
        let problems = read_pattern("pouch.toml", text).expect_err("it cannot be cut");
        problems.iter().map(|p| p.message.clone()).collect::<Vec<_>>().join("; ")
    };
    let straight = [
        "to = [9, 0]",
        "to = [10, 7]",
        "to = [10, 21]",
        "to = [0, 21]",
        "to = [0, 7]",
        "to = [1, 0]",
    ];
    comes_back("straight", &read("pouch.toml", &reshaped("start = [1, 0]", &with(straight))));
    let mut curved = straight;
    curved[0] = "path = [{ curve = [[3, -1], [5, -1]], to = [7, 0] }, { to = [9, 0] }]";
    let pattern = read("pouch.toml", &reshaped("start = [1, 0]", &with(curved)));
    assert!(!pattern.pieces[0].net.edge(0).is_straight());
    comes_back("curved", &pattern);
    let clockwise = [
        "to = [0, 7]",
        "to = [0, 21]",
        "to = [10, 21]",
        "to = [10, 7]",
        "to = [9, 0]",
        "to = [1, 0]",
    ];
    assert!(told(&reshaped("start = [1, 0]", &with(clockwise))).contains("clockwise"));
    let mut crossing = straight;
    crossing[0] = "to = [5, 22]";
    assert!(
        told(&reshaped("start = [1, 0]", &with(crossing))).contains("crosses or touches itself")
    );
    let text =
        POUCH.replace("start = [\"1 in\", \"0 in\"]", "rectangle = { width = 10, height = 21 }");
    assert!(told(&text).contains("no key `to` stands here"));
}

/// Every quoted value of a text, with the key that it stands behind.
fn quoted_values(text: &str) -> Vec<(String, String)> {
    let mut values = Vec::new();
    for line in text.lines() {
        let parts: Vec<&str> = line.split('"').collect();
        for slot in (1..parts.len()).step_by(2) {
            values.push((key_before(&parts, slot), parts[slot].to_owned()));
        }
    }
    values
}

/// The last word before a quoted value: its key, or the nearest one in a list.
fn key_before(parts: &[&str], slot: usize) -> String {
    let before = (0..slot).step_by(2).rev().map(|index| parts[index]);
    let word = |part: &str| {
        part.split(|c: char| !c.is_ascii_alphanumeric() && c != '-')
            .rfind(|w| !w.is_empty())
            .map(str::to_owned)
    };
    before.filter_map(word).next().unwrap_or_default()
}

/// Extreme values, and some of another sort.
const VALUES: [&str; 12] = [
    "0 in",
    "20 m",
    "-3 in",
    "1/64 in",
    "0.000001 mm",
    "19 m",
    "-19 m",
    "1 mm",
    "90",
    "strip",
    "",
    "{",
];

/// Texts that a person or a slip of the mouse could make of a pattern file: lines lost, doubled
/// and swapped, values replaced by extreme ones, by any other of the file, and by one that stands
/// behind the same key elsewhere.
fn mutated(text: &str, changes: &[(usize, usize, u8)]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let quoted = quoted_values(text);
    for (at, other, how) in changes {
        let (at, other) = (at % lines.len(), *other);
        match how % 8 {
            0 => {
                lines.remove(at);
            }
            1 => lines.insert(at, lines[at].clone()),
            2 => {
                let with = other % lines.len();
                lines.swap(at, with);
            }
            how => {
                let parts: Vec<&str> = lines[at].split('"').collect();
                let Some(slot) = (other / 7).checked_rem(parts.len() / 2).map(|slot| 2 * slot + 1)
                else {
                    continue;
                };
                let key = key_before(&parts, slot);
                let alike: Vec<&String> = quoted
                    .iter()
                    .filter(|(known, _)| *known == key)
                    .map(|(_, value)| value)
                    .collect();
                let value = match how {
                    3 => VALUES[other % VALUES.len()],
                    4 => &quoted[other % quoted.len()].1,
                    _ if alike.is_empty() => continue,
                    _ => alike[other % alike.len()],
                };
                let mut parts: Vec<String> = parts.iter().map(|part| (*part).to_owned()).collect();
                value.clone_into(&mut parts[slot]);
                lines[at] = parts.join("\"");
            }
        }
    }
    lines.join("\n")
}

fn originals() -> Vec<String> {
    let mut texts = vec![POUCH.to_owned()];
    for (name, text) in files_in("examples") {
        let design = store::read_design(&name, &text).expect("an example is understood");
        texts.extend(drafted(&name, &design).map(|pattern| write_pattern(&pattern)));
    }
    texts
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 600,
        failure_persistence: None,
        max_shrink_iters: 200,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_mutated_pattern_file_never_panics(
        which in any::<prop::sample::Index>(),
        changes in prop::collection::vec((0..4000_usize, 0..4000_usize, any::<u8>()), 1..4),
    ) {
        let originals = ORIGINALS.get_or_init(originals);
        let text = mutated(&originals[which.index(originals.len())], &changes);
        let Ok(pattern) = read_pattern("mutated.toml", &text) else { return Ok(()) };
        let system = pattern.units.system();
        let text = report(&Assembly::sew(&pattern), system);
        prop_assert!(!text.is_empty() || pattern.copies.is_empty());
        let built = packet::from_pattern(pattern, system, Reading::Own, Vec::new());
        let json = built.packet.map(|packet| packet_json(&packet));
        prop_assert!(json.is_some_and(|json| json.len() > 100));
    }
}

static ORIGINALS: std::sync::OnceLock<Vec<String>> = std::sync::OnceLock::new();
