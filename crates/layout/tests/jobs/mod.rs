//! Cutting jobs made up from a seed: what a bag is cut from, in sizes and numbers as bags have them.
//! Used by tests and benches.

use layout::{Item, Problem, Rotations, Shape, Stock};
use measure::{Increments, Length, Outline, Point, Segment};

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

/// So many pieces with outlines as bags have them: round bases, tapered gussets, scooped pockets,
/// flaps with rounded corners, and rectangles.
pub(crate) fn outlines(seed: u64, count: u32, rotations: Rotations) -> Problem {
    let mut rng = Rng::new(seed);
    let kinds = 8.min(count);
    let items = (0..kinds).map(|kind| {
        let mut size = |least: i64, most: i64| rng.between(least / 5, most / 5) as f64 * 5.0;
        let shape = match kind % 5 {
            0 => round(size(60, 160)),
            1 => tapered(size(120, 240), size(50, 110), size(250, 600)),
            2 => scooped(size(160, 300), size(140, 260), size(20, 50)),
            3 => flap(size(180, 400), size(120, 260), size(30, 55)),
            _ => Shape::Rect {
                width: Length::from_mm_f64(size(80, 400)),
                length: Length::from_mm_f64(size(80, 350)),
            },
        };
        let each = count / kinds + u32::from(kind < count % kinds);
        Item::new(format!("piece {kind}"), shape, each, rotations)
    });
    let items = items.collect();
    Problem::new(Stock::bolt(Length::mm(1100), Increments::ten_cm()), items)
}

fn at(x: f64, y: f64) -> Point {
    Point::new(Length::from_mm_f64(x), Length::from_mm_f64(y))
}

fn outline(start: Point, segments: Vec<(Segment, Point)>) -> Shape {
    let edges = segments.into_iter().map(|segment| vec![segment]).collect();
    Shape::Outline(Outline::from_edges(start, edges).expect("a piece"))
}

/// How far the control points of a quarter of a circle lie from its ends, for a radius of one.
const QUARTER: f64 = 0.552_284_749_8;

fn round(r: f64) -> Shape {
    let k = r * QUARTER;
    let quarter = |turn: i32| {
        let turned = |x: f64, y: f64| at(x, y).rotated_quarter(turn);
        (Segment::Curve(turned(r, k), turned(k, r)), turned(0.0, r))
    };
    outline(at(r, 0.0), (0..4).map(quarter).collect())
}

fn tapered(wide: f64, narrow: f64, length: f64) -> Shape {
    let inset = (wide - narrow) / 2.0;
    let corners = [(wide, 0.0), (wide - inset, length), (inset, length), (0.0, 0.0)];
    outline(at(0.0, 0.0), corners.iter().map(|&(x, y)| (Segment::Line, at(x, y))).collect())
}

fn scooped(width: f64, height: f64, deep: f64) -> Shape {
    let curve = Segment::Curve(at(width * 0.75, height - deep), at(width * 0.25, height - deep));
    let segments = vec![
        (Segment::Line, at(width, 0.0)),
        (Segment::Line, at(width, height)),
        (curve, at(0.0, height)),
        (Segment::Line, at(0.0, 0.0)),
    ];
    outline(at(0.0, 0.0), segments)
}

fn flap(width: f64, height: f64, r: f64) -> Shape {
    let k = r * (1.0 - QUARTER);
    let segments = vec![
        (Segment::Line, at(width - r, 0.0)),
        (Segment::Curve(at(width - k, 0.0), at(width, k)), at(width, r)),
        (Segment::Line, at(width, height)),
        (Segment::Line, at(0.0, height)),
        (Segment::Line, at(0.0, r)),
        (Segment::Curve(at(0.0, k), at(k, 0.0)), at(r, 0.0)),
    ];
    outline(at(r, 0.0), segments)
}

/// How a strip of fabric is cut up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Style {
    /// One of the larger pieces is cut in two somewhere in its middle.
    Halves,
    /// Any piece is cut in two anywhere: very large pieces beside very small ones.
    Slices,
    /// A piece is cut into five around a small one in the middle: no cut goes from edge to edge.
    Windmills,
    /// Lines in both directions at random, and neighbours that make a rectangle joined again.
    Patches,
    /// Rows of equal pieces: many pieces, few sizes.
    Rows,
}

impl Style {
    /// All of them.
    pub(crate) const ALL: [Self; 5] =
        [Self::Halves, Self::Slices, Self::Windmills, Self::Patches, Self::Rows];
}

/// A rectangle: left, near, right and far edge.
type Cell = [i64; 4];

/// A strip of fabric cut up from edge to edge into about `count` pieces without waste, so that its
/// length is the shortest: the problem and that length. Every second seed is cut in whole
/// centimetres, the others in millimetres.
pub(crate) fn cut_up(
    seed: u64,
    count: usize,
    style: Style,
    rotations: Rotations,
) -> (Problem, Length) {
    let mut rng = Rng::new(seed);
    let unit = if seed.is_multiple_of(2) { 1 } else { 10 };
    let (width, length) = (rng.between(900, 1500) / unit, rng.between(600, 2400) / unit);
    let whole = [0, 0, width, length];
    let cells = match style {
        Style::Halves => cut_in_parts(&mut rng, whole, count, halve),
        Style::Slices => cut_in_parts(&mut rng, whole, count, slice),
        Style::Windmills => cut_in_parts(&mut rng, whole, count, windmill),
        Style::Patches => patches(&mut rng, whole, count),
        Style::Rows => rows(&mut rng, whole, count),
    };
    let area: i64 = cells.iter().map(|cell| (cell[2] - cell[0]) * (cell[3] - cell[1])).sum();
    assert_eq!(area, width * length, "nothing is lost");
    let mm = |units: i64| Length::mm(units * unit);
    let mut items: Vec<_> = cells
        .into_iter()
        .map(|[left, near, right, far]| {
            Item::rectangle("part", (mm(right - left), mm(far - near)), 1, rotations)
        })
        .collect();
    // In an order that tells nothing.
    for index in (1..items.len()).rev() {
        let other = rng.between(0, i64::try_from(index).unwrap_or(0));
        items.swap(index, usize::try_from(other).unwrap_or(0));
    }
    let stock = Stock::bolt(mm(width), Increments::ten_cm());
    (Problem::new(stock, items), mm(length))
}

/// Cuts one piece after the other until there are so many.
fn cut_in_parts(
    rng: &mut Rng,
    whole: Cell,
    count: usize,
    cut: impl Fn(&mut Rng, &mut Vec<Cell>),
) -> Vec<Cell> {
    let mut cells = vec![whole];
    // Pieces too small to be cut are tried in vain at times.
    for _ in 0..count * 50 {
        if cells.len() >= count {
            break;
        }
        cut(rng, &mut cells);
    }
    cells
}

/// The largest of so many pieces.
fn pick(rng: &mut Rng, cells: &[Cell], of: usize) -> usize {
    let last = i64::try_from(cells.len()).unwrap_or(1) - 1;
    let some: Vec<_> =
        (0..of).map(|_| usize::try_from(rng.between(0, last)).unwrap_or(0)).collect();
    let area = |&index: &usize| {
        let [left, near, right, far] = cells[index];
        (right - left) * (far - near)
    };
    some.into_iter().max_by_key(area).unwrap_or(0)
}

/// Cuts a piece in two, between these hundredths of its longer side.
fn in_two(rng: &mut Rng, cells: &mut Vec<Cell>, index: usize, (least, most): (i64, i64)) {
    let [left, near, right, far] = cells[index];
    let is_across = (right - left) * 2 > (far - near) * rng.between(1, 3);
    let long = if is_across { right - left } else { far - near };
    let at = long * rng.between(least, most) / 100;
    if at == 0 || at == long {
        return;
    }
    let (one, other) = if is_across {
        ([left, near, left + at, far], [left + at, near, right, far])
    } else {
        ([left, near, right, near + at], [left, near + at, right, far])
    };
    cells[index] = one;
    cells.push(other);
}

fn halve(rng: &mut Rng, cells: &mut Vec<Cell>) {
    let index = pick(rng, cells, 3);
    in_two(rng, cells, index, (25, 75));
}

fn slice(rng: &mut Rng, cells: &mut Vec<Cell>) {
    let index = pick(rng, cells, 1);
    let [left, near, right, far] = cells[index];
    if (right - left).max(far - near) > 8 {
        in_two(rng, cells, index, (5, 95));
    }
}

fn windmill(rng: &mut Rng, cells: &mut Vec<Cell>) {
    let index = pick(rng, cells, 4);
    let [left, near, right, far] = cells[index];
    let (width, length) = (right - left, far - near);
    if width < 12 || length < 12 {
        return in_two(rng, cells, index, (25, 75));
    }
    let (a, b) = (width * rng.between(15, 45) / 100, width * rng.between(55, 85) / 100);
    let (c, d) = (length * rng.between(15, 45) / 100, length * rng.between(55, 85) / 100);
    let (a, b, c, d) = (left + a, left + b, near + c, near + d);
    cells[index] = [left, near, b, c];
    cells.extend([[b, near, right, d], [a, d, right, far], [left, c, a, far], [a, c, b, d]]);
}

fn patches(rng: &mut Rng, [_, _, width, length]: Cell, count: usize) -> Vec<Cell> {
    // A grid of two to three times as many cells.
    let side = (2..).find(|side| side * side >= count * 5 / 2).unwrap_or(2);
    let mut lines = |whole: i64| {
        let mut lines = vec![0, whole];
        for _ in 0..side * 20 {
            let line = rng.between(1, whole - 1);
            if lines.len() <= side && lines.iter().all(|other| (line - other).abs() >= 2) {
                lines.push(line);
            }
        }
        lines.sort_unstable();
        lines
    };
    let (xs, ys) = (lines(width), lines(length));
    let mut cells: Vec<Cell> =
        xs.windows(2).flat_map(|x| ys.windows(2).map(move |y| [x[0], y[0], x[1], y[1]])).collect();
    for _ in 0..count * 400 {
        if cells.len() <= count {
            break;
        }
        let (one, other) = (pick(rng, &cells, 1), pick(rng, &cells, 1));
        let (a, b) = (cells[one], cells[other]);
        let is_beside = a[2] == b[0] && (a[1], a[3]) == (b[1], b[3]);
        let is_behind = a[3] == b[1] && (a[0], a[2]) == (b[0], b[2]);
        if is_beside || is_behind {
            cells[one] = [a[0], a[1], b[2], b[3]];
            cells.swap_remove(other);
        }
    }
    cells
}

fn rows(rng: &mut Rng, [_, _, width, length]: Cell, count: usize) -> Vec<Cell> {
    let rows = (2..).find(|rows| rows * rows * 2 >= count).unwrap_or(2);
    let strips = cut_in_parts(rng, [0, 0, 1, length], rows, |rng, cells| {
        let index = pick(rng, cells, 3);
        in_two(rng, cells, index, (30, 70));
    });
    let mut cells = Vec::new();
    for [_, near, _, far] in strips {
        // As many equal pieces as there is room for, and what is left.
        let part = (width * rng.between(8, 40) / 100).max(1);
        let (mut left, mut width_left) = (0, width);
        while width_left > 0 && cells.len() < count * 2 {
            let right = left + part.min(width_left);
            cells.push([left, near, right, far]);
            (left, width_left) = (right, width - right);
        }
        if width_left > 0 {
            cells.push([left, near, width, far]);
        }
    }
    cells
}
