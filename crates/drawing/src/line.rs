//! Kinds of line: what each one means, how wide it is and how it is broken.
//!
//! Widths are of the series of ISO 128-2 (0.13, 0.18, 0.25, 0.35, 0.5, 0.7 … mm, thick to thin as
//! two to one). Stitching is drawn as even short dashes (the *stitch line* of aviation drafting,
//! FAA Aviation Maintenance Technician Handbook – General, chapter 2); a cut is the solid outer
//! line, as customary on sewing patterns; a fold is a long-dashed dotted line.

/// What a line means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Cut here: solid and thick.
    Cut,
    /// An edge that can be seen, in pictures of sewn work: solid, medium.
    Edge,
    /// An edge hidden behind something: short dashes with shorter gaps, thin.
    Hidden,
    /// Sew here: even short dashes.
    Stitch,
    /// Fold here: long dash, dot.
    Fold,
    /// The lengthwise grain; drawn with an arrowhead at either end.
    Grain,
    /// Where something is placed: dotted.
    Place,
    /// A dimension, its extension lines and leaders: thin.
    Dimension,
    /// Whatever helps the eye: hair-thin.
    Thin,
    /// The edge of the fabric as woven: solid, the thickest, drawn as a pair.
    Selvedge,
    /// What a step adds, cuts or folds: solid and thick.
    New,
    /// Sewn in the step that is shown: long even dashes, thick.
    Sewing,
    /// Sewn in a step before: short even dashes, thin.
    Sewn,
    /// Where something moves, with an arrowhead.
    Motion,
}

impl LineKind {
    /// All of them, for legends and tests.
    pub const ALL: [Self; 14] = [
        Self::Cut,
        Self::Edge,
        Self::Hidden,
        Self::Stitch,
        Self::Fold,
        Self::Grain,
        Self::Place,
        Self::Dimension,
        Self::Thin,
        Self::Selvedge,
        Self::New,
        Self::Sewing,
        Self::Sewn,
        Self::Motion,
    ];

    /// The word for it, used as a class in SVG and in legends.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Edge => "edge",
            Self::Hidden => "hidden",
            Self::Stitch => "stitch",
            Self::Fold => "fold",
            Self::Grain => "grain",
            Self::Place => "place",
            Self::Dimension => "dimension",
            Self::Thin => "thin",
            Self::Selvedge => "selvedge",
            Self::New => "new",
            Self::Sewing => "sewing",
            Self::Sewn => "sewn",
            Self::Motion => "motion",
        }
    }

    /// Width in mm.
    pub const fn width(self) -> f64 {
        match self {
            Self::Selvedge | Self::New | Self::Sewing => 0.7,
            Self::Cut | Self::Motion => 0.5,
            Self::Edge | Self::Stitch | Self::Place => 0.35,
            Self::Hidden | Self::Fold | Self::Grain => 0.25,
            Self::Dimension | Self::Sewn => 0.18,
            Self::Thin => 0.13,
        }
    }

    /// Lengths in mm of dashes and gaps in turn; nothing for a solid line.
    pub const fn dashes(self) -> &'static [f64] {
        match self {
            Self::Cut
            | Self::Edge
            | Self::Grain
            | Self::Dimension
            | Self::Thin
            | Self::Selvedge
            | Self::New
            | Self::Motion => &[],
            Self::Hidden => &[2.0, 0.8],
            Self::Stitch => &[1.5, 1.5],
            Self::Sewing => &[2.0, 1.3],
            Self::Sewn => &[1.0, 1.0],
            // 24 d, 3 d, 0.5 d, 3 d of ISO 128-2 for d = 0.25 mm.
            Self::Fold => &[6.0, 0.75, 0.125, 0.75],
            Self::Place => &[0.35, 1.0],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 128-2: the series of line widths in mm.
    const SERIES: [f64; 9] = [0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0];

    #[test]
    fn widths_are_of_the_standard_series() {
        for kind in LineKind::ALL {
            let width = kind.width();
            assert!(SERIES.iter().any(|w| (w - width).abs() < 1e-9), "{}: {width}", kind.name());
        }
        // Thick to thin as two to one: a cut against a grain line, a stitch against a dimension.
        assert!((LineKind::Cut.width() / LineKind::Grain.width() - 2.0).abs() < 1e-9);
        assert!((LineKind::Stitch.width() / LineKind::Dimension.width() - 2.0).abs() < 0.06);
    }

    #[test]
    fn broken_lines_differ_from_one_another_without_colour() {
        let broken: Vec<_> = LineKind::ALL.iter().filter(|k| !k.dashes().is_empty()).collect();
        for (index, first) in broken.iter().enumerate() {
            assert!(first.dashes().len() % 2 == 0, "{}", first.name());
            for second in &broken[index + 1..] {
                assert_ne!(first.dashes(), second.dashes(), "{first:?} {second:?}");
            }
        }
    }
}
