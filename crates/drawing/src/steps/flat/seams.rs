//! Seams, openings and pins, and what was sewn before.

use super::*;

impl Flat<'_, '_> {
    /// Notches of raw edges.
    pub(super) fn notches(&self, board: &mut Board, lain: &Lain, to_paper: Affine) {
        let piece = self.work.pattern.piece_of(lain.copy);
        for mark in &piece.marks {
            let MarkShape::Notch { edge, along } = mark.shape else { continue };
            let raw = self.work.stretches(lain.copy, edge).iter().all(|it| {
                matches!(it.edging, Edging::Raw | Edging::Basted(..) | Edging::Joined(_))
            });
            if !raw || !is_seen(self.work, lain.copy, edge, true) {
                continue;
            }
            let way = piece.net.edge(edge).direction_along(along);
            let inwards = Vec2::new(-way.y, way.x);
            let allowance = self.seen_allowance(lain.copy, edge);
            let foot = piece.net.point_along(edge, along).to_mm() - inwards * allowance;
            let at = to_paper * (lain.lay * foot);
            let step = to_paper * (lain.lay * (foot + inwards)) - at;
            marks::notch(board.layer("work"), at, step / length_of(step).max(1e-9));
        }
    }

    /// How wide an allowance is drawn, in mm of cloth.
    pub(super) fn seen_allowance(&self, copy: CopyId, edge: usize) -> f64 {
        let edges = &self.work.pattern.piece_of(copy).edges;
        let allowance = edges.get(edge).map_or(0.0, |it| it.allowance.to_mm());
        if allowance > 0.0 { allowance.max(VISIBLE / self.scale) } else { 0.0 }
    }

    /// Seams of steps before, where their stitches can be seen.
    pub(super) fn old_seams(&self, board: &mut Board, lain: &Lain, pair: bool, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(lain.copy).net;
        for edge in 0..net.edge_count() {
            for it in self.work.stretches(lain.copy, edge) {
                let old = matches!(it.edging, Edging::Joined(step) if step < self.step);
                if old && is_seen(self.work, lain.copy, edge, pair) {
                    let span = Span { copy: lain.copy, edge, from: it.from, to: it.to };
                    self.path(board, "work", lain, span, 0.0, LineKind::Sewn, to_paper);
                }
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one line of a drawing has as many properties")]
    pub(super) fn path(
        &self,
        board: &mut Board,
        layer: &str,
        lain: &Lain,
        span: Span,
        inset: f64,
        kind: LineKind,
        to_paper: Affine,
    ) -> Vec<Point> {
        let points: Vec<Point> = along(self.work.pattern, span, inset)
            .into_iter()
            .map(|point| to_paper * (lain.lay * point))
            .collect();
        board.layer(layer).line(points.iter().copied(), kind);
        points
    }

    /// Openings that a step before has left, between bars.
    pub(super) fn gaps(&self, board: &mut Board, lain: &Lain, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(lain.copy).net;
        for edge in 0..net.edge_count() {
            for it in self.work.stretches(lain.copy, edge) {
                if !matches!(it.edging, Edging::Gap(_)) {
                    continue;
                }
                for along in [it.from, it.to] {
                    let way = net.edge(edge).direction_along(along);
                    let inwards = Vec2::new(-way.y, way.x) / self.scale * 1.6;
                    let foot = net.point_along(edge, along).to_mm();
                    let bar = [foot - inwards, foot + inwards].map(|at| to_paper * (lain.lay * at));
                    board.layer("new").line(bar, LineKind::New);
                }
            }
        }
    }

    /// Seams sewn in this step.
    pub(super) fn seams(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let mut pinned = false;
        let events: Vec<Event> = self.story.news(self.step).cloned().collect();
        for event in &events {
            let (runs, gaps, allowance): (Vec<&Run>, &[Gap], Length) = match event {
                Event::Joined { sides, gaps, allowance, .. } => {
                    let upper = |run: &&Run| {
                        run.spans.iter().any(|span| {
                            let (a, b) = ends(self.work.pattern, *span);
                            let here = |it: &Lain| it.copy == span.copy && it.covers(a.midpoint(b));
                            group.top().iter().any(here)
                        })
                    };
                    (sides.iter().filter(upper).take(1).collect(), gaps, allowance[0])
                }
                Event::Hemmed { run, takes } => (vec![run], &[], *takes),
                _ => continue,
            };
            for run in runs {
                let mut before = Length::ZERO;
                let last = run.spans.len().saturating_sub(1);
                for (index, span) in run.spans.iter().enumerate() {
                    let Some(lain) = group.top().iter().find(|it| it.copy == span.copy).copied()
                    else {
                        before += span.length();
                        continue;
                    };
                    for (part, open) in parts(*span, before, gaps) {
                        if open {
                            self.opening(board, &lain, part, to_paper);
                            continue;
                        }
                        let line =
                            self.path(board, "new", &lain, part, 0.0, LineKind::Sewing, to_paper);
                        self.seam_span(&lain, part, allowance, to_paper);
                        let pins = self.shown.tools.contains(&Tool::Pins) && !pinned;
                        if pins
                            && line.len() > 1
                            && length_of(line[line.len() - 1] - line[0]) > 16.0
                        {
                            self.pins(board, &lain, part, to_paper);
                        }
                        let ends = (
                            index == 0 && part.from == span.from,
                            index == last && part.to == span.to,
                        );
                        if !run.closed || !gaps.is_empty() {
                            backstitch(
                                board,
                                &line,
                                (ends.0 || !gaps.is_empty(), ends.1 || !gaps.is_empty()),
                            );
                        }
                    }
                    before += span.length();
                    let name = self.work.pattern.piece_of(span.copy).edges[span.edge].name.clone();
                    let sentence = format!(
                        "New: the {} is sewn, {} from its edge.",
                        name,
                        self.story.show(allowance)
                    );
                    if !self.said.contains(&sentence) {
                        self.said.push(sentence);
                    }
                }
                pinned = false;
            }
        }
    }

    pub(super) fn pins(&self, board: &mut Board, lain: &Lain, part: Span, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        for quarter in [1, 2, 3] {
            let at = part.from + (part.to - part.from) * quarter / 4 + (part.to - part.from) / 16;
            let way = net.edge(part.edge).direction_along(at);
            let inwards = Vec2::new(-way.y, way.x);
            let edge = net.point_along(part.edge, at).to_mm();
            let foot = edge - inwards * self.seen_allowance(part.copy, part.edge);
            let on_paper = to_paper * (lain.lay * foot);
            let step = to_paper * (lain.lay * (foot + inwards)) - on_paper;
            icons::pin(board.layer("tools"), on_paper, step / length_of(step).max(1e-9));
        }
    }

    /// A stretch that stays open, between bars.
    pub(super) fn opening(&mut self, board: &mut Board, lain: &Lain, part: Span, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        for along in [part.from, part.to] {
            let way = net.edge(part.edge).direction_along(along);
            let inwards = Vec2::new(-way.y, way.x) / self.scale * 2.0;
            let foot = net.point_along(part.edge, along).to_mm();
            let bar = [foot - inwards, foot + inwards].map(|at| to_paper * (lain.lay * at));
            board.layer("new").line(bar, LineKind::New);
        }
        let (a, b) = ends(self.work.pattern, part);
        let (a, b) = (to_paper * (lain.lay * a), to_paper * (lain.lay * b));
        board.label(a.midpoint(b), format!("open: {}", self.story.show(part.length())));
        self.said.push(format!("Open between the bars: {}.", self.story.show(part.length())));
    }

    /// The distance from a seam to its edge, for the measures.
    pub(super) fn seam_span(
        &mut self,
        lain: &Lain,
        part: Span,
        allowance: Length,
        to_paper: Affine,
    ) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        let at = part.from + (part.to - part.from) / 3;
        let way = net.edge(part.edge).direction_along(at);
        let out = Vec2::new(way.y, -way.x) * self.seen_allowance(part.copy, part.edge);
        let foot = net.point_along(part.edge, at).to_mm();
        let (a, b) = (to_paper * (lain.lay * foot), to_paper * (lain.lay * (foot + out)));
        self.spans.push((a, b, allowance));
    }
}

/// Backstitching at the ends of a row: the stitches run double there.
fn backstitch(board: &mut Board, line: &[Point], ends: (bool, bool)) {
    let mut at = |from: Point, toward: Point| {
        let step = toward - from;
        let unit = step / length_of(step).max(1e-9);
        board.layer("new").line([from, from + unit * 2.4], LineKind::New);
    };
    if line.len() < 2 || length_of(line[line.len() - 1] - line[0]) < 6.0 {
        return;
    }
    if ends.0 {
        at(line[0], line[1]);
    }
    if ends.1 {
        at(line[line.len() - 1], line[line.len() - 2]);
    }
}

/// A span cut at the gaps that lie on it; gaps are distances along the whole run.
fn parts(span: Span, before: Length, gaps: &[Gap]) -> Vec<(Span, bool)> {
    let long = span.length();
    let mut cuts = vec![Length::ZERO, long];
    for gap in gaps {
        for at in [gap.from - before, gap.to - before] {
            if at > Length::ZERO && at < long {
                cuts.push(at);
            }
        }
    }
    cuts.sort_unstable();
    cuts.dedup();
    cuts.windows(2)
        .map(|pair| {
            let middle = (pair[0] + pair[1]).half() + before;
            let open = gaps.iter().any(|gap| gap.from <= middle && middle <= gap.to);
            let at = |along: Length| {
                if span.from <= span.to { span.from + along } else { span.from - along }
            };
            (Span { from: at(pair[0]), to: at(pair[1]), ..span }, open)
        })
        .collect()
}
