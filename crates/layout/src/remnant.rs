//! The largest rectangle left over of the fabric that is bought.

use measure::{Area, Length, Outline};

use crate::odd::within;
use crate::{Placement, Remnant, Shape};

/// Beyond this many cells only the free end of the fabric is looked at.
const MOST_CELLS: usize = 1_000_000;
/// Within an outline, each cell takes longer; so many corners give a line in each direction.
const MOST_CELLS_WITHIN: usize = 10_000;
const LINES_WITHIN: usize = 24;

/// The largest rectangle of a piece of fabric, its box with the lower left corner at the origin, that
/// lies clear of the boxes of what is laid on it; on one with an outline, the largest that is found.
pub fn largest_free(shape: &Shape, placements: &[Placement]) -> Option<Remnant> {
    match shape {
        Shape::Rect { width, length } => largest(placements, *width, *length),
        Shape::Outline(outline) => largest_within(placements, outline),
    }
}

/// The largest free rectangle on fabric of this width and length.
pub(crate) fn largest(placements: &[Placement], width: Length, length: Length) -> Option<Remnant> {
    let used = placements.iter().map(|one| one.y + one.length).max().unwrap_or(Length::ZERO);
    let mut best = Remnant { stock: 0, x: Length::ZERO, y: used, width, length: length - used };
    let lines = |far: Length, edges: &dyn Fn(&Placement) -> [Length; 2]| {
        let mut lines: Vec<_> = placements.iter().flat_map(edges).collect();
        lines.extend([Length::ZERO, far]);
        lines.retain(|&line| line <= far);
        lines.sort_unstable();
        lines.dedup();
        lines
    };
    let xs = lines(width, &|one| [one.x, one.x + one.width]);
    let ys = lines(length, &|one| [one.y, one.y + one.length]);
    if xs.len() * ys.len() <= MOST_CELLS {
        let grid = Grid::new(placements, &xs, &ys);
        for rectangle in grid.rectangles() {
            if area(&rectangle) > area(&best) {
                best = rectangle;
            }
        }
    }
    (best.width.is_positive() && best.length.is_positive()).then_some(best)
}

/// The largest free rectangle that is found within an outline, its box with the lower left corner
/// at the origin. Its sides run along corners of the outline and sides of pieces; where there are
/// too many corners, or curves, a larger one may be missed.
fn largest_within(placements: &[Placement], outline: &Outline) -> Option<Remnant> {
    let polygon = within::polygon(outline);
    let lines = |corners: &dyn Fn(&(i64, i64)) -> i64,
                 edges: &dyn Fn(&Placement) -> [Length; 2]| {
        let mut lines: Vec<_> = placements.iter().flat_map(edges).collect();
        lines.extend(within::lines(&polygon, LINES_WITHIN, corners).into_iter().map(Length::nm));
        lines.sort_unstable();
        lines.dedup();
        lines
    };
    let xs = lines(&|corner| corner.0, &|one| [one.x, one.x + one.width]);
    let ys = lines(&|corner| corner.1, &|one| [one.y, one.y + one.length]);
    if xs.len() * ys.len() > MOST_CELLS_WITHIN {
        return None;
    }
    let mut grid = Grid::new(placements, &xs, &ys);
    let columns = xs.len() - 1;
    for (at, is_covered) in grid.covered.iter_mut().enumerate() {
        let (column, row) = (at % columns, at / columns);
        let corner = |x: usize, y: usize| (xs[x].to_nm(), ys[y].to_nm());
        *is_covered |=
            !within::is_within(&polygon, corner(column, row), corner(column + 1, row + 1));
    }
    let best = grid
        .rectangles()
        .into_iter()
        .reduce(|best, one| if area(&one) > area(&best) { one } else { best })?;
    // Chords lie on either side of a curve.
    let away = Length::nm(within::room(outline));
    let best = Remnant {
        x: best.x + away,
        y: best.y + away,
        width: best.width - away * 2,
        length: best.length - away * 2,
        ..best
    };
    (best.width.is_positive() && best.length.is_positive()).then_some(best)
}

fn area(remnant: &Remnant) -> Area {
    if remnant.length.is_positive() {
        Area::rectangle(remnant.width, remnant.length)
    } else {
        Area::ZERO
    }
}

/// The fabric cut up along the edges of all pieces.
struct Grid<'a> {
    xs: &'a [Length],
    ys: &'a [Length],
    /// Row by row, whether a piece lies on the cell.
    covered: Vec<bool>,
}

impl<'a> Grid<'a> {
    fn new(placements: &[Placement], xs: &'a [Length], ys: &'a [Length]) -> Self {
        let columns = xs.len() - 1;
        let mut covered = vec![false; columns * (ys.len() - 1)];
        for one in placements {
            let at = |lines: &[Length], line| lines.partition_point(|&other| other < line);
            let columns_covered = at(xs, one.x)..at(xs, one.x + one.width).min(columns);
            for row in at(ys, one.y)..at(ys, one.y + one.length).min(ys.len() - 1) {
                for column in columns_covered.clone() {
                    covered[row * columns + column] = true;
                }
            }
        }
        Self { xs, ys, covered }
    }

    /// Free rectangles, among them every one that cannot be made larger.
    fn rectangles(&self) -> Vec<Remnant> {
        let columns = self.xs.len() - 1;
        let mut found = Vec::new();
        // Where the free stretch of each column begins that ends at the present row.
        let mut begins = vec![0; columns];
        for row in 0..self.ys.len() - 1 {
            for (column, begin) in begins.iter_mut().enumerate() {
                if self.covered[row * columns + column] {
                    *begin = row + 1;
                }
            }
            self.ending_at(row, &begins, &mut found);
        }
        found
    }

    /// The largest rectangles that end at a row, by a stack of columns that reach ever farther back.
    fn ending_at(&self, row: usize, begins: &[usize], found: &mut Vec<Remnant>) {
        let mut open: Vec<(usize, usize)> = Vec::new();
        for column in 0..=begins.len() {
            let begin = begins.get(column).copied().unwrap_or(row + 1);
            let mut first = column;
            while let Some(&(from, since)) = open.last().filter(|(_, since)| *since < begin) {
                open.pop();
                first = from;
                found.push(Remnant {
                    stock: 0,
                    x: self.xs[from],
                    y: self.ys[since],
                    width: self.xs[column] - self.xs[from],
                    length: self.ys[row + 1] - self.ys[since],
                });
            }
            let is_new = open.last().is_none_or(|&(_, since)| since > begin);
            if begin <= row && is_new {
                open.push((first, begin));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Rotation;

    fn piece(x: i64, y: i64, width: i64, length: i64) -> Placement {
        Placement {
            piece: 0,
            copy: 0,
            part: 0,
            stock: 0,
            rotation: Rotation::None,
            mirrored: false,
            x: Length::mm(x),
            y: Length::mm(y),
            width: Length::mm(width),
            length: Length::mm(length),
        }
    }

    fn rest(placements: &[Placement]) -> Option<(i64, i64, i64, i64)> {
        largest(placements, Length::mm(100), Length::mm(100)).map(|rest| {
            let mm = |length: Length| length.to_nm() / 1_000_000;
            (mm(rest.x), mm(rest.y), mm(rest.width), mm(rest.length))
        })
    }

    #[test]
    fn the_largest_rest() {
        assert_eq!(rest(&[]), Some((0, 0, 100, 100)));
        assert_eq!(rest(&[piece(0, 0, 40, 90)]), Some((40, 0, 60, 100)));
        assert_eq!(rest(&[piece(0, 0, 90, 40)]), Some((0, 40, 100, 60)));
        // A hole between pieces counts as well.
        assert_eq!(rest(&[piece(0, 0, 20, 95), piece(85, 0, 15, 95)]), Some((20, 0, 65, 100)));
        assert_eq!(rest(&[piece(0, 0, 100, 10), piece(0, 60, 100, 39)]), Some((0, 10, 100, 50)));
        assert_eq!(rest(&[piece(0, 0, 100, 100)]), None);
    }

    #[test]
    fn it_is_the_largest_of_all() {
        // Steps down, up and down again: compared with every rectangle on the 10 mm grid.
        let pieces = [
            piece(0, 0, 20, 30),
            piece(20, 0, 20, 50),
            piece(60, 20, 20, 60),
            piece(80, 0, 20, 10),
        ];
        let overlaps = |x: i64, y: i64, w: i64, l: i64| {
            pieces.iter().any(|p| {
                let mm = |length: Length| length.to_nm() / 1_000_000;
                x < mm(p.x + p.width)
                    && mm(p.x) < x + w
                    && y < mm(p.y + p.length)
                    && mm(p.y) < y + l
            })
        };
        let mut most = 0;
        for (x, y) in (0..10).flat_map(|x| (0..10).map(move |y| (x * 10, y * 10))) {
            for (w, l) in (1..=10).flat_map(|w| (1..=10).map(move |l| (w * 10, l * 10))) {
                if x + w <= 100 && y + l <= 100 && !overlaps(x, y, w, l) {
                    most = most.max(w * l);
                }
            }
        }
        let (_, _, width, length) = rest(&pieces).unwrap();
        assert_eq!(width * length, most);
    }
}
