//! Cutting jobs made up from a seed: what a bag is cut from, in sizes and numbers as bags have them.
//! Used by tests and benches.

use layout::{Item, Problem, Rotations, Stock};
use measure::{Increments, Length};

/// A small generator of random numbers (SplitMix64).
pub(crate) struct Rng(u64);

impl Rng {
    /// Begins at a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_f491_4f6c_dd1d))
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From `least` to `most`, both included.
    pub(crate) fn between(&mut self, least: i64, most: i64) -> i64 {
        let span = u64::try_from(most - least + 1).unwrap_or(1);
        least + i64::try_from(self.bits() % span).unwrap_or(0)
    }
}

/// The pieces of a bag on a bolt: 3 to 9 sizes, 4 to 25 pieces; every second seed in inches, every
/// second pair of seeds with the grain fixed.
pub(crate) fn bag(seed: u64) -> Problem {
    let mut rng = Rng::new(seed);
    let is_inch = seed.is_multiple_of(2);
    let is_free = seed / 2 % 2 == 1;
    let (unit, widths, increments) = if is_inch {
        let widths = [42, 43, 44, 54, 58].map(Length::inch);
        (Length::inch_frac(1, 4), widths, Increments::eighth_yards())
    } else {
        let widths = [107, 110, 112, 140, 148].map(|cm| Length::mm(cm * 10));
        (Length::mm(5), widths, Increments::ten_cm())
    };
    let width = widths[usize::try_from(rng.between(0, 4)).unwrap_or(0)];
    // Small pieces are pockets, tabs and straps; large ones panels and linings.
    let scale = if is_inch { 1 } else { 5 };
    let size = |rng: &mut Rng, least: i64, most: i64| {
        let quarters = rng.between(least * 4, most * 4);
        unit * (quarters * scale / if is_inch { 1 } else { 4 })
    };
    let kinds = rng.between(3, 9);
    let mut left = 25;
    let mut items = Vec::new();
    for kind in 0..kinds {
        let (across, along) = match rng.between(0, 9) {
            0..=3 => (size(&mut rng, 8, 24), size(&mut rng, 8, 20)),
            4..=6 => (size(&mut rng, 5, 14), size(&mut rng, 5, 12)),
            7 => (size(&mut rng, 2, 5), size(&mut rng, 2, 6)),
            8 => (size(&mut rng, 18, 32), size(&mut rng, 2, 6)),
            _ => (size(&mut rng, 2, 6), size(&mut rng, 14, 30)),
        };
        let most = (left - 2 * (kinds - kind - 1)).clamp(1, 4);
        let count = if kinds == 3 { rng.between(2.min(most), most) } else { rng.between(1, most) };
        left -= count;
        let rotations = if is_free { Rotations::free() } else { Rotations::along_the_grain() };
        let count = u32::try_from(count).unwrap_or(1);
        items.push(Item::rectangle(format!("piece {kind}"), (across, along), count, rotations));
    }
    Problem::new(Stock::bolt(width, increments), items)
}

/// A strip of fabric cut up from edge to edge into `count` pieces without waste, so that its length
/// is the shortest: the problem and that length.
pub(crate) fn cut_up(seed: u64, count: usize, rotations: Rotations) -> (Problem, Length) {
    let mut rng = Rng::new(seed);
    let (width, length) = (rng.between(900, 1500), rng.between(600, 2400));
    let mut pieces = vec![(width, length)];
    while pieces.len() < count {
        // The largest of three is cut, somewhere in its middle.
        let pick = |rng: &mut Rng| {
            let last = i64::try_from(pieces.len()).unwrap_or(1) - 1;
            usize::try_from(rng.between(0, last)).unwrap_or(0)
        };
        let three = [pick(&mut rng), pick(&mut rng), pick(&mut rng)];
        let area = |&index: &usize| pieces[index].0 * pieces[index].1;
        let index = three.into_iter().max_by_key(area).unwrap_or(0);
        let (width, length) = pieces.swap_remove(index);
        let is_across = width * 2 > length * rng.between(1, 3);
        let long = if is_across { width } else { length };
        let at = long * rng.between(25, 75) / 100;
        if at == 0 || at == long {
            pieces.push((width, length));
            continue;
        }
        for part in [at, long - at] {
            pieces.push(if is_across { (part, length) } else { (width, part) });
        }
    }
    let items = pieces.into_iter().map(|(width, length)| {
        Item::rectangle("part", (Length::mm(width), Length::mm(length)), 1, rotations)
    });
    let stock = Stock::bolt(Length::mm(width), Increments::ten_cm());
    (Problem::new(stock, items.collect()), Length::mm(length))
}
