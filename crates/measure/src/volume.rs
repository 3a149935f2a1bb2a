//! What a bag holds.

use std::fmt;

use crate::{Length, System};

/// A volume, a whole number of cubic nanometres.
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Volume(i128);

impl Volume {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// The volume of a box, exact (saturating beyond what any bag could be).
    pub fn cuboid(width: Length, height: Length, depth: Length) -> Self {
        let area = i128::from(width.to_nm()) * i128::from(height.to_nm());
        Self(area.saturating_mul(i128::from(depth.to_nm())))
    }

    /// The nearest volume to one in cubic millimetres, for shapes that are no boxes. Not-a-number
    /// becomes nothing.
    #[allow(clippy::cast_possible_truncation, reason = "`as` saturates, which is what is wanted")]
    pub fn from_mm3_f64(mm3: f64) -> Self {
        Self((mm3 * 1e18).round() as i128)
    }

    /// In litres.
    pub fn to_litres(self) -> f64 {
        self.0 as f64 / 1e24
    }

    /// In cubic inches; one is 16.387064 mL.
    pub fn to_in3(self) -> f64 {
        self.0 as f64 / 16_387_064e15
    }
}

/// A volume as a person reads it: `14.7 L`, or `896 cu in`.
pub fn show_volume(volume: Volume, system: System) -> String {
    match system {
        System::Inch => format!("{:.0} cu in", volume.to_in3()),
        System::Metric => format!("{:.1} L", volume.to_litres()),
    }
}

impl fmt::Debug for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} L", self.to_litres())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_in_inches_and_litres() {
        let volume = Volume::cuboid(Length::inch(16), Length::inch(14), Length::inch(4));
        // 1 in³ = 16.387064 mL (GNU units 2.22), so 896 in³ = 14.682809344 L.
        assert!((volume.to_litres() - 14.682_809_344).abs() < 1e-12);
        assert!((volume.to_in3() - 896.0).abs() < 1e-9);
        assert_eq!(show_volume(volume, System::Inch), "896 cu in");
        assert_eq!(show_volume(volume, System::Metric), "14.7 L");
    }

    #[test]
    fn a_volume_from_geometry() {
        // A litre is a cube of 100 mm (SI).
        let litre = Volume::cuboid(Length::mm(100), Length::mm(100), Length::mm(100));
        assert!((Volume::from_mm3_f64(1e6).to_litres() - litre.to_litres()).abs() < 1e-12);
        assert_eq!(Volume::from_mm3_f64(f64::NAN), Volume::ZERO);
        let huge = Length::nm(i64::MAX);
        assert!(Volume::cuboid(huge, huge, huge) > litre);
    }
}
