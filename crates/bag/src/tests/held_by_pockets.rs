//! A lock or a snap whose half on the front is held by a pocket that lies there.

use measure::{Length, Units};

use super::errors;
use crate::design::{Chosen, Design};
use crate::draft::Drafted;
use crate::kinds::Value;
use crate::operations::{AttachHardware, Place};
use crate::{bodies, closures, handles, linings, pockets};

/// A bag with a pocket on the front and something that closes over it, 8 in below the rim.
fn with(body: &str, lining: &str, pocket: Chosen, (closure, by): (&str, &'static str)) -> Drafted {
    let mut design = Design::of(bodies::find(body).expect("in the list"), Units::Inch);
    let system = design.system();
    design.lining = Chosen::new(linings::find(lining).expect("in the list"), system);
    design.handles = Chosen::new(handles::find("none").expect("in the list"), system);
    design.pockets.push(pocket);
    let mut chosen = Chosen::new(closures::find(closure).expect("in the list"), system);
    assert!(chosen.values.set("below", Value::Length(Length::inch(8))));
    assert!(chosen.values.set("by", Value::Choice(by)));
    design.closure = chosen;
    crate::draft(&design)
}

fn pocket(kind: &str, values: &[(&str, Value)]) -> Chosen {
    let system = measure::System::Inch;
    let mut pocket = Chosen::new(pockets::find(kind).expect("in the list"), system);
    assert!(pocket.values.set("on", Value::Choice("front")));
    for (key, value) in values {
        assert!(pocket.values.set(key, value.clone()), "{kind} {key}");
    }
    pocket
}

/// Over a pocket 10 in high the half goes into its outer layer, before the pocket is made, and both halves
/// meet: whatever the body, its lining and the top of the pocket.
#[test]
fn a_pocket_holds_the_half_that_lies_on_it() {
    let high = ("height", Value::Length(Length::inch(10)));
    for body in ["boxed", "gusset", "round-base", "flat", "folded-base"] {
        for lining in ["turned", "faced", "unlined"] {
            for top in ["hem", "lined"] {
                let closing =
                    [("flap", "magnetic-snap"), ("flap", "turn-lock"), ("tab", "press-stud")];
                for closure in closing {
                    let band = pocket("band", &[high.clone(), ("top", Value::Choice(top))]);
                    let drafted = with(body, lining, band, closure);
                    let case = format!("{body}, {lining}, {top}, {closure:?}");
                    let pattern = drafted
                        .pattern
                        .unwrap_or_else(|| panic!("{case}: {:#?}", drafted.findings));
                    assert_eq!(errors(&pattern), [], "{case}");
                    let claim = &pattern.claims.pockets[0];
                    let half = &pattern.claims.closures[0].meets[0][1];
                    assert_eq!(half.on, claim.copy, "{case}");
                    let at = |id: &str| pattern.steps.iter().position(|step| step.id == id);
                    let held = at("attach-to-pocket").expect("it is attached");
                    let hardware = pattern.steps[held].as_a::<AttachHardware>().expect("hardware");
                    assert_eq!(hardware.at, [(claim.copy, half.at)], "{case}");
                    let takes_it = |step: &crate::pattern::Step| {
                        step.as_a::<Place>().is_some_and(|it| it.items[0].what == claim.copy)
                    };
                    assert!(held < pattern.steps.iter().position(takes_it).expect("it is placed"));
                }
            }
        }
    }
}

/// Not on a division, not through clear vinyl, and not where the flap of the pocket itself lies.
#[test]
fn a_pocket_that_cannot_hold_it_is_told() {
    let high = ("height", Value::Length(Length::inch(10)));
    let refused = [
        pocket("band", &[high, ("divisions", Value::Count(2))]),
        pocket(
            "window",
            &[("side", Value::Choice("outside")), ("below", Value::Length(Length::inch(5)))],
        ),
        pocket(
            "zip-slit",
            &[("side", Value::Choice("outside")), ("below", Value::Length(Length::inch(7)))],
        ),
        pocket(
            "flap",
            &[
                ("side", Value::Choice("outside")),
                ("below", Value::Length(Length::inch_frac(13, 2))),
            ],
        ),
    ];
    for chosen in refused {
        let kind = chosen.kind;
        let drafted = with("boxed", "turned", chosen, ("flap", "magnetic-snap"));
        let told = |f: &crate::finding::Finding| {
            f.place.parameter.as_deref() == Some("closure.below")
                && f.message.contains("lies on the")
        };
        assert!(drafted.findings.iter().any(told), "{kind}: {:#?}", drafted.findings);
    }
}

/// Where nothing is asked, it goes on the front as long as that is free anywhere.
#[test]
fn the_front_itself_comes_first() {
    let band = pocket("band", &[("height", Value::Length(Length::inch(8)))]);
    let mut design = Design::of(bodies::find("boxed").expect("in the list"), Units::Inch);
    let system = design.system();
    design.handles = Chosen::new(handles::find("none").expect("in the list"), system);
    design.pockets.push(band);
    design.closure = Chosen::new(closures::find("flap").expect("in the list"), system);
    let pattern = super::drafted(&design);
    assert_ne!(pattern.claims.closures[0].meets[0][1].on, pattern.claims.pockets[0].copy);
}
