//! What has to be cut in strips: equal rectangles together, and the strips they are cut into.

use measure::Length;

use crate::cuts::{Cut, Cuts};

/// One way in which a piece may lie in a strip, with the gap added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    /// Across the fabric, along the strip.
    pub(crate) width: i64,
    /// Along the fabric, across the strip.
    pub(crate) height: i64,
    /// Whether it is turned by a quarter.
    pub(crate) turned: bool,
}

/// Equal rectangles.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    pub(crate) ways: Vec<Way>,
    /// Which of the cuts they are.
    pub(crate) cuts: Vec<usize>,
}

/// Rectangles to be cut in strips of one width.
#[derive(Clone, Debug)]
pub(crate) struct Job {
    pub(crate) kinds: Vec<Kind>,
    /// How wide the strips are, with a gap added.
    pub(crate) width: i64,
    /// The widest block in which a piece can be trimmed in its height, with a gap added.
    pub(crate) trim: i64,
    /// The highest strip: as high as the tallest piece may lie, with a gap added.
    pub(crate) tallest: i64,
}

/// A strip cut across the whole width: its height is that of its highest stack.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Strip {
    pub(crate) height: i64,
    pub(crate) blocks: Vec<Block>,
}

/// What lies between two cross cuts: pieces one above the other, as (kind, way).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Block {
    pub(crate) width: i64,
    pub(crate) stack: Vec<(usize, usize)>,
}

impl Job {
    /// Equal cuts together; a cut that can lie in no way within the longest cut is told by its
    /// index.
    pub(crate) fn new(
        cuts: &Cuts,
        lane: Length,
        gap: Length,
        longest: Option<Length>,
    ) -> Result<Self, usize> {
        let longest = longest.map_or(i64::MAX, |longest| (longest + gap).to_nm());
        let mut kinds: Vec<Kind> = Vec::new();
        for (index, cut) in cuts.cuts.iter().enumerate() {
            let ways = ways(cut, gap, longest);
            if ways.is_empty() {
                return Err(index);
            }
            match kinds.iter_mut().find(|kind| kind.ways == ways) {
                Some(kind) => kind.cuts.push(index),
                None => kinds.push(Kind { ways, cuts: vec![index] }),
            }
        }
        // Large pieces first: what is hard to place is placed first.
        kinds.sort_by_key(|kind| {
            let area = |way: &Way| i128::from(way.width) * i128::from(way.height);
            (std::cmp::Reverse(kind.ways.iter().map(area).min()), kind.ways.clone())
        });
        let heights = kinds.iter().flat_map(|kind| kind.ways.iter().map(|way| way.height));
        let tallest = heights.max().unwrap_or(0);
        Ok(Self { kinds, width: (lane + gap).to_nm(), trim: longest, tallest })
    }

    /// How many of each kind are needed.
    pub(crate) fn demand(&self) -> Vec<u32> {
        let count = |kind: &Kind| u32::try_from(kind.cuts.len()).unwrap_or(u32::MAX);
        self.kinds.iter().map(count).collect()
    }

    /// The heights that a strip can have: sums of heights of pieces that there are, and of any
    /// number of these, up to that of the tallest; none when there are more than `most`.
    pub(crate) fn heights(&self, demand: &[u32], any: &[i64], most: usize) -> Option<Vec<i64>> {
        let mut sums = vec![0_i64];
        let of_kind = |(kind, &count): (&Kind, &u32)| {
            (kind.ways.iter().map(|way| way.height).collect::<Vec<_>>(), count)
        };
        let any = any.iter().map(|&height| (vec![height], u32::MAX));
        for (ways, count) in self.kinds.iter().zip(demand).map(of_kind).chain(any) {
            for _ in 0..count {
                let before = sums.len();
                let more: Vec<_> = sums
                    .iter()
                    .flat_map(|sum| ways.iter().map(move |height| sum + height))
                    .filter(|&sum| sum <= self.tallest)
                    .collect();
                sums.extend(more);
                sums.sort_unstable();
                sums.dedup();
                if sums.len() > most {
                    return None;
                }
                if sums.len() == before {
                    break;
                }
            }
        }
        sums.retain(|&sum| sum > 0);
        Some(sums)
    }

    /// The way of a member of a stack.
    pub(crate) fn way(&self, (kind, way): (usize, usize)) -> Way {
        self.kinds[kind].ways[way]
    }

    /// A strip as high as its highest stack, with its blocks in a tidy order; none when nothing is
    /// in it.
    pub(crate) fn strip(&self, mut blocks: Vec<Block>) -> Option<Strip> {
        let high = |stack: &[(usize, usize)]| -> i64 {
            stack.iter().map(|&member| self.way(member).height).sum()
        };
        for block in &mut blocks {
            // The widest lies lowest, so that the rest beside the others is in one corner.
            block.stack.sort_by_key(|&member| (std::cmp::Reverse(self.way(member).width), member));
            block.width = block.stack.iter().map(|&one| self.way(one).width).max().unwrap_or(0);
        }
        blocks.retain(|block| !block.stack.is_empty());
        blocks.sort_by_key(|block| {
            (std::cmp::Reverse(high(&block.stack)), std::cmp::Reverse(block.width), block.clone())
        });
        let height = blocks.iter().map(|block| high(&block.stack)).max()?;
        Some(Strip { height, blocks })
    }
}

/// How many of each kind strips hold.
pub(crate) fn held(strips: &[Strip], kinds: usize) -> Vec<u32> {
    let mut held = vec![0; kinds];
    for block in strips.iter().flat_map(|strip| &strip.blocks) {
        for &(kind, _) in &block.stack {
            held[kind] += 1;
        }
    }
    held
}

fn ways(cut: &Cut, gap: Length, longest: i64) -> Vec<Way> {
    let (width, length) = ((cut.width + gap).to_nm(), (cut.length + gap).to_nm());
    let upright = cut.upright.map(|_| Way { width, height: length, turned: false });
    let turned = cut.turned.map(|_| Way { width: length, height: width, turned: true });
    let mut ways: Vec<_> = upright.into_iter().chain(turned).collect();
    ways.retain(|way| way.height <= longest);
    if let [one, other] = ways[..]
        && one.width == other.width
    {
        ways.truncate(1);
    }
    ways
}
