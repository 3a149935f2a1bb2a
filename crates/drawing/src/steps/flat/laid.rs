//! What lies on the panels, and the stitches that hold it.

use super::*;

impl Flat<'_, '_> {
    /// What lies on the panels, new things outlined boldly.
    pub(super) fn riders(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let host = self.true_box(group.top());
        let done = self.work.pattern.steps[self.step].operation.copies();
        // The zips of slits hold nothing that lies on the panel.
        let slit = |onto| self.work.slits.iter().any(|slit| slit.copy == onto);
        self.sewn_before(board, group, to_paper, |what, onto| what.is_empty() && slit(onto));
        for shape in self.shapes(group.top()) {
            let hangs = done.contains(&shape.what) && self.work.is_pulled_through(shape.what);
            let new = hangs
                || shape.side
                || self.story.news(self.step).any(
                    |event| matches!(event, Event::Placed { what, .. } if *what == shape.what),
                );
            let as_lain = Lain { copy: shape.what, lay: shape.lay, up: shape.up, half: None };
            let fill = as_lain.fill(self.work.pattern, to_paper);
            let line = if new { LineKind::New } else { LineKind::Edge };
            for outline in &shape.outlines {
                let points: Vec<Point> = outline.iter().map(|point| to_paper * *point).collect();
                board.layer("riders").shape(closed(points), fill, Some(line));
            }
            let frame = to_paper.transform_rect_bbox(shape.true_box);
            if new {
                let name = self.work.pattern.copy(shape.what).name.clone();
                let at = shape.outlines.first().map_or(frame.center(), |outline| {
                    let all = bounds(outline.iter().map(|point| to_paper * *point));
                    let top = outline.iter().map(|point| to_paper * *point);
                    let right =
                        top.filter(|it| it.y < all.center().y).max_by(|a, b| a.x.total_cmp(&b.x));
                    right.unwrap_or(all.center())
                });
                board.label(at, name.clone());
                let side = shape.up.words();
                self.said.push(format!("The {name} lies on it, {side} up."));
                if self.shown.tools.contains(&Tool::Pins) {
                    for (x, way) in [(frame.x0, 1.0), (frame.x1, -1.0)] {
                        for y in [0.3, 0.7] {
                            let at = Point::new(x, frame.y0 + frame.height() * y);
                            icons::pin(board.layer("tools"), at, Vec2::new(way, 0.0));
                        }
                    }
                }
                self.rider_spans(&shape, host, to_paper);
            }
            self.sewn_before(board, group, to_paper, |what, _| what.contains(&shape.what));
        }
    }

    /// Stitches of steps before through panels that lie up: those of what is asked for, by what they
    /// hold and the panel.
    fn sewn_before(
        &self,
        board: &mut Board,
        group: &Group,
        to_paper: Affine,
        asked: impl Fn(&[CopyId], CopyId) -> bool,
    ) {
        for event in self.story.past(self.step) {
            let Event::Stitched { what, onto, lines, .. } = event else { continue };
            let Some(host) = group.top().iter().find(|it| it.copy == *onto) else { continue };
            if asked(what, *onto) {
                for line in lines {
                    let ends = [line.from, line.to].map(|at| to_paper * (host.lay * at.to_mm()));
                    board.layer("riders").line(ends, LineKind::Sewn);
                }
            }
        }
    }

    /// Lines stitched through panels in this step.
    pub(super) fn stitched(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let host_box = self.true_box(group.top());
        for event in self.story.news(self.step) {
            let Event::Stitched { what, onto, lines, .. } = event else { continue };
            let Some(host) = group.top().iter().find(|it| it.copy == *onto) else { continue };
            let on_table: Vec<(Point, Point, Length)> = lines
                .iter()
                .map(|line| {
                    let ends = [line.from, line.to].map(|at| host.lay * at.to_mm());
                    (ends[0], ends[1], line.from.distance(line.to))
                })
                .collect();
            for (a, b, _) in &on_table {
                let (a, b) = (to_paper * *a, to_paper * *b);
                let short = length_of(b - a) < 7.0;
                board
                    .layer("new")
                    .line([a, b], if short { LineKind::Edge } else { LineKind::Sewing });
            }
            let held = self.shapes(group.top()).into_iter().find(|it| what.contains(&it.what));
            self.line_spans(&on_table, held.map(|it| it.true_box), host_box, to_paper);
            if !lines.is_empty() {
                let names: Vec<String> = what.iter().map(|copy| self.story.the(*copy)).collect();
                let through =
                    if names.is_empty() { self.story.the(*onto) } else { names.join(", ") };
                self.said.push(format!("New: stitches through {through}, {} lines.", lines.len()));
            }
        }
    }

    /// Distances of something laid on a panel that a sentence may name.
    pub(super) fn rider_spans(&mut self, shape: &Shape, host: Rect, to_paper: Affine) {
        let own = shape.true_box;
        let middle = own.center();
        let mut add = |a: (f64, f64), b: (f64, f64)| {
            let (a, b) = (Point::from(a), Point::from(b));
            let long = Length::from_mm_f64(length_of(b - a));
            self.spans.push((to_paper * a, to_paper * b, long));
        };
        let (x, y) = (own.x0 + own.width() * 0.25, own.y0 + own.height() * 0.4);
        if shape.feet.is_empty() {
            add((x, own.y1), (x, host.y1));
            add((x, own.y0), (x, host.y0));
            add((own.x0, y), (host.x0, y));
            add((own.x1, y), (host.x1, y));
            add((own.x0, middle.y), (own.x1, middle.y));
            add((x, own.y0), (x, own.y1));
        }
        if let [left, right] = shape.feet.as_slice() {
            let up = (host.y0 + host.y1) / 2.0;
            add((host.center().x, up), (right.x, up));
            let lower = host.y0 + host.height() * 0.3;
            add((left.x, lower), (right.x, lower));
            add((left.x, left.y), (left.x, host.y1));
            add((left.x, left.y), (left.x, host.y0));
        }
    }

    /// Distances of stitched lines that a sentence may name.
    pub(super) fn line_spans(
        &mut self,
        lines: &[(Point, Point, Length)],
        held: Option<Rect>,
        host: Rect,
        to_paper: Affine,
    ) {
        let mut add = |a: Point, b: Point| {
            let long = Length::from_mm_f64(length_of(b - a));
            self.spans.push((to_paper * a, to_paper * b, long));
        };
        let mut uprights: Vec<f64> =
            lines.iter().filter(|(a, b, _)| (a.x - b.x).abs() < 0.01).map(|(a, ..)| a.x).collect();
        if let Some(own) = held {
            uprights.extend([own.x0, own.x1]);
        }
        uprights.sort_by(f64::total_cmp);
        let level = lines.first().map_or(0.0, |(a, b, _)| a.y.min(b.y) + (a.y - b.y).abs() * 0.35);
        for pair in uprights.windows(2) {
            add(Point::new(pair[0], level), Point::new(pair[1], level));
        }
        for (a, b, _) in lines {
            let top = if a.y >= b.y { *a } else { *b };
            add(top, Point::new(top.x, host.y1));
            add(*a, *b);
            if let Some(own) = held {
                let low = if a.y < b.y { *a } else { *b };
                add(low, Point::new(low.x, own.y0));
                add(Point::new(top.x, level), Point::new(own.x1, level));
            }
        }
    }

    /// The box of the cut edges of panels on the table, true to their measures.
    pub(super) fn true_box(&self, lain: &[Lain]) -> Rect {
        bounds(lain.iter().flat_map(|it| {
            let points = outline(self.work, it.copy, 0.0, false);
            points.into_iter().map(|point| it.lay * point).collect::<Vec<_>>()
        }))
    }
}
