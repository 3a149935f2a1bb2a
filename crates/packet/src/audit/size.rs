//! Whether the panels give the claimed finished size, and whether lining and outside meet at the
//! rim.
//!
//! All of it is arithmetic on stitching lines. With W × H as cut, side, base and rim allowances s,
//! b and r, and a depth d:
//! * front and back: W − 2s wide at the top, that less d at the base, H − b − r − d/2 high;
//! * one piece round the bag: (W − 2s)/2 at the top, the rest alike;
//! * one piece under the base: W − 2s at the top, (H − 2r)/2 − d/2 high.
//!
//! A stitching line across a folded corner is as long as the bag is deep. A square of side c that
//! is cut out of a corner, measured from the raw edges, gives a depth of 2(c + k − s) from side to
//! side and 2(c + k − b) from front to back, with k the allowance of the corner seam: its two
//! edges are stitched together, so both must agree (derived; without allowances this is the trade's
//! rule of twice the square).

use measure::{Length, show_size};

use super::judge::{Compared, Judge};
use super::{Body, Corners, PieceClaim, Seam, SizeClaim};

/// Name of the check on sizes.
const CHECK: &str = "finished-size";
/// Name of the check on rims.
const RIMS: &str = "rims-match";
/// Name of the check on squares that are cut out.
const CORNERS: &str = "corners-match";

/// Judges the finished size and the rims.
pub(super) fn judge(j: &mut Judge<'_>) {
    let Some(size) = &j.claims.size else { return };
    if let Some(panel) = j.piece(size.panel) {
        sizes(j, size, panel);
    }
    rims(j, size);
}

/// Depth, widths and height. Where the claimed depth cannot be, widths and height are judged by
/// whichever depth they agree with, so that one slip is told once.
fn sizes(j: &mut Judge<'_>, size: &SizeClaim, panel: &PieceClaim) {
    let rest = |j: &mut Judge<'_>, depth| {
        widths(j, size, panel, depth);
        height(j, size, panel, depth);
    };
    let made = corners(j, size, panel);
    let (Some((found, by)), Some(claimed)) = (&made, size.depth) else {
        let flat = size.corners.is_none().then_some(Length::ZERO);
        let found = made.map(|(found, _)| found);
        rest(j, found.or(size.depth).or(flat));
        return;
    };
    let errors = [*found, claimed].map(|depth| j.trial(|j| rest(j, Some(depth))));
    let (depth, effect) = if errors[1] < errors[0] {
        (claimed, effect(j, size, *found - claimed))
    } else {
        (*found, String::new())
    };
    let [side, corner] = [Seam::Side, Seam::Corner].map(|seam| j.claims.seam(panel, seam));
    let cure = match size.corners {
        Some(Corners::CutOut(_)) => {
            let allowances = side.unwrap_or_default() - corner.unwrap_or_default();
            format!("cut out squares of {}", j.show(claimed.half() + allowances))
        }
        _ => format!("stitch a line of {} across", j.show(claimed)),
    };
    j.compare(Compared {
        check: CHECK,
        place: "size.depth",
        what: "depth",
        claimed,
        found: *found,
        within: size.within,
        by: format!("{by}{effect}"),
        cure,
    });
    rest(j, Some(depth));
}

/// The depth that the corners give, if the pattern says how they are made, and by what.
fn corners(j: &mut Judge<'_>, size: &SizeClaim, panel: &PieceClaim) -> Option<(Length, String)> {
    match size.corners? {
        Corners::Boxed(line) => {
            Some((line, format!("its corners are boxed with a line of {}", j.show(line))))
        }
        Corners::CutOut(square) => {
            let [side, corner] = [Seam::Side, Seam::Corner].map(|s| j.claims.seam(panel, s));
            let (Some(side), Some(corner)) = (side, corner) else {
                let claim = "the depth that the squares give";
                j.unsaid(CHECK, "size.cut-out", claim, "the allowance of the side seams");
                return None;
            };
            squares(j, size, panel, square, [side, corner]);
            let by = format!("squares of {} are cut out of its corners", j.show(square));
            Some(((square + corner - side) * 2, by))
        }
    }
}

/// What corners of a wrong size do to the base and the height.
fn effect(j: &Judge<'_>, size: &SizeClaim, wider: Length) -> String {
    if wider.abs() <= size.within {
        return String::new();
    }
    let (off, half) = (j.show(wider.abs()), j.show(wider.abs().half()));
    if wider.is_positive() {
        format!(", which also makes the base {off} narrower and the bag {half} lower")
    } else {
        format!(", which also makes the base {off} wider and the bag {half} higher")
    }
}

/// The two edges of a square that is cut out are stitched together.
fn squares(
    j: &mut Judge<'_>,
    size: &SizeClaim,
    panel: &PieceClaim,
    square: Length,
    [side, corner]: [Length; 2],
) {
    let base = match size.body {
        Body::UnderTheBase => Length::ZERO,
        Body::FrontAndBack | Body::Round => match j.claims.seam(panel, Seam::Base) {
            Some(base) => base,
            None => return,
        },
    };
    let edges = [side, base].map(|allowance| (square - allowance) * 2);
    if edges.iter().any(|edge| !edge.is_positive()) {
        let message = format!(
            "squares of {} lie within the seam allowances of `{}`",
            j.show(square),
            panel.name
        );
        let right = j.show(size.depth.unwrap_or(Length::ZERO).half() + side - corner);
        j.wrong(CORNERS, "size.cut-out", message, format!("cut out squares of {right} or more"));
        return;
    }
    let shown = edges.map(|edge| j.show(edge));
    if (edges[0] - edges[1]).abs() <= j.hair() {
        let message = format!("both edges of a cut-out corner are {} long", shown[0]);
        j.fine(CORNERS, "size.cut-out", message);
        return;
    }
    let message = format!(
        "the edges of a cut-out corner are stitched together and differ: {} across the side seam \
         and {} across the base, as the allowances there differ",
        shown[0], shown[1]
    );
    let cure = format!(
        "cut out a rectangle {} high instead of a square, or sew both seams alike",
        j.show(square + base - side)
    );
    j.wrong(CORNERS, "size.cut-out", message, cure);
}

/// Half of the way round the finished rim; none if the side allowance is unsaid.
fn half_round(j: &Judge<'_>, size: &SizeClaim, panel: &PieceClaim) -> Option<Length> {
    let side = j.claims.seam(panel, Seam::Side)?;
    let net = panel.width - side * 2;
    Some(if size.body == Body::Round { net.half() } else { net })
}

fn widths(j: &mut Judge<'_>, size: &SizeClaim, panel: &PieceClaim, depth: Option<Length>) {
    let claims = [("top", size.top), ("width", size.width)];
    let Some(top) = half_round(j, size, panel) else {
        for (key, _) in claims.iter().filter(|(_, claimed)| claimed.is_some()) {
            let place = format!("size.{key}");
            j.unsaid(CHECK, &place, "the finished width", "the allowance of the side seams");
        }
        return;
    };
    let side = j.claims.seam(panel, Seam::Side).unwrap_or_default();
    for (key, claimed) in claims {
        let Some(claimed) = claimed else { continue };
        // The top is laid flat, and needs no depth.
        let depth = match (key, depth) {
            ("top", _) => Length::ZERO,
            (_, Some(depth)) => depth,
            (_, None) => {
                j.unsaid(CHECK, "size.width", "the width at the base", "how deep the bag is");
                continue;
            }
        };
        let net = claimed + depth;
        let cut = if size.body == Body::Round { net * 2 } else { net } + side * 2;
        let what = if key == "top" { "at the top (laid flat)" } else { "at the base" };
        j.compare(Compared {
            check: CHECK,
            place: &format!("size.{key}"),
            what: &format!("finished width {what}"),
            claimed,
            found: top - depth,
            within: size.within,
            by: by_width(j, size, panel, side, depth),
            cure: format!("cut `{}` {} wide", panel.name, j.show(cut)),
        });
    }
}

fn by_width(
    j: &Judge<'_>,
    size: &SizeClaim,
    panel: &PieceClaim,
    side: Length,
    depth: Length,
) -> String {
    let way = if size.body == Body::Round { " and halved, as it runs round" } else { "" };
    let deep = if depth == Length::ZERO {
        String::new()
    } else {
        format!(", less {} of depth", j.show(depth))
    };
    format!(
        "`{}` is cut {} wide, less two allowances of {}{way}{deep}",
        panel.name,
        j.show(panel.width),
        j.show(side)
    )
}

fn height(j: &mut Judge<'_>, size: &SizeClaim, panel: &PieceClaim, depth: Option<Length>) {
    let Some(claimed) = size.height else { return };
    let under = size.body == Body::UnderTheBase;
    let Some(rim) = j.claims.seam(panel, Seam::Rim) else {
        j.unsaid(CHECK, "size.height", "the finished height", "the allowance or hem at the rim");
        return;
    };
    let base = if under { Some(rim) } else { j.claims.seam(panel, Seam::Base) };
    let Some(base) = base else {
        j.unsaid(CHECK, "size.height", "the finished height", "the allowance of the base seam");
        return;
    };
    let Some(depth) = depth else {
        j.unsaid(CHECK, "size.height", "the finished height", "how deep the bag is");
        return;
    };
    let net = panel.height - rim - base;
    let found = if under { net.half() } else { net } - depth.half();
    let wanted = claimed + depth.half();
    let cut = if under { wanted * 2 } else { wanted } + rim + base;
    let name = &panel.name;
    let high = j.show(panel.height);
    let allowances = match (under, rim == base) {
        (true, _) => format!("less {} at each rim and halved", j.show(rim)),
        (false, true) => format!("less {} at the base and at the rim", j.show(rim)),
        (false, false) => {
            format!("less {} at the base and {} at the rim", j.show(base), j.show(rim))
        }
    };
    let deep = if depth == Length::ZERO {
        String::new()
    } else {
        format!(", less half of {} of depth", j.show(depth))
    };
    j.compare(Compared {
        check: CHECK,
        place: "size.height",
        what: "finished height",
        claimed,
        found,
        within: size.within,
        by: format!("`{name}` is cut {high} high, {allowances}{deep}"),
        cure: format!("cut `{name}` {} high", j.show(cut)),
    });
}

/// Lining and outside are sewn together in the round. A difference of up to one part in fifty can
/// be eased (common practice, no source).
fn rims(j: &mut Judge<'_>, size: &SizeClaim) {
    let Some(lining) = size.lining.and_then(|lining| j.piece(lining)) else { return };
    let Some(panel) = j.piece(size.panel) else { return };
    let rounds = [panel, lining].map(|piece| half_round(j, size, piece).map(|half| half * 2));
    let [Some(outside), Some(inside)] = rounds else {
        let claim = "whether lining and outside meet at the rim";
        j.unsaid(RIMS, "size.lining", claim, "the allowance of the side seams");
        return;
    };
    let off = (outside - inside).abs();
    let (out, inn) = j.pair(outside, inside);
    if off <= j.hair() {
        let message = format!("the rims of outside and lining are both {out} round");
        j.fine(RIMS, "size.lining", message);
        return;
    }
    let word = if inside < outside { "shorter" } else { "longer" };
    let message = format!(
        "the rim of the outside is {out} round and that of the lining {inn}, {} {word}: `{}` is \
         cut {} and `{}` {}",
        j.show(off),
        panel.name,
        show_size(panel.width, panel.height, j.system),
        lining.name,
        show_size(lining.width, lining.height, j.system),
    );
    let each = if size.body == Body::Round { off } else { off.half() };
    let wider = if inside < outside { "wider" } else { "narrower" };
    let cure = format!("cut `{}` {} {wider}", lining.name, j.show(each));
    if off * 50 <= outside {
        j.doubt(RIMS, "size.lining", format!("{message}; it must be eased in"), cure);
    } else {
        j.wrong(RIMS, "size.lining", message, cure);
    }
}
