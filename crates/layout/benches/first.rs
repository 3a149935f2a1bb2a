//! How long a first layout, its improvement and the question for the narrowest width take.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use layout::{Item, Join, JoinAngle, JoinPlace, Problem, Rotations, Stock, first, refine};
use measure::{Increments, Length};

/// `kinds` sizes of pieces in whole quarter inches, spread without a pattern, each `count` times.
fn pieces(kinds: i64, count: u32, rotations: Rotations) -> Problem {
    let size = |seed: i64, least: i64, span: i64| Length::inch_frac(least + seed % span, 4);
    let items = (1..=kinds).map(|kind| {
        let (width, length) = (size(kind * 7919, 12, 70), size(kind * 104_729, 12, 60));
        Item::rectangle(format!("piece {kind}"), (width, length), count, rotations)
    });
    let stock = Stock::bolt(Length::inch(42), Increments::eighth_yards());
    Problem::new(stock, items.collect())
}

/// A bag of 15 pieces, straps among them.
fn bag() -> Problem {
    let grain = Rotations::along_the_grain();
    let part = |name: &str, width, length, count| {
        Item::rectangle(name, (Length::inch(width), Length::inch(length)), count, grain)
    };
    let join = Join {
        most: 1,
        allowance: Length::inch_frac(1, 2),
        angle: JoinAngle::Straight,
        place: JoinPlace::Anywhere,
    };
    let strap = (Length::inch(56), Length::inch_frac(9, 2));
    let items = vec![
        part("panel", 21, 17, 2),
        part("pocket", 21, 10, 2),
        part("lining", 21, 17, 2),
        part("inside pocket", 12, 9, 2),
        part("facing", 21, 3, 2),
        part("flap", 9, 7, 2),
        part("tab", 4, 3, 1),
        Item::rectangle("strap", strap, 2, Rotations::one_way()).joined(join),
    ];
    let stock = Stock::bolt(Length::inch(44), Increments::eighth_yards());
    Problem::new(stock, items)
}

fn benches(criterion: &mut Criterion) {
    let jobs = [
        ("first, 30 pieces", pieces(10, 3, Rotations::along_the_grain())),
        ("first, 30 free pieces of 30 sizes", pieces(30, 1, Rotations::free())),
        ("first, 500 pieces", pieces(25, 20, Rotations::along_the_grain())),
        ("first, 500 free pieces of 500 sizes", pieces(500, 1, Rotations::free())),
        ("first, 2000 free pieces of 2000 sizes", pieces(2000, 1, Rotations::free())),
        ("first, a bag", bag()),
    ];
    for (name, problem) in &jobs {
        criterion.bench_function(name, |bencher| bencher.iter(|| first(black_box(problem))));
    }
    for inches in [44, 54, 60] {
        let mut bag = bag();
        let increments = Increments::eighth_yards();
        bag.stock = Stock::bolt(Length::inch(inches), increments);
        if let Ok(layout) = first(&bag) {
            criterion.bench_function(&format!("narrowest, a bag on {inches} in"), |bencher| {
                bencher.iter(|| layout.narrowest(black_box(&bag), Length::inch_frac(1, 8)));
            });
        }
    }
    let thirty = pieces(30, 1, Rotations::free());
    if let Ok(layout) = first(&thirty) {
        criterion.bench_function("refine by 1000 rounds, 30 free pieces", |bencher| {
            bencher.iter_batched(
                || layout.clone(),
                |layout| refine(&thirty, &layout, 1000, 1),
                BatchSize::SmallInput,
            );
        });
    }
}

criterion_group!(all, benches);
criterion_main!(all);
