//! Looks for better layouts while she looks at the present ones: one search at a time, on a thread
//! of its own, which ends when all is proven, when it is stopped, or when nobody asks any more.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use layout::{Layout, Search};
use packet::{Packet, Source};

/// Rounds between two looks at whether to go on.
const STEP: u32 = 10;
/// The most rounds for each cloth.
const MOST_ROUNDS: u64 = 6_000;
/// The longest for each cloth.
const LONGEST: Duration = Duration::from_secs(60);
/// How long it goes on when nobody asks how far it is.
const PATIENCE: Duration = Duration::from_secs(8);
/// Seed of the search: any will do, and it is always the same.
const SEED: u64 = 20;

/// Which bag, and which revision of it, is laid out better.
pub type Subject = (i64, i64);

/// How far a search is.
#[derive(Clone, Debug)]
pub struct Progress {
    /// What is laid out.
    pub subject: Subject,
    /// For each cut of the packet, a better layout if one was found.
    pub better: Vec<Option<Layout>>,
    /// The cut that is worked on.
    pub at: usize,
    /// Rounds searched on it.
    pub rounds: u64,
    /// Whether it goes on.
    pub is_going: bool,
    /// Whether every layout is now proven to be shortest or to be the least that can be bought.
    pub is_proven: bool,
    stop: bool,
    asked: Instant,
}

impl Progress {
    /// Of the whole, in hundredths.
    pub fn share(&self) -> u64 {
        let cuts = self.better.len().max(1) as u64;
        let within = self.rounds.min(MOST_ROUNDS) * 100 / MOST_ROUNDS;
        if self.is_going { ((self.at as u64) * 100 + within) / cuts } else { 100 }
    }
}

/// The one search there may be.
#[derive(Clone, Default)]
pub struct Improver(Arc<Mutex<Option<Progress>>>);

impl Improver {
    fn lock(&self) -> MutexGuard<'_, Option<Progress>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Begins, unless it is at it already; a search for another bag is stopped.
    pub fn begin(&self, subject: Subject, packet: &Packet) {
        let mut progress = self.lock();
        if progress.as_ref().is_some_and(|progress| progress.subject == subject) {
            return;
        }
        let cuts = packet.cuts.clone();
        *progress = Some(Progress {
            subject,
            better: vec![None; cuts.len()],
            at: 0,
            rounds: 0,
            is_going: true,
            is_proven: false,
            stop: false,
            asked: Instant::now(),
        });
        let shared = self.clone();
        std::thread::spawn(move || shared.search(subject, &cuts));
    }

    /// How far the search for a bag is, if there is one. Asking keeps it going.
    pub fn progress(&self, subject: Subject) -> Option<Progress> {
        let mut progress = self.lock();
        let progress = progress.as_mut().filter(|progress| progress.subject == subject)?;
        progress.asked = Instant::now();
        Some(progress.clone())
    }

    /// Stops it; what was found stays.
    pub fn stop(&self, subject: Subject) {
        if let Some(progress) = self.lock().as_mut().filter(|p| p.subject == subject) {
            progress.stop = true;
            progress.is_going = false;
        }
    }

    /// Tells how far it is; whether it shall go on.
    fn tell(&self, subject: Subject, tell: impl FnOnce(&mut Progress)) -> bool {
        let mut progress = self.lock();
        let Some(progress) = progress.as_mut().filter(|progress| progress.subject == subject)
        else {
            return false;
        };
        tell(progress);
        let goes_on = !progress.stop && progress.asked.elapsed() < PATIENCE;
        progress.is_going = progress.is_going && goes_on;
        goes_on
    }

    fn search(&self, subject: Subject, cuts: &[packet::Cut]) {
        let mut proven = true;
        for (index, cut) in cuts.iter().enumerate() {
            if !self.tell(subject, |progress| (progress.at, progress.rounds) = (index, 0)) {
                return;
            }
            // A block's size is part of the fabric's own layout: it stays as it is.
            let Some(layout) = cut.layout.as_ref().filter(|_| is_improved(cut)) else { continue };
            let Some(mut search) = Search::from_layout(&cut.sheet.problem, layout, SEED) else {
                continue;
            };
            let begun = Instant::now();
            while !search.is_done() && search.rounds() < MOST_ROUNDS && begun.elapsed() < LONGEST {
                let is_better = search.step(STEP);
                let goes_on = self.tell(subject, |progress| {
                    progress.rounds = search.rounds();
                    if is_better {
                        progress.better[index] = Some(search.best().clone());
                    }
                });
                if !goes_on {
                    return;
                }
            }
            proven = proven && search.is_done();
        }
        self.tell(subject, |progress| {
            progress.is_going = false;
            progress.is_proven = proven;
        });
    }
}

/// Whether better layouts of a cut are looked for.
pub fn is_improved(cut: &packet::Cut) -> bool {
    !matches!(cut.source, Source::Block(_))
}
