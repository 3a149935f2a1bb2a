//! Goes through designs in great number and counts what becomes of them.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use bag::design::Chosen;
use bag::{Design, bodies, closures, extras, handles, linings, pockets};
use measure::Units;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};

use crate::random;
use crate::{Rng, Verdict, judge};

/// What became of many designs.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// How many were tried.
    pub designs: usize,
    /// How many were built with no error.
    pub built: usize,
    /// How many were refused with a reason.
    pub refused: usize,
    /// Designs that failed: the file, and why.
    pub failed: Vec<(String, String)>,
    /// How often each reason was given: check or parameter, and the words without their numbers.
    pub reasons: BTreeMap<(String, String), usize>,
    /// The first design for which each was given, as a file.
    pub examples: BTreeMap<(String, String), String>,
}

impl Tally {
    /// Judges one design and counts it.
    pub fn add(&mut self, design: &Design) {
        self.designs += 1;
        match judge(design) {
            Verdict::Built => self.built += 1,
            Verdict::Refused(findings) => {
                self.refused += 1;
                for finding in findings {
                    let place = finding.place.parameter.unwrap_or_default();
                    let at = format!("{} {place}", finding.check);
                    let words = format!("{}; {}", finding.message, finding.cure);
                    let reason = (at, without_numbers(&words));
                    let example = self.examples.entry(reason.clone());
                    example.or_insert_with(|| store::write_design(design));
                    *self.reasons.entry(reason).or_default() += 1;
                }
            }
            Verdict::Failed(why) => self.failed.push((store::write_design(design), why)),
        }
    }

    /// Adds the counts of another.
    pub fn join(&mut self, other: Self) {
        self.designs += other.designs;
        self.built += other.built;
        self.refused += other.refused;
        self.failed.extend(other.failed);
        for (reason, count) in other.reasons {
            *self.reasons.entry(reason).or_default() += count;
        }
        for (reason, design) in other.examples {
            self.examples.entry(reason).or_insert(design);
        }
    }

    /// How often a design was refused by a check of the drafted pattern and by no rule, with those
    /// reasons: what a rule should have said before anything was drafted.
    pub fn by_checks(&self) -> Vec<(&str, &str, usize)> {
        let reasons = self.reasons.iter();
        reasons
            .filter(|((at, _), _)| !at.starts_with(bag::draft::REFUSED))
            .map(|((at, words), count)| (at.as_str(), words.as_str(), *count))
            .collect()
    }

    /// The reasons, the most frequent first, a line each.
    pub fn told_reasons(&self) -> String {
        self.told(false)
    }

    /// The same, each with the first design that was refused for it.
    pub fn told_with_examples(&self) -> String {
        self.told(true)
    }

    fn told(&self, with_examples: bool) -> String {
        let mut sorted: Vec<_> = self.reasons.iter().collect();
        sorted.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
        let mut text = String::new();
        for (reason, count) in sorted {
            let (at, words) = reason;
            let _ = writeln!(text, "{count:7}  {at}: {words}");
            if let Some(design) = self.examples.get(reason).filter(|_| with_examples) {
                let _ = writeln!(text, "{design}");
            }
        }
        text
    }

    /// "120 designs, 100 built, 20 refused with a reason, 0 failed".
    pub fn line(&self) -> String {
        format!(
            "{} designs, {} built, {} refused with a reason, {} failed",
            self.designs,
            self.built,
            self.refused,
            self.failed.len()
        )
    }
}

/// The words with every number as `#`, so that one reason counts as one.
fn without_numbers(words: &str) -> String {
    let mut text = String::new();
    for letter in words.chars() {
        let counts = letter.is_ascii_digit() || matches!(letter, '/' | '.') && text.ends_with('#');
        if !counts {
            text.push(letter);
        } else if !text.ends_with('#') {
            text.push('#');
        }
    }
    text.replace("# #", "#")
}

/// How many combinations of body, pocket or none, handles, closure and lining there are.
pub fn combination_count() -> usize {
    axes().iter().product()
}

fn axes() -> [usize; 5] {
    [
        bodies::ALL.len(),
        pockets::ALL.len() + 1,
        handles::ALL.len(),
        closures::ALL.len(),
        linings::ALL.len(),
    ]
}

/// The combination with that number, everything at its default; odd ones in millimetres.
pub fn combination(number: usize) -> Design {
    let units = if number.is_multiple_of(2) { Units::Inch } else { Units::Mm };
    let system = units.system();
    let mut at = number;
    let [body, pocket, handle, closure, lining] = axes().map(|of| {
        let index = at % of;
        at /= of;
        index
    });
    let mut design = Design::of(bodies::ALL[body], units);
    design.pockets = pocket
        .checked_sub(1)
        .map_or_else(Vec::new, |pocket| vec![Chosen::new(pockets::ALL[pocket], system)]);
    design.handles = Chosen::new(handles::ALL[handle], system);
    design.closure = Chosen::new(closures::ALL[closure], system);
    design.lining = Chosen::new(linings::ALL[lining], system);
    design
}

/// The combinations with those numbers, shared out over two threads.
pub fn combinations(numbers: &[usize]) -> Tally {
    in_threads(numbers, |number, tally| tally.add(&combination(*number)))
}

/// Of the combinations with those numbers, those that build by themselves, each with one extra: its
/// number says which, so that all of them go through all bodies.
pub fn with_extras(numbers: &[usize]) -> Tally {
    in_threads(numbers, |number, tally| {
        let mut design = combination(*number);
        if matches!(judge(&design), Verdict::Built) {
            // The numbers of one body lie as far apart as there are bodies.
            let extra = extras::ALL[(*number / bodies::ALL.len() + *number) % extras::ALL.len()];
            design.extras = vec![Chosen::new(extra, design.system())];
            tally.add(&design);
        }
    })
}

/// A sample of the combinations, each at most once in a row of so many.
pub fn sample(count: usize, seed: u64) -> Vec<usize> {
    let mut rng = Rng::new(seed);
    (0..count).map(|_| rng.below(combination_count())).collect()
}

/// So many random designs; the same for the same seed.
pub fn random_designs(count: usize, seed: u64) -> Tally {
    let chunks: Vec<u64> = (0..u64::try_from(count.div_ceil(CHUNK)).unwrap_or(0)).collect();
    in_threads(&chunks, |chunk, tally| {
        let config = Config {
            rng_seed: RngSeed::Fixed(seed.wrapping_mul(1_000_003).wrapping_add(*chunk)),
            ..Config::default()
        };
        let mut runner = TestRunner::new(config);
        let designs = random::design();
        let before = usize::try_from(*chunk).unwrap_or(0) * CHUNK;
        for _ in before..(before + CHUNK).min(count) {
            match designs.new_tree(&mut runner) {
                Ok(tree) => tally.add(&tree.current().0),
                Err(why) => tally.failed.push((String::new(), why.to_string())),
            }
        }
    })
}

/// How many random designs come from one seed.
const CHUNK: usize = 500;

fn in_threads<T: Sync>(work: &[T], each: impl Fn(&T, &mut Tally) + Sync) -> Tally {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let each = &each;
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let run = |first: usize| {
            move || {
                let mut tally = Tally::default();
                work.iter().skip(first).step_by(threads).for_each(|one| each(one, &mut tally));
                tally
            }
        };
        let running: Vec<_> = (0..threads).map(|first| scope.spawn(run(first))).collect();
        running.into_iter().filter_map(|thread| thread.join().ok()).collect()
    });
    let mut all = Tally::default();
    tallies.into_iter().for_each(|tally| all.join(tally));
    all
}
