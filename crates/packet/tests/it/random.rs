//! Designs drawn at random over the whole range of every parameter of every kind: whatever is
//! asked for, drafting either refuses it with a reason or gives a pattern that fits together.

use proptest::prelude::*;
use testkit::random::{Drawn, design};
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
}
