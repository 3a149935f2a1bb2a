//! Pockets that lie across the seam of a contrast base, on two panels.

use measure::{Length, Units};

use super::{drafted, errors};
use crate::bodies;
use crate::design::{Chosen, Design};
use crate::kinds::Value;
use crate::{handles, pockets};

/// The upper panel of a bag that is wider at the top begins farther out than the base below it: what is
/// told from the corner of one is not from that of the other. Divisions near the sides go through the
/// pocket on both.
#[test]
fn divisions_go_on_over_the_seam_of_a_tapered_bag() {
    let mut design = Design::of(bodies::find("flat").expect("in the list"), Units::Inch);
    for (key, mm) in [("width", 406), ("height", 1500), ("taper", 274), ("contrast-base", 226)] {
        assert!(design.body.values.set(key, Value::Length(Length::mm(mm))));
    }
    let none = handles::find("none").expect("in the list");
    design.handles = Chosen::new(none, design.system());
    let mut band = Chosen::new(pockets::find("band").expect("in the list"), design.system());
    assert!(band.values.set("divisions", Value::Count(5)));
    design.pockets.push(band);
    assert_eq!(errors(&drafted(&design)), []);
}
