//! What goes with what, read through as a teacher would: each rule of the table refuses a bag, names
//! the field, and what it says to do instead makes one; and no bag is refused that can be sewn.

use bag::draft::{REFUSED, RULES};
use bag::{Finding, Severity};

use crate::read;

/// The text of a design: its body with what else is said of it, and other sections.
fn design(body: &str, more: &str) -> String {
    format!("units = \"inch\"\n[body]\nkind = {body}\n{more}")
}

fn errors(text: &str) -> Vec<Finding> {
    let found = packet::build(&read("design.toml", text)).findings.into_iter();
    found.filter(|finding| finding.severity == Severity::Error).collect()
}

#[track_caller]
fn is_sewn(text: &str) {
    assert_eq!(errors(text), [], "{text}");
}

const ZIP_FRONT: &str = "[[pocket]]\nkind = \"zip-seam\"\n[handles]\nkind = \"none\"\n";
const BAND: &str = "[[pocket]]\nkind = \"band\"\n";
const PATCH: &str = "[[pocket]]\nkind = \"patch\"\n";
const ON_AN_END: &str = "[[pocket]]\nkind = \"patch\"\non = \"left-end\"\n";
const ON_A_SIDE: &str = "[[pocket]]\nkind = \"patch\"\non = \"left-side\"\n";
const FRENCH: &str = "[lining]\nkind = \"unlined\"\nfinish = \"french\"\n";
const NO_HANDLES: &str = "[handles]\nkind = \"none\"\n";
const BOUND: &str = "[lining]\nkind = \"unlined\"\nfinish = \"bound\"\n";

/// For what each rule needs: a body without it, what is refused there, and at which field; and the
/// same with what the rule's cure proposes, twice: instead of the kind, and instead of the body.
#[allow(clippy::type_complexity, reason = "one row for each rule, read as a table")]
fn examples() -> Vec<(&'static str, [&'static str; 3], [[&'static str; 2]; 2])> {
    let closure = |kind: &str| -> &'static str {
        match kind {
            "open" => "[closure]\nkind = \"open\"\n",
            "tab" => "[closure]\nkind = \"tab\"\n",
            "flap" => "[closure]\nkind = \"flap\"\n",
            "zip" => "[closure]\nkind = \"zip\"\n",
            "ties" => "[closure]\nkind = \"ties\"\n",
            "drawstring" => "[closure]\nkind = \"drawstring\"\n",
            _ => "[closure]\nkind = \"magnetic-snap\"\n",
        }
    };
    let turned = "[lining]\nkind = \"turned\"\n";
    let at = "pocket[1].kind";
    vec![
        (
            "a seam along the base of the panel",
            ["\"folded-base\"", ZIP_FRONT, at],
            [["\"folded-base\"", BAND], ["\"boxed\"", ZIP_FRONT]],
        ),
        (
            "a seam up each side of the panel",
            ["\"wrapped\"", BAND, at],
            [["\"wrapped\"", PATCH], ["\"boxed\"", BAND]],
        ),
        (
            "ends that are pieces of their own",
            ["\"boxed\"", ON_AN_END, "pocket[1].on"],
            [["\"boxed\"", PATCH], ["\"duffel\"", ON_AN_END]],
        ),
        (
            "a gusset",
            ["\"boxed\"", ON_A_SIDE, "pocket[1].on"],
            [["\"boxed\"", PATCH], ["\"gusset\"", ON_A_SIDE]],
        ),
        (
            "straight seams",
            ["\"round-base\"", FRENCH, "lining.finish"],
            [["\"round-base\"", BOUND], ["\"flat\"", FRENCH]],
        ),
        (
            "a rim that stands up by itself",
            ["\"roll-top\"", closure("drawstring"), "closure.kind"],
            [["\"roll-top\"", closure("open")], ["\"boxed\"", closure("drawstring")]],
        ),
        (
            "a rim that lies at the mouth",
            ["\"basket\"", closure("zip"), "closure.kind"],
            [["\"basket\"", closure("open")], ["\"boxed\"", closure("zip")]],
        ),
        (
            "a front that is free for it",
            ["\"backpack\"", closure("tab"), "closure.kind"],
            [["\"backpack\"", closure("open")], ["\"messenger\"", closure("tab")]],
        ),
        (
            "a front without a flap",
            ["\"messenger\"", closure("flap"), "closure.kind"],
            [["\"messenger\"", closure("ties")], ["\"gusset\"", closure("flap")]],
        ),
        (
            "a mouth that is still open",
            ["\"zip-pouch\"", closure("zip"), "closure.kind"],
            [["\"zip-pouch\"", closure("open")], ["\"flat\"", closure("snap")]],
        ),
        (
            "a mouth whose front and back meet",
            ["\"boxed-pouch\"", closure("snap"), "closure.kind"],
            [["\"boxed-pouch\"", closure("open")], ["\"boxed\"", closure("snap")]],
        ),
        (
            "a lining that is sewn by itself",
            ["\"basket\"\nshows = \"cuff\"", BOUND, "lining.kind"],
            [["\"basket\"\nshows = \"cuff\"", turned], ["\"basket\"", BOUND]],
        ),
    ]
}

#[test]
fn each_rule_refuses_at_the_field_and_its_cure_makes_a_bag() {
    let examples = examples();
    for rule in RULES {
        let example = examples.iter().find(|(needs, ..)| *needs == rule.what);
        let (_, [body, what, at], cured) = example.unwrap_or_else(|| panic!("{}", rule.what));
        let found = errors(&design(body, what));
        let [finding] = found.as_slice() else { panic!("{body}{what}: {found:#?}") };
        assert_eq!(finding.check, REFUSED);
        assert_eq!(finding.place.parameter.as_deref(), Some(*at), "{body}{what}");
        let needs = format!("needs {}, which this bag does not have: ", rule.what);
        assert!(finding.message.contains(&needs), "{}", finding.message);
        assert!(finding.message.ends_with(rule.why), "{}", finding.message);
        assert_eq!(finding.cure, rule.cure);
        for [body, what] in cured {
            is_sewn(&design(body, what));
        }
    }
}

/// A second flap would lie under the body's own, lock under lock; what is small enough to lie under
/// that flap does not.
#[test]
fn a_flap_does_not_lie_under_a_flap() {
    let body = "\"messenger\"";
    for by in ["turn-lock", "magnetic-snap", "press-stud"] {
        let flap = format!("[closure]\nkind = \"flap\"\nby = \"{by}\"\n");
        let found = errors(&design(body, &flap));
        let [finding] = found.as_slice() else { panic!("{found:#?}") };
        assert_eq!(
            finding.message,
            "flap needs a front without a flap, which this bag does not have: the \
             body's own flap closes over the front: a second one would lie under it, lock under lock"
        );
    }
    for kind in ["open", "tab", "ties", "button-loop"] {
        is_sewn(&design(body, &format!("[closure]\nkind = \"{kind}\"\n")));
    }
}

/// What was refused once, and can be sewn: a pocket as wide as a panel whose corners are rounded is cut
/// with the same corners.
#[test]
fn a_full_pocket_follows_rounded_corners() {
    for body in ["gusset", "gusset-in-parts", "messenger", "backpack"] {
        for pocket in ["band", "slip", "zip-seam"] {
            let body = format!("\"{body}\"\ncorner = 2");
            let pocket = format!("{NO_HANDLES}[[pocket]]\nkind = \"{pocket}\"\n");
            is_sewn(&design(&body, &pocket));
        }
    }
    let text = design("\"gusset\"\nwidth = 12\ncorner = 2", &format!("{NO_HANDLES}{BAND}"));
    let packet = packet::build(&read("design.toml", &text)).packet.expect("it is sewn");
    let pocket = packet.pattern.pieces.iter().find(|piece| piece.id == "outside-pocket");
    let names: Vec<&str> =
        pocket.iter().flat_map(|piece| piece.edges.iter().map(|edge| edge.name.as_str())).collect();
    let round = ["base", "right corner", "right side", "top edge", "left side", "left corner"];
    assert_eq!(names, round);
    // A quarter of a circle of 2 in at the stitching line: π in.
    let corner = pocket.map(|piece| piece.net.edge_length(1).to_inch()).unwrap_or_default();
    assert!((corner - std::f64::consts::PI).abs() < 0.001, "{corner}");
}

/// A zip pocket across the front of a pouch: its upper part lies under the pouch's own zip.
#[test]
fn a_zip_pocket_lies_before_a_zip() {
    let with = |lining: &str| {
        format!("{NO_HANDLES}[lining]\nkind = \"{lining}\"\n[[pocket]]\nkind = \"zip-seam\"\n")
    };
    for body in ["\"zip-pouch\"", "\"boxed-pouch\"", "\"duffel\"", "\"drawstring-bag\""] {
        for lining in ["unlined", "backed", "dropped", "turned"] {
            is_sewn(&design(body, &with(lining)));
        }
    }
}

/// The facing of a bag whose top is folded over lies at the top of it, and holds the strips of a zip.
#[test]
fn a_facing_lies_at_the_top_that_is_folded() {
    let more = "[lining]\nkind = \"faced\"\n[closure]\nkind = \"zip\"\n";
    for body in ["\"lunch-bag\"", "\"roll-top\"", "\"boxed\"", "\"gusset\""] {
        is_sewn(&design(body, more));
    }
}

/// A key loop hangs in the seam of a bag without a lining too, whatever its allowances are; and a bag
/// with one side seam has it there, and a label.
#[test]
fn a_key_loop_hangs_in_the_seam_there_is() {
    let extra = "[[extra]]\nkind = \"key-loop\"\n[[extra]]\nkind = \"label\"\nhow = \"in-seam\"\n";
    for finish in ["overcast", "bound", "french", "felled"] {
        let lining = format!("[lining]\nkind = \"unlined\"\nfinish = \"{finish}\"\n");
        is_sewn(&design("\"boxed\"", &format!("{lining}{extra}")));
    }
    for lining in ["unlined", "backed", "turned", "faced", "dropped"] {
        let text = design("\"wrapped\"", &format!("[lining]\nkind = \"{lining}\"\n{extra}"));
        is_sewn(&text);
        let built = packet::build(&read("design.toml", &text));
        let said: Vec<&str> = built
            .findings
            .iter()
            .filter(|finding| finding.place.parameter.as_deref() == Some("extra[1].at"))
            .map(|finding| finding.message.as_str())
            .collect();
        let left =
            "the bag has one side seam, at its left seen from the front: the key loop hangs there";
        // A lining faces the other way: its seam is at the right, where the loop is asked for.
        let of_outside = ["unlined", "backed"].contains(&lining);
        assert_eq!(said, if of_outside { vec![left] } else { vec![] }, "{lining}");
    }
}

/// Where the base is a fold, the lower ends of backpack straps are stitched to the back above it, with a
/// patch behind each, as the upper ends are below a rim that does not stand.
#[test]
fn backpack_straps_are_stitched_on_above_a_folded_base() {
    for base in ["boxed", "flat"] {
        for top in ["rim", "back"] {
            for lining in ["turned", "dropped", "faced", "backed", "unlined"] {
                let text = format!(
                    "[handles]\nkind = \"backpack\"\ntop = \"{top}\"\n[lining]\nkind = \"{lining}\"\n"
                );
                is_sewn(&design(&format!("\"folded-base\"\nbase = \"{base}\""), &text));
            }
        }
    }
    let straps = "[handles]\nkind = \"backpack\"\n";
    let text = design("\"folded-base\"", straps);
    let packet = packet::build(&read("design.toml", &text)).packet.expect("it is sewn");
    let anchors = packet.steps.iter().find(|step| step.id == "place-anchors").expect("told");
    // The base of a bag 4 in deep takes 2 in of the panel, and 1/4 in stays clear of its fold.
    assert!(anchors.text.contains("one hemmed end 2 1/4 in above the fold"), "{}", anchors.text);
    assert!(packet.steps.iter().any(|step| step.id == "stitch-anchors"));
    let patches = packet.pattern.pieces.iter().filter(|piece| piece.name == "anchor patch");
    assert_eq!(patches.count(), 1);
    // The back stands on its head below the fold, and the webbing goes toward its rim there.
    let fold = measure::Length::inch(16);
    let upside_down = packet.pattern.steps.iter().any(|step| {
        step.as_a::<bag::operations::Place>().is_some_and(|place| {
            step.id == "place-anchors"
                && place.items.iter().all(|item| {
                    let foot = item.feet.first().map(|foot| foot.at.y);
                    item.upside_down && foot.is_some_and(|y| y < fold && item.at.y < y)
                })
        })
    });
    assert!(upside_down);
    // Box and X 1 1/2 in high, two turns of 1/2 in at either end; the seam of another base takes 1/2 in.
    let long = |text: &str| {
        let packet = packet::build(&read("design.toml", text)).packet.expect("it is sewn");
        let webbing = packet.pattern.pieces.iter().find(|piece| piece.id == "lower-webbing");
        webbing
            .map(|piece| piece.cut_size().1.max(piece.cut_size().0).to_inch())
            .unwrap_or_default()
    };
    let more = long(&text) - long(&design("\"boxed\"", straps));
    assert!((more - 2.0).abs() < 0.001, "{more}");
    // A pocket that they would be stitched through.
    let pocket = "[[pocket]]\nkind = \"flap\"\nside = \"outside\"\non = \"back\"\nwidth = 15\nheight = 8\nbelow = 5\n";
    let found = errors(&design("\"folded-base\"", &format!("{straps}{pocket}")));
    let [finding] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(finding.check, REFUSED);
    assert_eq!(finding.place.parameter.as_deref(), Some("handles.inset"));
}

/// A pocket inside a bag without a lining is sewn on when the handles are, and the closure: what is
/// stitched through the panel before does not close it.
#[test]
fn a_pocket_inside_is_sewn_on_after_what_is_stitched_through_its_panel() {
    let handles = ["folded", "webbing", "padded", "rings", "grab-loop", "backpack"];
    for (body, closure) in [("boxed", "open"), ("basket", "flap"), ("zip-pouch", "open")] {
        for lining in ["unlined", "backed"] {
            for pocket in ["patch", "organiser"] {
                for handle in handles {
                    let row = match pocket {
                        "organiser" => "side = \"inside\"\nrow = \"3 in, 3 in\"\n",
                        _ => "",
                    };
                    let text = format!(
                        "[[pocket]]\nkind = \"{pocket}\"\non = \"back\"\n{row}\
                         [handles]\nkind = \"{handle}\"\n[closure]\nkind = \"{closure}\"\n\
                         [lining]\nkind = \"{lining}\"\n"
                    );
                    let found = errors(&design(&format!("\"{body}\""), &text));
                    let closed = |it: &&Finding| {
                        it.message.contains("stitched through the") || it.check == "pockets-clear"
                    };
                    assert_eq!(found.iter().find(closed), None, "{text}");
                }
            }
        }
    }
    let text = "[[pocket]]\nkind = \"patch\"\n[lining]\nkind = \"unlined\"\n";
    let packet = packet::build(&read("design.toml", &design("\"boxed\"", text))).packet;
    let packet = packet.expect("it is sewn");
    let at = |id: &str| packet.steps.iter().position(|step| step.id.starts_with(id));
    assert!(at("box-and-x") < at("place-inside-pocket"), "{:?}", packet.steps);
    assert!(at("place-inside-pocket").is_some());
}

/// Such a pocket is stitched through the legs of the handles where it lies over them, and says so; the
/// layers that meet there are counted: a panel, a pocket of two layers with its allowance turned in,
/// and a strap folded in four make nine.
#[test]
fn a_pocket_says_what_it_is_stitched_through_from_behind() {
    let bag = |handles: &str, pocket: &str| {
        let text = format!(
            "[[pocket]]\nkind = \"patch\"\non = \"back\"\n{pocket}[handles]\nfrom = \"base\"\n\
             {handles}[lining]\nkind = \"unlined\"\n"
        );
        let built = packet::build(&read("design.toml", &design("\"boxed\"", &text)));
        let packet = built.packet.unwrap_or_else(|| panic!("{:#?}", built.findings));
        let step = packet.steps.iter().find(|step| step.id == "stitch-inside-pocket").unwrap();
        let thick = built.findings.into_iter().find(|it| {
            it.check == "thick-places" && it.place.step.as_deref() == Some("stitch-inside-pocket")
        });
        (step.mind.clone().unwrap(), thick)
    };
    let (mind, thick) = bag("kind = \"folded\"\n", "");
    let through = "These rows go through the back handle on the right side of the back panel, too.";
    assert_eq!(mind, format!("Leave the top edge open. {through}"));
    let thick = thick.expect("the layers are counted");
    assert_eq!(thick.message, "9 layers meet in these rows, under the handles");
    assert_eq!(thick.severity, Severity::Note);

    // Webbing is one layer; legs that stand apart are not met, nor is a strap that ends above it.
    let (mind, thick) = bag("kind = \"webbing\"\n", "");
    assert!(mind.ends_with(through) && thick.is_none(), "{mind} {thick:?}");
    let (mind, thick) = bag("kind = \"folded\"\napart = 10\n", "width = 6\n");
    assert!(mind == "Leave the top edge open." && thick.is_none(), "{mind} {thick:?}");
}

/// Legs that run up from the base close what they are stitched through; farther apart, or in the rim,
/// they do not. What stands in a bag without a lining is stitched through its front.
#[test]
fn what_would_be_stitched_through_is_refused_at_its_field() {
    let slit = "[[pocket]]\nkind = \"zip-slit\"\nside = \"outside\"\n";
    let legs = |more: &str| format!("{slit}[handles]\nkind = \"webbing\"\n{more}\n");
    let found = errors(&design("\"boxed\"", &legs("from = \"base\"")));
    let [finding] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(finding.check, REFUSED);
    assert_eq!(finding.place.parameter.as_deref(), Some("handles.apart"));
    assert_eq!(
        finding.message,
        "the legs would be stitched through the zip pocket, front, and close it"
    );
    is_sewn(&design("\"boxed\"", &legs("from = \"rim\"")));
    is_sewn(&design("\"boxed\"", &legs("from = \"base\"\napart = \"10 1/2\"")));

    let row = "[[pocket]]\nkind = \"organiser\"\n";
    let unlined = "[lining]\nkind = \"unlined\"\n[handles]\nkind = \"none\"\n";
    let found = errors(&design("\"bottle-carrier\"", &format!("{row}{unlined}")));
    let [finding] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(finding.check, REFUSED);
    assert_eq!(finding.place.parameter.as_deref(), Some("pocket[1].row"));
    assert!(finding.message.contains("what stands inside the bag is stitched to the panel"));
    is_sewn(&design("\"bottle-carrier\"", &format!("{row}row = \"2 in\"\n{unlined}")));
    is_sewn(&design("\"bottle-carrier\"", &format!("{row}side = \"outside\"\n{NO_HANDLES}")));
}

/// The prongs of feet go through the foot of a full-width pocket, which lies under the bag.
#[test]
fn feet_stand_under_a_pocket_that_is_held_at_the_base() {
    for pocket in ["band", "zip-seam"] {
        let more =
            format!("{NO_HANDLES}[[pocket]]\nkind = \"{pocket}\"\n[[extra]]\nkind = \"feet\"\n");
        is_sewn(&design("\"boxed\"", &more));
    }
}
