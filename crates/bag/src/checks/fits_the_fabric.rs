//! No piece is wider than the usable width of what it is cut from.

use measure::Length;

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::pattern::{Cloth, Grain};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "fits-the-fabric",
    looks_for: "a piece wider than the usable width of its fabric or interfacing",
    why: "it cannot be cut, however much is bought",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for id in context.pattern.piece_ids() {
        let piece = context.pattern.piece(id);
        let material = context.pattern.material(piece.material);
        if let Some(cloth) = material.cloth() {
            let joined = piece.join.is_some();
            let fits = fits(piece.first_cut_size(), piece.grain, cloth, joined);
            if !fits {
                let size = piece.first_cut_size();
                findings.push(too_wide(context, &piece.name, None, size, &material.name, cloth));
            }
        }
        let Some(on) = piece.interfacing else { continue };
        let stiff = context.pattern.material(on.material);
        let (Some(cloth), Some(size)) = (stiff.cloth(), piece.interfacing_size()) else { continue };
        let grain = if cloth.turnable { Grain::Free } else { piece.grain };
        if !fits(size, grain, cloth, piece.join.is_some()) {
            let what = Some("interfacing");
            findings.push(too_wide(context, &piece.name, what, size, &stiff.name, cloth));
        }
    }
    findings
}

fn fits(
    (width, height): (Length, Length),
    grain: Grain,
    cloth: &Cloth,
    joined: bool,
) -> bool {
    let usable = shrunk(cloth);
    match grain {
        Grain::Lengthwise if cloth.turnable => width.min(height) <= usable,
        Grain::Lengthwise => width <= usable,
        Grain::Crosswise => joined || height <= usable,
        Grain::Free => joined || width.min(height) <= usable,
    }
}

/// Usable width after the first wash.
fn shrunk(cloth: &Cloth) -> Length {
    let lost = i128::from(cloth.usable_width.to_nm()) * i128::from(cloth.shrinks_in_width);
    cloth.usable_width - Length::nm(i64::try_from(lost / 1_000_000).unwrap_or(0))
}

fn too_wide(
    context: &Context<'_>,
    piece: &str,
    interfacing: Option<&str>,
    size: (Length, Length),
    material: &str,
    cloth: &Cloth,
) -> Finding {
    let name = match interfacing {
        Some(what) => format!("{what} of the {piece}"),
        None => piece.to_owned(),
    };
    let usable = shrunk(cloth);
    let message = format!(
        "the {name} is cut {}, and {material} has {} of usable width",
        measure::show_size(size.0, size.1, context.pattern.units.system()),
        context.show(usable)
    );
    let cloths = interfacing.unwrap_or("fabric");
    let cure = if size.1 <= usable {
        format!(
            "use {cloths} with {} of usable width; or, if the piece may lie across the grain, set \
             `turnable = true`: it is {} wide that way",
            context.show(size.0),
            context.show(size.1)
        )
    } else {
        format!("use {cloths} with {} of usable width", context.show(size.0.min(size.1)))
    };
    Finding::error(CHECK.name, Place::piece(piece), message, cure)
}
