//! What zip is bought for a length that is needed, at each place that takes one.

use measure::{Length, System, Units};

use super::{drafted, errors, inch};
use crate::design::{Chosen, Design};
use crate::draft::zips::BoughtZip;
use crate::kinds::Value;
use crate::operations::CutZip;
use crate::pattern::Pattern;
use crate::{bodies, closures, handles, linings, pockets};

/// As sold: 4, 14, 16, 18 and 40 in; 10, 40 and 45 cm. A longer one than needed is shortened, and
/// beyond the longest it is cut from the reel.
#[test]
fn it_is_bought_in_a_length_that_is_sold() {
    let of = BoughtZip::of;
    let closed = |length| BoughtZip::Closed(length);
    assert_eq!(of(System::Inch, Length::inch(16)), closed(Length::inch(16)));
    assert_eq!(of(System::Inch, Length::inch_frac(33, 2)), closed(Length::inch(18)));
    assert_eq!(of(System::Inch, Length::inch(1)), closed(Length::inch(4)));
    assert_eq!(of(System::Metric, Length::mm(405)), closed(Length::mm(450)));
    assert_eq!(of(System::Metric, Length::mm(1_000)), closed(Length::mm(1_000)));
    for (system, longest) in [(System::Inch, Length::inch(40)), (System::Metric, Length::mm(1_000))]
    {
        let more = longest + Length::nm(1);
        assert_eq!(of(system, longest), closed(longest));
        assert_eq!(of(system, more), BoughtZip::ByLength(more));
    }
}

/// Of fabric that is wide enough for anything.
fn of(body: &str, units: Units) -> Design {
    let mut design = Design::of(bodies::find(body).unwrap(), units);
    for fabric in design.fabrics.values_mut() {
        assert!(fabric.set("turnable", Value::Flag(true)));
    }
    design
}

/// What is bought, by its kind and length, and what is cut from the reel for it; the pattern must be
/// sewn without an error.
fn bought(pattern: &Pattern) -> Vec<(&'static str, Length)> {
    assert_eq!(errors(pattern), []);
    let is_zip = |key: &str| ["closed-end-zip", "pocket-zip", "zip-by-length"].contains(&key);
    let zips = pattern.notions.iter().filter(|notion| is_zip(notion.kind.key));
    let zips: Vec<_> = zips.map(|zip| (zip.kind.key, zip.length.expect("its length"))).collect();
    let cut: Vec<Length> = pattern
        .steps
        .iter()
        .filter_map(|step| step.as_a::<CutZip>())
        .map(|cut| cut.length)
        .collect();
    let by_length = zips.iter().filter(|zip| zip.0 == "zip-by-length").map(|zip| zip.1);
    assert_eq!(cut, by_length.collect::<Vec<_>>());
    zips
}

/// Through the ends of a barrel it is as long as the cut panel, with 1/2 in at either end, and 1 in
/// more for its slider; with tabs it ends before them, 1/2 in less the 1/4 in by which they lie over it.
#[test]
fn a_zip_in_the_rim() {
    for (ends, length, kind, long) in [
        ("through", "38", "closed-end-zip", "40"),
        ("through", "38 1/16", "zip-by-length", "40 1/16"),
        ("tabs", "40 1/2", "closed-end-zip", "40"),
        ("tabs", "40 9/16", "zip-by-length", "40 1/16"),
    ] {
        for lining in ["unlined", "turned"] {
            let mut design = of("duffel", Units::Inch);
            design.lining = Chosen::new(linings::find(lining).unwrap(), System::Inch);
            assert!(design.body.values.set("ends", Value::Choice(ends)));
            assert!(design.body.values.set("length", Value::Length(inch(length))));
            assert_eq!(bought(&drafted(&design)), [(kind, inch(long))], "{ends}, {length}");
        }
    }
}

/// Strips 1 in shorter than the rim at either side, and a zip that stands out by 2 in.
#[test]
fn a_zip_between_strips() {
    for (width, kind, long) in [
        ("36", "closed-end-zip", "40"),
        ("36 1/16", "zip-by-length", "40 1/16"),
        ("60", "zip-by-length", "64"),
    ] {
        for lining in ["unlined", "turned"] {
            let mut design = of("boxed", Units::Inch);
            design.lining = Chosen::new(linings::find(lining).unwrap(), System::Inch);
            // As wide again at its top as it is deep.
            assert!(design.body.values.set("width", Value::Length(inch(width))));
            design.closure = Chosen::new(closures::find("zip").unwrap(), System::Inch);
            assert_eq!(bought(&drafted(&design)), [(kind, inch(long))], "{width}, {lining}");
        }
    }
}

/// A zip that is longer than its slit lies behind the slit's ends, within the pocket's bag, which is
/// 1 in (25 mm) wider at either end.
#[test]
fn a_zip_in_a_slit() {
    let with = |units: Units, slit: Length| {
        let mut design = of("boxed", units);
        assert!(design.body.values.set("width", Value::Length(Length::mm(700))));
        let mut pocket = Chosen::new(pockets::find("zip-slit").unwrap(), units.system());
        assert!(pocket.values.set("zip", Value::Length(slit)));
        design.pockets = vec![pocket];
        bought(&drafted(&design))
    };
    for (slit, zip) in
        [("4", "4"), ("4 1/16", "5"), ("18", "18"), ("18 1/16", "20"), ("23 1/2", "24")]
    {
        assert_eq!(with(Units::Inch, inch(slit)), [("pocket-zip", inch(zip))], "{slit}");
    }
    for (slit, zip) in [(80, 100), (100, 100), (550, 550), (551, 600), (600, 600)] {
        let [slit, zip] = [slit, zip].map(Length::mm);
        assert_eq!(with(Units::Mm, slit), [("pocket-zip", zip)], "{slit:?}");
    }
    for (system, margin) in [(System::Inch, Length::inch(1)), (System::Metric, Length::mm(25))] {
        for slit in (80..=600).map(Length::mm) {
            assert!(BoughtZip::of(system, slit).length() <= slit + margin * 2, "{slit:?}");
        }
    }
}

/// The side seams go over its teeth: it is bought by the length, as wide as the front is cut.
#[test]
fn a_zip_in_a_seam_across_the_front() {
    let mut design = of("flat", Units::Inch);
    design.handles = Chosen::new(handles::find("none").unwrap(), System::Inch);
    design.pockets = vec![Chosen::new(pockets::find("zip-seam").unwrap(), System::Inch)];
    let pattern = drafted(&design);
    let wide = pattern.claims.width + Length::inch(1);
    assert_eq!(bought(&pattern), [("zip-by-length", wide)]);
}
