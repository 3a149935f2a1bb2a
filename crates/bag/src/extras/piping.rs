//! Piping in the seams round front and back, or round the base.

use std::f64::consts::PI;

use measure::{Length, Rounding};

use super::{Bag, Extra, is_first, refuse};
use crate::draft::fittings::{length_of, webbing};
use crate::draft::{BiasStrip, Drafter};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{CoverCord, Pipe};
use crate::pattern::{Band, Chapter, Run};

/// The kind.
pub(super) struct Piping;
/// Its entry in the list.
pub(super) const KIND: Piping = Piping;

impl Kind for Piping {
    fn name(&self) -> &'static str {
        "piping"
    }
    fn title(&self) -> &'static str {
        "Piping"
    }
    fn help(&self) -> &'static str {
        "A cord in a bias strip, caught in the seams round front and back of a bag with a gusset, \
         round the base of a tube, round the edge of a flat bag, or in the side seams of a boxed one, as \
         far as its boxed corners. It draws the line of the bag and \
         takes the wear. The strips are cut from the fabric of the binding."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "on",
                "on",
                "Which seams get it, where there are several.",
                &[("all", "all of them"), ("front", "those round the front only")],
            ),
            length(
                "cord",
                "cord",
                "Thickness of the cord inside.",
                [Length::mm(2), Length::mm(10), Length::inch_frac(3, 16), Length::mm(5)],
            ),
        ];
        PARAMS
    }
}

/// A seam that can be piped: what it is, and the edge of the piece on which the piping is basted.
#[derive(Clone, Debug)]
pub struct PipedSeam {
    /// "the edge of the front".
    pub what: &'static str,
    /// The edge.
    pub along: Run,
    /// Its allowance.
    pub allowance: Length,
    /// From clip to clip at its curves; zero where there is none.
    pub every: Length,
}

/// Width of a strip round a cord: its circumference, and an allowance on either side.
fn strip_width(cord: Length, allowance: Length) -> Length {
    Length::from_mm_f64(cord.to_mm() * PI) + allowance * 2
}

impl Extra for Piping {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        if !is_first(d, index, "piping") {
            return;
        }
        let mut seams = bag.plan.piped(d, bag.outside);
        if values.choice("on") == "front" {
            let front = seams.first().map(|seam| seam.along.copies());
            seams.retain(|seam| front.as_ref() == Some(&seam.along.copies()));
        }
        if seams.is_empty() {
            let message = "piping lies in a seam round the edge of a panel, or in side seams whose ends \
                           run out into another seam, and this bag has none"
                .to_owned();
            let cure = "choose a flat or a boxed bag, one with a gusset, or one on a base of its own; and \
                        no French seams"
                .to_owned();
            refuse(d, index, "kind", message, cure);
            return;
        }
        let cord = values.length("cord");
        let least = seams.iter().map(|seam| seam.allowance).min().unwrap_or(Length::ZERO);
        if least < cord {
            let message = format!(
                "a cord {} thick has no room beside a seam allowance of {}",
                d.show(cord),
                d.show(least)
            );
            let cure = format!("take a cord of {} or less, or wider allowances", d.show(least));
            refuse(d, index, "cord", message, cure);
            return;
        }
        let widest = seams.iter().map(|seam| seam.allowance).max().unwrap_or(least);
        let strip = d.ruler().round(strip_width(cord, widest), Rounding::Up);
        let spare = d.either(Length::inch(2), Length::mm(50));
        let longs: Vec<Length> = seams
            .iter()
            .map(|seam| d.ruler().round(seam.along.length() + spare, Rounding::Up))
            .collect();
        let long: Length = longs.iter().copied().sum();
        d.cut_bias(BiasStrip { id: "piping-square", serves: "piping", wide: strip, long });
        let material =
            webbing(d, "piping-cord", "cord for the piping", (Band::Cord, cord), "the piping");
        let mut cords = Vec::new();
        for (number, long) in longs.iter().enumerate() {
            let (id, name) = match number {
                0 => ("piping".to_owned(), "piping".to_owned()),
                more => (format!("piping-{}", more + 1), format!("piping {}", more + 1)),
            };
            // Equal lengths are one piece.
            let same = longs.iter().take(number).position(|other| other == long);
            let piece = match same.map(|first| cords[first]) {
                Some(copy) => d.copy_of(copy).0,
                None => length_of(d, material, (&id, &name), (cord, *long), [Length::ZERO; 2]),
            };
            let copy = d.copy(piece, &name);
            d.part(copy, (cord, *long));
            cords.push(copy);
        }
        let cover = CoverCord {
            cords: cords.clone(),
            from: "piping-square".to_owned(),
            allowance: widest,
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Panels, "cover-cord", cover);
        for (number, (seam, cord)) in seams.into_iter().zip(cords).enumerate() {
            let pipe = Pipe {
                cord,
                what: seam.what.to_owned(),
                along: seam.along,
                allowance: seam.allowance,
                every: seam.every,
                stitch: d.stitch("baste"),
            };
            d.step(Chapter::Panels, &format!("baste-piping-{}", number + 1), pipe);
        }
        d.tool("zip foot or piping foot");
    }
}

#[cfg(test)]
mod tests {
    use measure::{System, Units};

    use super::*;
    use crate::design::{Chosen, Design};
    use crate::kinds::Value;
    use crate::{Severity, bodies, linings};

    /// A cord of 1/4 in with allowances of 1/2 in needs a strip π · 1/4 + 1 = 1.785 in wide
    /// (piping strip = cord circumference + 2 allowances).
    #[test]
    fn a_published_strip() {
        let width = strip_width(Length::inch_frac(1, 4), Length::inch_frac(1, 2));
        assert!((width.to_inch() - 1.785).abs() < 0.0005, "{}", width.to_inch());
    }

    /// Side seams 16 in long whose lowest 2 in the corners take (14 in high, 4 in deep, common practice)
    /// are piped for 14 in each; the cord is cut 2 in longer. A contrast base keeps none from it.
    #[test]
    fn sides_are_piped_as_far_as_boxed_corners() {
        for (body, contrast, lining) in [
            ("boxed", None, "turned"),
            ("boxed", Some(6), "unlined"),
            ("folded-base", None, "turned"),
            ("folded-base", None, "unlined"),
        ] {
            let mut design = Design::of(bodies::find(body).unwrap(), Units::Inch);
            design.lining = Chosen::new(linings::find(lining).unwrap(), System::Inch);
            if let Some(high) = contrast {
                let base = Value::Length(Length::inch(high));
                assert!(design.body.values.set("contrast-base", base));
            }
            for on in ["all", "front"] {
                let mut extra = Chosen::new(crate::extras::find("piping").unwrap(), System::Inch);
                assert!(extra.values.set("on", Value::Choice(on)));
                design.extras = vec![extra];
                let pattern = crate::draft(&design).pattern.unwrap();
                let found = crate::checks::run(&pattern);
                let bad = found.iter().filter(|it| it.severity > Severity::Note).collect::<Vec<_>>();
                assert!(bad.is_empty(), "{body}, {lining}: {bad:#?}");
                let piped = pattern.steps.iter().filter_map(|step| step.as_a::<Pipe>());
                let piped: Vec<_> = piped.map(|pipe| pipe.along.length()).collect();
                assert_eq!(piped, [Length::inch(14); 2], "{body}, {on}");
                let cord = pattern.pieces.iter().find(|piece| piece.id == "piping").unwrap();
                assert_eq!(cord.net_size().1, Length::inch(16));
            }
        }
    }
}
