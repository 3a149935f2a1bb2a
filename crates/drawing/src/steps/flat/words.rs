//! Names, tools and measures.

use bag::operations::listed;

use super::*;

impl Flat<'_, '_> {
    /// Names of the panels, with the side that is up.
    pub(super) fn names(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let pair = !group.upper.is_empty();
        let frame = |lain: &[Lain]| {
            bounds(lain.iter().flat_map(|it| self.outline(it, pair)).map(|point| to_paper * point))
        };
        let name = |lain: &[Lain]| {
            let names: Vec<String> =
                lain.iter().map(|it| self.work.pattern.copy(it.copy).name.clone()).collect();
            format!("{}, {} up", names.join(" and "), lain[0].up.words())
        };
        let own = frame(group.top());
        let whole = name(group.top());
        let at = Point::new(own.x0 + own.width() * 0.72, own.y0 + own.height() * 0.62);
        if pair {
            board.label(at, whole.clone());
            let below = frame(&group.lower);
            let at = Self::uncovered(below, own);
            let under = name(&group.lower);
            board.label(at, format!("below: {under}"));
            self.said.insert(0, format!("The {whole}, lies on the {under}."));
        } else {
            board.label(at, whole.clone());
            self.said.insert(0, format!("The {whole}."));
        }
        if !group.alike.is_empty() {
            let alike = listed(&group.alike);
            let at = Point::new(own.x0 + own.width() * 0.6, own.y1 - own.height() * 0.2);
            board.label(at, format!("{alike}: the same"));
            self.said.push(format!("The same is done with {alike}."));
        }
    }

    /// A point of the lower panels that the upper ones leave free.
    pub(super) fn uncovered(below: Rect, above: Rect) -> Point {
        if below.y1 > above.y1 + 6.0 {
            return Point::new(below.center().x, (below.y1 + above.y1) / 2.0);
        }
        if below.y0 < above.y0 - 6.0 {
            return Point::new(below.center().x, (below.y0 + above.y0) / 2.0);
        }

        // Where the ear is turned back.
        Point::new(above.x1 - 1.4, above.y0 + 1.2)
    }

    /// Tools that belong to the whole picture.
    pub(super) fn tools(&mut self, board: &mut Board) {
        let frame = board.frame();
        if self.shown.tools.contains(&Tool::Iron) {
            icons::iron(
                board.layer("tools"),
                Point::new(frame.center().x, frame.y1 - frame.height() * 0.16),
            );
            self.said.push("It is pressed with an iron.".to_owned());
        }
    }

    /// The measures of the sentence, where the picture has what they measure.
    pub(super) fn measures(&mut self, board: &mut Board) {
        let near = Length::mm(1).half();
        let mut known: Vec<String> = Vec::new();
        for measure in &self.shown.measures {
            let text = self.story.show(*measure);
            if known.contains(&text) || *measure == Length::ZERO {
                continue;
            }
            let found = self.spans.iter().find(|(.., length)| (*length - *measure).abs() <= near);
            let Some((a, b, _)) = found else { continue };
            pointed(board, *a, *b);
            board.label(a.midpoint(*b), text.clone());
            known.push(text);
        }
        if !known.is_empty() {
            self.said.push(format!("Measures shown: {}.", known.join(", ")));
        }
    }
}

/// A distance between two points, with arrowheads where there is room.
fn pointed(board: &mut Board, a: Point, b: Point) {
    let step = b - a;
    let long = length_of(step);
    if long < 4.5 {
        return;
    }
    let unit = step / long;
    let layer = board.layer("measures");
    layer.line([a, b], LineKind::Dimension);
    marks::arrowhead(layer, a, unit * -1.0);
    marks::arrowhead(layer, b, unit);
}
