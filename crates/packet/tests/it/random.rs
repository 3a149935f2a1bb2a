//! Designs drawn at random over the whole range of every parameter of every kind: whatever is
//! asked for, drafting either refuses it with a reason or gives a pattern that fits together.

use bag::{bodies, linings};
use proptest::prelude::*;
use testkit::random::{Drawn, design, design_of};
use testkit::{Verdict, judge};

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 256,
        failure_persistence: None,
        max_shrink_iters: 300,
        ..ProptestConfig::default()
    })]

    #[test]
    fn drafting_refuses_with_a_reason_or_gives_a_pattern_that_fits(drawn in design()) {
        let Drawn(design) = drawn;
        if let Verdict::Failed(why) = judge(&design) {
            return Err(TestCaseError::fail(why));
        }
    }

    /// Bodies that close by a zip of their own, with a lining that is sewn on with it.
    #[test]
    fn a_lining_at_a_zip_is_refused_with_a_reason_or_fits(drawn in hung_from_a_zip()) {
        let Drawn(design) = drawn;
        if let Verdict::Failed(why) = judge(&design) {
            return Err(TestCaseError::fail(why));
        }
    }
}

fn hung_from_a_zip() -> impl Strategy<Value = Drawn> {
    let bodies = ["zip-pouch", "boxed-pouch", "duffel"].map(bodies::find);
    let linings = ["turned", "faced"].map(linings::find);
    design_of(bodies.into_iter().flatten().collect(), linings.into_iter().flatten().collect())
        .prop_map(|Drawn(mut design)| {
            // A second closure would be refused on most of them.
            design.closure = bag::design::Chosen::new(bag::closures::ALL[0], design.system());
            Drawn(design)
        })
}
