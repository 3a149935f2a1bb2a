//! A design drafted anew for the other ruler: round sizes and that ruler's seam allowances, as a
//! practitioner would, not each number converted.

use measure::{Length, Rounding, Ruler, System, Units};

use super::{ALLOWANCES, Design, FABRIC, INTERFACING, SHOP, STITCHING};
use crate::kinds::{Param, Quantity, Value, Values};

impl Design {
    /// The same bag on the other ruler. A value that stands at its default takes that ruler's
    /// default; any other length becomes the nearest round one: whole millimetres below 30 mm,
    /// steps of 5 mm above, or sixteenths below 1 in, eighths below 4 in, quarters above. Widths
    /// of bought cloth are things of the shop: they are rounded down to whole centimetres or
    /// inches.
    #[must_use]
    pub fn redrafted(&self, units: Units) -> Self {
        let (from, to) = (self.system(), units.system());
        let mut design = self.clone();
        design.units = units;
        if from == to {
            return design;
        }
        let change = |values: &mut Values, params: &'static [Param]| {
            redraft(values, params, from, to);
        };
        let params = |section: &str, kind: &str| Self::params_of(section, kind).unwrap_or(&[]);
        change(&mut design.body.values, params("body", self.body.kind));
        for pocket in &mut design.pockets {
            let params = params("pocket", pocket.kind);
            change(&mut pocket.values, params);
        }
        for extra in &mut design.extras {
            let params = params("extra", extra.kind);
            change(&mut extra.values, params);
        }
        change(&mut design.handles.values, params("handles", self.handles.kind));
        change(&mut design.closure.values, params("closure", self.closure.kind));
        change(&mut design.lining.values, params("lining", self.lining.kind));
        change(&mut design.allowances, ALLOWANCES);
        change(&mut design.stitching, STITCHING);
        change(&mut design.shop, SHOP);
        for cloth in design.fabrics.values_mut() {
            cloth_width(cloth, FABRIC, to);
        }
        for cloth in design.interfacings.values_mut() {
            cloth_width(cloth, INTERFACING, to);
        }
        design
    }
}

fn redraft(values: &mut Values, params: &[Param], from: System, to: System) {
    for param in params {
        let default = param.default_value(from);
        match (values.get(param.key), param.quantity) {
            (Some(value), Quantity::Length { .. }) if *value == default => {
                values.set(param.key, param.default_value(to));
            }
            (Some(Value::Length(length)), Quantity::Length { least, most, .. })
            | (Some(Value::Length(length)), Quantity::OptionalLength { least, most }) => {
                let round = round_for(param.key, *length, to).clamp(least, most);
                values.set(param.key, Value::Length(round));
            }
            // A shop sells by its own yard or metre.
            (Some(Value::Choice(_)), _) if param.key == "increments" => {
                values.set(param.key, param.default_value(to));
            }
            _ => {}
        }
    }
}

/// The nearest round length; of what is halved or folded in four, one whose part is on the ruler.
fn round_for(key: &str, length: Length, to: System) -> Length {
    match key {
        "depth" | "apart" => round(length.half(), to) * 2,
        "strip" => round(length / 4, to) * 4,
        _ => round(length, to),
    }
}

fn round(length: Length, to: System) -> Length {
    let ruler = match to {
        System::Metric if length < Length::mm(30) => Ruler::MM,
        System::Metric => Ruler::FIVE_MM,
        System::Inch if length < Length::INCH => Ruler::SIXTEENTH_INCH,
        System::Inch if length < Length::inch(4) => Ruler::EIGHTH_INCH,
        System::Inch => Ruler::QUARTER_INCH,
    };
    ruler.round(length, Rounding::Nearest)
}

fn cloth_width(values: &mut Values, params: &[Param], to: System) {
    let ruler = match to {
        System::Metric => Ruler::CM,
        System::Inch => Ruler::INCH,
    };
    for param in params {
        if let Some(Value::Length(length)) = values.get(param.key) {
            let rounded = ruler.round(*length, Rounding::Down);
            values.set(param.key, Value::Length(rounded));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bodies;

    #[test]
    fn defaults_become_the_other_rulers_defaults() {
        let inch = Design::of(bodies::ALL[0], Units::Inch);
        let metric = Design::of(bodies::ALL[0], Units::Mm);
        let redrafted = inch.redrafted(Units::Mm);
        assert_eq!(redrafted.body, metric.body);
        assert_eq!(redrafted.allowances, metric.allowances);
        assert_eq!(redrafted.handles, metric.handles);
        assert_eq!(redrafted.system(), System::Metric);
    }

    #[test]
    fn other_sizes_become_round() {
        let mut inch = Design::of(bodies::ALL[0], Units::Inch);
        inch.body.values.set("width", Value::Length(Length::inch_frac(33, 2)));
        inch.allowances.set("side", Value::Length(Length::inch_frac(5, 8)));
        let metric = inch.redrafted(Units::Cm);
        // 16 1/2 in is 419.1 mm, 5/8 in is 15.875 mm.
        assert_eq!(metric.body.values.length("width"), Length::mm(420));
        assert_eq!(metric.allowances.length("side"), Length::mm(16));
        let back = metric.redrafted(Units::Inch);
        assert_eq!(back.body.values.length("width"), Length::inch_frac(33, 2));
    }
}
