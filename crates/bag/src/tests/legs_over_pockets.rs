//! Legs of handles that run up from the base over pockets as wide as their panel.

use measure::{Length, Units};

use super::{drafted, errors};
use crate::design::{Chosen, Design};
use crate::kinds::Value;
use crate::pattern::Pattern;
use crate::{bodies, checks, handles, linings, pockets};

/// A pocket as wide as its panel, 18 in for a bag 14 in wide and 4 in deep, in two, and handles from the
/// base whose legs, 1 in wide, are 7 in apart.
fn with_legs(body: &str, lining: &str, pocket: &str) -> Pattern {
    let mut design = Design::of(bodies::find(body).expect("in the list"), Units::Inch);
    let system = design.system();
    for (key, inches) in [("width", 14), ("depth", 4)] {
        assert!(design.body.values.set(key, Value::Length(Length::inch(inches))));
    }
    design.lining = Chosen::new(linings::find(lining).expect("in the list"), system);
    design.handles = Chosen::new(handles::find("webbing").expect("in the list"), system);
    let base = Value::Choice("base");
    assert!(design.handles.values.set("from", base));
    assert!(design.handles.values.set("apart", Value::Length(Length::inch(7))));
    let mut chosen = Chosen::new(pockets::find(pocket).expect("in the list"), system);
    assert!(chosen.values.set("on", Value::Choice("front")));
    assert!(chosen.values.set("divisions", Value::Count(2)));
    design.pockets.push(chosen);
    let pattern = drafted(&design);
    assert_eq!(errors(&pattern), [], "{body}, {lining}, {pocket}");
    pattern
}

fn compartments(body: &str, lining: &str, pocket: &str) -> Vec<Length> {
    with_legs(body, lining, pocket).claims.pockets[0].compartments.clone()
}

/// Derived: 9 in on either side of the division; legs from 3 to 4 in beside the centre line
/// leave 5 in at the sides and 3 in at the division.
#[test]
fn legs_divide_what_they_are_stitched_up() {
    let widths = [5, 3, 3, 5].map(Length::inch);
    assert_eq!(compartments("boxed", "unlined", "slip"), widths);
    assert_eq!(compartments("boxed", "turned", "band"), widths);
}

/// Under the flap of a messenger, whose panels are 14 in wide, the legs come free 2 3/4 in above the base, far below the top of the
/// pocket inside: in use it is not divided by them. A lining has no legs at all.
#[test]
fn legs_that_come_free_low_do_not() {
    assert_eq!(compartments("messenger", "unlined", "slip"), [Length::inch(7); 2]);
    assert_eq!(compartments("boxed", "turned", "slip"), [Length::inch(9); 2]);
}

/// Legs that were stitched on before the pocket lie below it, and go through the panel only.
#[test]
fn legs_that_are_stitched_on_first_do_not() {
    let mut pattern = with_legs("boxed", "turned", "band");
    let legs = ["place-handles", "stitch-handles-down", "box-and-x"];
    pattern.steps.sort_by_key(|step| !legs.contains(&step.id.as_str()));
    let found = checks::run(&pattern);
    assert!(found.iter().any(|it| it.check == "stitched-where-held"), "{found:#?}");
}
