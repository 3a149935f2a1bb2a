//! How the fabric lies for the cuts across: flat, folded once or twice, or divided lengthwise.

use measure::Length;

use super::kinds::Strip;

/// Folded selvedge on selvedge, and once more: through more layers a rotary cutter does not cut
/// true (common practice, no source).
pub(crate) const MOST_LAYERS: u32 = 4;

/// Equal lanes along the fabric, as few as will do.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lanes {
    /// How wide each is.
    pub(crate) width: Length,
    /// How many there are.
    pub(crate) count: u32,
    /// Through how many layers a strip is cut.
    pub(crate) layers: u32,
}

/// A strip and where it lies.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    pub(crate) lane: u32,
    pub(crate) x: Length,
    pub(crate) y: Length,
    pub(crate) strip: Strip,
}

impl Lanes {
    /// Fabric of this width, folded already or flat, on which no cut is longer than stated.
    pub(crate) fn new(
        usable: Length,
        gap: Length,
        longest: Option<Length>,
        is_folded: bool,
    ) -> Self {
        let mut layers = if is_folded { 2 } else { 1 };
        let Some(longest) = longest else { return Self { width: usable, count: 1, layers } };
        while layers < MOST_LAYERS && longest * i64::from(layers) < usable {
            layers *= 2;
        }
        let reach = (longest * i64::from(layers)).to_nm().max(1);
        let (whole, gap) = (usable.to_nm(), gap.to_nm());
        // Each division takes a gap away.
        let count = ((whole + gap - 1) / (reach + gap) + 1).max(1);
        let width = Length::nm((whole + gap) / count - gap);
        // Divided, each lane is cut by itself.
        let layers = if count == 1 { layers } else { MOST_LAYERS };
        Self { width, count: u32::try_from(count).unwrap_or(u32::MAX), layers }
    }

    /// The least length when all strips together are this long.
    pub(crate) fn share(&self, cost: i64) -> i64 {
        let count = i64::from(self.count);
        (cost + count - 1) / count
    }

    /// The length used.
    pub(crate) fn length(&self, strips: &[Strip], gap: Length) -> Length {
        let ends = self.lay(strips, gap).into_iter();
        let end = ends.map(|laid| laid.y + Length::nm(laid.strip.height)).max();
        end.map_or(Length::ZERO, |end| end - gap)
    }

    /// Strips one after the other, the highest first, each on the lane that is least full.
    pub(crate) fn lay(&self, strips: &[Strip], gap: Length) -> Vec<Laid> {
        let mut sorted = strips.to_vec();
        sorted.sort_by(|one, other| other.height.cmp(&one.height).then_with(|| one.cmp(other)));
        let lanes = self.count.min(u32::try_from(sorted.len().max(1)).unwrap_or(1));
        let mut ends = vec![Length::ZERO; lanes as usize];
        let mut laid = Vec::new();
        for strip in sorted {
            let lane = (0..ends.len()).min_by_key(|&lane| (ends[lane], lane)).unwrap_or(0);
            let y = ends[lane];
            ends[lane] += Length::nm(strip.height);
            let lane = u32::try_from(lane).unwrap_or(0);
            laid.push(Laid { lane, x: (self.width + gap) * i64::from(lane), y, strip });
        }
        laid.sort_by_key(|one| (one.lane, one.y));
        laid
    }
}
