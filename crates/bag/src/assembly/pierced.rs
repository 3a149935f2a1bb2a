//! What lies on the other side of a panel, and is stitched through with it.

use measure::Point;

use super::{Assembly, Event};
use crate::operations::{FaceSide, Line};
use crate::pattern::CopyId;

/// Rows of stitches that hold something on a panel, and go through what lies on its other side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pierced {
    /// What the rows hold.
    pub what: Vec<CopyId>,
    /// The panel.
    pub onto: CopyId,
    /// The side of it on which the others lie.
    pub side: FaceSide,
    /// What lies there, each once.
    pub others: Vec<CopyId>,
}

impl Assembly<'_> {
    /// What the rows of a step go through beside what they hold and the panel: things that were sewn
    /// on the other side of that panel before. Of a strap counts where it is stitched down.
    pub fn pierced(&self, step: usize) -> Vec<Pierced> {
        let rows = |from: usize, to: usize| {
            let events = self.events.iter().filter(move |(at, _)| (from..to).contains(at));
            events.filter_map(|(_, event)| match event {
                Event::Stitched { what, onto, lines, .. } => Some((what, *onto, lines)),
                _ => None,
            })
        };
        let mut found = Vec::new();
        for (what, onto, lines) in rows(step, step + 1) {
            let Some(own) = what.iter().find_map(|copy| self.laid_on(*copy, onto)) else {
                continue;
            };
            let mut others: Vec<CopyId> = Vec::new();
            for (held, ..) in rows(0, step).filter(|(_, on, _)| *on == onto) {
                let beyond = |copy: &&CopyId| {
                    self.laid_on(**copy, onto).is_some_and(|side| side != own)
                        && !what.iter().any(|it| self.is_one_body(*it, **copy))
                };
                for other in held.iter().filter(beyond) {
                    let its =
                        rows(0, step).filter(|(held, on, _)| *on == onto && held.contains(other));
                    let mut its = its.flat_map(|(_, _, lines)| lines);
                    if !others.contains(other)
                        && its.any(|it| lines.iter().any(|own| cross(own, it)))
                    {
                        others.push(*other);
                    }
                }
            }
            if !others.is_empty() {
                let side = match own {
                    FaceSide::Right => FaceSide::Wrong,
                    FaceSide::Wrong => FaceSide::Right,
                };
                found.push(Pierced { what: what.clone(), onto, side, others });
            }
        }
        found
    }

    /// The side of a panel on which something was laid.
    fn laid_on(&self, copy: CopyId, panel: CopyId) -> Option<FaceSide> {
        self.events.iter().find_map(|(_, event)| match event {
            Event::Placed { what, onto, ground, .. } if *what == copy && *onto == panel => {
                Some(*ground)
            }
            _ => None,
        })
    }
}

/// Whether two rows cross each other, or one ends on the other. Rows along one line do not.
fn cross(one: &Line, other: &Line) -> bool {
    // Twice the area of the triangle with this corner: its sign is the side on which the corner lies.
    let side = |line: &Line, point: Point| {
        let [dx, dy, px, py] = [
            line.to.x - line.from.x,
            line.to.y - line.from.y,
            point.x - line.from.x,
            point.y - line.from.y,
        ]
        .map(|length| i128::from(length.to_nm()));
        (dx * py - dy * px).signum()
    };
    let apart = |line: &Line, by: &Line| side(line, by.from) * side(line, by.to);
    let along = |line: &Line, by: &Line| side(line, by.from) == 0 && side(line, by.to) == 0;
    !along(one, other) && apart(one, other) <= 0 && apart(other, one) <= 0
}

#[cfg(test)]
mod tests {
    use measure::Length;

    use super::*;

    #[test]
    fn rows_cross_or_lie_apart() {
        let at = |(x, y): (i64, i64)| Point::new(Length::mm(x), Length::mm(y));
        let line = |from, to| Line { from: at(from), to: at(to) };
        let level = line((0, 10), (100, 10));
        assert!(cross(&level, &line((50, 0), (50, 20))));
        assert!(cross(&level, &line((0, 0), (20, 20))));
        assert!(cross(&level, &line((50, 10), (50, 20))), "it ends on it");
        assert!(!cross(&level, &line((50, 11), (50, 20))));
        assert!(!cross(&level, &line((101, 0), (101, 20))));
        assert!(!cross(&level, &line((20, 10), (40, 10))), "along it");
    }
}
