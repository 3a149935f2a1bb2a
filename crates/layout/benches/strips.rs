//! How good layouts in strips are, on jobs made up from seeds: a table to read. Times are of the
//! processor's own clock, since machines are shared.
//!
//! `cargo bench -p layout --bench strips -- [JOBS]`

#![expect(clippy::print_stdout, reason = "its result is a table to read")]

use std::fs;
use std::time::Duration;

use layout::{Cutting, Layout, Problem, Proof, Search, verify};
use measure::Length;

#[expect(dead_code, reason = "others use the rest")]
#[path = "../tests/jobs/mod.rs"]
mod jobs;

/// The time this process has had of a processor so far.
fn processor_time() -> Duration {
    // In the first field, in nanoseconds (Linux).
    let text = fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let nanoseconds = text.split(' ').next().and_then(|field| field.parse().ok());
    Duration::from_nanos(nanoseconds.unwrap_or(0))
}

/// A layout in strips, and when it was proven to be the shortest.
fn search(problem: &Problem, seconds: f64) -> (Layout, f64) {
    let start = processor_time();
    let spent = || (processor_time() - start).as_secs_f64();
    let Ok(mut search) = Search::begin(problem, 1) else { panic!("everything fits") };
    while !search.is_done() && spent() < seconds {
        search.step(1);
    }
    let when = spent();
    assert_eq!(verify(problem, search.best()), Ok(()), "a layout");
    (search.best().clone(), when)
}

/// Bags one by one, and in kits.
fn table(count: u64, copies: u32, seconds: f64) {
    for (name, is_free) in [("grain fixed", false), ("free", true)] {
        for longest in [None, Some(Length::inch(24))] {
            let mut gaps = Vec::new();
            let mut times = Vec::new();
            let mut shortest = 0;
            let mut open = Vec::new();
            for seed in (0..count).filter(|seed| (seed / 2 % 2 == 1) == is_free) {
                let mut problem = jobs::bag(seed);
                problem.cutting = Cutting::StripsFirst { longest_cut: longest };
                problem.copies = copies;
                if layout::first(&problem).is_err() {
                    // A piece that is longer than the ruler either way.
                    continue;
                }
                let (layout, when) = search(&problem, seconds);
                let gap = layout.length.to_mm() / layout.bound.to_mm() - 1.0;
                if layout.proof == Proof::Shortest {
                    shortest += 1;
                } else {
                    open.push((seed, (gap * 1e4).round() / 100.0));
                }
                gaps.push(gap * 100.0);
                times.push(when);
            }
            times.sort_unstable_by(f64::total_cmp);
            let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
            let worst = gaps.iter().copied().fold(0.0, f64::max);
            println!(
                "{copies} of {name}, longest cut {}: {shortest} of {} proven shortest; gap mean \
                 {mean:.2} %, worst {worst:.2} %; time half {:.3} s, all {:.3} s",
                longest.map_or("any".to_owned(), |longest| format!("{} in", longest.to_inch())),
                gaps.len(),
                times[times.len() / 2],
                times[times.len() - 1],
            );
            println!("  open (seed, gap in %): {open:?}");
        }
    }
}

fn main() {
    let argument = std::env::args().skip(1).find_map(|one| one.parse().ok());
    let count = argument.unwrap_or(100);
    table(count, 1, 1.0);
    table(count / 4, 30, 2.0);
}
