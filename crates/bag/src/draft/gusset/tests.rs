//! Pockets on the sides of a gusset, in one strip and in three parts.

use std::collections::BTreeSet;

use measure::{Length, System, Units};
use proptest::prelude::*;
use proptest::sample::select;

use crate::assembly::{Assembly, Event};
use crate::design::Chosen;
use crate::finding::Finding;
use crate::kinds::Value;
use crate::operations::{Bind, Place, StitchDown, Telling};
use crate::pattern::{MarkShape, Pattern, PocketClaim};
use crate::{Design, Severity, bodies, checks, linings, pockets};

/// Every pocket that lies on a side.
const KINDS: [&str; 10] = [
    "band",
    "slip",
    "patch",
    "flap",
    "bellows",
    "pleated",
    "elastic",
    "organiser",
    "zip-slit",
    "window",
];
const BODIES: [&str; 4] = ["gusset", "gusset-in-parts", "messenger", "backpack"];

fn with_pocket(body: &str, lining: &str, kind: &str, on: &'static str) -> Design {
    let mut design = Design::of(bodies::find(body).expect("a body"), Units::Inch);
    design.lining = Chosen::new(linings::find(lining).expect("a lining"), design.system());
    // Room for every kind, whatever it is as a rule.
    assert!(design.body.values.set("depth", Value::Length(Length::inch(6))));
    let mut pocket = Chosen::new(pockets::find(kind).expect("a pocket"), design.system());
    assert!(pocket.values.set("on", Value::Choice(on)), "{kind} {on}");
    if kind == "organiser" {
        assert!(pocket.values.set("row", Value::Text("pens, pens".to_owned())));
    }
    design.pockets = vec![pocket];
    design
}

fn set(design: &mut Design, key: &str, length: Length) {
    assert!(design.pockets[0].values.set(key, Value::Length(length)), "{key}");
}

#[track_caller]
fn drafted(design: &Design) -> Pattern {
    let drafted = crate::draft(design);
    drafted.pattern.unwrap_or_else(|| panic!("refused: {:#?}", drafted.findings))
}

fn worst(pattern: &Pattern) -> Vec<Finding> {
    checks::run(pattern).into_iter().filter(|f| f.severity > Severity::Note).collect()
}

/// The edges of its panel in whose seams a pocket is caught.
fn caught(pattern: &Pattern, claim: &PocketClaim) -> BTreeSet<usize> {
    let work = Assembly::sew(pattern);
    let in_seam = |(_, event): &(usize, Event)| match event {
        Event::Caught { rider, host, host_edge, .. }
            if *rider == claim.copy && *host == claim.on =>
        {
            Some(*host_edge)
        }
        _ => None,
    };
    work.events.iter().filter_map(in_seam).collect()
}

/// Where a pocket opens and where it ends below, as heights on its panel.
fn mouth_and_floor(pattern: &Pattern, claim: &PocketClaim) -> (Length, Length) {
    let places = pattern.steps.iter().filter_map(|step| step.as_a::<Place>());
    let placed = places.flat_map(|place| &place.items).find(|item| item.what == claim.copy);
    let (low, high) = (claim.at.y, claim.at.y + claim.size.1);
    if placed.expect("it is placed").upside_down { (low, high) } else { (high, low) }
}

/// Each kind of pocket on each side of each bag with a gusset, with every lining: it is sewn with no
/// more than a note, and each side has its pocket.
#[test]
fn every_pocket_goes_on_the_sides_of_every_gusset() {
    for body in BODIES {
        for kind in KINDS {
            for (lining, on) in [
                ("unlined", "sides"),
                ("turned", "sides"),
                ("faced", "left-side"),
                ("dropped", "right-side"),
                ("backed", "sides"),
            ] {
                let design = with_pocket(body, lining, kind, on);
                let pattern = drafted(&design);
                let found = worst(&pattern);
                assert_eq!(found, [], "{body} {kind} {lining} {on}");
                let count = pattern.claims.pockets.len();
                assert_eq!(count, if on == "sides" { 2 } else { 1 }, "{body} {kind} {lining}");
            }
        }
    }
}

/// A pocket as wide as a strip is held in both long seams of it and by a row across it above the base:
/// from 1/2 in above the corner to the height that was asked, less the row 1/8 in above its lower edge
/// (derived). In three parts it is held in the seam of the base, too, and is as deep as it is high.
#[test]
fn a_band_is_held_in_the_seams_of_its_side() {
    let asked = Length::inch(7);
    for (body, edges, deep, high) in [
        ("gusset", vec![1, 3], Length::inch_frac(51, 8), Length::inch_frac(13, 2)),
        ("gusset-in-parts", vec![0, 1, 3], asked, asked),
    ] {
        for (top, lining, kind) in [
            ("hem", "unlined", "band"),
            ("lined", "unlined", "band"),
            ("hem", "turned", "slip"),
            ("lined", "turned", "slip"),
        ] {
            let mut design = with_pocket(body, lining, kind, "sides");
            assert!(design.pockets[0].values.set("top", Value::Choice(top)));
            set(&mut design, "height", asked);
            let pattern = drafted(&design);
            assert_eq!(worst(&pattern), [], "{body} {top}");
            for claim in &pattern.claims.pockets {
                let held: Vec<usize> = caught(&pattern, claim).into_iter().collect();
                assert_eq!(held, edges, "{body} {top} {lining}");
                assert_eq!((claim.true_depth, claim.size.1), (deep, high), "{body} {top}");
                assert_eq!(claim.size.0, Length::inch(6));
            }
        }
    }
}

/// Both ends of a strip are tops: the pocket of each opens toward its own, and they are told so.
#[test]
fn pockets_on_a_strip_open_toward_its_ends() {
    for kind in ["band", "patch"] {
        let lining = if kind == "band" { "unlined" } else { "turned" };
        let pattern = drafted(&with_pocket("gusset", lining, kind, "sides"));
        let long = |claim: &PocketClaim| pattern.piece_of(claim.on).net.bounds().1.y;
        let to_end = pattern.claims.pockets.iter().map(|claim| {
            let (mouth, floor) = mouth_and_floor(&pattern, claim);
            let low_end = mouth < long(claim).half();
            assert_eq!(low_end, mouth < floor, "{kind}: {mouth:?} {floor:?}");
            low_end
        });
        assert_eq!(to_end.collect::<BTreeSet<bool>>().len(), 2, "{kind}");
        let minds = pattern.steps.iter().filter_map(|step| step.as_a::<Place>()?.mind.clone());
        let told =
            minds.into_iter().any(|mind| format!("{mind:?}").contains("either end of the strip"));
        assert!(told, "{kind}");
        let mut turned = pattern.clone();
        let claim = pattern.claims.pockets[0].copy;
        for step in &mut turned.steps {
            let Some(mut place) = step.as_a::<Place>().cloned() else { continue };
            for item in place.items.iter_mut().filter(|item| item.what == claim) {
                item.upside_down = !item.upside_down;
            }
            step.operation = std::sync::Arc::new(place);
        }
        let found = worst(&turned);
        assert!(found.iter().any(|f| f.message.contains("put on upside down")), "{found:#?}");
    }
}

/// The left side is the left one as the bag stands, outside and inside: the lining lies in the bag as in
/// a mirror, and its end there is sewn to the left end of the outside.
#[test]
fn the_left_side_inside_lies_at_the_left_of_the_bag() {
    for body in ["gusset", "gusset-in-parts"] {
        for (on, word) in [("left-side", "left"), ("right-side", "right")] {
            let pattern = drafted(&with_pocket(body, "turned", "patch", on));
            let claim = &pattern.claims.pockets[0];
            let work = Assembly::sew(&pattern);
            let (mouth, floor) = mouth_and_floor(&pattern, claim);
            let net = &pattern.piece_of(claim.on).net;
            let rim = if mouth > floor { 2 } else { 0 };
            assert!(net.edge(rim).is_straight());
            let other = work.glues.iter().find_map(|glue| {
                let is = |span: crate::pattern::Span| span.copy == claim.on && span.edge == rim;
                if is(glue.a) { Some(glue.b) } else { is(glue.b).then_some(glue.a) }
            });
            let other = other.expect("the rim is sewn to the outside");
            let (piece, copy) = (pattern.piece_of(other.copy), pattern.copy(other.copy));
            let said = format!("{} {}", copy.name, piece.edges[other.edge].name);
            assert!(said.contains(word), "{body} {on}: {said}");
        }
    }
}

/// A band whose row across the strip is forgotten has no floor.
#[test]
fn a_band_without_its_row_has_no_floor() {
    for top in ["hem", "lined"] {
        let mut design = with_pocket("gusset", "unlined", "band", "left-side");
        assert!(design.pockets[0].values.set("top", Value::Choice(top)));
        let mut pattern = drafted(&design);
        let row = pattern.steps.iter().position(|step| step.as_a::<StitchDown>().is_some());
        pattern.steps.remove(row.expect("it is stitched across"));
        let found = worst(&pattern);
        let floor = |f: &Finding| f.message.contains("nothing holds the lower edge");
        assert!(found.iter().any(floor), "{top}: {found:#?}");
    }
}

/// An elasticated pocket that is cut half as wide again than it lies on a gusset 4 in deep goes with it
/// round a bottle: 3 1/2 in of the gusset and 5 1/4 in of the pocket make 8 3/4 in, and a bottle of half
/// a litre, 2 9/16 in across, is 8 1/16 in round (π · d; its width from the list of things).
#[test]
fn a_bottle_goes_into_a_pocket_on_the_side() {
    let mut design = with_pocket("backpack", "turned", "elastic", "sides");
    assert!(design.body.values.set("depth", Value::Length(Length::inch(4))));
    let pattern = drafted(&design);
    let claim = &pattern.claims.pockets[0];
    let around = claim.size.0 + pattern.piece_of(claim.copy).net_size().0;
    let bottle = measure::find_fit("bottle-half-litre").expect("in the list");
    assert!(around.to_mm() > std::f64::consts::PI * bottle.width.to_mm(), "{around:?}");
}

/// What has no room, and what has no gusset, is refused at its field.
#[test]
fn what_cannot_lie_on_a_side_is_refused() {
    let at = |design: &Design| {
        let found = crate::draft(design).findings;
        let first = found.first().expect("it is refused");
        (first.place.parameter.clone().unwrap_or_default(), first.message.clone())
    };
    let mut narrow = with_pocket("gusset", "turned", "patch", "sides");
    assert!(narrow.body.values.set("depth", Value::Length(Length::inch(2))));
    assert_eq!(at(&narrow).0, "pocket[1].on");
    // In the seams it goes.
    let mut band = with_pocket("gusset", "turned", "band", "sides");
    assert!(band.body.values.set("depth", Value::Length(Length::inch(2))));
    drafted(&band);
    let mut high = with_pocket("gusset", "unlined", "band", "sides");
    set(&mut high, "height", Length::inch(40));
    assert_eq!(at(&high).0, "pocket[1].height");
    let mut cased = with_pocket("backpack", "turned", "flap", "sides");
    set(&mut cased, "below", Length::inch(1));
    let (parameter, message) = at(&cased);
    assert_eq!(parameter, "pocket[1].below");
    assert!(message.contains("lies in the casing"), "{message}");
    let mut boxed = Design::of(bodies::find("boxed").expect("a body"), Units::Inch);
    boxed.pockets = band.pockets;
    let (parameter, message) = at(&boxed);
    assert_eq!(parameter, "pocket[1].on");
    assert!(message.contains("needs a gusset"), "{message}");
}

/// Below a deep facing a pocket reaches up over its seam, and still stands the right way up at either
/// end of the strip; a slit lies within the one or the other.
#[test]
fn pockets_reach_up_over_a_deep_facing() {
    for (kind, facing) in [("patch", 8), ("zip-slit", 8), ("zip-slit", 2), ("window", 6)] {
        let mut design = with_pocket("gusset", "faced", kind, "sides");
        assert!(design.lining.values.set("facing", Value::Length(Length::inch(facing))));
        assert!(design.body.values.set("height", Value::Length(Length::inch(20))));
        if kind == "window" {
            assert!(design.pockets[0].values.set("side", Value::Choice("inside")));
        }
        let pattern = drafted(&design);
        let errors: Vec<Finding> =
            worst(&pattern).into_iter().filter(|f| f.severity == Severity::Error).collect();
        assert_eq!(errors, [], "{kind} {facing}");
    }
}

/// A side may be too narrow for a hand, 3 1/2 in: unless more is asked, fingers reach to the bottom.
#[test]
fn pockets_on_narrow_sides_are_no_deeper_than_fingers_reach() {
    for (kind, lining) in [("patch", "turned"), ("band", "unlined"), ("slip", "turned")] {
        let mut design = with_pocket("gusset", lining, kind, "sides");
        assert!(design.body.values.set("depth", Value::Length(Length::inch(3))));
        assert!(design.body.values.set("height", Value::Length(Length::inch(20))));
        let found = worst(&drafted(&design));
        assert!(found.iter().all(|f| f.check != "hand-goes-in"), "{kind}: {found:#?}");
    }
}

/// Twelve compartments on a side 6 in wide are 1/2 in wide, and less than a pencil needs, whose way
/// round is π · 7 mm: half of it, and some ease.
#[test]
fn compartments_take_a_pencil_at_least() {
    for (kind, lining) in [("band", "unlined"), ("slip", "turned"), ("patch", "turned")] {
        let mut design = with_pocket("gusset", lining, kind, "sides");
        assert!(design.pockets[0].values.set("divisions", Value::Count(12)));
        let found = crate::draft(&design).findings;
        let refused =
            found.iter().any(|f| f.place.parameter.as_deref() == Some("pocket[1].divisions"));
        assert!(refused, "{kind}: {found:#?}");
        assert!(design.pockets[0].values.set("divisions", Value::Count(3)));
        // Into which fingers reach.
        set(&mut design, "height", Length::inch(5));
        assert_eq!(worst(&drafted(&design)), [], "{kind}");
    }
}

/// What lies below a facing, or reaches up over it, is marked on the pieces that it lies on, and nowhere
/// beside them; of two sides that are cut alike it says on which.
#[test]
fn pockets_are_marked_on_the_pieces_they_lie_on() {
    for (body, on) in [("gusset", "front"), ("gusset", "sides"), ("gusset-in-parts", "left-side")] {
        for facing in [2, 5] {
            let mut design = with_pocket(body, "faced", "patch", on);
            assert!(design.lining.values.set("facing", Value::Length(Length::inch(facing))));
            let pattern = drafted(&design);
            let mut found = BTreeSet::new();
            for piece in &pattern.pieces {
                let (low, high) = piece.net.bounds();
                for mark in piece.marks.iter().filter(|it| it.label.starts_with("inside pocket")) {
                    let MarkShape::Placement(a, b) = mark.shape else { continue };
                    let within = |at: measure::Point| {
                        at.x >= low.x && at.x <= high.x && at.y >= low.y && at.y <= high.y
                    };
                    assert!(within(a) && within(b), "{body} {on} {facing}: {} {mark:?}", piece.id);
                    found.insert((piece.name.contains("facing"), mark.label.clone()));
                }
            }
            let label = match (body, on) {
                (_, "front") => "inside pocket, front only",
                ("gusset-in-parts", _) => "inside pocket, left-hand side only",
                _ => "inside pocket",
            };
            assert!(found.contains(&(false, label.to_owned())), "{found:?}");
            assert_eq!(found.iter().any(|it| it.0), facing == 5, "{body} {on}: {found:?}");
        }
    }
}

/// "The right side of the gusset" might be that of its cloth; the end of a strip toward which a single
/// pocket opens is told, too.
#[test]
fn sides_are_told_by_the_hand() {
    for (body, kind) in [
        ("gusset", "band"),
        ("gusset", "patch"),
        ("gusset-in-parts", "band"),
        ("backpack", "window"),
    ] {
        let pattern = drafted(&with_pocket(body, "turned", kind, "right-side"));
        let telling = Telling { pattern: &pattern, system: System::Inch };
        let place = pattern.steps.iter().find(|step| {
            step.as_a::<Place>()
                .is_some_and(|it| it.items[0].what == pattern.claims.pockets[0].copy)
        });
        let told = place.expect("it is placed").operation.tell(&telling).text;
        assert!(told.contains("on the right-hand side of the gusset"), "{body} {kind}: {told}");
        let on_strip = told.contains("its top edge on that nearer to its end");
        assert_eq!(on_strip, (body, kind) == ("gusset", "band"), "{told}");
    }
}

/// Windows on both sides are bound in one go.
#[test]
fn windows_that_are_alike_are_bound_once() {
    let pattern = drafted(&with_pocket("gusset", "turned", "window", "sides"));
    let bound: Vec<&Bind> = pattern.steps.iter().filter_map(|step| step.as_a()).collect();
    let [bind] = bound[..] else { panic!("{bound:#?}") };
    assert_eq!(bind.what, "all four edges of each window pocket");
    let copies: BTreeSet<_> = pattern.claims.pockets.iter().map(|claim| claim.copy).collect();
    assert_eq!(bind.run.copies().into_iter().collect::<BTreeSet<_>>(), copies);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    /// Whatever is asked for on a side is refused with a reason, or is sewn with no error.
    #[test]
    fn pockets_on_sides_of_any_size_sew(
        body in select(BODIES.to_vec()),
        size in (160_i64..500, 150_i64..500, 50_i64..250),
        corner in prop::option::of(15_i64..120),
        taper in 0_i64..80,
        kind in select(KINDS.to_vec()),
        asked in 40_i64..400,
        lining in select(vec!["turned", "faced", "dropped", "unlined", "backed"]),
        on in select(vec!["left-side", "right-side", "sides"]),
        words in (any::<bool>(), any::<bool>(), 1_u32..4),
    ) {
        let mut design = with_pocket(body, lining, kind, on);
        let values = &mut design.body.values;
        for (key, mm) in [("width", size.0), ("height", size.1), ("depth", size.2)] {
            values.set(key, Value::Length(Length::mm(mm)));
        }
        values.set("corner", corner.map_or(Value::Absent, |mm| Value::Length(Length::mm(mm))));
        if values.get("taper").is_some() {
            values.set("taper", Value::Length(Length::mm(taper)));
        }
        let values = &mut design.pockets[0].values;
        if values.get("height").is_some() && asked > 60 {
            values.set("height", Value::Length(Length::mm(asked)));
        }
        if words.0 && values.get("top").is_some() {
            values.set("top", Value::Choice("lined"));
        }
        if words.1 && values.get("side").is_some() && lining != "unlined" {
            values.set("side", Value::Choice("inside"));
        }
        if values.get("divisions").is_some() {
            values.set("divisions", Value::Count(words.2));
        }
        let drafted = crate::draft(&design);
        match drafted.pattern {
            None => prop_assert!(!drafted.findings.is_empty()),
            Some(pattern) => {
                let found = checks::run(&pattern);
                let errors: Vec<_> =
                    found.iter().filter(|f| f.severity == Severity::Error).collect();
                prop_assert_eq!(errors, Vec::<&Finding>::new());
            }
        }
    }
}
