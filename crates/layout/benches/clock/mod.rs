//! Processor time, so that other work on the machine does not count.

use std::time::{Duration, Instant};

/// The time this thread has run.
pub(crate) struct Clock {
    start: Instant,
    before: Option<u64>,
}

impl Clock {
    pub(crate) fn start() -> Self {
        Self { start: Instant::now(), before: Self::ran() }
    }

    /// Nanoseconds on the processor (Linux; elsewhere the wall clock is taken).
    fn ran() -> Option<u64> {
        let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        text.split_whitespace().next()?.parse().ok()
    }

    pub(crate) fn elapsed(&self) -> Duration {
        match (self.before, Self::ran()) {
            (Some(before), Some(now)) => Duration::from_nanos(now - before),
            _ => self.start.elapsed(),
        }
    }
}
