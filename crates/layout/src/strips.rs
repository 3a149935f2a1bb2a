//! Strips that are longer than the fabric is wide: from which shorter strips they are joined.

use measure::Length;

use crate::{Join, JoinPlace, Stretch};

/// Strips shorter than this are too fiddly to join (common practice, no source).
const LEAST: Length = Length::INCH;

/// More joins in one strip than this, or more strips to cut, are not tried; nobody would sew them.
const MOST_JOINS: usize = 100;
const MOST_BARS: usize = 20_000;

/// The strips of one piece that are to be joined.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Strips {
    /// How they may be joined.
    pub(crate) join: Join,
    /// The length of a finished strip.
    pub(crate) long: Length,
    /// Its breadth.
    pub(crate) breadth: Length,
    /// The longest strip that can be cut.
    pub(crate) longest: Length,
    /// How many finished strips are needed.
    pub(crate) count: u32,
}

/// The strips to cut, by their lengths, and for each finished strip the stretches it is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Cutting {
    pub(crate) bars: Vec<Length>,
    pub(crate) finished: Vec<Vec<Stretch>>,
}

impl Strips {
    /// What one join takes up.
    pub(crate) fn taken(&self) -> Length {
        self.join.taken_up(self.breadth)
    }

    /// The fewest joins in one finished strip, wherever they lie; none when no number will do.
    pub(crate) fn fewest_joins(&self) -> Option<u32> {
        let over = (self.long - self.longest).to_nm();
        let gain = (self.longest - self.taken()).to_nm();
        if over <= 0 {
            return Some(0);
        }
        // Division that rounds up; both are positive here.
        let joins = if gain > 0 { (over - 1) / gain + 1 } else { return None };
        u32::try_from(joins).ok()
    }

    /// How to cut and join them; none when it cannot be done as allowed.
    pub(crate) fn cut(&self) -> Option<Cutting> {
        if self.join.most == 0 || self.long <= self.longest {
            return None;
        }
        match self.join.place {
            JoinPlace::Centre => self.each_from(&self.halves()?),
            JoinPlace::WithinEnd(within) => self.each_from(&self.ends(within)?),
            JoinPlace::Anywhere => self.end_to_end(),
        }
        .filter(|cutting| cutting.bars.len() <= MOST_BARS)
    }

    fn least(&self) -> Length {
        LEAST.max(self.taken() * 2)
    }

    /// Every finished strip from strips of its own, with these lengths.
    fn each_from(&self, lengths: &[Length]) -> Option<Cutting> {
        let mut cutting = Cutting::default();
        for _ in 0..self.count {
            let first = u32::try_from(cutting.bars.len()).ok()?;
            let stretches = (first..).zip(lengths).map(|(part, &length)| Stretch {
                part,
                from: Length::ZERO,
                length,
            });
            cutting.finished.push(stretches.collect());
            cutting.bars.extend(lengths);
        }
        Some(cutting)
    }

    /// Two halves, equal to the nanometre.
    fn halves(&self) -> Option<[Length; 2]> {
        let total = self.long + self.taken();
        let half = total.half();
        let fits = total - half <= self.longest && half > self.taken();
        fits.then_some([total - half, half])
    }

    /// A long strip with a short one at one end, or else at both ends, so that the seams lie
    /// within the given distance of the ends.
    fn ends(&self, within: Length) -> Option<Vec<Length>> {
        let taken = self.taken();
        let hidden = |short: Length| short - taken.half() <= within;
        let short = (self.long + taken - self.longest).max(self.least());
        if short <= self.longest && hidden(short) {
            return Some(vec![self.long + taken - short, short]);
        }
        let both = (self.long + taken * 2 - self.longest).max(self.least() * 2);
        let (one, other) = (both - both.half(), both.half());
        let fits = self.join.most >= 2 && one <= self.longest && hidden(one);
        fits.then(|| vec![one, self.long + taken * 2 - both, other])
    }

    /// All of them joined into one long strip and cut to length: each finished strip begins with
    /// what the one before left of its last strip.
    fn end_to_end(&self) -> Option<Cutting> {
        let mut cutting = Cutting::default();
        let mut left = Length::ZERO;
        for _ in 0..self.count {
            if cutting.bars.len() > MOST_BARS {
                return None;
            }
            let lengths = match self.stretches(left) {
                Some(lengths) => lengths,
                None => {
                    left = Length::ZERO;
                    self.stretches(left)?
                }
            };
            let mut stretches = Vec::with_capacity(lengths.len());
            for (index, &length) in lengths.iter().enumerate() {
                if index > 0 || left == Length::ZERO {
                    cutting.bars.push(Length::ZERO);
                    left = self.longest;
                }
                let part = u32::try_from(cutting.bars.len() - 1).ok()?;
                let bar = cutting.bars.last_mut()?;
                stretches.push(Stretch { part, from: *bar, length });
                *bar += length;
                left -= length;
            }
            cutting.finished.push(stretches);
        }
        Some(cutting)
    }

    /// The stretches of one finished strip that begins with a rest of `left` (or with a whole new
    /// strip when nothing is left); none when that takes too many joins or too short a stretch.
    fn stretches(&self, left: Length) -> Option<Vec<Length>> {
        let (taken, least) = (self.taken(), self.least());
        let mut room = if left == Length::ZERO { self.longest } else { left };
        let mut need = self.long;
        let most = MOST_JOINS.min(self.join.most as usize);
        let mut lengths = Vec::new();
        while room < need {
            // The last stretch must not become too short.
            let take = room.min(need + taken - least);
            if take < least || lengths.len() >= most {
                return None;
            }
            lengths.push(take);
            need = need + taken - take;
            room = self.longest;
        }
        lengths.push(need);
        Some(lengths)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::JoinAngle;

    fn straps(place: JoinPlace, most: u32) -> Strips {
        let join =
            Join { most, allowance: Length::inch_frac(1, 2), angle: JoinAngle::Straight, place };
        Strips {
            join,
            long: Length::inch(56),
            breadth: Length::inch_frac(9, 2),
            longest: Length::inch(42),
            count: 2,
        }
    }

    #[test]
    fn two_straps_across_42_inches() {
        // Common practice, no source.
        let bars = |place, most| straps(place, most).cut().map(|cutting| cutting.bars);
        let half = Length::inch_frac(57, 2);
        assert_eq!(bars(JoinPlace::Centre, 1), Some(vec![half; 4]));
        let chain = vec![Length::inch(42), Length::inch(42), Length::inch(30)];
        assert_eq!(bars(JoinPlace::Anywhere, 1), Some(chain));
        let (long, short) = (Length::inch(42), Length::inch(15));
        let hidden = Some(vec![long, short, long, short]);
        assert_eq!(bars(JoinPlace::WithinEnd(Length::inch(15)), 1), hidden);
        // The seam lies 14 1/2 in from the end.
        assert_eq!(bars(JoinPlace::WithinEnd(Length::inch_frac(29, 2)), 1), hidden);
        assert_eq!(bars(JoinPlace::WithinEnd(Length::inch(14)), 1), None);
        // With a join at each end the short strips are 8 in long.
        let short = Length::inch(8);
        let both = [short, long, short, short, long, short];
        assert_eq!(bars(JoinPlace::WithinEnd(Length::inch(14)), 2), Some(both.to_vec()));
    }

    #[test]
    fn a_diagonal_join_takes_up_the_breadth() {
        let mut strips = straps(JoinPlace::Centre, 1);
        strips.join.angle = JoinAngle::Diagonal;
        // 56 + 4 1/2, halved.
        assert_eq!(strips.cut().unwrap().bars[0], Length::inch_frac(121, 4));
    }

    #[test]
    fn the_fewest_joins() {
        let mut strips = straps(JoinPlace::Anywhere, 1);
        assert_eq!(strips.fewest_joins(), Some(1));
        // 42 + 41 = 83 with one join, 124 with two.
        strips.long = Length::inch(83);
        assert_eq!(strips.fewest_joins(), Some(1));
        assert_eq!(strips.cut().unwrap().bars.len(), 4);
        strips.long = Length::inch_frac(83 * 8 + 1, 8);
        assert_eq!(strips.fewest_joins(), Some(2));
        assert_eq!(strips.cut(), None);
        strips.longest = Length::INCH;
        assert_eq!(strips.fewest_joins(), None);
    }
}
