//! What a bag takes: thread, time and an evening's work, and what the finished bag weighs. All of it
//! is counted from the steps and the cut pieces, and all of it is an estimate.

mod evenings;
mod mass;
mod needles;
mod thread;
mod time;

pub use evenings::{Evening, evenings};
pub use mass::{Weighed, weigh};
pub use needles::{Needle, needle, needles};
pub use thread::{SPOOLS, Spools, ThreadNeed, lockstitch, spools, thread_of};
pub use time::{Pace, Spent, learnt, machine_ms};

use bag::assembly::Assembly;
use bag::operations::Takes as StepTakes;

use crate::Packet;

/// Minutes of an evening for setting up and clearing away, if nobody says another number: common
/// practice, no source.
pub const CLEARING: u32 = 20;

/// What one bag takes.
#[derive(Clone, Debug)]
pub struct Takes {
    /// Thread by the cloth that it is to match.
    pub threads: Vec<ThreadNeed>,
    /// Whether the thickness of every layer under the needle was measured.
    pub measured: bool,
    /// What each step takes of time, at the pace given; cutting is among them.
    pub steps: Vec<Spent>,
    /// Whether the work can be laid down after each step.
    pub rests: Vec<bool>,
    /// What the finished bag weighs, as far as is known.
    pub mass: Weighed,
}

impl Takes {
    /// Counts what one bag of a packet takes.
    pub fn of(packet: &Packet, pace: Pace) -> Self {
        let steps = step_takes(packet);
        let (threads, measured) = thread_of(&packet.pattern, &steps);
        let last = steps.len().saturating_sub(1);
        Self {
            measured,
            steps: steps.iter().map(|step| Spent::on(packet, step, pace)).collect(),
            rests: steps.iter().enumerate().map(|(at, step)| at == last || !step.in_hand).collect(),
            mass: weigh(&packet.pattern, &threads),
            threads,
        }
    }

    /// All the time together.
    pub fn spent(&self) -> Spent {
        self.steps.iter().copied().fold(Spent::default(), Spent::plus)
    }

    /// All thread together.
    pub fn thread(&self) -> measure::Length {
        self.threads.iter().map(|thread| thread.length).sum()
    }

    /// The evenings that its steps fill, when each leaves so many seconds for work.
    pub fn evenings(&self, room: u64) -> Vec<Evening> {
        let steps = self.steps.iter().map(|spent| spent.seconds());
        let steps: Vec<(u64, bool)> = steps.zip(self.rests.iter().copied()).collect();
        evenings(&steps, room)
    }
}

/// Why a stretch of steps cannot be counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotTold {
    /// There is no step of that id.
    NoStep(String),
    /// It ends before it begins.
    Backwards,
}

/// The seconds from one step to another, both counted in, at a pace; from the first, or to the last,
/// if none is named.
///
/// # Errors
/// When there is no such step, or the last is before the first.
pub fn told(
    packet: &Packet,
    (from, to): (Option<&str>, Option<&str>),
    pace: Pace,
) -> Result<u64, NotTold> {
    let at = |id: Option<&str>, usual: usize| match id {
        None => Ok(usual),
        Some(id) => packet
            .steps
            .iter()
            .position(|step| step.id == id)
            .ok_or_else(|| NotTold::NoStep(id.to_owned())),
    };
    let (from, to) = (at(from, 0)?, at(to, packet.steps.len().saturating_sub(1))?);
    if to < from {
        return Err(NotTold::Backwards);
    }
    let takes = Takes::of(packet, pace);
    Ok(takes.steps.iter().take(to + 1).skip(from).map(|spent| spent.seconds()).sum())
}

/// What each step takes, on the work as the steps before have left it.
fn step_takes(packet: &Packet) -> Vec<StepTakes> {
    let steps = &packet.pattern.steps;
    let mut takes = Vec::with_capacity(steps.len());
    Assembly::sew_seeing(&packet.pattern, |at, work| {
        takes.push(steps[at].operation.takes(work));
    });
    takes
}
