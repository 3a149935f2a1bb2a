//! A body as a surface of its host panels: edges identified by seams, mouths, orientation and
//! Euler characteristic.
//!
//! Each panel is a disc; its edge is cut into segments at corners and wherever a seam begins or
//! ends. Segments that are sewn to each other are one edge of the complex, their ends one vertex.
//! For a connected, orientable surface without handles, vertices − edges + faces is 2 minus the
//! number of mouths.

use std::collections::{BTreeMap, BTreeSet};

use measure::Length;

use super::{Assembly, Edging};
use crate::pattern::{CopyId, Span};

/// The surface of one body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Surface {
    /// Its panels.
    pub copies: Vec<CopyId>,
    /// Vertices of the complex.
    pub vertices: usize,
    /// Edges of the complex.
    pub edges: usize,
    /// Its boundary, one for each mouth.
    pub mouths: Vec<Mouth>,
    /// Slits within its panels, each a mouth of its own.
    pub slits: usize,
    /// Whether its right side can be told from its wrong side all over.
    pub orientable: bool,
    /// Panels whose right side lies on the other side of the surface than that of the first.
    pub inside_out: Vec<CopyId>,
    /// Each edge of the complex: the input for an outside reference.
    pub complex: Vec<ComplexEdge>,
}

/// An edge of the complex.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ComplexEdge {
    /// The vertices at its two ends.
    pub ends: (usize, usize),
    /// The panels that share it, and whether the outline of each runs from the first end to the
    /// second.
    pub panels: Vec<(CopyId, bool)>,
}

/// One boundary of a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mouth {
    /// The open stretches around it.
    pub spans: Vec<Span>,
    /// How far it is around.
    pub around: Length,
    /// What its edges are; each sort once.
    pub edgings: Vec<Edging>,
}

impl Surface {
    /// Vertices − edges + faces.
    pub fn euler(&self) -> i64 {
        let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        count(self.vertices) - count(self.edges) + count(self.copies.len()) - count(self.slits)
    }

    /// Whether it is closed all round.
    pub fn is_closed(&self) -> bool {
        self.mouths.is_empty() && self.slits == 0
    }
}

/// A point on the edge of a panel: edge and distance along it.
type Spot = (CopyId, usize, Length);

/// A segment of a panel's edge, from spot to spot in the outline's direction.
type Segment = (Spot, Spot);

/// The surface of the body that a copy belongs to.
pub(super) fn surface(work: &Assembly<'_>, copy: CopyId) -> Surface {
    let copies = work.body_copies(copy);
    let mut complex = Complex::new(work, &copies);
    // A zip can be opened: it is counted as a mouth.
    let sewn = |glue: &&super::Glue| !glue.zip && copies.contains(&glue.a.copy);
    for glue in work.glues.iter().filter(sewn) {
        complex.glue(glue.a, glue.b);
    }
    let (orientable, inside_out) = orientation(work, &copies);
    complex.finish(work, copies, orientable, inside_out)
}

struct Complex {
    spots: Vec<Spot>,
    index: BTreeMap<Spot, usize>,
    parent: Vec<usize>,
    segments: Vec<Segment>,
    edge_of: Vec<usize>,
    /// Whether a segment runs the same way as the first of its edge.
    along: Vec<bool>,
}

impl Complex {
    fn new(work: &Assembly<'_>, copies: &[CopyId]) -> Self {
        let mut complex = Self {
            spots: Vec::new(),
            index: BTreeMap::new(),
            parent: Vec::new(),
            segments: Vec::new(),
            edge_of: Vec::new(),
            along: Vec::new(),
        };
        for copy in copies {
            let net = &work.pattern.piece_of(*copy).net;
            let count = net.edge_count();
            for edge in 0..count {
                let cuts = cuts(work, *copy, edge, net.edge_length(edge));
                for pair in cuts.windows(2) {
                    let (from, to) = ((*copy, edge, pair[0]), (*copy, edge, pair[1]));
                    complex.spot(from);
                    complex.spot(to);
                    complex.edge_of.push(complex.segments.len());
                    complex.along.push(true);
                    complex.segments.push((from, to));
                }
            }
            for edge in 0..count {
                let end = (*copy, edge, net.edge_length(edge));
                complex.unite(end, (*copy, (edge + 1) % count, Length::ZERO));
            }
        }
        complex
    }

    fn spot(&mut self, spot: Spot) -> usize {
        if let Some(index) = self.index.get(&spot) {
            return *index;
        }
        self.spots.push(spot);
        self.parent.push(self.parent.len());
        self.index.insert(spot, self.parent.len() - 1);
        self.parent.len() - 1
    }

    fn root(&self, mut at: usize) -> usize {
        while self.parent[at] != at {
            at = self.parent[at];
        }
        at
    }

    fn unite(&mut self, a: Spot, b: Spot) {
        let (a, b) = (self.spot(a), self.spot(b));
        let (a, b) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        self.parent[high] = low;
    }

    /// Identifies two stretches: their ends, and the segments between them in order.
    fn glue(&mut self, a: Span, b: Span) {
        let (first, second) = (self.between(a), self.between(b));
        for (x, y) in first.iter().zip(&second) {
            let (x_ends, y_ends) = (self.directed(*x, a), self.directed(*y, b));
            self.unite(x_ends.0, y_ends.0);
            self.unite(x_ends.1, y_ends.1);
            let same_way = (a.from <= a.to) == (b.from <= b.to);
            let turn = (self.along[*x] == self.along[*y]) != same_way;
            let (x, y) = (self.edge_of[*x], self.edge_of[*y]);
            let (low, high) = (x.min(y), x.max(y));
            if low == high {
                continue;
            }
            for (edge, along) in self.edge_of.iter_mut().zip(&mut self.along) {
                if *edge == high {
                    *edge = low;
                    *along ^= turn;
                }
            }
        }
    }

    /// Indices of the segments within a span, in the span's direction.
    fn between(&self, span: Span) -> Vec<usize> {
        let (from, to) = span.ordered();
        let mut found: Vec<usize> = (0..self.segments.len())
            .filter(|index| {
                let ((copy, edge, start), (_, _, end)) = self.segments[*index];
                (copy, edge) == (span.copy, span.edge) && from <= start && end <= to
            })
            .collect();
        if span.from > span.to {
            found.reverse();
        }
        found
    }

    fn directed(&self, segment: usize, span: Span) -> (Spot, Spot) {
        let (from, to) = self.segments[segment];
        if span.from <= span.to { (from, to) } else { (to, from) }
    }

    fn finish(
        self,
        work: &Assembly<'_>,
        copies: Vec<CopyId>,
        orientable: bool,
        inside_out: Vec<CopyId>,
    ) -> Surface {
        let vertices: BTreeSet<usize> = (0..self.spots.len()).map(|spot| self.root(spot)).collect();
        let mut sharing: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (segment, edge) in self.edge_of.iter().enumerate() {
            sharing.entry(*edge).or_default().push(segment);
        }
        let open: Vec<usize> =
            sharing.values().filter(|shared| shared.len() == 1).map(|shared| shared[0]).collect();
        let complex = sharing
            .values()
            .map(|shared| {
                let (from, to) = self.segments[shared[0]];
                let first = self.along[shared[0]];
                let panels = shared
                    .iter()
                    .map(|at| (self.segments[*at].0.0, self.along[*at] == first))
                    .collect();
                let ends = (self.root(self.index[&from]), self.root(self.index[&to]));
                ComplexEdge { ends, panels }
            })
            .collect();
        Surface {
            vertices: vertices.len(),
            edges: sharing.len(),
            mouths: self.mouths(work, &open),
            // A slit into the bag of a pocket leads nowhere else.
            slits: work
                .slits
                .iter()
                .filter(|slit| copies.contains(&slit.copy) && slit.faced_by.is_none())
                .count(),
            copies,
            orientable,
            inside_out,
            complex,
        }
    }

    /// Groups open segments that hang together into mouths.
    fn mouths(&self, work: &Assembly<'_>, open: &[usize]) -> Vec<Mouth> {
        let mut left: BTreeSet<usize> = open.iter().copied().collect();
        let mut mouths = Vec::new();
        while let Some(start) = left.pop_first() {
            let mut group = vec![start];
            let mut reached = vec![start];
            while let Some(at) = reached.pop() {
                let ends = self.ends(at);
                let next: Vec<usize> = left
                    .iter()
                    .copied()
                    .filter(|other| self.ends(*other).iter().any(|end| ends.contains(end)))
                    .collect();
                for other in next {
                    left.remove(&other);
                    group.push(other);
                    reached.push(other);
                }
            }
            mouths.push(self.mouth(work, &group));
        }
        mouths
    }

    fn ends(&self, segment: usize) -> [usize; 2] {
        let (from, to) = self.segments[segment];
        [self.root(self.index[&from]), self.root(self.index[&to])]
    }

    fn mouth(&self, work: &Assembly<'_>, group: &[usize]) -> Mouth {
        let spans: Vec<Span> = group
            .iter()
            .map(|segment| {
                let ((copy, edge, from), (_, _, to)) = self.segments[*segment];
                Span { copy, edge, from, to }
            })
            .collect();
        let mut edgings = Vec::new();
        for span in &spans {
            for stretch in work.stretches(span.copy, span.edge) {
                let meets = stretch.from < span.to && span.from < stretch.to;
                if meets && !edgings.contains(&stretch.edging) {
                    edgings.push(stretch.edging);
                }
            }
        }
        Mouth { around: spans.iter().map(Span::length).sum(), spans, edgings }
    }
}

/// Where an edge is cut into segments: at its ends, and where stretches and seams begin and end.
fn cuts(work: &Assembly<'_>, copy: CopyId, edge: usize, length: Length) -> Vec<Length> {
    let mut cuts = BTreeSet::from([Length::ZERO, length]);
    for glue in &work.glues {
        for span in [glue.a, glue.b] {
            if (span.copy, span.edge) == (copy, edge) {
                cuts.extend([span.from, span.to]);
            }
        }
    }
    cuts.extend(work.stretches(copy, edge).iter().flat_map(|s| [s.from, s.to]));
    cuts.into_iter().filter(|at| *at >= Length::ZERO && *at <= length).collect()
}

/// Walks from panel to panel across the seams, carrying the right side along.
fn orientation(work: &Assembly<'_>, copies: &[CopyId]) -> (bool, Vec<CopyId>) {
    let mut side: BTreeMap<CopyId, bool> = BTreeMap::new();
    let mut orientable = true;
    let Some(first) = copies.first() else { return (true, Vec::new()) };
    side.insert(*first, true);
    let mut reached = vec![*first];
    while let Some(at) = reached.pop() {
        let here = side[&at];
        for glue in &work.glues {
            let other = match at {
                _ if glue.a.copy == at => glue.b.copy,
                _ if glue.b.copy == at => glue.a.copy,
                _ => continue,
            };
            let there = here == glue.keeps_orientation();
            match side.get(&other) {
                Some(known) if *known != there => orientable = false,
                Some(_) => {}
                None => {
                    side.insert(other, there);
                    reached.push(other);
                }
            }
        }
    }
    let inside_out = side.iter().filter(|(_, right)| !**right).map(|(copy, _)| *copy).collect();
    (orientable, inside_out)
}
