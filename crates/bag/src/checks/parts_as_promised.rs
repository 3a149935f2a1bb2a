//! Small parts, as they are cut and made up, have the size that is promised.

use measure::{Length, show_size};

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::pattern::{Form, PartClaim, PieceId};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "parts-as-promised",
    looks_for: "tabs, ties, labels, zip ends and other small parts that are cut so that they come \
                out larger or smaller than promised, and webbing cut in another width than it has",
    why: "nothing else measures them, and a tab that is too short is found when it is to be caught \
          in a seam",
    run,
};

/// What a fold may be off.
const EVEN: Length = Length::nm(400_000);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let parts = context.pattern.claims.parts.iter();
    let mut findings: Vec<Finding> = parts.filter_map(|claim| made(context, claim)).collect();
    findings.extend(context.pattern.piece_ids().filter_map(|piece| of_webbing(context, piece)));
    findings
}

fn error(piece: &str, message: String, cure: String) -> Option<Finding> {
    Some(Finding::error(CHECK.name, Place::piece(piece), message, cure))
}

/// The size that comes out, step by step.
fn made(context: &Context<'_>, claim: &PartClaim) -> Option<Finding> {
    let piece = context.pattern.piece_of(claim.copy);
    let cut = piece.cut_size();
    let steps = context.pattern.steps.iter();
    let made = steps.fold(cut, |size, step| step.operation.makes(claim.copy, size, context.pattern));
    let system = context.pattern.units.system();
    if (made.0 - claim.size.0).abs() > EVEN || (made.1 - claim.size.1).abs() > EVEN {
        let message = format!(
            "the {} is promised {}, and cut {} it comes out {}",
            piece.name,
            show_size(claim.size.0, claim.size.1, system),
            show_size(cut.0, cut.1, system),
            show_size(made.0, made.1, system)
        );
        return error(&piece.name, message, "cut it larger or smaller by the difference".to_owned());
    }
    is_askew(context, context.pattern.copy(claim.copy).piece)
}

/// A part is a rectangle: each of its corners is one of the box around it.
fn is_askew(context: &Context<'_>, piece: PieceId) -> Option<Finding> {
    let piece = context.pattern.piece(piece);
    let (low, high) = piece.net.bounds();
    let askew = piece.net.edge_count() == 4
        && piece.net.vertices().any(|corner| {
            (corner.x != low.x && corner.x != high.x) || (corner.y != low.y && corner.y != high.y)
        });
    if !askew {
        return None;
    }
    error(&piece.name, format!("the {} is not square", piece.name), "cut it as a rectangle".to_owned())
}

/// Webbing, tape and cord are as wide as they are sold, and are not cut along.
fn of_webbing(context: &Context<'_>, piece: PieceId) -> Option<Finding> {
    let piece = context.pattern.piece(piece);
    let Form::Webbing { width, .. } = context.pattern.material(piece.material).form else {
        return None;
    };
    let (a, b) = piece.cut_size();
    if a == width || b == width {
        return None;
    }
    let message = format!(
        "the {} is cut {}, of {} {} wide",
        piece.name,
        show_size(a, b, context.pattern.units.system()),
        context.pattern.material(piece.material).name,
        context.show(width)
    );
    error(&piece.name, message, format!("cut it {} wide, as it is sold", context.show(width)))
}
