//! What a step sews: an oriented chain of edge spans.

use measure::Length;

use super::{CopyId, Pattern};

/// A stretch of one edge of one copy, in distances along its stitching line from the edge's start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// Which copy.
    pub copy: CopyId,
    /// Index of the edge.
    pub edge: usize,
    /// Where the run enters the edge.
    pub from: Length,
    /// Where it leaves; smaller than `from` if it runs against the outline.
    pub to: Length,
}

/// An oriented chain of spans, which may turn corners, cross seams and close on itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Run {
    /// The spans, in sewing order.
    pub spans: Vec<Span>,
    /// Whether the last meets the first: sewn in the round.
    pub closed: bool,
}

impl Span {
    /// Its length.
    pub fn length(&self) -> Length {
        (self.to - self.from).abs()
    }

    /// The same stretch, run the other way.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self { from: self.to, to: self.from, ..self }
    }

    /// From the smaller to the larger distance, whichever way it runs.
    pub fn ordered(&self) -> (Length, Length) {
        if self.from <= self.to { (self.from, self.to) } else { (self.to, self.from) }
    }
}

impl Run {
    /// An open chain.
    pub fn open(spans: impl IntoIterator<Item = Span>) -> Self {
        Self { spans: spans.into_iter().collect(), closed: false }
    }

    /// A chain that closes on itself.
    pub fn round(spans: impl IntoIterator<Item = Span>) -> Self {
        Self { spans: spans.into_iter().collect(), closed: true }
    }

    /// The whole of one edge, in the outline's direction.
    pub fn edge(pattern: &Pattern, copy: CopyId, edge: usize) -> Self {
        let to = pattern.piece_of(copy).net.edge_length(edge);
        Self::open([Span { copy, edge, from: Length::ZERO, to }])
    }

    /// Its length along the stitching line.
    pub fn length(&self) -> Length {
        self.spans.iter().map(Span::length).sum()
    }

    /// The same chain, run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self {
            spans: self.spans.iter().rev().map(|span| span.reversed()).collect(),
            closed: self.closed,
        }
    }

    /// This chain, and then another.
    #[must_use]
    pub fn then(mut self, other: Self) -> Self {
        self.spans.extend(other.spans);
        self
    }

    /// The copies it runs over, each once, in order of first meeting.
    pub fn copies(&self) -> Vec<CopyId> {
        let mut copies = Vec::new();
        for span in &self.spans {
            if !copies.contains(&span.copy) {
                copies.push(span.copy);
            }
        }
        copies
    }
}
