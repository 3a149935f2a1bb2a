//! Matching two runs, stretch by stretch: which point of one edge meets which of the other.

use measure::Length;

use crate::operations::Gap;
use crate::pattern::{Run, Span};

/// Two stretches that are sewn to each other, both in sewing direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glue {
    /// On the first side.
    pub a: Span,
    /// On the second side.
    pub b: Span,
    /// Index of the step that sews them.
    pub step: usize,
    /// Held by a zip between them, which can be opened.
    pub zip: bool,
}

impl Glue {
    /// Whether the two panels keep their orientation across the seam: one edge is sewn along its
    /// outline and the other against it, so that right sides can lie together all along.
    pub fn keeps_orientation(&self) -> bool {
        (self.a.from <= self.a.to) != (self.b.from <= self.b.to)
    }
}

/// A stretch of two runs that lie on each other; `open` if it was left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Matched {
    pub(super) a: Span,
    pub(super) b: Span,
    pub(super) open: bool,
}

/// Two breaks nearer than this are one: rounding of eased and sloped lengths.
const SAME: Length = Length::nm(100_000);

/// Whether two distances along an edge are one place, but for rounding.
pub(super) fn is_same(one: Length, other: Length) -> bool {
    (one - other).abs() < SAME
}

/// Lays two runs on each other from start to end; where their lengths differ, the second is eased
/// evenly. Gaps are distances along the first.
pub(super) fn matched(sides: &[Run; 2], gaps: &[Gap]) -> Vec<Matched> {
    let [a, b] = sides;
    let (long_a, long_b) = (a.length(), b.length());
    if !long_a.is_positive() || !long_b.is_positive() {
        return Vec::new();
    }
    let mut breaks = vec![Length::ZERO, long_a];
    breaks.extend(ends(a));
    breaks.extend(ends(b).map(|end| scaled(end, long_a, long_b)));
    breaks.extend(gaps.iter().flat_map(|gap| [gap.from, gap.to]));
    breaks.retain(|at| *at >= Length::ZERO && *at <= long_a);
    breaks.sort_unstable();
    breaks.dedup_by(|next, kept| *next - *kept < SAME);
    if let Some(last) = breaks.last_mut() {
        *last = long_a;
    }
    let mut parts = Vec::new();
    for pair in breaks.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let middle = (from + to).half();
        let open = gaps.iter().any(|gap| gap.from <= middle && middle <= gap.to);
        let on_b = |at| scaled(at, long_b, long_a);
        if let (Some(a), Some(b)) = (piece_of(a, from, to), piece_of(b, on_b(from), on_b(to))) {
            parts.push(Matched { a, b, open });
        }
    }
    parts
}

/// Distances along a run at which its spans end.
fn ends(run: &Run) -> impl Iterator<Item = Length> + '_ {
    run.spans.iter().scan(Length::ZERO, |at, span| {
        *at += span.length();
        Some(*at)
    })
}

/// `at · numerator / denominator`, to the nearest nanometre.
fn scaled(at: Length, numerator: Length, denominator: Length) -> Length {
    let (top, under) =
        (i128::from(at.to_nm()) * i128::from(numerator.to_nm()), denominator.to_nm());
    let under = i128::from(under.max(1));
    Length::nm(i64::try_from((top + under / 2) / under).unwrap_or(i64::MAX))
}

/// The stretch of a run between two distances that lie on one span; its ends snap to the span's
/// own ends, so that corners stay corners.
fn piece_of(run: &Run, from: Length, to: Length) -> Option<Span> {
    let middle = (from + to).half();
    let mut start = Length::ZERO;
    for span in &run.spans {
        let end = start + span.length();
        if middle <= end {
            let at = |distance: Length| {
                let along = (distance - start).max(Length::ZERO).min(span.length());
                let along = if along < SAME {
                    Length::ZERO
                } else if span.length() - along < SAME {
                    span.length()
                } else {
                    along
                };
                if span.from <= span.to { span.from + along } else { span.from - along }
            };
            return Some(Span { from: at(from), to: at(to), ..*span });
        }
        start = end;
    }
    None
}
