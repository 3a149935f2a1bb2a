//! A corner that is boxed: the point of cloth at the bag, and the same lying flat.

use bag::operations::Corner;
use bag::pattern::CopyId;
use kurbo::{Affine, Point, Vec2};
use measure::Length;

use super::board::Board;
use super::story::Story;
use crate::body::Body;
use crate::folding::boxed_points;
use crate::line::LineKind;
use crate::marks;
use crate::pieces::cloth;
use crate::scene::{Fill, closed};
use crate::space::{Eye, Space, length_of};
use crate::texture::{Side, Texture};

/// The point of cloth that sticks out where a corner is boxed, as it is seen.
pub(super) struct Ear {
    /// Both ends of the line that is sewn, and the tip.
    at: [Point; 3],
    copy: CopyId,
    pub(super) near: bool,
}

impl Ear {
    pub(super) fn paint(&self, body: &Body<'_, '_>, board: &mut Board) {
        let pattern = body.pattern();
        let look = pattern.material(pattern.piece_of(self.copy).material).look;
        let side = if body.wrong_out { Side::Wrong } else { Side::Right };
        let fill = Fill::Cloth(Texture { cloth: cloth(look), side }, Affine::IDENTITY);
        let [a, b, tip] = self.at;
        board.layer("work").shape(closed([a, b, tip]), fill, Some(LineKind::New));
        board.layer("work").line([a.midpoint(b), tip], LineKind::Sewn);
        board.layer("work").line([a, b], LineKind::Sewing);
    }
}

/// The ears of a body, where the line that is sewn ends on folds of two of its panels.
pub(super) fn ears(
    body: &Body<'_, '_>,
    eye: &Eye,
    corners: &[Vec<Corner>],
    tip: Length,
) -> Vec<Ear> {
    let mut ears = Vec::new();
    for corner in corners {
        let points = corner.iter().flat_map(|corner| {
            boxed_points(body.pattern(), corner, tip).into_iter().map(move |at| (corner, at))
        });
        let ends: Vec<(Space, CopyId)> = points
            .filter_map(|(corner, at)| {
                let near = |point: &Point| length_of(*point - at) < 1.0;
                let facet = body
                    .facets
                    .iter()
                    .find(|facet| facet.copy == corner.copy && facet.polygon.iter().any(near))?;
                Some((body.place(facet, at), corner.copy))
            })
            .collect();
        let [(a, copy), (b, _)] = ends.as_slice() else { continue };
        let middle = (*a + *b) * 0.5;
        // Away from the middle of the bag, level, and a little down, as cloth hangs.
        let centre = body.facets.first().map_or(middle, |facet| {
            let box_ = super::flat::bounds(facet.polygon.iter().copied());
            body.place(facet, box_.center())
        });
        let way = if middle.x >= centre.x { 1.0 } else { -1.0 };
        let out = Space::new(way * tip.to_mm(), 0.0, -tip.to_mm() * 0.25);
        let at = [eye.see(*a), eye.see(*b), eye.see(middle + out)];
        let near = out.dot(eye.into) < 0.0;

        ears.push(Ear { at, copy: *copy, near });
    }
    ears
}

/// The corner lying flat, seam on seam, with the line that is sewn and its measures.
pub(super) fn close_up(
    story: &Story<'_>,
    board: &mut Board,
    measures: &[Length],
    (tip, depth): (Length, Length),
    (top, copy): (f64, CopyId),
) {
    let scale = (44.0 / (depth.to_mm() * 1.5)).min(26.0 / (tip.to_mm() * 1.5));
    let (half, tall) = (depth.to_mm() / 2.0 * scale, tip.to_mm() * scale);
    let x = 24.0;
    let line = top + tall * 0.5;
    let at = |dx: f64, dy: f64| Point::new(x + dx, line + dy);
    let outline = [at(-half * 1.5, -tall * 0.5), at(half * 1.5, -tall * 0.5), at(0.0, tall)];
    let pattern = story.pattern;
    let look = cloth(pattern.material(pattern.piece_of(copy).material).look);
    let fill = Fill::Cloth(Texture::wrong(look), Affine::IDENTITY);
    board.layer("corner").shape(closed(outline), fill, None);
    board.layer("corner").line([outline[0], outline[2], outline[1]], LineKind::Edge);
    board.layer("corner").line([at(0.0, -tall * 0.5), at(0.0, tall)], LineKind::Sewn);
    board.layer("new").line([at(-half, 0.0), at(half, 0.0)], LineKind::Sewing);
    for side in [-1.0, 1.0] {
        let end = at(half * side, 0.0);
        board.layer("new").line([end, end - Vec2::new(2.6 * side, 0.0)], LineKind::New);
    }
    if let Some(leave) = measures.get(2).filter(|leave| **leave < tip) {
        let off = (leave.to_mm() * scale).max(1.4);
        let wide = half * (1.0 - off / tall);
        board.layer("corner").line([at(-wide, off), at(wide, off)], LineKind::Cut);
        board.label(at(wide * 0.9, off), format!("trim, {} from the stitches", story.show(*leave)));
    }
    board.label(at(half * 0.85, 0.0), format!("sew, {} from fold to fold", story.show(depth)));
    let layer = board.layer("measures");
    let (a, b) = (at(-half * 0.35, 0.0), at(-half * 0.35, tall));
    marks::arrowhead(layer, a, Vec2::new(0.0, -1.0));
    marks::arrowhead(layer, b, Vec2::new(0.0, 1.0));
    layer.line([a, b], LineKind::Dimension);
    layer.line([at(0.0, tall), at(-half * 0.5, tall)], LineKind::Dimension);
    board.label(at(-half * 0.35, tall * 0.85), format!("{} to the tip", story.show(tip)));
}
