//! Findings and problems as JSON, in the packet and by themselves.

use bag::Finding;
use serde::Serialize;

use super::mm;
use crate::Problem;

#[derive(Serialize)]
pub(crate) struct FindingJson<'a> {
    severity: &'static str,
    check: &'static str,
    place: PlaceJson<'a>,
    parameter: Option<&'a str>,
    message: &'a str,
    cure: &'a str,
}

#[derive(Serialize)]
struct PlaceJson<'a> {
    step: Option<&'a str>,
    piece: Option<&'a str>,
    edge: Option<&'a str>,
    at_mm: Option<f64>,
}

#[derive(Serialize)]
struct FindingsJson<'a> {
    findings: Vec<FindingJson<'a>>,
}

#[derive(Serialize)]
struct ProblemsJson<'a> {
    problems: Vec<ProblemJson<'a>>,
}

#[derive(Serialize)]
struct ProblemJson<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    text: &'a str,
    message: &'a str,
    hint: &'a str,
}

/// `{"findings": […]}`, each as in `packet.json`.
pub fn findings_json(findings: &[Finding]) -> String {
    crate::json::pretty(&FindingsJson { findings: all(findings) })
}

/// `{"problems": […]}`: what keeps a file from being read, with `file`, `line`, `column`, `text`,
/// `message` and `hint`.
pub fn problems_json(problems: &[Problem]) -> String {
    crate::json::pretty(&ProblemsJson { problems: problems.iter().map(problem).collect() })
}

pub(crate) fn all(findings: &[Finding]) -> Vec<FindingJson<'_>> {
    findings.iter().map(finding).collect()
}

fn finding(finding: &Finding) -> FindingJson<'_> {
    let place = &finding.place;
    FindingJson {
        severity: finding.severity.word(),
        check: finding.check,
        place: PlaceJson {
            step: place.step.as_deref(),
            piece: place.piece.as_deref(),
            edge: place.edge.as_deref(),
            at_mm: mm(place.at),
        },
        parameter: place.parameter.as_deref(),
        message: &finding.message,
        cure: &finding.cure,
    }
}

fn problem(problem: &Problem) -> ProblemJson<'_> {
    let Problem { file, line, column, text, message, hint, .. } = problem;
    ProblemJson { file, line: *line, column: *column, text, message, hint }
}
