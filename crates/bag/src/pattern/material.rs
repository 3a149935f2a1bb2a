//! What pieces are cut from.

use measure::{Length, MassPerArea};

use super::notion::Band;

/// Index of a material in its pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MaterialId(pub usize);

/// A fabric, an interfacing or a webbing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Material {
    /// A stable word, kebab case.
    pub id: String,
    /// What a person calls it.
    pub name: String,
    /// What it is for: "outside and handles".
    pub serves: String,
    /// How it is sold.
    pub form: Form,
    /// How it is drawn.
    pub look: Look,
}

/// How a material is sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Form {
    /// By length off a bolt.
    Fabric(Cloth),
    /// By length off a bolt, to stiffen a fabric.
    Interfacing(Cloth),
    /// By length, in one width.
    Webbing {
        /// Its width, or how thick a cord is.
        width: Length,
        /// What it is.
        band: Band,
        /// How heavy it is for its area, if somebody says so.
        weight: Option<MassPerArea>,
    },
}

/// What matters of cloth on a bolt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cloth {
    /// Selvedge to selvedge, as sold.
    pub bought_width: Length,
    /// Between the selvedges.
    pub usable_width: Length,
    /// Whether the usable width was given, not taken as bought width less a habit.
    pub usable_given: bool,
    /// Pieces may not be turned upside down.
    pub one_way: bool,
    /// Pieces may lie across the grain.
    pub turnable: bool,
    /// Thickness of one layer, if it was measured.
    pub thickness: Option<Length>,
    /// How heavy it is for its area, if that is known.
    pub weight: Option<MassPerArea>,
    /// Share lost in length at the first wash, in parts per million.
    pub shrinks_in_length: u32,
    /// Share lost in width at the first wash, in parts per million.
    pub shrinks_in_width: u32,
}

/// How a material is told apart in a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Look {
    /// Outside fabric.
    Outside,
    /// A second fabric on the outside.
    Contrast,
    /// Lining.
    Lining,
    /// Interfacing.
    Interfacing,
    /// Webbing.
    Webbing,
    /// Clear vinyl or mesh, through which one sees: it melts under an iron, and pins leave holes.
    Window,
}

impl Material {
    /// The cloth, if it is sold off a bolt.
    pub fn cloth(&self) -> Option<&Cloth> {
        match &self.form {
            Form::Fabric(cloth) | Form::Interfacing(cloth) => Some(cloth),
            Form::Webbing { .. } => None,
        }
    }

    /// How heavy it is for its area, and whether somebody says so: a webbing has a usual weight,
    /// cloth has not.
    pub fn weight(&self) -> Option<(MassPerArea, bool)> {
        match &self.form {
            Form::Fabric(cloth) | Form::Interfacing(cloth) => {
                cloth.weight.map(|weight| (weight, true))
            }
            Form::Webbing { weight: Some(weight), .. } => Some((*weight, true)),
            Form::Webbing { width, band, .. } => Some((band.usual_weight(*width), false)),
        }
    }

    /// Whether it is an interfacing.
    pub fn is_interfacing(&self) -> bool {
        matches!(self.form, Form::Interfacing(_))
    }
}

/// A weight as it stands in a file, exactly: in ounces per square yard where it has few digits
/// there, and else in grams.
pub fn spell_weight(weight: MassPerArea) -> String {
    for places in 0..=2 {
        let ounces = format!("{:.places$} oz/yd²", weight.to_oz_per_yd2());
        if MassPerArea::parse(&ounces) == Ok(weight) {
            return ounces;
        }
    }
    let mg = weight.to_mg_per_m2();
    let grams = format!("{}.{:03}", mg / 1_000, mg % 1_000);
    format!("{} g/m²", grams.trim_end_matches('0').trim_end_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_spelled_exactly() {
        for text in ["8 oz/yd²", "14.75 oz/yd²", "270 g/m²", "125.65 g/m²"] {
            let weight = MassPerArea::parse(text).unwrap();
            assert_eq!(spell_weight(weight), text);
        }
        let odd = MassPerArea::mg_per_m2(271_234);
        assert_eq!(MassPerArea::parse(&spell_weight(odd)), Ok(odd));
    }
}
