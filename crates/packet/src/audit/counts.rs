//! Pieces that are listed with the wrong count.

use super::judge::{Judge, counted};

/// Name of the check.
const CHECK: &str = "piece-count";

/// Judges what the pattern says of the number of pieces, in all and of each fabric, and whether
/// the bag's parts can be made of the pieces listed.
pub(super) fn judge(j: &mut Judge<'_>) {
    let claims = j.claims;
    if let Some(said) = claims.pieces_in_all {
        let listed = claims.pieces.iter().map(|p| u64::from(p.count) * p.from.len() as u64).sum();
        total(j, "pieces-in-all", "in all", u64::from(said), listed);
    }
    for (index, fabric) in claims.fabrics.iter().enumerate() {
        let from_it = claims.pieces.iter().filter(|piece| piece.from.contains(&index));
        let listed: u64 = from_it.map(|piece| u64::from(piece.count)).sum();
        let of = format!("of {}", fabric.name);
        if let Some(said) = fabric.pieces {
            total(j, &format!("fabric[{}].pieces", index + 1), &of, u64::from(said), listed);
        }
        if listed == 0 {
            let message = format!("no piece is cut from {}", fabric.name);
            let cure = "list its pieces, or leave the fabric out".to_owned();
            j.doubt(CHECK, &format!("fabric[{}]", index + 1), message, cure);
        }
    }
    parts(j);
}

fn total(j: &mut Judge<'_>, place: &str, of: &str, said: u64, listed: u64) {
    if said == listed {
        j.fine(CHECK, place, format!("{} {of} are listed", counted(said, "piece")));
        return;
    }
    let message =
        format!("the pattern says {} {of}, and {listed} are listed", counted(said, "piece"));
    let off = counted(said.abs_diff(listed), "piece");
    let cure = if said > listed {
        format!("look for {off} missing from the list, or a count that is too small")
    } else {
        format!("look for {off} too many on the list, or a count that is too large")
    };
    j.wrong(CHECK, place, message, cure);
}

/// What parts of the bag a piece is needed for.
fn parts(j: &mut Judge<'_>) {
    let claims = j.claims;
    let mut needs: Vec<(usize, u64, String)> = Vec::new();
    if let Some(size) = &claims.size {
        let each = u64::from(size.body.pieces());
        needs.push((size.panel, each, "the outside".to_owned()));
        if let Some(lining) = size.lining {
            needs.push((lining, each, "the lining".to_owned()));
        }
    }
    for strap in &claims.straps {
        if let Some(straps) = strap.straps {
            let need = u64::from(straps) * u64::from(strap.pieces_each);
            let what = match strap.pieces_each {
                1 => counted(u64::from(straps), "strap"),
                each => format!("{} of {each} pieces each", counted(u64::from(straps), "strap")),
            };
            needs.push((strap.piece, need, what));
        }
    }
    for pocket in &claims.pockets {
        if let Some(pockets) = pocket.pockets {
            let need = u64::from(pockets) * u64::from(pocket.make.pieces());
            let what = match pocket.make.pieces() {
                1 => counted(u64::from(pockets), "pocket"),
                each => format!("{} of {each} layers each", counted(u64::from(pockets), "pocket")),
            };
            needs.push((pocket.piece, need, what));
        }
    }
    for (index, piece) in claims.pieces.iter().enumerate() {
        let mine: Vec<_> = needs.iter().filter(|need| need.0 == index).collect();
        let need: u64 = mine.iter().map(|need| need.1).sum();
        if need == 0 {
            continue;
        }
        let whats: Vec<&str> = mine.iter().map(|need| need.2.as_str()).collect();
        let (place, what) = (format!("piece[{}].count", index + 1), whats.join(" and "));
        let (listed, name) = (u64::from(piece.count), &piece.name);
        if listed == need {
            j.fine(CHECK, &place, format!("{listed} of `{name}` for {what}"));
            continue;
        }
        let message =
            format!("the list has {listed} of `{name}`, and {need} are needed for {what}");
        let cure = format!("list {need} of `{name}`");
        if listed < need {
            j.wrong(CHECK, &place, message, cure);
        } else {
            j.doubt(CHECK, &place, message, cure);
        }
    }
}
