//! What the finished bag measures, computed back from the cut pieces.

use bag::assembly::Assembly;
use bag::pattern::Reach;
use measure::{Length, Volume};

/// Measures of the finished bag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finished {
    /// Width at the base.
    pub width: Length,
    /// Height, up the front.
    pub height: Length,
    /// Depth of the base; zero for a flat bag.
    pub depth: Length,
    /// Width laid flat at the top.
    pub top_width: Length,
    /// What it holds to the rim; zero for a flat bag.
    pub volume: Volume,
    /// What it is round about.
    pub round: Round,
    /// What it is made to carry, if it has handles that stitches hold.
    pub load: Option<bag::checks::Load>,
}

/// What a bag is round about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Round {
    /// Nothing: it is a box, or flat.
    Not,
    /// Its height: it stands on a circle.
    Upright,
    /// Its width: it lies between two circles.
    Lying,
}

impl Finished {
    /// The things of known size that go in, as the check of a bag made to hold something has it.
    pub fn things(&self) -> impl Iterator<Item = measure::Fit> + use<> {
        let finished = *self;
        measure::fits().into_iter().filter(move |thing| finished.takes_in(thing))
    }

    /// Whether a thing goes in: a circle takes it in from corner to corner (Pythagoras), or as it is
    /// if it is round; what is as thick as it is wide is taken to be.
    fn takes_in(&self, thing: &measure::Fit) -> bool {
        let within = |across: Length, circle: Length| {
            let [across, thick, circle] = [across, thing.thickness, circle].map(Length::to_mm);
            let round = thing.thickness == thing.width && across <= thick;
            if round {
                across <= circle
            } else {
                across * across + thick * thick <= circle * circle
            }
        };
        let (wide, high) = (thing.width, thing.height);
        let mut ways = [(wide, high), (high, wide)].into_iter();
        let (width, height, depth) = (self.width, self.height, self.depth);
        match self.round {
            Round::Not => bag::checks::goes(thing, (width, height, depth)),
            Round::Upright => ways.any(|(across, up)| up <= height && within(across, depth)),
            Round::Lying => ways.any(|(across, along)| along <= width && within(across, depth)),
        }
    }

    /// Measured on the sewn pattern; what cannot be measured is taken from the claims, which the
    /// check of the finished size then reports.
    pub(crate) fn of(work: &Assembly<'_>) -> Self {
        let claims = &work.pattern.claims;
        let read = |gauge: &bag::pattern::Gauge, claimed: Length| {
            gauge.measure(work.pattern, &work.sewn).unwrap_or(claimed)
        };
        let width = read(&claims.width_gauge, claims.width);
        let height = read(&claims.height_gauge, claims.height);
        let top_width = read(&claims.top_gauge, claims.top_width);
        let depth = claims.depth;
        let on = |gauge: &bag::pattern::Gauge| match gauge.0.as_slice() {
            [Reach::High(copy) | Reach::Wide(copy)] => Some(*copy),
            _ => None,
        };
        let [wide, high, deep] =
            [&claims.width_gauge, &claims.height_gauge, &claims.depth_gauge].map(on);
        // The share that it fills of the square around it.
        let share = |copy| {
            let area = work.sewn.outline(work.pattern, copy)?.area().to_mm2();
            Some(area / (depth.to_mm() * depth.to_mm()).max(1.0))
        };
        let is_circle = |share: &f64| (share - std::f64::consts::FRAC_PI_4).abs() < 0.01;
        let (round, volume) = match deep.and_then(share).filter(is_circle) {
            Some(_) if wide == deep => (Round::Upright, volume(width, height, depth, top_width)),
            Some(share) if high == deep => {
                let long = Length::from_mm_f64(width.to_mm() * share);
                (Round::Lying, Volume::cuboid(long, height, depth))
            }
            _ => (Round::Not, volume(width, height, depth, top_width)),
        };
        let load = bag::checks::load(work);
        Self { width, height, depth, top_width, volume, round, load }
    }
}

/// Mean of the cross-sections at base and rim, times the height: at the rim the sides take half
/// the depth each of the flat width (derived; w·h·d for a bag with upright sides).
fn volume(width: Length, height: Length, depth: Length, top_width: Length) -> Volume {
    let mean = (width + top_width - depth).half();
    Volume::cuboid(mean, height, depth)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: 16 × 14 × 4 in hold 14.68 L.
    #[test]
    fn an_upright_bag_holds_width_by_height_by_depth() {
        let inch = Length::inch;
        let litres = volume(inch(16), inch(14), inch(4), inch(20)).to_litres();
        assert!((litres - 14.683).abs() < 0.001, "{litres}");
    }

    /// 13 × 12.5 × 4 in is 650 in³ or 10.65 L (1 in³ = 16.387064 mL, exact by definition).
    #[test]
    fn six_hundred_and_fifty_cubic_inches() {
        let high = Length::inch_frac(25, 2);
        let litres = volume(Length::inch(13), high, Length::inch(4), Length::inch(17)).to_litres();
        assert!((litres - 10.6516).abs() < 0.0001, "{litres}");
    }

    /// MIL-B-829M, duffel bag: 12 1/2 in across and 37 in long, π/4 · 12.5² · 37 = 4540.6 cu in, which is
    /// 74.4 L.
    #[test]
    fn a_duffel_holds_its_end_by_its_length() {
        let body = bag::bodies::find("duffel").expect("in the list");
        let mut design = bag::Design::of(body, measure::Units::Inch);
        for (key, to) in [("length", Length::inch(37)), ("diameter", Length::inch_frac(25, 2))] {
            assert!(design.body.values.set(key, bag::kinds::Value::Length(to)));
        }
        let pattern = bag::draft(&design).pattern.expect("it can be drafted");
        let finished = Finished::of(&Assembly::sew(&pattern));
        let litres = finished.volume.to_litres();
        assert!((litres - 74.41).abs() < 0.02, "{litres}");
        // 12 in high and 4 in thick, 12.65 in from corner to corner, goes in no circle of 12 1/2 in;
        // 3 in thick, 12.37 in, it does (Pythagoras).
        let thing = |thickness| measure::Fit {
            width: Length::inch(20),
            height: Length::inch(12),
            thickness: Length::inch(thickness),
            ..measure::fits()[0]
        };
        assert_eq!([4, 3].map(|thick| finished.takes_in(&thing(thick))), [false, true]);
    }
}
