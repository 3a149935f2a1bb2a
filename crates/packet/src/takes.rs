//! What a bag takes: thread, time and an evening's work, and what the finished bag weighs. All of it
//! is counted from the steps and the cut pieces, and all of it is an estimate.

mod evenings;
mod mass;
mod thread;
mod time;

pub use evenings::{Evening, evenings};
pub use mass::{Weighed, weigh};
pub use thread::{SPOOLS, Spools, ThreadNeed, lockstitch, spools, thread_of};
pub use time::{Pace, Spent, learnt, machine_ms};

use bag::assembly::Assembly;
use bag::operations::Takes as StepTakes;

use crate::Packet;

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
