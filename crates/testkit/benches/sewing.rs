//! How long sewing in the abstract and checking take, for the example with the most steps.

use std::hint::black_box;

use bag::assembly::Assembly;
use bag::checks;
use criterion::{Criterion, criterion_group, criterion_main};
use testkit::corpus;

fn benches(criterion: &mut Criterion) {
    let examples = corpus::examples().expect("the examples are there");
    let Some(largest) = examples.iter().max_by_key(|sample| sample.pattern.steps.len()) else {
        return;
    };
    let steps = largest.pattern.steps.len();
    criterion.bench_function(&format!("sew, {} of {steps} steps", largest.name), |bencher| {
        bencher.iter(|| Assembly::sew(black_box(&largest.pattern)).events.len());
    });
    criterion.bench_function(&format!("sew and check, {}", largest.name), |bencher| {
        bencher.iter(|| checks::run(black_box(&largest.pattern)).len());
    });
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(30);
    targets = benches
}
criterion_main!(all);
