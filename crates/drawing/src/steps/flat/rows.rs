//! Rows beside edges, snips, folds and fastenings.

use super::*;

impl Flat<'_, '_> {
    /// Rows beside edges.
    pub(super) fn rows(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let shown = self.shown;
        for row in &shown.rows {
            let (spans, from_cut) = self.spans_of(group, &row.beside);
            for span in spans {
                let Some(lain) = self.lain_of(group, span.copy) else { continue };
                let seen = if from_cut { self.seen_allowance(span.copy, span.edge) } else { 0.0 };
                let inset = match row.kind {
                    RowKind::Overcast | RowKind::Binding => 0.0,
                    RowKind::Cord => ROW * 2.0 / self.scale,
                    RowKind::Stitch | RowKind::Baste => {
                        row.from.to_mm().max(ROW * 0.6 / self.scale)
                    }
                };
                let kind = match row.kind {
                    RowKind::Overcast | RowKind::Binding | RowKind::Cord => LineKind::New,
                    RowKind::Stitch | RowKind::Baste => LineKind::Sewing,
                };
                let points = self.path(board, "new", &lain, span, inset - seen, kind, to_paper);
                if row.kind == RowKind::Overcast {
                    zigzag(board, &points);
                }
                let edge = along(self.work.pattern, span, -seen);
                let middle = |points: &[Point]| {
                    points[points.len() / 2].lerp(points[points.len() / 2 - 1], 0.35)
                };
                let foot = middle(&edge);
                let near = to_paper * (lain.lay * foot);
                let inner = middle(&points);
                self.spans.push((inner, near, row.from));
            }
        }
        if let Some(row) = shown.rows.first() {
            let what = match row.kind {
                RowKind::Stitch => "a row of stitches",
                RowKind::Baste => "basting",
                RowKind::Overcast => "overcasting over the raw edges",
                RowKind::Binding => "a binding over the raw edges",
                RowKind::Cord => "a cord in the casing",
            };
            let sentence = format!("New: {what}.");
            if !self.said.contains(&sentence) {
                self.said.push(sentence);
            }
        }
    }

    /// How a copy lies, also when it lies on a panel of the group.
    pub(super) fn lain_of(&self, group: &Group, copy: CopyId) -> Option<Lain> {
        if let Some(lain) = group.top().iter().find(|it| it.copy == copy) {
            return Some(*lain);
        }
        let shape = self.shapes(group.top()).into_iter().find(|it| it.what == copy)?;
        let lain = Lain { copy, lay: shape.lay, up: shape.up, half: None };
        shape.feet.is_empty().then_some(lain)
    }

    /// The stretches that a row runs beside, and whether it is measured from the cut edge.
    pub(super) fn spans_of(&self, group: &Group, beside: &Along) -> (Vec<Span>, bool) {
        let whole = |copy: CopyId, edge: usize| {
            let to = self.work.pattern.piece_of(copy).net.edge_length(edge);
            Span { copy, edge, from: Length::ZERO, to }
        };
        match beside {
            Along::Raw(run) => (run.spans.clone(), true),
            Along::Mouth(_) => (Vec::new(), false),
            Along::Seam(copies) => {
                let of = |copy: &&CopyId| group.holds(**copy);
                let mut spans = Vec::new();
                for copy in copies.iter().filter(of) {
                    let glue = self
                        .work
                        .glues
                        .iter()
                        .rev()
                        .find(|it| it.a.copy == *copy || it.b.copy == *copy);
                    spans.extend(glue.map(|it| if it.a.copy == *copy { it.a } else { it.b }));
                }
                (spans, false)
            }
            Along::Finished(copies, what) => {
                let mut spans = Vec::new();
                for copy in copies {
                    let piece = self.work.pattern.piece_of(*copy);
                    let named = piece.edges.iter().position(|edge| what.contains(&edge.name));
                    let height = |edge: &usize| {
                        let it = piece.net.edge(*edge);
                        it.start().to_mm().y + it.end().to_mm().y
                    };
                    let top = (0..piece.net.edge_count())
                        .max_by(|a, b| height(a).total_cmp(&height(b)))
                        .unwrap_or(0);
                    spans.push(whole(*copy, named.unwrap_or(top)));
                }
                (spans, false)
            }
        }
    }

    /// Snips, folds and places where something is fastened.
    pub(super) fn cuts_and_folds(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let place = |copy: CopyId, at: measure::Point| {
            let lain = group.top().iter().find(|it| it.copy == copy)?;
            Some(to_paper * (lain.lay * at.to_mm()))
        };
        let shown = self.shown;
        for (copy, line) in &shown.across {
            if let (Some(a), Some(b)) = (place(*copy, line.from), place(*copy, line.to)) {
                self.spans.push((a, b, line.from.distance(line.to)));
            }
        }
        let mut cut = None;
        for (copy, line) in &shown.snips {
            if let (Some(a), Some(b)) = (place(*copy, line.from), place(*copy, line.to)) {
                board.layer("new").line([a, b], LineKind::New);
                self.spans.push((a, b, line.from.distance(line.to)));
                cut = cut.or(Some((a, b)));
            }
        }
        if let (Some((a, b)), true) = (cut, shown.tools.contains(&Tool::Scissors)) {
            let way = (b - a) / length_of(b - a).max(1e-9);
            icons::scissors(board.layer("tools"), a, way);
            let leave = shown.measures.first().copied().unwrap_or(Length::ZERO);
            if !self.spans.iter().any(|(.., known)| *known == leave) {
                self.spans.push((a.midpoint(b), a.midpoint(b), leave));
            }
            self.said.push(format!("New: {} cuts.", shown.snips.len()));
        }
        for (copy, line) in &shown.folds {
            self.fold(board, *copy, line, &place);
        }
        if let Some(lain) = group.lower.first()
            && let sheet = self.story.sheet(self.step, lain.copy)
            && let Some(Folded::Now(front)) = self.story.folded_over(self.step, &sheet)
        {
            self.press_over(board, group, front, to_paper);
        }
        for (copy, at) in &shown.spots {
            if let Some(at) = place(*copy, *at) {
                board.layer("new").shape(marks::dot(at, 1.6), Fill::Paper, Some(LineKind::New));
                marks::cross(board.layer("new"), at);
                self.said.push(format!("New: a fastening on {}.", self.story.the(*copy)));
            }
        }
    }

    /// An arrow from the panel that goes to the back, over the seam.
    pub(super) fn press_over(
        &mut self,
        board: &mut Board,
        group: &Group,
        front: CopyId,
        to_paper: Affine,
    ) {
        let middle = |stays: bool| {
            let of = group.lower.iter().filter(|it| (it.copy == front) == stays);
            bounds(of.flat_map(|it| self.outline(it, false)).map(|point| to_paper * point)).center()
        };
        let (from, to) = (middle(false), middle(true));
        board.arrow(from, from.lerp(to, 0.8), 7.0);
        self.said.push("New: the one is folded behind the other along the seam.".to_owned());
    }

    pub(super) fn fold(
        &mut self,
        board: &mut Board,
        copy: CopyId,
        line: &Line,
        place: &impl Fn(CopyId, measure::Point) -> Option<Point>,
    ) {
        let (Some(a), Some(b)) = (place(copy, line.from), place(copy, line.to)) else { return };
        board.layer("new").line([a, b], LineKind::Fold);
        let step = b - a;
        let aside = Vec2::new(-step.y, step.x) / length_of(step).max(1e-9);
        let reach = (length_of(step) * 0.4).clamp(6.0, 16.0);
        let middle = a.lerp(b, 0.3);
        board.arrow(middle + aside * reach, middle - aside * reach, reach * 0.5);
        self.said.push(format!("New: {} is folded along the line.", self.story.the(copy)));
    }
}

/// Zigzag stitches over an edge.
fn zigzag(board: &mut Board, line: &[Point]) {
    for pair in line.windows(2) {
        let step = pair[1] - pair[0];
        let long = length_of(step);
        let unit = step / long.max(1e-9);
        let aside = Vec2::new(-unit.y, unit.x);
        let mut points = Vec::new();
        let mut at = 0.0;
        while at < long && points.len() < 400 {
            let side = if points.len() % 2 == 0 { -0.5 } else { 0.7 };
            points.push(pair[0] + unit * at + aside * side);
            at += 1.2;
        }
        board.layer("new").line(points, LineKind::Dimension);
    }
}
