//! An edge in stretches, each with what has become of it.

use measure::Length;

use crate::pattern::CopyId;

/// A stretch of an edge, in distances along its stitching line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Start.
    pub from: Length,
    /// End.
    pub to: Length,
    /// What has become of it.
    pub edging: Edging,
    /// Its allowance is overcast, bound or enclosed.
    pub finished: bool,
}

/// What has become of a stretch of an edge; steps by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edging {
    /// As cut.
    Raw,
    /// Basted level with an edge of a host, to be caught with it.
    Basted(CopyId, usize),
    /// Joined by a step.
    Joined(usize),
    /// Left open by a step that joined the rest.
    Gap(usize),
    /// A gap, closed by a step.
    Closed(usize),
    /// Hemmed by a step.
    Hemmed(usize),
    /// Sewn to a zip by a step; the zip can be opened.
    Zipped(usize),
    /// Wrapped in a binding by a step.
    Bound(usize),
    /// Turned under and held by a step.
    TurnedUnder(usize),
}

impl Edging {
    /// Whether one could still put a hand through: nothing holds it to another edge.
    pub fn is_open(self) -> bool {
        matches!(
            self,
            Self::Raw
                | Self::Basted(..)
                | Self::Gap(_)
                | Self::Hemmed(_)
                | Self::Zipped(_)
                | Self::Bound(_)
        )
    }
}

impl Stretch {
    /// A whole edge, as cut.
    pub fn raw(length: Length) -> Self {
        Self { from: Length::ZERO, to: length, edging: Edging::Raw, finished: false }
    }
}

/// Sets what has become of the stretch between two distances, splitting what lies across.
pub(super) fn set(stretches: &mut Vec<Stretch>, from: Length, to: Length, edging: Edging) {
    change(stretches, from, to, |stretch| stretch.edging = edging);
}

/// Marks the allowance between two distances as finished.
pub(super) fn set_finished(stretches: &mut Vec<Stretch>, from: Length, to: Length) {
    change(stretches, from, to, |stretch| stretch.finished = true);
}

fn change(stretches: &mut Vec<Stretch>, from: Length, to: Length, apply: impl Fn(&mut Stretch)) {
    let mut changed = Vec::with_capacity(stretches.len() + 2);
    for old in stretches.drain(..) {
        let (low, high) = (old.from.max(from), old.to.min(to));
        if low >= high {
            changed.push(old);
            continue;
        }
        if old.from < low {
            changed.push(Stretch { to: low, ..old });
        }
        let mut inner = Stretch { from: low, to: high, ..old };
        apply(&mut inner);
        changed.push(inner);
        if high < old.to {
            changed.push(Stretch { from: high, ..old });
        }
    }
    *stretches = changed;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_splits_a_seam_in_three() {
        let mut edge = vec![Stretch::raw(Length::inch(20))];
        set(&mut edge, Length::ZERO, Length::inch(20), Edging::Joined(3));
        set(&mut edge, Length::inch(7), Length::inch(13), Edging::Gap(3));
        let seen: Vec<_> = edge.iter().map(|s| (s.from, s.to, s.edging)).collect();
        assert_eq!(
            seen,
            [
                (Length::ZERO, Length::inch(7), Edging::Joined(3)),
                (Length::inch(7), Length::inch(13), Edging::Gap(3)),
                (Length::inch(13), Length::inch(20), Edging::Joined(3)),
            ]
        );
    }

    #[test]
    fn what_lies_outside_is_left_alone() {
        let mut edge = vec![Stretch::raw(Length::inch(5))];
        set(&mut edge, Length::inch(6), Length::inch(9), Edging::Joined(0));
        assert_eq!(edge, [Stretch::raw(Length::inch(5))]);
    }
}
