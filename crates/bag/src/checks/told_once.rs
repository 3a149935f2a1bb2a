//! Nothing is told twice.

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::operations::{MarkPieces, PressSeam, Topstitch, TrimCorners};
use crate::pattern::Step;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "told-once",
    looks_for: "a step that says again, word for word, what another has said",
    why: "who follows the steps looks for what is left to sew, clip or thread, and finds nothing",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let steps = &context.pattern.steps;
    let told: Vec<_> = steps.iter().map(|step| step.operation.record(context.pattern)).collect();
    let mut findings = Vec::new();
    for (index, step) in steps.iter().enumerate().filter(|(_, step)| counts(step)) {
        let same = |first: &usize| {
            steps[*first].operation.word() == step.operation.word() && told[*first] == told[index]
        };
        if let Some(first) = (0..index).find(same) {
            let message = format!("this step repeats `{}`", steps[first].id);
            let cure = "leave one of the two out".to_owned();
            findings.push(Finding::error(CHECK.name, Place::step(&step.id), message, cure));
        }
    }
    findings
}

/// To press, to mark, to trim or to topstitch again on the same line does no harm.
fn counts(step: &Step) -> bool {
    let operation: &dyn std::any::Any = &*step.operation;
    !(operation.is::<PressSeam>()
        || operation.is::<MarkPieces>()
        || operation.is::<TrimCorners>()
        || operation.is::<Topstitch>())
}
