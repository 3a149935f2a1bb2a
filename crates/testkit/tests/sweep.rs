//! Kinds go together: a sample of what `cargo xtask sweep` goes through, in the test command.

use testkit::sweep;

/// Three in five of all combinations at their default size build and sew with no error, where half is
/// what is wanted, and each refusal has a reason.
#[test]
fn a_sample_of_combinations_builds_or_is_refused_with_a_reason() {
    let tally = sweep::combinations(&sweep::sample(500, 11));
    assert!(tally.failed.is_empty(), "{:#?}", tally.failed.first());
    assert_eq!(tally.built + tally.refused, tally.designs);
    assert!(tally.built * 100 >= tally.designs * 60, "{}\n{}", tally.line(), tally.told_reasons());
    // A rule says so at a field, before anything is drafted, and no check of what was drafted.
    assert_eq!(tally.by_checks(), []);
}

/// Every extra goes on most of what builds without one, and none fails.
#[test]
fn extras_take_part() {
    let tally = sweep::with_extras(&sweep::sample(150, 12));
    assert!(tally.failed.is_empty(), "{:#?}", tally.failed.first());
    assert!(tally.built * 100 >= tally.designs * 50, "{}\n{}", tally.line(), tally.told_reasons());
}

#[test]
fn the_same_seed_gives_the_same_designs() {
    let told = |seed| {
        let tally = sweep::random_designs(60, seed);
        assert!(tally.failed.is_empty(), "{:#?}", tally.failed.first());
        (tally.line(), tally.told_reasons())
    };
    assert_eq!(told(5), told(5));
    assert_ne!(told(5).1, told(6).1);
}

/// Numbers walk through all kinds, each combination once.
#[test]
fn combinations_are_all_different() {
    let count = sweep::combination_count();
    let step = count.div_ceil(200).max(1);
    let kinds = |number: usize| {
        let design = sweep::combination(number);
        let pocket = design.pockets.first().map_or("none", |pocket| pocket.kind);
        [design.body.kind, pocket, design.handles.kind, design.closure.kind, design.lining.kind]
    };
    let some: Vec<_> = (0..count).step_by(step).map(kinds).collect();
    let distinct: std::collections::BTreeSet<_> = some.iter().collect();
    assert_eq!(distinct.len(), some.len());
}
