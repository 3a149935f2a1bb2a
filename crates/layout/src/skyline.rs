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

impl Skyline {
    /// Bare fabric.
    pub(crate) fn new(width: i64) -> Self {
        Self { steps: vec![Step { x: 0, width, y: 0 }], width }
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

    /// The lowest stretch: where it begins, how wide it is, and how far it lies.
    pub(crate) fn valley(&self) -> (Place, i64) {
        let lowest = (0..self.steps.len()).min_by_key(|&index| self.steps[index].y).unwrap_or(0);
        let step = self.steps[lowest];
        (Place { x: step.x, y: step.y, lost: 0, step: lowest }, step.width)
    }

    /// Gives the lowest stretch up: it is filled to the lower of its neighbours.
    pub(crate) fn fill_valley(&mut self) {
        let (place, _) = self.valley();
        let before = place.step.checked_sub(1).map(|index| self.steps[index].y);
        let after = self.steps.get(place.step + 1).map(|step| step.y);
        if let Some(y) = before.into_iter().chain(after).min() {
            self.steps[place.step].y = y;
            self.join_level(place.step);
        }
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
