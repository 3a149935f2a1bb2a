//! Time: cutting, marking, sewing, pressing and what hands do.
//!
//! What the machine takes is stitches by its speed. For the rest nobody has published times of home
//! sewing: they are assumptions of ours, and a pace learnt from logged sessions corrects all of them
//! together.

use bag::operations::{Hand, Sewing, Stitching, Takes};
use bag::pattern::{MaterialId, Pattern};
use measure::Length;

use crate::Packet;

/// How fast somebody works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// Stitches in a minute at which the machine runs (home machines make 250 to 1000).
    pub stitches_per_minute: u32,
    /// How much of that is used, in percent: for corners, curves and looking.
    pub use_percent: u32,
    /// All times by so much, in percent: 100 is as assumed here, 200 takes twice as long.
    pub factor_percent: u32,
}

impl Pace {
    /// What is assumed of somebody who has sewn some bags: 600 stitches a minute, used by half.
    pub const USUAL: Self = Self { stitches_per_minute: 600, use_percent: 50, factor_percent: 100 };

    /// The same with another factor.
    #[must_use]
    pub const fn times(self, factor_percent: u32) -> Self {
        Self { factor_percent, ..self }
    }

    /// The usual pace at a machine of so many stitches a minute.
    pub fn at(stitches: Option<u32>) -> Self {
        let stitches_per_minute = stitches.unwrap_or(Self::USUAL.stitches_per_minute);
        Self { stitches_per_minute, ..Self::USUAL }
    }

    /// The pace that logged sessions tell: see [`learnt`].
    #[must_use]
    pub fn learnt_from(self, sessions: &[(u64, u64)]) -> Self {
        learnt(sessions).map_or(self, |factor| self.times(factor))
    }
}

/// Time by what it is spent on, in seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spent {
    /// Laying out and cutting.
    pub cutting: u64,
    /// Marking.
    pub marking: u64,
    /// The machine running.
    pub sewing: u64,
    /// Finding, pinning, laying under the foot, ends of thread.
    pub handling: u64,
    /// Pressing and fusing.
    pub pressing: u64,
    /// Trimming, turning, setting hardware, sewing by hand.
    pub by_hand: u64,
}

/// For each step: reading it, and finding what it names.
const STEP: u64 = 75;
/// For each row: laying it under the foot, both ends, cutting the thread.
const ROW: u64 = 25;
/// For each metre of a seam: matching and pinning; of a row that shows, looking where it runs.
const PIN: u64 = 75;
const ALONG: u64 = 25;
/// More for a seam in the round.
const ROUND: u64 = 90;
/// For each step with something to press, and for each metre of it.
const IRON: u64 = 30;
const PRESS: u64 = 45;
/// For each piece that is fused, and for each place that the iron stands on: 15 s (bag makers'
/// tutorials), 100 by 200 mm of it.
const FUSE: u64 = 40;
const STAND: u64 = 15;
const SOLE_MM2: i64 = 20_000;
/// For each metre of trimming and clipping.
const TRIM: u64 = 75;
/// For each cloth: washing apart, squaring up, laying out.
const LAY_OUT: u64 = 420;
/// For each piece, and for each metre of its cutting line.
const CUT: u64 = 45;
const CUT_METRE: u64 = 40;
/// For each mark.
const MARK: u64 = 15;
/// By hand, for each metre of slip stitches.
const HAND_METRE: u64 = 900;

const fn seconds(hand: Hand) -> u64 {
    match hand {
        Hand::Turn => 150,
        Hand::Draw => 180,
        Hand::Set => 240,
        Hand::Eyelet => 150,
        Hand::SewOn => 300,
        Hand::Shorten => 180,
    }
}

/// Milliseconds that a machine runs for a row: its stitches by the speed that is used.
pub fn machine_ms(length: Length, stitch: Length, pace: Pace) -> u64 {
    let stitches = i128::from(length.to_nm().max(0)) * 60_000 * 100;
    let speed = i128::from(pace.stitches_per_minute.max(1)) * i128::from(pace.use_percent.max(1));
    u64::try_from(stitches / (i128::from(stitch.to_nm().max(1)) * speed)).unwrap_or(u64::MAX)
}

fn per_metre(length: Length, seconds: u64) -> u64 {
    let nm = i128::from(length.to_nm().max(0)) * i128::from(seconds);
    u64::try_from(nm / i128::from(Length::mm(1_000).to_nm())).unwrap_or(0)
}

impl Spent {
    /// All together, in seconds.
    pub const fn seconds(self) -> u64 {
        self.cutting + self.marking + self.sewing + self.handling + self.pressing + self.by_hand
    }

    /// Both together.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self {
            cutting: self.cutting + other.cutting,
            marking: self.marking + other.marking,
            sewing: self.sewing + other.sewing,
            handling: self.handling + other.handling,
            pressing: self.pressing + other.pressing,
            by_hand: self.by_hand + other.by_hand,
        }
    }

    /// So many percent of it.
    #[must_use]
    pub const fn percent(self, percent: u32) -> Self {
        let percent = percent as u64;
        Self {
            cutting: self.cutting * percent / 100,
            marking: self.marking * percent / 100,
            sewing: self.sewing * percent / 100,
            handling: self.handling * percent / 100,
            pressing: self.pressing * percent / 100,
            by_hand: self.by_hand * percent / 100,
        }
    }

    /// What a step takes.
    pub(super) fn on(packet: &Packet, step: &Takes, pace: Pace) -> Self {
        let pattern = &packet.pattern;
        let mut spent = Self { handling: STEP, ..Self::default() };
        let mut machine = 0;
        for row in &step.rows {
            if row.kind == Stitching::Hand {
                spent.by_hand += per_metre(row.length, HAND_METRE) * u64::from(row.rows);
                continue;
            }
            machine += machine_ms(row.length, row.stitch, pace) * u64::from(row.rows);
            spent.handling += handling(row);
        }
        spent.sewing = machine / 1_000;
        if step.pressed.is_positive() {
            spent.pressing += IRON + per_metre(step.pressed, PRESS);
        }
        for copy in &step.fused {
            let area = pattern.piece_of(*copy).net.area().to_nm2() / 1_000_000_000_000;
            let places = (area + i128::from(SOLE_MM2) - 1) / i128::from(SOLE_MM2);
            spent.pressing += FUSE + STAND * u64::try_from(places).unwrap_or(0);
        }
        spent.by_hand += per_metre(step.trimmed, TRIM);
        spent.by_hand +=
            step.hand.iter().map(|(hand, times)| seconds(*hand) * u64::from(*times)).sum::<u64>();
        spent.cutting = cutting(packet, &step.cut);
        spent.marking = step.marked.iter().map(|copy| marks(pattern, *copy) * MARK).sum();
        spent.percent(pace.factor_percent)
    }
}

fn handling(row: &Sewing) -> u64 {
    let pinned = match row.kind {
        Stitching::Seam => per_metre(row.length, PIN),
        _ => per_metre(row.length, ALONG) * u64::from(row.rows),
    };
    ROW * u64::from(row.rows) + pinned + if row.round { ROUND } else { 0 }
}

fn marks(pattern: &Pattern, copy: bag::pattern::CopyId) -> u64 {
    u64::try_from(pattern.piece_of(copy).marks.len()).unwrap_or(0)
}

/// Laying out some materials, and cutting all their pieces. Blocks are cut with their fabric.
fn cutting(packet: &Packet, materials: &[MaterialId]) -> u64 {
    let mut spent = 0;
    for cut in packet.cuts.iter().filter(|cut| materials.contains(&cut.material)) {
        spent += LAY_OUT;
        for item in cut.items() {
            let (width, height) = item.size;
            let around = (width + height) * 2;
            spent += (CUT + per_metre(around, CUT_METRE)) * u64::from(item.count);
        }
    }
    for webbing in packet.webbing.iter().filter(|it| materials.contains(&it.material)) {
        let pieces = packet.pattern.copies.iter();
        let pieces = pieces
            .filter(|copy| packet.pattern.piece(copy.piece).material == webbing.material)
            .count();
        spent += CUT * u64::try_from(pieces).unwrap_or(0);
    }
    spent
}

/// The factor that sessions tell, in percent: all that was taken by all that was told. Each is the
/// seconds that were told for the work done, at the usual pace, and the seconds that it took. A few
/// sessions say less than many: one usual session of two hours is counted in with them.
pub fn learnt(sessions: &[(u64, u64)]) -> Option<u32> {
    const USUAL: u128 = 7_200;
    let told: u128 = sessions.iter().map(|(told, _)| u128::from(*told)).sum();
    let took: u128 = sessions.iter().map(|(_, took)| u128::from(*took)).sum();
    if told == 0 {
        return None;
    }
    let percent = ((took + USUAL) * 100 + (told + USUAL) / 2) / (told + USUAL);
    u32::try_from(percent.clamp(10, 2_000)).ok()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn published_machine_time() {
        // onlineclothingstudy, "Secret behind calculation of machine time" (2011): 12 in at 10 stitches
        // per inch and 1000 stitches a minute take 0.12 min, 200 TMU of 0.0006 min.
        let pace = Pace { stitches_per_minute: 1_000, use_percent: 100, factor_percent: 100 };
        let ms = machine_ms(Length::inch(12), Length::INCH / 10, pace);
        assert_eq!(ms, 7_200, "0.12 min");
        assert_eq!(ms / 36, 200, "in TMU of 36 ms");
        // Used by half, it takes twice as long.
        let half = Pace { use_percent: 50, ..pace };
        assert_eq!(machine_ms(Length::inch(12), Length::INCH / 10, half), 14_400);
    }

    #[test]
    fn allowances_on_a_cycle() {
        // noorbutex (2015): a cycle of 0.60 min at a rating of 80 % is 0.48; 10 % and 20 % of that on top
        // make 0.624 min.
        let cycle = Spent { sewing: 36_000, ..Spent::default() };
        let basic = cycle.percent(80);
        let with = basic.plus(basic.percent(10)).plus(basic.percent(20));
        assert_eq!((basic.seconds(), with.seconds()), (28_800, 37_440));
    }

    #[test]
    fn a_pace_is_learnt_slowly() {
        assert_eq!(learnt(&[]), None);
        assert_eq!(learnt(&[(7_200, 7_200)]), Some(100));
        // Twice as long once says half as much more; ten times the same says nearly twice.
        assert_eq!(learnt(&[(7_200, 14_400)]), Some(150));
        assert_eq!(learnt(&[(7_200, 14_400); 10]), Some(191));
    }

    proptest! {
        #[test]
        fn what_is_learnt_lies_between_the_sessions_and_the_usual(
            sessions in proptest::collection::vec((600_u64..20_000, 600_u64..40_000), 1..9),
        ) {
            let factor = learnt(&sessions).expect("there is a session");
            let all = |f: fn(&(u64, u64)) -> u64| sessions.iter().map(f).sum::<u64>();
            let raw = all(|it| it.1) * 100 / all(|it| it.0);
            let (low, high) = (raw.min(100), raw.max(100) + 1);
            prop_assert!((low..=high).contains(&u64::from(factor)), "{factor} not in {low}..{high}");
        }
    }
}
