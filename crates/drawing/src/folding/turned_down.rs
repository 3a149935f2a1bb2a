//! Tops that are turned down over the outside, or folded over to the front.

use bag::assembly::{Assembly, Event};
use bag::operations::Over;
use bag::pattern::CopyId;
use kurbo::Point;
use measure::Length;

use crate::space::length_of;

/// The top of a copy that is turned down.
pub(super) struct Down {
    /// The fold, from end to end.
    pub(super) fold: (Point, Point),
    /// Which way is up from there, on the copy.
    up: kurbo::Vec2,
    pub(super) over: Over,
    /// What shows when it is turned down over the outside.
    pub(super) shows: CopyId,
}

/// The tops of a copy that are turned down.
pub(super) fn turned_down(work: &Assembly<'_>, copy: CopyId) -> Vec<Down> {
    let mut all = Vec::new();
    for (_, event) in &work.events {
        let Event::TurnedDown { rim, depth, over } = event else { continue };
        for span in &rim.spans {
            let lining = work.glues.iter().find_map(|glue| match (glue.a, glue.b) {
                (a, b) if (a.copy, a.edge) == (span.copy, span.edge) => Some(b),
                (a, b) if (b.copy, b.edge) == (span.copy, span.edge) => Some(a),
                _ => None,
            });
            if span.copy == copy {
                let shows = lining.map_or(copy, |lining| lining.copy);
                all.push(Down::at(work, (copy, span.edge), *depth, (*over, shows)));
            }
            // What lines it goes down with it, and is drawn there as what shows of the outside.
            if let Some(lining) = lining.filter(|lining| lining.copy == copy) {
                all.push(Down::at(work, (copy, lining.edge), *depth, (Over::Front, copy)));
            }
        }
    }
    all
}

impl Down {
    fn at(
        work: &Assembly<'_>,
        (copy, edge): (CopyId, usize),
        depth: Length,
        (over, shows): (Over, CopyId),
    ) -> Self {
        let net = &work.pattern.piece_of(copy).net;
        let edge = net.edge(edge);
        let (from, to) = (edge.start().to_mm(), edge.end().to_mm());
        let along = (to - from) / length_of(to - from).max(1e-9);
        // The outline runs counter-clockwise: its inside lies to the left.
        let inwards = kurbo::Vec2::new(-along.y, along.x);
        let (low, high) = net.bounds();
        let wide = (high.x - low.x).to_mm() + (high.y - low.y).to_mm();
        let middle = from.midpoint(to) + inwards * depth.to_mm();
        let fold = (middle - along * wide, middle + along * wide);
        Self { fold, up: inwards * -1.0, over, shows }
    }
}

/// The fold beyond which a point of a copy lies.
pub(super) fn beyond_fold(work: &Assembly<'_>, copy: CopyId, point: Point) -> Option<Down> {
    turned_down(work, copy).into_iter().find(|down| (point - down.fold.0).dot(down.up) > 0.1)
}
