//! A casing has its cord.

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::operations::{InsertElastic, Operation, StitchCasing, ThreadDrawstring};
use crate::pattern::CopyId;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "casings-threaded",
    looks_for: "a casing into which no step draws a cord or an elastic",
    why: "a mouth with an empty casing stays open",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let threaded: Vec<CopyId> = context
        .pattern
        .steps
        .iter()
        .flat_map(|step| {
            let cord = step.as_a::<ThreadDrawstring>().map(Operation::copies);
            let elastic = step.as_a::<InsertElastic>().map(Operation::copies);
            cord.or(elastic).unwrap_or_default()
        })
        .collect();
    let mut findings = Vec::new();
    for step in &context.pattern.steps {
        let Some(casing) = step.as_a::<StitchCasing>() else { continue };
        if !casing.copies.iter().any(|copy| threaded.contains(copy)) {
            findings.push(Finding::error(
                CHECK.name,
                Place::step(&step.id),
                format!("the casing of {} stays empty", casing.what),
                "draw the cord through it in a later step".to_owned(),
            ));
        }
    }
    findings
}
