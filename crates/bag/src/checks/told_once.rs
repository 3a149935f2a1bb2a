//! Nothing is told twice.

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::operations::{MarkPieces, PressSeam, Topstitch, TrimCorners};
use crate::pattern::Step;
use crate::record::Datum;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "told-once",
    looks_for: "a step that says again, word for word, what another has said",
    why: "who follows the steps looks for what is left to sew, clip or thread, and finds nothing",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut told: Vec<(&Step, Vec<(String, Datum)>)> = Vec::new();
    for step in context.pattern.steps.iter().filter(|step| counts(step)) {
        let word = step.operation.word();
        let fields = step.operation.record(context.pattern);
        let same = told.iter().find(|(it, same)| it.operation.word() == word && *same == fields);
        if let Some((first, _)) = same {
            let message = format!("this step repeats `{}`", first.id);
            let cure = "leave one of the two out".to_owned();
            findings.push(Finding::error(CHECK.name, Place::step(&step.id), message, cure));
        }
        told.push((step, fields));
    }
    findings
}

/// To press, to mark, to trim or to topstitch again on the same line does no harm.
fn counts(step: &Step) -> bool {
    !(step.as_a::<PressSeam>().is_some()
        || step.as_a::<MarkPieces>().is_some()
        || step.as_a::<TrimCorners>().is_some()
        || step.as_a::<Topstitch>().is_some())
}
