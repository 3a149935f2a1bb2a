//! What becomes of a zip when a lining is sewn to its tape.

use measure::Length;

use super::glue::{Glue, is_same, matched};
use super::{Assembly, Edging, Event};
use crate::operations::{Gap, Meeting};
use crate::pattern::{CopyId, Run, Span};

impl Assembly<'_> {
    /// Notes that the first sides of two seams lie opposite each other along the zip between them, and
    /// the second sides too: outside on outside, lining on lining.
    pub fn lie_across_zip(&mut self, seams: &[[Run; 2]]) {
        for pair in seams.windows(2) {
            for (one, other) in pair[0].iter().zip(&pair[1]) {
                let ends = one.spans.iter().zip(&other.spans);
                self.across_zip.extend(ends.map(|(a, b)| [(a.copy, a.edge), (b.copy, b.edge)]));
            }
        }
    }

    /// Whether an edge lies along a zip, opposite an edge of one of these copies.
    pub(super) fn is_across_zip(
        &self,
        edge: (CopyId, usize),
        others: impl Fn(CopyId) -> bool,
    ) -> bool {
        self.across_zip
            .iter()
            .any(|[a, b]| (*a == edge && others(b.0)) || (*b == edge && others(a.0)))
    }

    /// Whether one of these copies is sewn to a zip together with a lining.
    pub(super) fn hangs_from_zip(&self, is: impl Fn(CopyId) -> bool) -> bool {
        self.across_zip.iter().flatten().any(|(copy, _)| is(*copy))
    }

    /// Sews an edge of a lining across the end of a zip, over which an edge of the outside lies on its
    /// other side: the end of the zip is between the two.
    pub fn join_across_zip_end(&mut self, sides: &[Run; 2], allowance: Length) {
        let [over, own] = sides;
        let (Some(first), Some(a)) = (own.spans.first().copied(), over.spans.first().copied())
        else {
            return;
        };
        if let Some(span) = over.spans.iter().copied().find(|span| !self.is_zipped(span)) {
            let why = format!("{} does not lie over the end of a zip", self.edge_name(&span));
            self.impossible(span, why, "sew the end of the outside over the zip first");
            return;
        }
        if let Some(span) = self.taken(own) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "sew each edge once");
            return;
        }
        if !self.is_one_body(a.copy, first.copy) {
            let why = format!("{} does not hang from that zip", self.edge_name(&first));
            self.impossible(first, why, "sew the lining on with the zip first");
            return;
        }
        if self.runs_beyond(sides) || self.lies_fastened(sides) {
            return;
        }
        let glues: Vec<Glue> = matched(sides, &[])
            .iter()
            .map(|part| Glue { a: part.a, b: part.b, step: self.step, zip: false })
            .collect();
        let facing = self.facing_in(a.copy, first.copy, &glues, Meeting::RightSides);
        for span in &over.spans {
            self.mark(span, Edging::Joined(self.step));
        }
        for span in &own.spans {
            self.mark(span, Edging::Joined(self.step));
            self.catch(span);
            self.sewn.taken.insert((span.copy, span.edge), allowance);
        }
        self.glues.extend(glues);
        let cut = self.sewn.taken.get(&(a.copy, a.edge)).copied().unwrap_or(allowance);
        self.record(Event::Joined {
            sides: sides.clone(),
            meet: Meeting::RightSides,
            facing,
            allowance: [cut, allowance],
            ease: over.length() - own.length(),
            gaps: Vec::new(),
        });
    }

    /// Sews an edge of a lining, turned in by its allowance and so much further, to the tape of the zip
    /// along an edge of the outside. The two are one edge from then on. Where the lining is sewn up
    /// already, the zip does not open any more.
    pub fn slipstitch_to_zip(&mut self, sides: &[Run; 2], allowance: Length, further: Length) {
        let [rim, lining] = sides;
        if let Some(span) = rim.spans.iter().copied().find(|span| !self.is_zipped(span)) {
            let why = format!("there is no zip along {}", self.edge_name(&span));
            self.impossible(span, why, "set the zip before the lining is sewn to it");
            return;
        }
        let Some(first) = lining.spans.first().copied() else { return };
        if !self.unsewn(lining).is_positive() {
            let why = format!("{} has been sewn already", self.edge_name(&first));
            self.impossible(first, why, "sew each edge once");
            return;
        }
        if self.runs_beyond(sides) || self.lies_fastened(sides) {
            return;
        }
        // Closed where the lining is: gaps of the first side, where the two are not sewn together.
        let (long, short) = (rim.length().to_mm(), lining.length().to_mm());
        let on_rim = |at: Length| Length::from_mm_f64(at.to_mm() * long / short);
        let closed: Vec<Gap> = self
            .along(lining, |edging| !is_free(edging))
            .into_iter()
            .map(|(from, to)| Gap { from: on_rim(from), to: on_rim(to) })
            .collect();
        let parts = matched(sides, &closed);
        let (Some(a), Some(b)) = (rim.spans.first(), lining.spans.first()) else { return };
        let (a, b) = (a.copy, b.copy);
        let fresh: Vec<Glue> = parts
            .iter()
            .filter(|part| !part.open)
            .map(|part| {
                let [a, b] = [part.a, part.b].map(|side| self.to_its_seams(side));
                Glue { a, b, step: self.step, zip: false }
            })
            .collect();
        let facing = self.facing_in(a, b, &fresh, Meeting::WrongSides);
        let outer = self.outer_side(a, b);
        self.part_zip(&fresh.iter().map(|glue| glue.a).collect::<Vec<_>>());
        for span in &rim.spans {
            self.mark(span, Edging::Joined(self.step));
        }
        for glue in &fresh {
            self.mark(&glue.b, Edging::Joined(self.step));
            self.catch(&glue.b);
        }
        for span in &lining.spans {
            self.sewn.taken.insert((span.copy, span.edge), allowance + further);
        }
        let sewn = [|glue: &Glue| glue.a, |glue: &Glue| glue.b]
            .map(|side| Run::open(fresh.iter().map(side)));
        self.glues.extend(fresh);
        self.unite(a, b);
        self.shape(a, Meeting::WrongSides, outer);
        let cut = self.sewn.taken.get(&(a, rim.spans[0].edge)).copied().unwrap_or(allowance);
        self.record(Event::Joined {
            ease: sewn[0].length() - sewn[1].length(),
            sides: sewn,
            meet: Meeting::WrongSides,
            facing,
            allowance: [cut, allowance],
            gaps: Vec::new(),
        });
    }

    /// How much of a run is not sewn to anything yet.
    pub fn unsewn(&self, run: &Run) -> Length {
        self.along(run, is_free).into_iter().map(|(from, to)| to - from).sum()
    }

    /// The stretches of a run of that kind, as distances along it.
    fn along(&self, run: &Run, is: impl Fn(Edging) -> bool) -> Vec<(Length, Length)> {
        let mut found = Vec::new();
        let mut start = Length::ZERO;
        for span in &run.spans {
            let (low, high) = span.ordered();
            for stretch in self.stretches(span.copy, span.edge).iter().filter(|s| is(s.edging)) {
                let (from, to) = (stretch.from.max(low), stretch.to.min(high));
                if from < to {
                    found.push(if span.from <= span.to {
                        (start + (from - low), start + (to - low))
                    } else {
                        (start + (high - to), start + (high - from))
                    });
                }
            }
            start += span.length();
        }
        found
    }

    /// The same stretch, from and to where the seams beside it end: the way over the longer rim and
    /// back may round to a nanometre more or less, which would leave a hole of that size.
    fn to_its_seams(&self, span: Span) -> Span {
        let on = |it: &Span| (it.copy, it.edge) == (span.copy, span.edge);
        let sewn = self.glues.iter().flat_map(|glue| [glue.a, glue.b]).filter(on);
        let mut ends: Vec<Length> = sewn.flat_map(|it| [it.from, it.to]).collect();
        ends.extend(self.stretches(span.copy, span.edge).iter().flat_map(|s| [s.from, s.to]));
        let near = |at: Length| ends.iter().copied().find(|end| is_same(*end, at)).unwrap_or(at);
        Span { from: near(span.from), to: near(span.to), ..span }
    }

    fn is_zipped(&self, span: &Span) -> bool {
        let (from, to) = span.ordered();
        let stretches = self.stretches(span.copy, span.edge);
        let mut met = stretches.iter().filter(|s| s.from < to && from < s.to).peekable();
        met.peek().is_some() && met.all(|s| matches!(s.edging, Edging::Zipped(_)))
    }

    /// Takes these stretches out of the zip that holds them to another edge; what is left of it there
    /// is closed for good.
    fn part_zip(&mut self, taken: &[Span]) {
        let mut kept = Vec::new();
        for glue in std::mem::take(&mut self.glues) {
            let on = |side: Span| {
                glue.zip && taken.iter().any(|it| (it.copy, it.edge) == (side.copy, side.edge))
            };
            let (side, other) = match (on(glue.a), on(glue.b)) {
                (true, _) => (glue.a, glue.b),
                (_, true) => (glue.b, glue.a),
                _ => {
                    kept.push(glue);
                    continue;
                }
            };
            let (low, high) = side.ordered();
            let same = |it: &&Span| (it.copy, it.edge) == (side.copy, side.edge);
            let gaps: Vec<Gap> = taken
                .iter()
                .filter(same)
                .map(|it| {
                    let (from, to) = it.ordered();
                    if side.from <= side.to {
                        Gap { from: from - low, to: to - low }
                    } else {
                        Gap { from: high - to, to: high - from }
                    }
                })
                .collect();
            let parts = matched(&[Run::open([side]), Run::open([other])], &gaps);
            let left = parts.into_iter().filter(|part| !part.open);
            kept.extend(left.map(|part| Glue { a: part.a, b: part.b, zip: false, ..glue }));
        }
        self.glues = kept;
    }
}

/// Whether nothing holds such a stretch of a lining yet.
fn is_free(edging: Edging) -> bool {
    matches!(edging, Edging::Raw | Edging::Gap(_))
}
