//! Sizes and places that a design leaves out.

use measure::Units;

use crate::design::{Chosen, Design};
use crate::draft::draft;
use crate::kinds::{Quantity, Value};
use crate::{bodies, closures, handles, pockets};

/// A design with that kind in its section, and what that section is called.
fn with_kind(body: &dyn bodies::Body, units: Units, section: &str, name: &str) -> (Design, String) {
    let mut design = Design::of(body, units);
    let system = design.system();
    let head = match section {
        "pocket" => {
            let pocket = pockets::find(name).expect("in the list");
            design.pockets = vec![Chosen::new(pocket, system)];
            "pocket[1]"
        }
        "handles" => {
            design.handles = Chosen::new(handles::find(name).expect("in the list"), system);
            section
        }
        "closure" => {
            design.closure = Chosen::new(closures::find(name).expect("in the list"), system);
            section
        }
        _ => "body",
    };
    (design, head.to_owned())
}

/// The kinds of a section; a body is a kind of its own.
fn names(section: &str) -> Vec<&'static str> {
    match section {
        "pocket" => pockets::ALL.iter().map(|kind| kind.name()).collect(),
        "handles" => handles::ALL.iter().map(|kind| kind.name()).collect(),
        "closure" => closures::ALL.iter().map(|kind| kind.name()).collect(),
        _ => vec!["itself"],
    }
}

/// Types what every length came to that is left out, and drafts again; tells which came to one, and
/// which did not.
fn typed(design: &Design, section: &str, head: &str) -> [Vec<&'static str>; 2] {
    let drafted = draft(design);
    let mut typed = design.clone();
    let chosen = match section {
        "pocket" => &mut typed.pockets[0],
        "handles" => &mut typed.handles,
        "closure" => &mut typed.closure,
        _ => &mut typed.body,
    };
    let (mut settled, mut open) = (Vec::new(), Vec::new());
    let mut is_in_range = true;
    for param in Design::params_of(section, chosen.kind).expect("in the list") {
        let Quantity::OptionalLength { least, most } = param.quantity else { continue };
        let Some(length) = drafted.settled.get(&format!("{head}.{}", param.key)) else {
            open.push(param.key);
            continue;
        };
        settled.push(param.key);
        is_in_range &= (least..=most).contains(length);
        chosen.values.set(param.key, Value::Length(*length));
    }
    if let Some(pattern) = drafted.pattern.filter(|_| is_in_range) {
        let again = draft(&typed);
        let same = again.pattern.unwrap_or_else(|| panic!("{:?}", again.findings));
        let pieces = |of: &[crate::pattern::Piece]| format!("{of:#?}");
        assert_eq!(pieces(&same.pieces), pieces(&pattern.pieces), "{settled:?} {design:#?}");
    }
    [settled, open]
}

/// What a size comes to that is left out is what a person would type there to get the same bag; and
/// every length that may be left out comes to one, but for those whose absence is a shape.
#[test]
fn what_is_left_out_comes_to_what_would_be_typed() {
    let mut shapes: Vec<String> = Vec::new();
    for units in [Units::Inch, Units::Mm] {
        for section in ["body", "pocket", "handles", "closure"] {
            for name in names(section) {
                let (mut met, mut open) = (Vec::new(), Vec::new());
                for body in bodies::ALL {
                    let (design, head) = with_kind(*body, units, section, name);
                    let [settled, not] = typed(&design, section, &head);
                    if section == "body" {
                        shapes.extend(not.iter().map(|key| format!("{} {key}", body.name())));
                        continue;
                    }
                    met.extend(settled);
                    open.extend(not);
                }
                open.retain(|key| !met.contains(key));
                assert!(open.is_empty(), "{section} {name}: {open:?} comes to nothing in any bag");
            }
        }
    }
    shapes.sort_unstable();
    shapes.dedup();
    expect_test::expect![[r#"
        backpack corner
        boxed contrast-base
        drawstring-bag depth
        flat contrast-base
        gusset corner
        gusset-in-parts corner
        messenger corner
        roll-top depth
        round-base depth"#]]
    .assert_eq(&shapes.join("\n"));
}
