//! How good the search is in a given time, on jobs made up from seeds: tables to read.
//!
//! `cargo bench -p layout --bench bags -- [bags JOBS SECONDS | waste SEEDS SECONDS [STYLES [MOST]] | first SEEDS [STYLE] | stops SEEDS]`
//!
//! Times are processor time of this thread where the system tells it, so that other work on the
//! machine does not count.

#![expect(clippy::print_stdout, reason = "its result is a table to read")]

use std::io::Write;
use std::time::{Duration, Instant};

use layout::{Layout, Problem, Proof, Rotations, Search, Stop, first, verify};
use measure::Length;

mod clock;
#[path = "../tests/jobs/mod.rs"]
mod jobs;

use clock::Clock;
use jobs::Style;

const KINDS: [(&str, bool); 2] = [("grain fixed", false), ("free", true)];

/// The layouts after one second and at the end, and when it was proven that no shorter purchase
/// exists.
fn search(problem: &Problem, seconds: f64) -> ([Layout; 2], Option<Duration>) {
    let clock = Clock::start();
    let limit = Duration::from_secs_f64(seconds);
    let Ok(mut search) = Search::begin(problem, 1) else { panic!("everything fits") };
    let is_proven = |search: &Search| !matches!(search.best().proof, Proof::Within(_));
    let mut early = search.best().clone();
    while !is_proven(&search) && clock.elapsed() < limit {
        search.step(4);
        if clock.elapsed() < Duration::from_secs(1) {
            early = search.best().clone();
        }
    }
    let when = is_proven(&search).then(|| clock.elapsed());
    assert_eq!(verify(problem, search.best()), Ok(()), "a layout");
    ([early, search.best().clone()], when)
}

/// Bag jobs: how many are proven, how soon, and how many of these are bought right within a second.
fn bags(count: u64, seconds: f64) {
    println!(
        "| bag jobs | proven in {seconds} s | by the first answer | half, nine tenths within | best purchase of the proven in 1 s |"
    );
    println!("|---|---|---|---|---|");
    for (name, is_free) in KINDS {
        let (mut total, mut at_once, mut early) = (0, 0, 0);
        let mut times = Vec::new();
        let mut open = Vec::new();
        for seed in (0..count).filter(|seed| (seed / 2 % 2 == 1) == is_free) {
            let problem = jobs::bag(seed);
            total += 1;
            let one = first(&problem).expect("everything fits");
            at_once += usize::from(!matches!(one.proof, Proof::Within(_)));
            let ([soon, last], when) = search(&problem, seconds);
            match when {
                Some(when) => {
                    early += usize::from(soon.bought == last.bought);
                    times.push(when);
                }
                None => open.push((seed, last.bought.to_mm(), last.bound.to_mm())),
            }
        }
        times.sort_unstable();
        let of = |part: usize| times.get(times.len() * part / 100).copied().unwrap_or_default();
        println!(
            "| {name} | {} of {total} | {at_once} | {:.0?}, {:.0?} | {early} of {} |",
            times.len(),
            of(50),
            of(90),
            times.len()
        );
        println!("  open (seed, bought, bound in mm): {open:?}");
    }
}

/// How long a search in a step takes to end once it is told to stop, at most: a page's cancel.
fn stops(seeds: u64) {
    println!("| from stop to end, ms at most | 30 | 500 |");
    println!("|---|---|---|");
    for (name, is_free) in KINDS {
        let rotations = if is_free { Rotations::free() } else { Rotations::one_way() };
        for style in Style::ALL {
            let cells = [30, 500].map(|count| {
                let waits = (0..seeds).map(|seed| {
                    let (problem, _) = jobs::cut_up(seed, count, style, rotations);
                    wait(&problem, Duration::from_millis(100 + 97 * seed))
                });
                format!("{:.0}", waits.fold(0.0, f64::max))
            });
            println!("| {style:?}, {name} | {} |", cells.join(" | "));
        }
    }
}

/// How long it searches on after it was told to stop, in milliseconds of the clock.
fn wait(problem: &Problem, after: Duration) -> f64 {
    let stop = Stop::default();
    let Ok(mut search) = Search::begin(problem, 1) else { panic!("everything fits") };
    search.heed(&stop);
    let told = std::thread::scope(|scope| {
        let told = scope.spawn(|| {
            std::thread::sleep(after);
            stop.stop();
            Instant::now()
        });
        while !search.is_done() && !stop.is_stopped() {
            search.step(16);
        }
        let end = Instant::now();
        end.saturating_duration_since(told.join().expect("it sleeps"))
    });
    told.as_secs_f64() * 1000.0
}

/// Rectangles without waste: how far from the known shortest length, in per cent.
fn waste(seeds: u64, seconds: f64, only: Option<&str>, most: u64) {
    let counts = [10, 20, 30, 50, 100, 200];
    println!(
        "| without waste, gap in % after {seconds} s | 10 | 20 | 30 | 50 | 100 | 200 | to 30 | 50 on |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    for (name, is_free) in KINDS {
        let rotations = if is_free { Rotations::free() } else { Rotations::one_way() };
        let mut sums = [0.0; 6];
        for style in Style::ALL {
            let style_name = format!("{style:?}");
            if only.is_some_and(|only| !only.contains(&style_name)) {
                continue;
            }
            let mut means = [0.0; 6];
            for (&count, mean) in counts.iter().zip(&mut means) {
                if count as u64 > most {
                    continue;
                }
                for seed in 0..seeds {
                    let seed = seed + 1000 * count as u64;
                    let (problem, length) = jobs::cut_up(seed, count, style, rotations);
                    *mean += gap(&problem, length, seconds) / seeds as f64;
                }
            }
            row(&format!("{style_name}, {name}"), &means);
            for (sum, mean) in sums.iter_mut().zip(means) {
                *sum += mean / Style::ALL.len() as f64;
            }
        }
        row(&format!("all, {name}"), &sums);
    }
}

fn row(name: &str, means: &[f64; 6]) {
    let cells: Vec<_> = means.iter().map(|mean| format!("{mean:.2}")).collect();
    let (few, many) = means.split_at(3);
    let mean = |some: &[f64]| some.iter().sum::<f64>() / 3.0;
    println!("| {name} | {} | {:.2} | {:.2} |", cells.join(" | "), mean(few), mean(many));
}

fn gap(problem: &Problem, length: Length, seconds: f64) -> f64 {
    let clock = Clock::start();
    let Ok(mut search) = Search::begin(problem, 1) else { panic!("everything fits") };
    while !search.is_done() && clock.elapsed().as_secs_f64() < seconds {
        search.step(4);
    }
    assert!(search.best().length >= length && search.best().bound <= length, "the known length");
    (search.best().length.to_mm() / length.to_mm() - 1.0) * 100.0
}

/// How long a first answer takes, and how long the longest of a hundred steps of search: of so many
/// that it is told in whole steps of the system's clock.
fn firsts(seeds: u64, only: Option<&str>) {
    const COUNTS: [u32; 5] = [30, 250, 500, 1000, 2000];
    println!("| first answer, ms | 30 | 250 | 500 | 1000 | 2000 | one step of 30, 500 at most |");
    println!("|---|---|---|---|---|---|---|");
    for (name, is_free) in KINDS {
        let rotations = if is_free { Rotations::free() } else { Rotations::one_way() };
        let is_wanted = |style: &str| only.is_none_or(|only| only == style);
        for style in Style::ALL.into_iter().filter(|style| is_wanted(&format!("{style:?}"))) {
            let job =
                |seed: u64, count: u32| jobs::cut_up(seed, count as usize, style, rotations).0;
            first_row(&format!("{style:?}, {name}"), seeds, COUNTS, job);
        }
        if is_wanted("Outlines") {
            let ways = if is_free { Rotations::free() } else { Rotations::along_the_grain() };
            let job = |seed: u64, count: u32| jobs::outlines(seed, count, ways);
            first_row(&format!("Outlines, {name}"), seeds, COUNTS, job);
        }
    }
}

fn first_row(name: &str, seeds: u64, counts: [u32; 5], job: impl Fn(u64, u32) -> Problem) {
    print!("| {name} |");
    for count in counts {
        let times = if count < 100 { 20 } else { 1 };
        let problems: Vec<_> = (0..seeds).map(|seed| job(seed, count)).collect();
        let clock = Clock::start();
        for problem in problems.iter().flat_map(|problem| vec![problem; times]) {
            std::hint::black_box(first(problem).expect("everything fits"));
        }
        let rounds = seeds as f64 * times as f64;
        print!(" {:.2} |", clock.elapsed().as_secs_f64() * 1000.0 / rounds);
        // A cell is told as soon as it is known: the last ones take long.
        std::io::stdout().flush().expect("a table to read");
    }
    let steps = [30, 500].map(|count| {
        let Ok(mut search) = Search::begin(&job(1, count), 1) else { panic!("everything fits") };
        let step = |_| {
            let clock = Clock::start();
            search.step(1);
            clock.elapsed().as_secs_f64() * 1000.0
        };
        format!("{:.0}", (0..600).map(step).fold(0.0, f64::max))
    });
    println!(" {} |", steps.join(", "));
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let number = |index: usize, usual: f64| {
        words.get(index).and_then(|word| word.parse().ok()).unwrap_or(usual)
    };
    let count = |index: usize, usual: u64| {
        words.get(index).and_then(|word| word.parse().ok()).unwrap_or(usual)
    };
    match words.first().map(String::as_str) {
        Some("bags") => bags(count(1, 200), number(2, 3.0)),
        Some("waste") => {
            waste(count(1, 3), number(2, 1.0), words.get(3).map(String::as_str), count(4, 200));
        }
        Some("stops") => stops(count(1, 8)),
        Some("first") => firsts(count(1, 4), words.get(2).map(String::as_str)),
        _ => {
            firsts(4, None);
            bags(200, 3.0);
            waste(3, 1.0, None, 200);
        }
    }
}
