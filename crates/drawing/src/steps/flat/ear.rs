//! The upper of two layers with a corner turned back, so that both sides are seen.

use super::*;

impl Flat<'_, '_> {
    /// The upper panels, a corner turned back.
    pub(super) fn eared(&self, board: &mut Board, group: &Group, to_paper: Affine) {
        let outlines: Vec<(Lain, Vec<Point>)> = group
            .upper
            .iter()
            .map(|lain| {
                let points = self.outline(lain, true);
                (*lain, points.into_iter().map(|point| to_paper * point).collect())
            })
            .collect();
        let frame = bounds(outlines.iter().flat_map(|(_, points)| points.iter().copied()));
        let size = (frame.width().min(frame.height()) * 0.3).clamp(3.0, 11.0);
        let Some(corner) = self.free_corner(&outlines, frame) else { return };
        let middle = frame.center();
        let way = Vec2::new((middle.x - corner.x).signum(), (middle.y - corner.y).signum());
        let (a, b) = (corner + Vec2::new(way.x * size, 0.0), corner + Vec2::new(0.0, way.y * size));
        // The line runs so that the middle is on its left.
        let (a, b) = if (b - a).cross(middle - a) >= 0.0 { (a, b) } else { (b, a) };
        for (lain, points) in &outlines {
            let fill = lain.fill(self.work.pattern, to_paper);
            board.layer("work").shape(closed(points.iter().copied()), fill, Some(LineKind::Edge));
        }
        // What the ear uncovers, over whatever is drawn there of the upper panels.
        let below =
            group.lower.first().map_or(Fill::Paper, |it| it.fill(self.work.pattern, to_paper));
        for (_, points) in &outlines {
            let bare = left_of(points, b, a);
            board.layer("ear").shape(closed(bare), below, Some(LineKind::Edge));
        }
        for (lain, points) in &outlines {
            let ear: Vec<Point> =
                left_of(points, b, a).into_iter().map(|point| mirror(a, b) * point).collect();
            if ear.len() < 3 {
                continue;
            }
            let back = Lain { up: lain.up.other(), ..*lain };
            let fill = back.fill(self.work.pattern, mirror(a, b) * to_paper);
            board.layer("ear").shape(closed(ear), fill, Some(LineKind::Edge));
        }
    }

    /// The corner of the upper panels at which the least is sewn.
    pub(super) fn free_corner(
        &self,
        outlines: &[(Lain, Vec<Point>)],
        frame: Rect,
    ) -> Option<Point> {
        let corners = [
            Point::new(frame.x1, frame.y0),
            Point::new(frame.x0, frame.y0),
            Point::new(frame.x1, frame.y1),
            Point::new(frame.x0, frame.y1),
        ];
        let nearest = |corner: Point| {
            let points = outlines.iter().flat_map(|(_, points)| points.iter().copied());
            points.min_by(|a, b| length_of(*a - corner).total_cmp(&length_of(*b - corner)))
        };
        // Sewn edges, by where their middle is, count for the corners near them.
        let sewn = |corner: Point| -> usize {
            let mut count = 0;
            for (lain, _) in outlines {
                let net = &self.work.pattern.piece_of(lain.copy).net;
                for edge in 0..net.edge_count() {
                    let joined = self
                        .work
                        .stretches(lain.copy, edge)
                        .iter()
                        .any(|it| matches!(it.edging, Edging::Joined(_) | Edging::Gap(_)));

                    let (from, to) = (net.edge(edge).start().to_mm(), net.edge(edge).end().to_mm());

                    let on_table = |point: Point| self.to_corner(lain, point, frame);
                    if joined
                        && (on_table(from) == index_of(corner, frame)
                            || on_table(to) == index_of(corner, frame))
                    {
                        count += 1;
                    }
                }
            }
            count
        };
        let best = corners.into_iter().min_by_key(|corner| sewn(*corner))?;
        nearest(best)
    }

    /// Which corner of the frame a point of a copy is nearest to.
    pub(super) fn to_corner(&self, lain: &Lain, point: Point, frame: Rect) -> usize {
        let on_table = lain.lay * point;
        let all = self.outline(lain, true);
        let own = bounds(all.into_iter());
        let (x, y) = ((on_table.x - own.center().x), -(on_table.y - own.center().y));
        index_of(frame.center() + Vec2::new(x, y), frame)
    }
}

/// Which quarter of a box a point lies in.
fn index_of(point: Point, frame: Rect) -> usize {
    let middle = frame.center();
    usize::from(point.x > middle.x) + 2 * usize::from(point.y > middle.y)
}
