//! Pattern files: what is written reads back to the same packet, what is wrong is told, and
//! nothing that reads makes anything panic.

use std::fs;
use std::path::{Path, PathBuf};

use bag::assembly::{Assembly, report};
use bag::design::{Chosen, Design};
use bag::{Pattern, Severity, bodies, handles, linings, pockets};
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
    let mut count = 0;
    for units in [Units::Inch, Units::Mm] {
        let system = units.system();
        for body in bodies::ALL {
            for lining in linings::ALL {
                for handle in handles::ALL {
                    let mut design = Design::of(*body, units);
                    design.lining = Chosen::new(*lining, system);
                    design.handles = Chosen::new(*handle, system);
                    let pocket = pockets::ALL[count % pockets::ALL.len()];
                    design.pockets = vec![Chosen::new(pocket, system)];
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

/// By hand: 10 in of canvas less 1 in of boxing at each side is 8 in; 21 in in three is 7 in, less
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
    let work = Assembly::sew_first(&pattern, index + 1);
    expect![[r#"
        body of strip: wrong side out
          surface: 1 panels, 6 edges, 6 points; Euler characteristic 1; two-sided; 1 mouth
          mouth 34 in around: hemmed by hem-front, hemmed by hem-flap
          strip
            front edge: 10 in hemmed by hem-front
            right side: 7 in sewn by side-seams; 7 in sewn by side-seams; 7 in hemmed by hem-flap
            flap edge: 10 in hemmed by hem-flap
            left side: 7 in hemmed by hem-flap; 7 in sewn by side-seams; 7 in sewn by side-seams
    "#]]
    .assert_eq(&report(&work, pattern.units.system()));
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
        pouch.toml:89:30: there is no edge of the strip `flap egde`
          89 |     { copy = "strip", edge = "flap egde" },
             |                              ^^^^^^^^^^^
             = did you mean `flap edge`? name an edge of the strip that the file declares: front edge, right side, flap edge, left side"#]],
    );
    refuses(
        "body = \"strip\"",
        "body = \"stripe\"",
        expect![[r#"
        pouch.toml:166:8: there is no copy `stripe`
          166 | body = "stripe"
              |        ^^^^^^^^
              = did you mean `strip`? name a copy that the file declares: strip"#]],
    );
    refuses(
        "do = \"box-corner\"",
        "do = \"box-corners\"",
        expect![[r#"
        pouch.toml:148:6: `box-corners` is none of the words that stand here
          148 | do = "box-corners"
              |      ^^^^^^^^^^^^^
              = did you mean `box-corner`? write the word of an operation: cut-out, block-fuse, mark, interface, quilt, fold-panel, baste, join-strips, fold-strip, join, french-seam, finish-edges, bind, hem, drawstring, place, …"#]],
    );
    refuses(
        "wash-first = true",
        "wash-frist = true",
        expect![[r#"
        pouch.toml:62:1: no key `wash-frist` stands here
          62 | wash-frist = true
             | ^^^^^^^^^^
             = did you mean `wash-first`? there is: id, chapter, do, check, materials, wash-first"#]],
    );
    refuses(
        "through = \"rim\"",
        "through = { opening = \"side-seam\" }",
        expect![[r#"
        pouch.toml:167:23: there is no step `side-seam`
          167 | through = { opening = "side-seam" }
              |                       ^^^^^^^^^^^
              = did you mean `side-seams`? name a step that the file declares: cut-out, mark, hem-front, hem-flap, attach-snap, fold-base, side-seams, finish-sides, box-corners, turn, press"#]],
    );
    refuses(
        "chapter = \"panels\"\ndo = \"hardware\"",
        "chapter = \"cut\"\ndo = \"hardware\"",
        expect![[r#"
        pouch.toml:98:11: the chapter "Cut and mark" comes before "Prepare the panels", in which the last step stands
          98 | chapter = "cut"
             |           ^^^^^
             = put the step into a later chapter, or higher up"#]],
    );
}

#[test]
fn what_cannot_be_cut_or_sewn_is_told() {
    refuses(
        "edge = \"left side\", to = \"7 in\"",
        "edge = \"left side\", to = \"70 in\"",
        expect![[r#"
        pouch.toml:90:48: this lies beyond the end of the edge
          90 |     { copy = "strip", edge = "left side", to = "70 in" },
             |                                                ^^^^^^^
             = the edge is 21 in long"#]],
    );
    refuses(
        "rectangle = { width = \"10 in\"",
        "rectangle = { width = \"10 km\"",
        expect![[r#"
        pouch.toml:36:23: `10 km` is no length
          36 | rectangle = { width = "10 km", height = "21 in" }
             |                       ^^^^^^^
             = `km` is not a unit; did you mean cm? Otherwise write in, cm, mm, yd, ft or m, as in `4 1/2 in`"#]],
    );
    refuses(
        "id = \"mark\"",
        "id = \"cut-out\"",
        expect![[r#"
        pouch.toml:65:6: `cut-out` is used twice
          65 | id = "cut-out"
             |      ^^^^^^^^^
             = give each its own"#]],
    );
    refuses(
        "{ name = \"front edge\"",
        "{ name = \"left side\"",
        expect![[r#"
        pouch.toml:42:5: two edges of this piece are called `left side`
          42 |     { name = "left side", allowance = "1/2 in" },
             |     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
             = give each its own name"#]],
    );
    refuses(
        "\"right side\", fold = \"7 in\"",
        "\"right side\", base = \"left side\"",
        expect![[r#"
        pouch.toml:151:52: these two edges do not meet
          151 |     [{ copy = "strip", side = "right side", base = "left side" }],
              |                                                    ^^^^^^^^^^^
              = name two neighbouring edges"#]],
    );
    refuses(
        "rectangle = { width = \"10 in\", height = \"21 in\" }\nedges = [",
        "start = [0, 0]\nedges = [\n{ name = \"a\", allowance = \"1 in\", to = [0, 9] },\n\
         { name = \"b\", allowance = \"1 in\", to = [9, 0] },\n\
         { name = \"c\", allowance = \"1 in\", to = [0, 0] },\n]\nother = [",
        expect![[r#"
            pouch.toml:32:1: the outline runs clockwise; its edges go counter-clockwise
              32 | [[piece]]
                 | ^^^^^^^^^
                 = go round the piece with its inside on the left, seen from the right side, and let the last edge end at `start`
            pouch.toml:42:1: no key `other` stands here
              42 | other = [
                 | ^^^^^
                 = there is: id, name, material, rectangle, trapezoid, start, edges, grain, interfacing, join, marks"#]],
    );
    refuses(
        "id = \"strip\"\nname",
        "id = \"../strip\"\nname",
        expect![[r#"
        pouch.toml:33:6: `../strip` is no id
          33 | id = "../strip"
             |      ^^^^^^^^^^
             = write small letters, digits and hyphens, as in `front-panel`
        pouch.toml:55:11: there is no piece `strip`
          55 | "strip" = "strip"
             |           ^^^^^^^
             = name a piece that the file declares"#]],
    );
}

#[test]
fn an_outline_that_crosses_itself_is_refused_and_curves_are_read() {
    let shape = |edges: &str| {
        POUCH
            .replace("rectangle = { width = \"10 in\", height = \"21 in\" }\n", "start = [0, 0]\n")
            .replace(
                &POUCH[POUCH.find("edges = [").expect("edges")
                    ..POUCH.find("marks = [").expect("marks")],
                &format!("edges = [{edges}]\n"),
            )
    };
    let side =
        |name: &str, way: &str| format!("{{ name = \"{name}\", allowance = \"1/2 in\", {way} }}, ");
    let bow_tie = [
        side("front edge", "to = [10, 21]"),
        side("right side", "to = [10, 0]"),
        side("flap edge", "to = [0, 30]"),
        side("left side", "to = [0, 0]"),
    ];
    let problems = read_pattern("pouch.toml", &shape(&bow_tie.concat())).expect_err("it crosses");
    assert!(problems.iter().any(|p| p.message.contains("crosses")), "{problems:?}");
    let round = [
        side("front edge", "to = [10, 0]"),
        side("right side", "to = [10, 21]"),
        side("flap edge", "path = [{ curve = [[9, 23], [1, 23]], to = [0, 21] }]"),
        side("left side", "to = [0, 0]"),
    ];
    let pattern = read("pouch.toml", &shape(&round.concat()));
    assert!(!pattern.pieces[0].net.edge(2).is_straight());
    comes_back("round", &pattern);
}

/// Texts that a person or a slip of the mouse could make of a pattern file.
fn mutated(text: &str, changes: &[(usize, usize, u8)]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let quoted: Vec<String> = text
        .split('"')
        .skip(1)
        .step_by(2)
        .filter(|s| !s.contains('\n'))
        .map(str::to_owned)
        .collect();
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
    for (at, other, how) in changes {
        let (at, other) = (at % lines.len(), *other);
        match how % 6 {
            0 => {
                lines.remove(at);
                if lines.is_empty() {
                    return String::new();
                }
            }
            1 => lines.insert(at, lines[at].clone()),
            2 => {
                let with = other % lines.len();
                lines.swap(at, with);
            }
            how => {
                // Another text of the file, or an extreme value, in the place of a quoted one.
                let value = if how == 3 {
                    VALUES[other % VALUES.len()]
                } else {
                    &quoted[other % quoted.len()]
                };
                let parts: Vec<&str> = lines[at].split('"').collect();
                let slots = parts.len() / 2;
                if slots == 0 {
                    continue;
                }
                let slot = 2 * (other / 7 % slots) + 1;
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
