//! The largest bag from a yard of fabric, for a new design of every body: proportions kept, and its
//! first size alone; and how many larger steps each leaves open.

#![expect(clippy::print_stdout, reason = "what it leaves open is to be read")]

use std::hint::black_box;
use std::time::Instant;

use bag::Design;
use bag::design::Role;
use criterion::{Criterion, criterion_group, criterion_main};
use measure::{Length, Units};
use packet::largest::{Given, Grow, largest, sizes};

fn benches(criterion: &mut Criterion) {
    let yard =
        Given { role: Role::Outside, width: Length::inch(54), usable: None, length: Length::YARD };
    for body in bag::bodies::ALL {
        let design = Design::of(*body, Units::Inch);
        let first = sizes(&design)[0].key;
        for key in sizes(&design).iter().map(|size| size.key) {
            let clock = Instant::now();
            let open = largest(&design, &[yard], Grow::Alone(key)).map(|found| found.open.len());
            let took = clock.elapsed();
            println!("largest {}, {key} alone: {took:.0?}, steps open: {open:?}", body.name());
        }
        for (what, grow) in [("alike", Grow::Alike), (first, Grow::Alone(first))] {
            criterion.bench_function(&format!("largest {}, {what}", body.name()), |bencher| {
                bencher.iter(|| largest(black_box(&design), &[yard], grow));
            });
        }
    }
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(10);
    targets = benches
}
criterion_main!(all);
