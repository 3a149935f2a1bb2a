//! What was found about a bag: what is wrong, where, what cures it, and a button that does.

use bag::pattern::CopyId;
use bag::{Design, Finding, Severity};
use maud::{Markup, html};
use packet::Packet;

use super::field::{id_of, page_help};
use super::shell::{counted, hidden, way};
use crate::mend;
use crate::room::Drawn;
use crate::sum::sum;

/// The findings, errors first; notes are folded away.
pub(super) fn list(drawn: &Drawn) -> Markup {
    let of = |severity| -> Vec<(usize, &Finding)> {
        let all = drawn.findings.iter().enumerate();
        all.filter(|(_, finding)| finding.severity == severity).collect()
    };
    let (errors, warnings, notes) =
        (of(Severity::Error), of(Severity::Warning), of(Severity::Note));
    html! {
        h2 { "Checked" }
        @if errors.is_empty() && warnings.is_empty() {
            p.good { "Tried out on paper, from the first step to the last: everything meets, closes and fits." }
        } @else {
            p.verdict {
                @if !errors.is_empty() { strong { (counted(errors.len(), "error")) ": do not cut yet" } " " }
                @if !warnings.is_empty() { (counted(warnings.len(), "warning")) " " }
            }
        }
        ol.findings {
            @for (index, finding) in errors.iter().chain(&warnings) { (one(drawn, *index, finding)) }
        }
        @if !notes.is_empty() {
            details.notes id="fold-notes" {
                summary { (counted(notes.len(), "note")) }
                ol.findings { @for (index, finding) in &notes { (one(drawn, *index, finding)) } }
            }
        }
    }
}

fn one(drawn: &Drawn, index: usize, finding: &Finding) -> Markup {
    let (opened, place) = (&drawn.opened, &finding.place);
    let class = match finding.severity {
        Severity::Error => "error",
        Severity::Warning => "care",
        Severity::Note => "note",
    };
    let field = place.parameter.as_deref().map(id_of);
    html! {
        li class={ "finding " (class) } id={ "found-" (index + 1) } data-key=(key(finding)) {
            p { span.number { (index + 1) } " " span.severity { (finding.severity.word()) } " " (page_help(&finding.message)) "." }
            @if !finding.cure.is_empty() { p.cure { "Cure: " (finding.cure.replace('`', "")) "." } }
            div.row {
                @if mend::can_try(&drawn.design, finding) && finding.severity != Severity::Note {
                    form.act method="post" action=(way(opened.id, "mend")) {
                        (hidden("revision", opened.revision))
                        (hidden("finding", key(finding)))
                        button id={ "mend-" (index + 1) } { "Mend it" }
                    }
                }
                @if let Some(field) = field.filter(|_| has_field(&drawn.design, finding)) {
                    a href={ "#" (field) } data-opens=(field) { "To the field" }
                }
                @if let Some(piece) = place.piece.as_deref().and_then(|piece| piece_id(drawn, piece)) {
                    a href={ (way(opened.id, "pieces")) "#piece-" (piece) } { "To the piece" }
                }
                @if let Some(step) = place.step.as_deref().and_then(|step| step_number(drawn, step)) {
                    a href={ (way(opened.id, "sewing")) "?step=" (step) } { "To step " (step) }
                }
            }
        }
    }
}

/// What tells a finding from all others: one that was answered late, or stands in another's place by
/// now, is not taken for it.
pub(super) fn key(finding: &Finding) -> String {
    let place = &finding.place;
    let parts =
        [&place.parameter, &place.piece, &place.step].map(|part| part.as_deref().unwrap_or("-"));
    format!("{:x}", sum(format!("{} {}", parts.join(" "), finding.message).as_bytes()))
}

/// The parts of the bag that errors and warnings are about, each with the number of its finding: the
/// piece that it names, or the handle or pocket whose field it would change.
pub(super) fn marks(drawn: &Drawn, packet: &Packet) -> Vec<(CopyId, String)> {
    let pattern = &packet.pattern;
    let ids = || pattern.pieces.iter().zip(pattern.piece_ids());
    let copies = || pattern.copies.iter().zip(pattern.copy_ids());
    let wanting = drawn.findings.iter().enumerate();
    let wanting = wanting.filter(|(_, finding)| finding.severity != Severity::Note);
    let place = |finding: &Finding| -> Option<CopyId> {
        if let Some(name) = finding.place.piece.as_deref() {
            let piece = ids().find(|(it, _)| it.name == name || it.id == name).map(|(_, id)| id);
            let found = copies().find(|(it, _)| it.name == name || Some(it.piece) == piece);
            return found.map(|(_, id)| id);
        }
        let path = finding.place.parameter.as_deref()?;
        if path.starts_with("handles.") {
            return pattern.claims.handles.first().map(|handle| handle.strap);
        }
        // The first pocket, if it is the only one of the design.
        let only = path.starts_with("pocket") && drawn.design.pockets.len() == 1;
        pattern.claims.pockets.first().filter(|_| only).map(|pocket| pocket.copy)
    };
    wanting
        .filter_map(|(index, finding)| Some((place(finding)?, (index + 1).to_string())))
        .collect()
}

fn has_field(design: &Design, finding: &Finding) -> bool {
    let path = finding.place.parameter.as_deref();
    path.is_some_and(|path| {
        let is_kind = path.ends_with(".kind") && crate::change::params(design, path).is_some();
        is_kind || crate::change::at(design, path).is_some()
    })
}

/// The id of a piece by its name or that of one of its copies.
pub(super) fn piece_id(drawn: &Drawn, name: &str) -> Option<String> {
    let pattern = &drawn.packet.as_ref()?.pattern;
    let piece = pattern
        .copies
        .iter()
        .find(|copy| copy.name == name)
        .map(|copy| pattern.piece(copy.piece))
        .or_else(|| pattern.pieces.iter().find(|piece| piece.name == name || piece.id == name))?;
    Some(piece.id.clone())
}

fn step_number(drawn: &Drawn, id: &str) -> Option<usize> {
    let steps = &drawn.packet.as_ref()?.steps;
    steps.iter().find(|step| step.id == id).map(|step| step.number)
}
