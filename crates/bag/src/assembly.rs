//! Carrying the steps out in the abstract: what is joined to what, what is still raw or open,
//! which way out each body is, what lies on what, and what has been taken off each piece.
//!
//! A seam has two host sides; whatever else is caught in it is a *rider*: it lies on its host and
//! goes where that goes, but is never part of the host's surface. Bodies are the connected hosts.
//! An operation changes this state and records [`Event`]s; the checks judge the events and the
//! state at the end.

mod event;
mod glue;
mod pierced;
mod ready;
mod report;
mod shaped;
mod stretch;
mod surface;
mod trims;
mod work;
mod zip_lining;

#[cfg(test)]
mod tests;

pub use event::{Event, Facing, Reachable};
pub use glue::Glue;
pub use pierced::Pierced;
pub use report::report;
pub use stretch::{Edging, Stretch};
pub use surface::{ComplexEdge, Mouth, Surface};

use std::collections::{BTreeMap, BTreeSet};

use measure::{Length, Point};

use crate::operations::{FaceSide, Line};
use crate::pattern::{Checkpoint, CopyId, Pattern, Sewn, Span, Step};

/// The work, after some of the steps.
#[derive(Clone, Debug)]
pub struct Assembly<'p> {
    /// The pattern that is sewn.
    pub pattern: &'p Pattern,
    /// What has been taken off the pieces.
    pub sewn: Sewn,
    /// What is sewn to what.
    pub glues: Vec<Glue>,
    /// What lies on what.
    pub riders: Vec<Rider>,
    /// Slits within panels.
    pub slits: Vec<SlitMade>,
    /// What happened, with the index of its step.
    pub events: Vec<(usize, Event)>,
    /// What each step's checkpoint measures, by step.
    pub measured: BTreeMap<usize, Vec<Length>>,
    edges: BTreeMap<(CopyId, usize), Vec<Stretch>>,
    /// How wide pieces lie whose fullness is taken in.
    drawn: BTreeMap<CopyId, Length>,
    /// What was pulled through a slit.
    pulled: Vec<CopyId>,
    /// Edges that lie opposite each other along a zip to which outside and lining are sewn.
    across_zip: Vec<[(CopyId, usize); 2]>,
    /// Edges along which piping was basted.
    piped: BTreeMap<(CopyId, usize), CopyId>,
    /// Copies along whose rim rows were stitched for a cord.
    cased: BTreeSet<CopyId>,
    /// Union of copies into bodies.
    body_of: Vec<usize>,
    /// Which side is out, by the root of a body.
    side_out: BTreeMap<usize, SideOut>,
    /// Which body lies in which: a copy of either.
    within: Vec<(CopyId, CopyId)>,
    step: usize,
}

/// Which side of a body is out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SideOut {
    /// It lies flat: both sides can be seen.
    Flat,
    /// The wrong side.
    Wrong,
    /// The right side.
    Right,
}

/// A slit within a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SlitMade {
    /// The panel.
    pub copy: CopyId,
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Index of the step that cuts it.
    pub step: usize,
    /// Index of the step that holds its edges.
    pub held: Option<usize>,
    /// What is stitched round it, and so cut with it: the bag of a pocket, which closes it off.
    pub faced_by: Option<CopyId>,
}

/// Something that lies on a host.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rider {
    /// What.
    pub what: CopyId,
    /// On what.
    pub onto: CopyId,
    /// Where its lower left corner lies.
    pub at: Point,
    /// Which of its faces is up.
    pub face_up: FaceSide,
    /// Whether it stands on its head on the host.
    pub upside_down: bool,
    /// Stitches that hold it, in the host's coordinates.
    pub held: Vec<Line>,
    /// The host's edges that it is level with: (its edge, host's edge).
    pub level: Vec<(usize, usize)>,
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
            glues: Vec::new(),
            riders: Vec::new(),
            slits: Vec::new(),
            events: Vec::new(),
            measured: BTreeMap::new(),
            edges,
            drawn: BTreeMap::new(),
            pulled: Vec::new(),
            across_zip: Vec::new(),
            piped: BTreeMap::new(),
            cased: BTreeSet::new(),
            body_of: (0..pattern.copies.len()).collect(),
            side_out: BTreeMap::new(),
            within: Vec::new(),
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
            work.do_step(index, step);
        }
        work
    }

    /// Everything sewn, with a look at the work before each step.
    pub fn sew_seeing(pattern: &'p Pattern, mut see: impl FnMut(usize, &Self)) -> Self {
        let mut work = Self::begin(pattern);
        for (index, step) in pattern.steps.iter().enumerate() {
            see(index, &work);
            work.do_step(index, step);
        }
        work
    }

    fn do_step(&mut self, index: usize, step: &Step) {
        self.step = index;
        step.operation.carry_out(self);
        if let Some(checkpoint) = &step.checkpoint {
            let measures = self.measure(checkpoint);
            self.measured.insert(index, measures);
        }
    }

    fn measure(&self, checkpoint: &Checkpoint) -> Vec<Length> {
        let gauges = match checkpoint {
            Checkpoint::Measures { gauge, .. } => vec![gauge],
            Checkpoint::Size { width, height, depth, .. } => {
                [width, height].into_iter().chain(depth).collect()
            }
            Checkpoint::Look(_) => Vec::new(),
        };
        gauges.iter().filter_map(|gauge| gauge.measure(self.pattern, &self.sewn)).collect()
    }

    /// Index of the step that is being carried out.
    pub fn step(&self) -> usize {
        self.step
    }

    fn record(&mut self, event: Event) {
        self.events.push((self.step, event));
    }

    /// An edge of a copy, in stretches; none if there is no such edge.
    pub fn stretches(&self, copy: CopyId, edge: usize) -> &[Stretch] {
        self.edges.get(&(copy, edge)).map_or(&[], Vec::as_slice)
    }

    /// All edges with their stretches.
    pub fn edges(&self) -> impl Iterator<Item = (CopyId, usize, &[Stretch])> {
        self.edges.iter().map(|((copy, edge), stretches)| (*copy, *edge, stretches.as_slice()))
    }

    /// The body that a copy belongs to.
    fn body(&self, copy: CopyId) -> usize {
        let mut at = copy.0;
        while self.body_of[at] != at {
            at = self.body_of[at];
        }
        at
    }

    /// Whether two copies belong to one body.
    pub fn is_one_body(&self, a: CopyId, b: CopyId) -> bool {
        self.body(a) == self.body(b)
    }

    /// One copy of each body, the first in order.
    pub fn bodies(&self) -> Vec<CopyId> {
        self.pattern.copy_ids().filter(|copy| self.body(*copy) == copy.0).collect()
    }

    /// The copies of the body that this one belongs to, in order.
    pub fn body_copies(&self, copy: CopyId) -> Vec<CopyId> {
        let body = self.body(copy);
        self.pattern.copy_ids().filter(|other| self.body(*other) == body).collect()
    }

    /// Which side of the body of this copy is out.
    pub fn side_out(&self, copy: CopyId) -> SideOut {
        self.side_out.get(&self.body(copy)).copied().unwrap_or(SideOut::Flat)
    }

    /// The body of this copy as a surface.
    pub fn surface(&self, copy: CopyId) -> Surface {
        surface::surface(self, copy)
    }

    /// The open stretches of a copy's body: raw and hemmed edges and gaps of its hosts.
    pub fn open(&self, copy: CopyId) -> Vec<Span> {
        let mut open = Vec::new();
        for copy in self.body_copies(copy) {
            for edge in 0..self.pattern.piece_of(copy).net.edge_count() {
                for stretch in self.stretches(copy, edge).iter().filter(|s| s.edging.is_open()) {
                    open.push(Span { copy, edge, from: stretch.from, to: stretch.to });
                }
            }
        }
        open
    }

    /// Whether the body of this copy can still be spread out on the table: its panels hang
    /// together like a tree, each joined to the next along one edge; or four of them lie round one
    /// point, like panes.
    pub fn lies_flat(&self, copy: CopyId) -> bool {
        let copies = self.body_copies(copy);
        let mut seams: BTreeMap<(CopyId, CopyId), (usize, usize)> = BTreeMap::new();
        for glue in self.glues.iter().filter(|glue| copies.contains(&glue.a.copy)) {
            let (a, b) = (glue.a, glue.b);
            let (low, high) = if a.copy <= b.copy { (a, b) } else { (b, a) };
            let edges = (low.edge, high.edge);
            if low.copy == high.copy || self.bends(&low, &high) {
                return false;
            }
            match seams.insert((low.copy, high.copy), edges) {
                Some(other) if other != edges => return false,
                _ => {}
            }
        }
        seams.len() + 1 == copies.len() || self.are_panes(&copies, &seams)
    }

    /// Whether four panels with a seam between each and the next lie round one point: their corners
    /// there make up a full turn, to a hundredth of a degree.
    fn are_panes(
        &self,
        copies: &[CopyId],
        seams: &BTreeMap<(CopyId, CopyId), (usize, usize)>,
    ) -> bool {
        if copies.len() != 4 || seams.len() != 4 {
            return false;
        }
        let corner = |copy: &CopyId| {
            let sewn = seams.iter().flat_map(|((a, b), (on_a, on_b))| [(*a, *on_a), (*b, *on_b)]);
            let edges: Vec<usize> = sewn.filter(|(it, _)| it == copy).map(|(_, e)| e).collect();
            let [one, other] = edges.as_slice() else { return None };
            let net = &self.pattern.piece_of(*copy).net;
            let count = net.edge_count();
            let vertex = if (one + 1) % count == *other {
                *other
            } else if (other + 1) % count == *one {
                *one
            } else {
                return None;
            };
            Some(net.interior_angle(vertex))
        };
        let corners: Vec<f64> = copies.iter().filter_map(corner).collect();
        let turn: f64 = corners.iter().sum();
        corners.len() == 4 && (turn - std::f64::consts::TAU).abs() < 0.01_f64.to_radians()
    }

    /// Whether a seam bends the panels: a curve sewn to an edge of another shape.
    fn bends(&self, a: &Span, b: &Span) -> bool {
        let straight =
            |span: &Span| self.pattern.piece_of(span.copy).net.edge(span.edge).is_straight();
        straight(a) != straight(b)
    }

    /// Whether what this copy lies on, and that in turn, can still be spread out on the table.
    fn ground_of(&self, copy: CopyId) -> CopyId {
        let mut at = copy;
        for _ in 0..self.riders.len() {
            match self.riders.iter().find(|rider| rider.what == at) {
                Some(rider) => at = rider.onto,
                None => break,
            }
        }
        at
    }

    /// Where the edges of a copy are folded onto themselves: two parts of one edge are sewn to each
    /// other from there on.
    pub fn folds_on_itself(&self, copy: CopyId) -> Vec<Point> {
        let net = &self.pattern.piece_of(copy).net;
        // A level edge that is sewn to itself goes round the bag, and nothing stands on its head.
        let is_upright = |edge: usize| {
            let (from, to) = (net.edge(edge).start(), net.edge(edge).end());
            (from.y - to.y).abs() > (from.x - to.x).abs()
        };
        let onto_itself = |glue: &&Glue| {
            let (a, b) = (glue.a, glue.b);
            let itself = a.copy == copy && b.copy == copy && a.edge == b.edge;
            itself && is_upright(a.edge) && glue.keeps_orientation()
        };
        let fold = |glue: &Glue| {
            let (a, b) = (glue.a, glue.b);
            let at = [(a.from, b.from), (a.to, b.to)].into_iter().find(|(a, b)| a == b)?.0;
            Some(net.point_along(a.edge, at))
        };
        self.glues.iter().filter(onto_itself).filter_map(fold).collect()
    }

    /// Whether a place of a copy lies below a fold at its base, and so stands on its head as long as
    /// the copy lies flat.
    pub fn is_below_fold(&self, copy: CopyId, place: Point) -> bool {
        self.folds_on_itself(copy).iter().any(|fold| place.y < fold.y)
    }

    /// Whether a place of a strip lies at the end that stands on its head while the strip lies flat: the
    /// strip goes along one side of a panel, round it and up its other side, and runs down there where
    /// the panel runs up.
    pub fn is_on_its_head(&self, copy: CopyId, place: Point) -> bool {
        let ends = |span: &Span| {
            let net = &self.pattern.piece_of(span.copy).net;
            [span.from, span.to].map(|at| net.point_along(span.edge, at))
        };
        let is_upright = |span: &Span| {
            let [from, to] = ends(span);
            let straight = self.pattern.piece_of(span.copy).net.edge(span.edge).is_straight();
            straight && (from.y - to.y).abs() > (from.x - to.x).abs()
        };
        let rises = |span: &Span| {
            let [from, to] = ends(span);
            from.y < to.y
        };
        // What reaches on over a facing lies beside the strip's last stretch.
        let (low, high) = self.pattern.piece_of(copy).net.bounds();
        let height = place.y.clamp(low.y, high.y);
        let sides = self.glues.iter().flat_map(|glue| [(glue.a, glue.b), (glue.b, glue.a)]);
        let beside: Vec<(Span, Span)> = sides
            .filter(|(own, other)| own.copy == copy && other.copy != copy)
            .filter(|(own, other)| is_upright(own) && is_upright(other))
            .collect();
        beside.iter().any(|(own, other)| {
            let [from, to] = ends(own).map(|at| at.y);
            let goes_round = |(own_too, panel): &(Span, Span)| {
                own_too.edge == own.edge && panel.copy == other.copy && panel.edge != other.edge
            };
            rises(own) != rises(other)
                && (from.min(to)..=from.max(to)).contains(&height)
                && beside.iter().any(goes_round)
        })
    }

    /// Whether one body lies within the other.
    pub fn is_within(&self, inner: CopyId, outer: CopyId) -> bool {
        self.within.iter().any(|(a, b)| self.is_one_body(*a, inner) && self.is_one_body(*b, outer))
    }
}
