//! How long a packet with first layouts takes, and its improvement, for the largest example.

use std::hint::black_box;

use bag::Design;
use criterion::{Criterion, criterion_group, criterion_main};
use measure::{Currency, Length, Money};
use packet::Packet;
use packet::earns::{Priced, Rates, earns};
use packet::kit::Kit;
use packet::takes::{Pace, Takes};

/// The example with the most pieces and steps.
const LARGEST: &str = include_str!("../../../examples/workshop-bag.toml");

/// Bags of one class, of some of the same fabrics.
const MIXED: [&str; 3] = [
    LARGEST,
    include_str!("../../../examples/market-day-bag.toml"),
    include_str!("../../../examples/allotment-bag.toml"),
];

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
    criterion.bench_function("thread, time and mass, largest example", |bencher| {
        bencher.iter(|| Takes::of(black_box(&built), Pace::USUAL));
    });
    let one = Kit::of(vec![(built.clone(), 1)], 0, 0);
    let mut rates = Rates::new(Money::new(18_00, Currency::USD));
    rates.prices = built
        .pattern
        .materials
        .iter()
        .map(|material| Priced {
            thing: material.name.clone(),
            money: Money::new(14_50, Currency::USD),
            per: Some(Length::YARD),
        })
        .collect();
    criterion.bench_function("price of the largest example", |bencher| {
        bencher.iter(|| earns(black_box(&one), &rates, Pace::USUAL));
    });
    criterion.bench_function("shopping, time and price, largest example", |bencher| {
        bencher.iter(|| {
            let one = Kit::of(vec![(black_box(&built).clone(), 1)], 0, 0);
            (Takes::of(&built, Pace::USUAL), earns(&one, &rates, Pace::USUAL))
        });
    });
    let mixed: Vec<(Packet, u32)> = MIXED
        .iter()
        .map(|text| {
            let design = store::read_design("example.toml", text).expect("it is understood");
            (packet::build(&design).packet.expect("it can be cut"), 10)
        })
        .collect();
    let pieces: usize = mixed.iter().map(|(packet, _)| packet.pattern.copies.len() * 10).sum();
    assert!(pieces >= 400, "only {pieces} pieces");
    criterion.bench_function("first answer for a kit of 30 mixed bags", |bencher| {
        bencher.iter(|| Kit::of(black_box(&mixed).clone(), 0, 0));
    });
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
