//! How long a packet with first layouts takes, and its improvement, for the largest example.

use std::hint::black_box;

use bag::Design;
use criterion::{Criterion, criterion_group, criterion_main};

/// The example with the most pieces and steps.
const LARGEST: &str = include_str!("../../../examples/workshop-bag.toml");

fn design() -> Design {
    store::read_design("workshop-bag.toml", LARGEST).expect("the example is understood")
}

fn benches(criterion: &mut Criterion) {
    criterion.bench_function("read the largest example", |bencher| bencher.iter(design));
    let design = design();
    criterion.bench_function("draft and check, largest example", |bencher| {
        bencher.iter(|| {
            let drafted = bag::draft(black_box(&design));
            drafted.pattern.as_ref().map(bag::checks::run)
        });
    });
    criterion.bench_function("packet::build, largest example", |bencher| {
        bencher.iter(|| packet::build(black_box(&design)));
    });
    let built = packet::build(&design).packet.expect("the example can be cut");
    criterion.bench_function("packet::refine by 200 rounds, largest example", |bencher| {
        bencher.iter(|| packet::refine(black_box(&built), 200));
    });
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(20);
    targets = benches
}
criterion_main!(all);
