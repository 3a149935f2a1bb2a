//! Duffels: size, zip, ends with pockets.

use measure::Units;

use super::*;
use crate::assembly::{Assembly, SideOut};
use crate::checks;
use crate::design::Chosen;
use crate::finding::Severity;
use crate::linings;
use crate::tests::one_closed_body;

fn duffel(long: Length, diameter: Length, lining: &str) -> Design {
    let mut design = Design::of(&KIND, Units::Inch);
    assert!(design.body.values.set("length", Value::Length(long)));
    assert!(design.body.values.set("diameter", Value::Length(diameter)));
    design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
    design
}

/// MIL-B-829M, duffel bag: 12 1/2 in across and 37 in long, so 39.27 in around (π · d). With a
/// number 5 zip whose tape is 31 mm wide, sewn in by 1/4 in at either edge, 31 − 12.7 = 18.3 mm of
/// that are the zip's, and each panel takes half of the rest (derived).
#[test]
fn a_published_duffel() {
    let design = duffel(Length::inch(37), Length::inch_frac(25, 2), "unlined");
    let pattern = crate::draft(&design).pattern.expect("it can be drafted");
    let worst = checks::run(&pattern).into_iter().filter(|f| f.severity > Severity::Note);
    assert_eq!(worst.collect::<Vec<_>>(), []);
    let piece = |id: &str| pattern.pieces.iter().find(|piece| piece.id == id).unwrap();
    let around = piece("end").net.perimeter().to_inch();
    assert!((around - 39.27).abs() < 0.005, "{around}");
    let panel = piece("outside-panel").net_size();
    assert_eq!(panel.0, Length::inch(37));
    let high = (39.2699 - 18.3 / 25.4) / 2.0;
    assert!((panel.1.to_inch() - high).abs() < 0.001, "{}", panel.1.to_inch());
    let area = piece("end").net.area().to_mm2() / (25.4 * 25.4);
    assert!((area - 122.72).abs() < 0.01, "{area}");
    let end = piece("end").cut_size();
    for cut in [end.0, end.1] {
        assert!((cut - Length::inch_frac(27, 2)).abs() < Length::nm(20_000), "{cut:?}");
    }
}

/// The zip is the only mouth of it when both ends are sewn in, and it is turned through it.
#[test]
fn it_is_turned_through_its_zip() {
    for lining in ["unlined", "backed"] {
        let design = duffel(Length::inch(20), Length::inch(11), lining);
        let pattern = crate::draft(&design).pattern.unwrap();
        let found = checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
        let work = Assembly::sew(&pattern);
        let surface = work.surface(CopyId(0));
        assert_eq!((surface.mouths.len(), surface.euler()), (1, 1), "{lining}");
        assert!(surface.orientable && surface.inside_out.is_empty());
        let zip = (31.0_f64 - 12.7) * 2.0 + 2.0 * 20.0 * 25.4;
        let around = surface.mouths[0].around.to_mm();
        assert!((around - zip).abs() < 0.1, "{around}");
        assert_eq!(work.side_out(CopyId(0)), SideOut::Right);
    }
}

/// An end that is sewn in before there is a zip has nothing to lie over.
#[test]
fn an_end_lies_over_a_zip() {
    let design = duffel(Length::inch(20), Length::inch(11), "unlined");
    let mut pattern = crate::draft(&design).pattern.unwrap();
    let set = pattern.steps.iter().position(|step| step.id == "set-zip").unwrap();
    pattern.steps.remove(set);
    let found = checks::run(&pattern);
    assert!(found.iter().any(|f| f.message.contains("there is no zip")), "{found:#?}");
}

/// A zip that runs on through the ends is as long as the cut panel, however wide its allowances.
#[test]
fn a_zip_runs_through_wide_allowances() {
    let mut design = duffel(Length::inch(20), Length::inch(11), "unlined");
    assert!(design.body.values.set("ends", Value::Choice("through")));
    assert!(design.allowances.set("side", Value::Length(Length::inch_frac(3, 2))));
    let pattern = crate::draft(&design).pattern.unwrap();
    let found = checks::run(&pattern);
    assert!(found.iter().all(|f| f.severity < Severity::Error), "{found:#?}");
}

/// A lining that is sewn on with the zip has its ends sewn in on the other side of the zip's: turned
/// through the opening in its base, it and the outside are one closed body, right side out.
#[test]
fn a_lining_hangs_from_the_zip() {
    for lining in ["turned", "faced"] {
        for diameter in [5, 11] {
            let design = duffel(Length::inch(20), Length::inch(diameter), lining);
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
            one_closed_body(&pattern);
            let turn = pattern.steps.iter().position(|step| step.id == "turn-bag").unwrap();
            let open = Assembly::sew_first(&pattern, turn).surface(CopyId(0));
            assert_eq!((open.mouths.len(), open.euler()), (1, 1));
            // The other end of the zip, or an end of the outside that is not there yet.
            let at = |id: &str| pattern.steps.iter().position(|step| step.id == id).unwrap();
            let mut early = pattern.clone();
            early.steps.swap(at("sew-left-end"), at("sew-lining-left-end"));
            let found = checks::run(&early);
            let over = |f: &crate::finding::Finding| f.message.contains("does not lie over the end");
            assert!(found.iter().any(over), "{found:#?}");
            let mut gaping = pattern.clone();
            let step = gaping.steps.iter_mut().find(|it| it.id == "sew-lining-left-end").unwrap();
            let mut join = step.as_a::<Join>().unwrap().clone();
            join.across.clear();
            step.operation = std::sync::Arc::new(join);
            assert!(checks::run(&gaping).iter().any(|f| f.severity == Severity::Error));
        }
    }
}

/// A lining that is put in at last is sewn to the zip and its ends all round: outside and lining
/// become one closed body, right side out.
#[test]
fn a_lining_is_put_in_at_last() {
    let design = duffel(Length::inch(20), Length::inch(11), "dropped");
    let pattern = crate::draft(&design).pattern.expect("it can be drafted");
    let found = checks::run(&pattern);
    assert!(found.iter().all(|f| f.severity == Severity::Note), "{found:#?}");
    assert_eq!(one_closed_body(&pattern).copies.len(), 8);
}

fn with_pocket(diameter: Length, lining: &str, kind: &str, on: &'static str) -> Design {
    let mut design = duffel(Length::inch(20), diameter, lining);
    design.handles = Chosen::new(crate::handles::find("none").unwrap(), design.system());
    let mut pocket = Chosen::new(crate::pockets::find(kind).unwrap(), design.system());
    assert!(pocket.values.set("on", Value::Choice(on)), "{kind} {on}");
    design.pockets = vec![pocket];
    design
}

/// Geometry: 6 mm within an end 391 mm across, a pocket 60 mm wide is √(379² − 60²) = 374 mm high:
/// 370 in steps of 5.
#[test]
fn a_patch_as_high_as_a_round_end_has_no_width() {
    let of = |high: i64| {
        let mut design = with_pocket(Length::mm(391), "turned", "patch", "ends");
        design.units = Units::Mm;
        design.pockets[0].values.set("height", Value::Length(Length::mm(high)));
        crate::draft(&design)
    };
    assert!(of(370).pattern.is_some());
    for high in [376, 391] {
        let drafted = of(high);
        assert!(drafted.pattern.is_none());
        let told = |f: &crate::finding::Finding| {
            f.cure == "make it 370 mm or less high, in the middle of the end"
                && f.place.parameter.as_deref() == Some("pocket[1].height")
        };
        assert!(drafted.findings.iter().any(told), "{:#?}", drafted.findings);
    }
}

/// A pocket on an end 11 in across reaches up to where that is widest: its mouth is the diameter, it
/// is as deep as the radius, and its area is half of the circle's (geometry).
#[test]
fn a_pocket_is_caught_in_the_seam_round_an_end() {
    for (kind, lining) in
        [("band", "unlined"), ("band", "turned"), ("slip", "turned"), ("slip", "unlined"), ("slip", "dropped")]
    {
        for on in ["left-end", "right-end", "ends"] {
            let design = with_pocket(Length::inch(11), lining, kind, on);
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{kind} {lining}: {found:#?}");
            assert_eq!(pattern.claims.pockets.len(), if on == "ends" { 2 } else { 1 });
            let work = Assembly::sew(&pattern);
            for claim in &pattern.claims.pockets {
                // A lining is cut smaller by its ease.
                let (low, high) = pattern.piece_of(claim.on).net.bounds();
                let across = high.x - low.x;
                assert!((across - Length::inch(11)).abs() < Length::mm(10));
                let net = &pattern.piece_of(claim.copy).net;
                let half = PI / 8.0 * across.to_inch() * across.to_inch();
                let area = net.area().to_mm2() / (25.4 * 25.4);
                assert!((area - half).abs() < half * 0.01, "{area} {half}");
                assert!((claim.size.0 - across).abs() < Length::MM, "{:?}", claim.size);
                assert!((claim.true_depth - across.half()).abs() < Length::MM);
                let caught = |copy: CopyId| work.events.iter().any(|(_, event)| {
                    matches!(event, crate::assembly::Event::Caught { rider, .. } if *rider == copy)
                });
                assert!(caught(claim.copy), "{kind} {on}");
            }
        }
    }
}

/// A pocket that ends below where its end is widest widens up to its hem: what is turned down is wider
/// than what it lies on, and is trimmed. Of one 80 mm high on an end 250 mm across, half as wide as
/// √(125² − 45²) = 116.6 mm at its top edge, the sides are cut on from there with 45/116.6 of slant: a
/// hem of 12 mm ends 12 · 0.386 + 4.9 mm farther out than the curve 12 mm below it, all at the cutting line: 9.5 mm (geometry).
/// One that ends at the widest chord stands out by nothing to speak of.
#[test]
fn a_hem_that_is_turned_onto_a_narrower_curve_is_trimmed() {
    let told = |height: Option<Length>| {
        let mut design = with_pocket(Length::mm(250), "turned", "band", "left-end");
        design.pockets[0].values.set("height", Value::Length(height.unwrap_or(Length::mm(125))));
        design.pockets[0].values.set("hem", Value::Length(Length::mm(12)));
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        let telling = crate::operations::Telling { pattern: &pattern, system: System::Metric };
        let step = pattern.step("hem-outside-pocket").expect("it is hemmed");
        step.operation.tell(&telling).text
    };
    assert!(!told(None).contains("trim"), "{}", told(None));
    assert!(told(Some(Length::mm(80))).contains("up to 10 mm. Stitch"), "{}", told(Some(Length::mm(80))));
}

/// What is laid flat on an end lies within the largest box that goes there: its corners are no
/// farther from the middle than the radius less 1/4 in (Pythagoras).
#[test]
fn a_flat_pocket_clears_the_seam_round_an_end() {
    for kind in ["patch", "zip-slit", "window"] {
        for (diameter, lining) in [(8, "turned"), (11, "turned"), (11, "unlined"), (20, "dropped")] {
            let design = with_pocket(Length::inch(diameter), lining, kind, "left-end");
            let drafted = crate::draft(&design);
            let pattern = drafted.pattern.unwrap_or_else(|| panic!("{kind} {diameter}: {:#?}", drafted.findings));
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{kind} {lining}: {found:#?}");
            let claim = &pattern.claims.pockets[0];
            let (low, high) = pattern.piece_of(claim.on).net.bounds();
            let (middle, radius) = (low.middle(high), (high.x - low.x).half());
            for (x, y) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                let corner =
                    Point::new(claim.at.x + claim.size.0 * x, claim.at.y + claim.size.1 * y);
                let clear = radius - middle.distance(corner);
                assert!(clear > Length::inch_frac(1, 8), "{kind} {diameter} {lining}: {clear:?}");
            }
        }
    }
}

/// Other bodies have no ends of their own, and too small ones no room: both are refused with the
/// reason.
#[test]
fn what_cannot_lie_on_an_end_is_refused() {
    let mut design = with_pocket(Length::inch(11), "turned", "band", "left-end");
    design.pockets[0].values.set("height", Value::Length(Length::inch(10)));
    let found = crate::draft(&design).findings;
    assert_eq!(found[0].place.parameter.as_deref(), Some("pocket[1].height"), "{found:#?}");
    let mut boxed = Design::of(crate::bodies::find("boxed").unwrap(), Units::Inch);
    boxed.pockets = design.pockets;
    let found = crate::draft(&boxed).findings;
    assert!(found[0].message.contains("ends that are pieces of their own"), "{found:#?}");
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    /// Whatever is asked for on an end is refused with a reason, or sews.
    #[test]
    fn pockets_on_ends_of_any_size_sew(
        diameter in 120_i64..600,
        asked in 40_i64..400,
        kind in proptest::sample::select(vec!["band", "slip", "patch", "zip-slit", "window"]),
        lining in proptest::sample::select(vec!["turned", "faced", "dropped", "unlined", "backed"]),
        on in proptest::sample::select(vec!["left-end", "right-end", "ends"]),
        divisions in 1_u32..4,
    ) {
        let mut design = with_pocket(Length::mm(diameter), lining, kind, on);
        let values = &mut design.pockets[0].values;
        if values.get("height").is_some() && asked > 60 {
            values.set("height", Value::Length(Length::mm(asked)));
        }
        if values.get("divisions").is_some() {
            values.set("divisions", Value::Count(divisions));
        }
        let drafted = crate::draft(&design);
        match drafted.pattern {
            None => proptest::prop_assert!(!drafted.findings.is_empty()),
            Some(pattern) => {
                let found = checks::run(&pattern);
                let errors: Vec<_> =
                    found.iter().filter(|f| f.severity == Severity::Error).collect();
                proptest::prop_assert_eq!(errors, Vec::<&crate::finding::Finding>::new());
            }
        }
    }
}
