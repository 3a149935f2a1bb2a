//! The skyline: the far edge of what lies already, as steps across the width. A piece is laid on
//! top of it, so that nothing is ever laid below another piece's overhang.

/// A level stretch of the skyline.
#[derive(Clone, Copy, Debug)]
struct Step {
    x: i64,
    width: i64,
    y: i64,
}

/// The skyline of a strip of fabric.
#[derive(Clone, Debug)]
pub(crate) struct Skyline {
    steps: Vec<Step>,
    width: i64,
}

/// A place on the skyline for a piece.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    pub(crate) x: i64,
    pub(crate) y: i64,
    /// The area that would be lost beneath the piece.
    pub(crate) lost: i128,
    step: usize,
}

/// The lowest stretch of a skyline.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Valley {
    pub(crate) x: i64,
    pub(crate) y: i64,
    /// How wide it is.
    pub(crate) room: i64,
    /// How much farther the stretches to its left and right lie; [`EDGE`] at the selvedges.
    pub(crate) walls: (i64, i64),
    step: usize,
}

/// An end of a valley.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// The wall at a selvedge.
pub(crate) const EDGE: i64 = i64::MAX;

impl Skyline {
    /// Bare fabric.
    pub(crate) fn new(width: i64) -> Self {
        Self { steps: vec![Step { x: 0, width, y: 0 }], width }
    }

    /// Makes it the same as another.
    pub(crate) fn copy(&mut self, other: &Self) {
        self.steps.clear();
        self.steps.extend_from_slice(&other.steps);
        self.width = other.width;
    }

    /// Makes it bare again.
    pub(crate) fn clear(&mut self) {
        self.steps.clear();
        self.steps.push(Step { x: 0, width: self.width, y: 0 });
    }

    /// The lowest place for a piece this wide, and of these the one that loses least, leftmost.
    pub(crate) fn lowest(&self, width: i64) -> Option<Place> {
        let mut best: Option<Place> = None;
        for (index, step) in self.steps.iter().enumerate() {
            if step.x + width > self.width {
                break;
            }
            if best.is_some_and(|best| step.y > best.y) {
                continue;
            }
            let place = self.over(index, width);
            let is_better = best.is_none_or(|best| (place.y, place.lost) < (best.y, best.lost));
            if is_better {
                best = Some(place);
            }
        }
        best
    }

    /// The place that begins at a step.
    fn over(&self, index: usize, width: i64) -> Place {
        let x = self.steps[index].x;
        let covered = || self.steps[index..].iter().take_while(|step| step.x < x + width);
        let y = covered().map(|step| step.y).max().unwrap_or(0);
        let lost = covered()
            .map(|step| {
                let shared = (step.x + step.width).min(x + width) - step.x;
                i128::from(y - step.y) * i128::from(shared)
            })
            .sum();
        Place { x, y, lost, step: index }
    }

    /// Lays a piece at a place.
    pub(crate) fn lay(&mut self, place: Place, width: i64, length: i64) {
        let end = place.x + width;
        let y = place.y + length;
        let mut last = place.step;
        while last < self.steps.len() && self.steps[last].x + self.steps[last].width <= end {
            last += 1;
        }
        if last < self.steps.len() && self.steps[last].x < end {
            let step = &mut self.steps[last];
            step.width -= end - step.x;
            step.x = end;
        }
        self.steps.splice(place.step..last, [Step { x: place.x, width, y }]);
        self.join_level(place.step);
    }

    /// The lowest stretch, leftmost.
    pub(crate) fn valley(&self) -> Valley {
        let mut at = 0;
        for (index, step) in self.steps.iter().enumerate() {
            if step.y < self.steps[at].y {
                at = index;
            }
        }
        let step = self.steps[at];
        let wall = |index: Option<usize>| {
            index.and_then(|index| self.steps.get(index)).map_or(EDGE, |other| other.y - step.y)
        };
        Valley {
            x: step.x,
            y: step.y,
            room: step.width,
            walls: (wall(at.checked_sub(1)), wall(Some(at + 1))),
            step: at,
        }
    }

    /// Lays a piece in the lowest stretch, at its left or right end; where it begins across.
    pub(crate) fn lay_in(&mut self, valley: Valley, size: (i64, i64), side: Side) -> i64 {
        let Valley { x, y, room, step: at, .. } = valley;
        let (width, length) = size;
        let rest = room - width;
        let laid = |x| Step { x, width, y: y + length };
        if rest <= 0 {
            self.steps[at] = laid(x);
            self.join_level(at);
            return x;
        }
        match side {
            Side::Left => {
                self.steps[at] = Step { x: x + width, width: rest, y };
                self.steps.insert(at, laid(x));
                self.join_level(at);
                x
            }
            Side::Right => {
                self.steps[at].width = rest;
                self.steps.insert(at + 1, laid(x + rest));
                self.join_level(at + 1);
                x + rest
            }
        }
    }

    /// Gives the lowest stretch up: it is filled to the lower of its neighbours. How far; nothing
    /// when it has no neighbours.
    pub(crate) fn give_up(&mut self, valley: Valley) -> i64 {
        let wall = valley.walls.0.min(valley.walls.1);
        if wall == EDGE {
            return 0;
        }
        self.steps[valley.step].y += wall;
        self.join_level(valley.step);
        wall
    }

    /// How many stretches there are.
    pub(crate) fn count(&self) -> usize {
        self.steps.len()
    }

    /// Where each stretch begins, and how far it lies.
    pub(crate) fn corners(&self) -> impl Iterator<Item = (i64, i64)> {
        self.steps.iter().map(|step| (step.x, step.y))
    }

    /// The area between the start of the fabric and the skyline.
    pub(crate) fn area(&self) -> i128 {
        self.steps.iter().map(|step| i128::from(step.width) * i128::from(step.y)).sum()
    }

    /// Joins a step with neighbours of the same level.
    fn join_level(&mut self, index: usize) {
        if self.steps.get(index + 1).is_some_and(|next| next.y == self.steps[index].y) {
            self.steps[index].width += self.steps[index + 1].width;
            self.steps.remove(index + 1);
        }
        if index > 0 && self.steps[index - 1].y == self.steps[index].y {
            self.steps[index - 1].width += self.steps[index].width;
            self.steps.remove(index);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners(skyline: &Skyline) -> Vec<(i64, i64)> {
        skyline.corners().collect()
    }

    #[test]
    fn a_valley_is_filled_from_either_end() {
        let mut skyline = Skyline::new(10);
        let bare = skyline.valley();
        assert_eq!((bare.room, bare.walls), (10, (EDGE, EDGE)));
        assert_eq!(skyline.give_up(bare), 0);
        assert_eq!(skyline.lay_in(bare, (3, 5), Side::Right), 7);
        assert_eq!(corners(&skyline), [(0, 0), (7, 5)]);
        assert_eq!(skyline.lay_in(skyline.valley(), (4, 2), Side::Left), 0);
        assert_eq!(corners(&skyline), [(0, 2), (4, 0), (7, 5)]);
        let between = skyline.valley();
        assert_eq!((between.x, between.room, between.walls), (4, 3, (2, 5)));
        // As long as its neighbour, it makes one stretch with it.
        let mut other = skyline.clone();
        assert_eq!(other.lay_in(between, (3, 2), Side::Left), 4);
        assert_eq!(corners(&other), [(0, 2), (7, 5)]);
        assert_eq!(skyline.give_up(between), 2);
        assert_eq!(corners(&skyline), [(0, 2), (7, 5)]);
    }
}
