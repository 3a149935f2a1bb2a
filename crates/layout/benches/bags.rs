//! How good the search is in a given time, on jobs made up from seeds: a table to read.
//!
//! `cargo bench -p layout --bench bags -- [JOBS] [SECONDS]`

#![expect(clippy::print_stdout, reason = "its result is a table to read")]

use std::time::{Duration, Instant};

use layout::{Layout, Problem, Proof, Rotations, Search, first, verify};

#[path = "../tests/jobs/mod.rs"]
mod jobs;

/// The layout after some time, and when it was proven that no shorter purchase exists.
fn search(problem: &Problem, seconds: f64) -> (Layout, Option<Duration>) {
    let start = Instant::now();
    let limit = Duration::from_secs_f64(seconds);
    let Ok(mut search) = Search::begin(problem, 1) else { panic!("everything fits") };
    let is_proven = |search: &Search| !matches!(search.best().proof, Proof::Within(_));
    while !is_proven(&search) && start.elapsed() < limit {
        search.step(64);
    }
    let when = is_proven(&search).then(|| start.elapsed());
    assert_eq!(verify(problem, search.best()), Ok(()), "a layout");
    (search.best().clone(), when)
}

/// Bag jobs: how many are proven, and how soon.
fn bags(count: u64, seconds: f64) {
    for (name, is_free) in [("grain fixed", false), ("free", true)] {
        let (mut proven, mut total, mut at_once) = (0, 0, 0);
        let mut times = Vec::new();
        let mut open = Vec::new();
        for seed in (0..count).filter(|seed| (seed / 2 % 2 == 1) == is_free) {
            let problem = jobs::bag(seed);
            total += 1;
            let one = first(&problem).expect("everything fits");
            at_once += usize::from(!matches!(one.proof, Proof::Within(_)));
            let (layout, when) = search(&problem, seconds);
            match when {
                Some(when) => {
                    proven += 1;
                    times.push(when);
                }
                None => open.push((seed, layout.bought.to_mm(), layout.bound.to_mm())),
            }
        }
        times.sort_unstable();
        let of = |part: usize| times.get(times.len() * part / 100).copied().unwrap_or_default();
        println!(
            "{name}: {proven} of {total} proven within {seconds} s ({at_once} by the first answer); \
             half within {:?}, nine tenths within {:?}",
            of(50),
            of(90)
        );
        println!("  open (seed, bought, bound in mm): {open:?}");
    }
}

/// Rectangles without waste: how far from the known shortest length.
fn without_waste(seconds: f64) {
    for (least, most) in [(8, 30), (50, 200)] {
        for (name, rotations) in
            [("grain fixed", Rotations::one_way()), ("free", Rotations::free())]
        {
            let gaps = (0..12).map(|seed| {
                let count = usize::try_from(least + seed * (most - least) / 11).unwrap_or(8);
                let (problem, length) = jobs::cut_up(seed, count, rotations);
                let start = Instant::now();
                let Ok(mut search) = Search::begin(&problem, 1) else { panic!("everything fits") };
                while !search.is_done() && start.elapsed().as_secs_f64() < seconds {
                    search.step(64);
                }
                let gap = search.best().length.to_mm() / length.to_mm() - 1.0;
                gap * 100.0
            });
            let gaps: Vec<f64> = gaps.collect();
            let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
            let worst = gaps.iter().copied().fold(0.0, f64::max);
            println!(
                "{least} to {most} pieces without waste, {name}: mean gap {mean:.2} %, worst {worst:.2} %"
            );
        }
    }
}

fn main() {
    let words: Vec<u32> = std::env::args().filter_map(|word| word.parse().ok()).collect();
    let count = words.first().copied().unwrap_or(200);
    let seconds = words.get(1).copied().unwrap_or(3);
    bags(u64::from(count), f64::from(seconds));
    if words.len() < 3 {
        without_waste(1.0);
    }
}
