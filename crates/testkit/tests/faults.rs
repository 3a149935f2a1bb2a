//! The checks catch what is seeded, at its place, and leave correct patterns alone.

use std::collections::BTreeSet;

use testkit::{corpus, faults};

/// ≥ 99 % of the harmful faults of a sample caught, ≥ 95 % at their place, no error on a correct
/// pattern: what `cargo xtask faults` asks of the whole table.
#[test]
fn a_sample_of_faults_is_caught_at_its_place() {
    let mut samples = corpus::examples().expect("the examples are there");
    samples.extend(corpus::combinations(30, 7));
    let table = testkit::measure(&samples, 400, 7);
    let slips = table.slips(20);
    assert!(table.holds(), "{}\n{slips}", table.last_line());
}

#[test]
fn the_same_seed_gives_the_same_faults() {
    let samples = corpus::combinations(6, 3);
    let [one, other] = [(); 2].map(|()| testkit::measure(&samples, 120, 3));
    assert_eq!(one.markdown(), other.markdown());
    assert_eq!(one.slips(99), other.slips(99));
}

#[test]
fn kinds_have_names_of_their_own_and_say_what_they_break() {
    let kinds: Vec<_> = faults::all().collect();
    assert!(kinds.len() >= 36, "{} kinds", kinds.len());
    let names: BTreeSet<&str> = kinds.iter().map(|kind| kind.name).collect();
    assert_eq!(names.len(), kinds.len());
    assert!(kinds.iter().all(|kind| !kind.breaks.is_empty()));
}

/// A kind that nothing can be seeded by measures nothing.
#[test]
fn every_kind_finds_a_place_in_some_pattern() {
    let mut samples = corpus::examples().expect("the examples are there");
    samples.extend(corpus::combinations(144, 1));
    let table = testkit::measure(&samples, faults::all().count(), 1);
    let empty: Vec<&str> =
        table.rows.iter().filter(|row| row.seeded == 0).map(|row| row.kind.name).collect();
    assert_eq!(empty, [""; 0]);
}
