//! Strips longer than the fabric is wide: from how many lengths each is pieced.

use measure::Length;

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::pattern::{Grain, Piece, StripJoin, StripPlace};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "strip-joins",
    looks_for: "strips longer than the fabric is wide, and whether they may be joined so often",
    why: "each join is a thick place under the presser foot and a weak one under load",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for id in context.pattern.piece_ids() {
        let piece = context.pattern.piece(id);
        let Some(cloth) = context.pattern.material(piece.material).cloth() else { continue };
        let (Some(join), Grain::Crosswise) = (piece.join, piece.grain) else { continue };
        let (_, length) = piece.cut_size();
        let usable = cloth.usable_width;
        if length <= usable {
            continue;
        }
        findings.extend(judge(context, piece, join, length, usable));
    }
    findings
}

fn judge(
    context: &Context<'_>,
    piece: &Piece,
    join: StripJoin,
    length: Length,
    usable: Length,
) -> Option<Finding> {
    let place = Place::piece(&piece.name);
    let joins = joins_needed(length, usable, join.allowance)?;
    let shown = [length, usable].map(|length| context.show(length));
    if joins > i64::from(join.most) {
        let message = format!(
            "a {} {} long needs {joins} joins on fabric {} wide, and {} may be made",
            piece.name, shown[0], shown[1], join.most
        );
        let cure = "cut it along the fabric, allow more joins, or make it shorter".to_owned();
        let place = place.by_parameter("handles.joins");
        return Some(Finding::error(CHECK.name, place, message, cure));
    }
    if let StripPlace::NearEnd(reach) = join.place
        && length - usable + join.allowance > reach
    {
        let message = format!(
            "a join in a {} {} long lies {} from its end, and only {} of it is stitched down",
            piece.name,
            shown[0],
            context.show(length - usable + join.allowance),
            context.show(reach)
        );
        let cure = "let the join lie in the middle or anywhere, or use wider fabric".to_owned();
        let place = place.by_parameter("handles.join");
        return Some(Finding::error(CHECK.name, place, message, cure));
    }
    let where_ = match join.place {
        StripPlace::Centre => "in the middle",
        StripPlace::Anywhere => "wherever it falls",
        StripPlace::NearEnd(_) => "where it is stitched down",
    };
    let lengths = if joins == 1 { "two lengths".to_owned() } else { format!("{} lengths", joins + 1) };
    Some(Finding::note(
        CHECK.name,
        place,
        format!(
            "each {} ({} long) is pieced from {lengths}, joined {where_}, as the fabric is {} wide",
            piece.name, shown[0], shown[1]
        ),
        "nothing has to be done; strips along the fabric need no join".to_owned(),
    ))
}

/// Joins in one strip: n lengths of the usable width give n·usable − 2·(n−1)·allowance.
fn joins_needed(length: Length, usable: Length, allowance: Length) -> Option<i64> {
    let each = usable - allowance * 2;
    if !each.is_positive() {
        return None;
    }
    let beyond = (length - usable).to_nm();
    Some((beyond + each.to_nm() - 1) / each.to_nm())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: a 56 in strap across 42 in, joined with 1/2 in.
    #[test]
    fn a_strap_longer_than_the_fabric_takes_one_join() {
        let half = Length::inch_frac(1, 2);
        assert_eq!(joins_needed(Length::inch(56), Length::inch(42), half), Some(1));
        assert_eq!(joins_needed(Length::inch(83), Length::inch(42), half), Some(1));
        assert_eq!(joins_needed(Length::inch(84), Length::inch(42), half), Some(2));
        assert_eq!(joins_needed(Length::inch(84), Length::inch(1), half), None);
    }
}
