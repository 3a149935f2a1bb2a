//! Carrying the steps out in the abstract: what is joined to what, what is still raw or open,
//! which way out each body is, and what has been taken off each piece.
//!
//! A seam has two host sides; whatever else is caught in it is a *rider*, tied to its host and
//! never part of the surface. Bodies are the connected hosts. An operation changes this state and
//! records an [`Event`]; the checks judge the events.

mod stretch;

pub use stretch::{Edging, Stretch};

use std::collections::BTreeMap;

use measure::{Length, Point};

use crate::operations::{Corner, Gap, Meeting, Through};
use crate::pattern::{Checkpoint, CopyId, Pattern, Run, Sewn, Span};

/// The work, after some of the steps.
#[derive(Debug)]
pub struct Assembly<'p> {
    /// The pattern that is sewn.
    pub pattern: &'p Pattern,
    /// What has been taken off the pieces.
    pub sewn: Sewn,
    /// Each edge of each copy, in stretches.
    pub edges: BTreeMap<(CopyId, usize), Vec<Stretch>>,
    /// What lies on what: the riders of each host.
    pub riders: BTreeMap<CopyId, CopyId>,
    /// Which body lies within which, by root.
    pub within: BTreeMap<usize, usize>,
    /// What happened, with the index of its step.
    pub events: Vec<(usize, Event)>,
    /// What each step's checkpoint measures, by step.
    pub measured: BTreeMap<usize, Vec<Length>>,
    /// Union of copies into bodies.
    body_of: Vec<usize>,
    /// Bodies that have been turned right side out, by root.
    turned: Vec<bool>,
    step: usize,
}

/// What happened in a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// Two runs were joined.
    Joined {
        /// The two sides.
        sides: [Run; 2],
        /// Which faces met.
        meet: Meeting,
        /// The allowance sewn on either side.
        allowance: [Length; 2],
        /// By how much the first side is meant to be longer.
        ease: Length,
        /// What was left open, along the first side.
        gaps: Vec<Gap>,
    },
    /// A body was turned.
    Turned {
        /// A copy of it.
        body: CopyId,
        /// What it was turned through.
        through: Through,
        /// The open stretches it had at that moment.
        open: Vec<Span>,
    },
    /// An opening was closed; nothing if that step had left none.
    Closed {
        /// The step that left it.
        left_by: String,
        /// What was closed.
        closed: Vec<Span>,
    },
    /// Corners were boxed.
    Boxed {
        /// The corners, each with its panels.
        corners: Vec<Vec<Corner>>,
        /// The depth that the step names.
        depth: Length,
    },
    /// An edge was hemmed.
    Hemmed {
        /// The edge.
        run: Run,
    },
    /// Something was placed on something.
    Placed {
        /// What.
        what: CopyId,
        /// On what.
        onto: CopyId,
        /// Where.
        at: Point,
    },
    /// A body was put into another.
    DroppedIn {
        /// A copy of the one inside.
        inner: CopyId,
        /// A copy of the one around it.
        outer: CopyId,
    },
}

impl<'p> Assembly<'p> {
    /// The pieces on the table, nothing sewn.
    pub fn begin(pattern: &'p Pattern) -> Self {
        let mut edges = BTreeMap::new();
        for copy in pattern.copy_ids() {
            let net = &pattern.piece_of(copy).net;
            for edge in 0..net.edge_count() {
                edges.insert((copy, edge), vec![Stretch::raw(net.edge_length(edge))]);
            }
        }
        Self {
            pattern,
            sewn: Sewn::default(),
            edges,
            riders: BTreeMap::new(),
            within: BTreeMap::new(),
            events: Vec::new(),
            measured: BTreeMap::new(),
            body_of: (0..pattern.copies.len()).collect(),
            turned: vec![false; pattern.copies.len()],
            step: 0,
        }
    }

    /// Everything sewn.
    pub fn sew(pattern: &'p Pattern) -> Self {
        Self::sew_first(pattern, pattern.steps.len())
    }

    /// The work after the first `count` steps.
    pub fn sew_first(pattern: &'p Pattern, count: usize) -> Self {
        let mut work = Self::begin(pattern);
        for (index, step) in pattern.steps.iter().take(count).enumerate() {
            work.step = index;
            step.operation.carry_out(&mut work);
            if let Some(checkpoint) = &step.checkpoint {
                let measures = work.measure(checkpoint);
                work.measured.insert(index, measures);
            }
        }
        work
    }

    fn measure(&self, checkpoint: &Checkpoint) -> Vec<Length> {
        let gauges = match checkpoint {
            Checkpoint::Measures { gauge, .. } => vec![gauge],
            Checkpoint::Size { width, height, .. } => vec![width, height],
            Checkpoint::Look(_) => Vec::new(),
        };
        gauges.iter().filter_map(|gauge| gauge.measure(self.pattern, &self.sewn)).collect()
    }

    /// Index of the step that is being carried out.
    pub fn step(&self) -> usize {
        self.step
    }

    /// Writes an event down.
    pub fn record(&mut self, event: Event) {
        self.events.push((self.step, event));
    }

    /// The body that a copy belongs to.
    pub fn body(&self, copy: CopyId) -> usize {
        let mut at = copy.0;
        while self.body_of[at] != at {
            at = self.body_of[at];
        }
        at
    }

    /// The copies of the body that this one belongs to, in order.
    pub fn body_copies(&self, copy: CopyId) -> Vec<CopyId> {
        let body = self.body(copy);
        self.pattern.copy_ids().filter(|other| self.body(*other) == body).collect()
    }

    /// Whether the body of this copy has been turned right side out.
    pub fn is_turned(&self, copy: CopyId) -> bool {
        self.turned[self.body(copy)]
    }

    fn unite(&mut self, a: CopyId, b: CopyId) {
        let (a, b) = (self.body(a), self.body(b));
        if a != b {
            let (low, high) = (a.min(b), a.max(b));
            self.body_of[high] = low;
            self.turned[low] &= self.turned[high];
        }
    }

    fn mark(&mut self, span: &Span, edging: Edging) {
        if let Some(stretches) = self.edges.get_mut(&(span.copy, span.edge)) {
            let (from, to) = span.ordered();
            stretch::set(stretches, from, to, edging);
        }
    }

    fn take(&mut self, span: &Span, allowance: Length) {
        self.sewn.taken.insert((span.copy, span.edge), allowance);
    }

    /// Joins two runs, leaving the gaps open; gaps are distances along the first side, and the
    /// second runs beside it.
    pub fn join(&mut self, sides: &[Run; 2], allowance: [Length; 2], gaps: &[Gap]) {
        for (side, allowance) in sides.iter().zip(allowance) {
            for span in &side.spans {
                self.mark(span, Edging::Joined(self.step));
                self.take(span, allowance);
            }
            for gap in gaps {
                for span in cut_out(side, gap) {
                    self.mark(&span, Edging::Gap(self.step));
                }
            }
        }
        if let Some(first) = sides[0].spans.first() {
            for span in sides.iter().flat_map(|side| &side.spans) {
                self.unite(first.copy, span.copy);
            }
        }
    }

    /// The open stretches of a copy's body: raw edges and gaps of its hosts.
    pub fn mouths(&self, copy: CopyId) -> Vec<Span> {
        let mut open = Vec::new();
        for copy in self.body_copies(copy) {
            let edges = self.pattern.piece_of(copy).net.edge_count();
            for edge in 0..edges {
                for stretch in self.edges.get(&(copy, edge)).into_iter().flatten() {
                    if stretch.edging.is_open() {
                        open.push(Span { copy, edge, from: stretch.from, to: stretch.to });
                    }
                }
            }
        }
        open
    }

    /// Turns a body right side out.
    pub fn turn(&mut self, copy: CopyId) {
        let body = self.body(copy);
        self.turned[body] = true;
    }

    /// Puts a body into another; they stay two bodies until they are joined.
    pub fn drop_in(&mut self, inner: CopyId, outer: CopyId) {
        self.within.insert(self.body(inner), self.body(outer));
    }

    /// Closes what the named step left open; returns what that was.
    pub fn close(&mut self, left_by: &str) -> Vec<Span> {
        let Some(step) = self.pattern.steps.iter().position(|step| step.id == left_by) else {
            return Vec::new();
        };
        let mut closed = Vec::new();
        for ((copy, edge), stretches) in &mut self.edges {
            for stretch in stretches.iter_mut().filter(|s| s.edging == Edging::Gap(step)) {
                stretch.edging = Edging::Closed(self.step);
                closed.push(Span { copy: *copy, edge: *edge, from: stretch.from, to: stretch.to });
            }
        }
        closed
    }

    /// Boxes one panel's corner.
    pub fn box_corner(&mut self, corner: &Corner, tip: Length) {
        self.sewn.boxed.insert((corner.copy, corner.side, corner.base), tip);
    }

    /// Hems a run, which takes `total` off it.
    pub fn hem(&mut self, run: &Run, total: Length) {
        for span in &run.spans {
            self.mark(span, Edging::Hemmed(self.step));
            self.take(span, total);
        }
    }

    /// Finishes the raw edges along a run: overcast or bound.
    pub fn finish(&mut self, run: &Run) {
        for span in &run.spans {
            self.set_finished(span);
        }
    }

    /// Encloses the raw edges of a seam in the seam itself.
    pub fn enclose(&mut self, sides: &[Run; 2]) {
        for side in sides {
            self.finish(side);
        }
    }

    fn set_finished(&mut self, span: &Span) {
        if let Some(stretches) = self.edges.get_mut(&(span.copy, span.edge)) {
            let (from, to) = span.ordered();
            stretch::set_finished(stretches, from, to);
        }
    }

    /// Turns in the two longest edges of a strip.
    pub fn enclose_long_edges(&mut self, strip: CopyId) {
        let net = &self.pattern.piece_of(strip).net;
        let longest =
            (0..net.edge_count()).map(|edge| net.edge_length(edge)).max().unwrap_or(Length::ZERO);
        for edge in (0..net.edge_count()).filter(|edge| net.edge_length(*edge) == longest) {
            self.mark(
                &Span { copy: strip, edge, from: Length::ZERO, to: longest },
                Edging::TurnedUnder(self.step),
            );
        }
    }

    /// Something now lies on something, and goes where it goes.
    pub fn ride(&mut self, what: CopyId, onto: CopyId) {
        self.riders.insert(what, onto);
    }

    /// An edge of a rider is basted level with a host's edge, to be caught with it.
    pub fn baste_level(&mut self, what: CopyId, edge: usize, onto: CopyId, host_edge: usize) {
        let whole = Run::edge(self.pattern, what, edge);
        for span in &whole.spans {
            self.mark(span, Edging::Basted(onto, host_edge));
        }
        if let Some(allowance) = self.pattern.piece_of(onto).edges.get(host_edge) {
            self.sewn.taken.insert((what, edge), allowance.allowance);
        }
    }

    /// An edge is held by stitching: folded under or turned, no longer loose.
    pub fn hold_edge(&mut self, what: CopyId, edge: usize) {
        let whole = Run::edge(self.pattern, what, edge);
        for span in &whole.spans {
            if let Some(stretches) = self.edges.get_mut(&(span.copy, span.edge)) {
                for stretch in stretches.iter_mut().filter(|s| s.edging == Edging::Raw) {
                    stretch.edging = Edging::TurnedUnder(self.step);
                }
            }
        }
    }
}

/// The part of a run between two distances along it.
fn cut_out(run: &Run, gap: &Gap) -> Vec<Span> {
    let mut parts = Vec::new();
    let mut start = Length::ZERO;
    for span in &run.spans {
        let end = start + span.length();
        let (from, to) = (gap.from.max(start), gap.to.min(end));
        if from < to {
            let at = |distance: Length| {
                let along = distance - start;
                if span.from <= span.to { span.from + along } else { span.from - along }
            };
            parts.push(Span { from: at(from), to: at(to), ..*span });
        }
        start = end;
    }
    parts
}
