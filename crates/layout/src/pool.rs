//! What searches that lay one piece after the other have in common: equal pieces are one kind, and
//! what has been laid is kept as chains that share their beginnings.

use std::collections::BTreeMap;

use crate::pack::{Packing, Rect, Spot};

/// The pieces by kind.
#[derive(Clone, Debug)]
pub(crate) struct Pool {
    pub(crate) kinds: Vec<Kind>,
    /// How many pieces there are.
    pub(crate) count: usize,
    /// Their area.
    pub(crate) area: f64,
}

/// Equal rectangles.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    /// Width and length in each way it may lie; at least one.
    pub(crate) ways: Vec<(i64, i64)>,
    /// Whether each way is turned.
    turned: Vec<bool>,
    /// Which rectangles they are.
    indices: Vec<usize>,
    pub(crate) area: f64,
}

impl Kind {
    /// How many there are.
    pub(crate) fn count(&self) -> usize {
        self.indices.len()
    }
}

/// One of a kind, laid.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Laid {
    pub(crate) kind: usize,
    pub(crate) way: usize,
    pub(crate) x: i64,
    pub(crate) y: i64,
}

impl Pool {
    pub(crate) fn new(rects: &[Rect]) -> Self {
        let mut by_rect = BTreeMap::<Rect, Vec<usize>>::new();
        for (index, &rect) in rects.iter().enumerate() {
            by_rect.entry(rect).or_default().push(index);
        }
        let kinds: Vec<_> = by_rect
            .into_iter()
            .map(|(rect, indices)| {
                let mut ways: Vec<_> = rect.ways().collect();
                if !rect.is_free() {
                    ways.truncate(1);
                }
                Kind {
                    area: ways.first().map_or(0.0, |&(_, width, length)| area(width, length)),
                    turned: ways.iter().map(|way| way.0).collect(),
                    ways: ways.into_iter().map(|(_, width, length)| (width, length)).collect(),
                    indices,
                }
            })
            .filter(|kind| !kind.ways.is_empty())
            .collect();
        let whole = kinds.iter().map(|kind| kind.area * per(kind.count())).sum();
        Self { kinds, count: rects.len(), area: whole }
    }

    /// The packing of pieces that are all laid.
    pub(crate) fn packing(&self, laid: impl Iterator<Item = Laid>) -> Packing {
        let mut used = vec![0; self.kinds.len()];
        let mut spots = vec![Spot::default(); self.count];
        let mut length = 0;
        for one in laid {
            let kind = &self.kinds[one.kind];
            let index = kind.indices[used[one.kind]];
            used[one.kind] += 1;
            spots[index] = Spot { x: one.x, y: one.y, turned: kind.turned[one.way] };
            length = length.max(one.y + kind.ways[one.way].1);
        }
        Packing { spots, length }
    }
}

/// What has been laid, from the last piece back to the first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Chains(Vec<(Option<usize>, Laid)>);

impl Chains {
    /// Forgets them all.
    pub(crate) fn clear(&mut self) {
        self.0.clear();
    }

    /// Lays one more after those before; the chain that ends with it.
    pub(crate) fn push(&mut self, before: Option<usize>, laid: Laid) -> usize {
        self.0.push((before, laid));
        self.0.len() - 1
    }

    /// All that has been laid.
    pub(crate) fn back(&self, mut last: Option<usize>) -> impl Iterator<Item = Laid> {
        std::iter::from_fn(move || {
            let (before, laid) = self.0[last?];
            last = before;
            Some(laid)
        })
    }
}

/// A size of fabric to compare by: searches only need to know about how large it is.
#[expect(clippy::cast_precision_loss, reason = "only searches are guided by it")]
pub(crate) fn area(width: i64, length: i64) -> f64 {
    width as f64 * length as f64
}

/// A count to compare by.
#[expect(clippy::cast_precision_loss, reason = "only searches are guided by it")]
pub(crate) fn per(count: usize) -> f64 {
    count as f64
}

/// A number that tells states of a search apart, the same on every machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mark(u64);

impl Mark {
    pub(crate) const fn new() -> Self {
        Self(0x9e37_79b9_7f4a_7c15)
    }

    /// Takes one more number in.
    pub(crate) const fn mix(&mut self, value: u64) {
        self.0 = (self.0 ^ value).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        self.0 ^= self.0 >> 29;
    }

    pub(crate) const fn value(self) -> u64 {
        self.0
    }
}
