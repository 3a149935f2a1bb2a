//! What sizes and places come to that a design leaves out: asked of the kinds themselves, in a bag
//! with all else as it comes.

use bag::kinds::Kind;
use bag::{Chosen, Design, bodies};
use measure::{Length, System, Units};

/// The design with that kind in a section, and what begins the paths of its parameters; nothing for
/// a section that chooses no kind.
pub(crate) fn with(design: &Design, section: &str, kind: &dyn Kind) -> Option<(Design, String)> {
    let mut design = design.clone();
    let system = design.system();
    let chosen = Chosen::new(kind, system);
    let head = match section {
        "body" => {
            design = Design::of(bodies::find(kind.name())?, design.units);
            section
        }
        "handles" => {
            design.handles = chosen;
            section
        }
        "closure" => {
            design.closure = chosen;
            section
        }
        "lining" => {
            design.lining = chosen;
            section
        }
        "pocket" => {
            design.pockets = vec![chosen];
            "pocket[1]"
        }
        "extra" => {
            design.extras = vec![chosen];
            "extra[1]"
        }
        _ => return None,
    };
    Some((design, head.to_owned()))
}

/// What a length comes to in a bag that has that kind and all else as it comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Usual {
    /// The body; that of the kind itself if it is one.
    pub(crate) body: &'static str,
    /// Drafted in inches.
    pub(crate) inch: Length,
    /// Drafted in millimetres.
    pub(crate) metric: Length,
}

/// What a parameter of a kind comes to that is left out, in the first body in which it comes to
/// something; nothing where leaving it out is no size.
pub(crate) fn usual(section: &str, kind: &dyn Kind, key: &str) -> Option<Usual> {
    bodies::ALL.iter().find_map(|body| {
        let settled = |units| {
            let (design, head) = with(&Design::of(*body, units), section, kind)?;
            let settled = bag::draft(&design).settled;
            Some((design.body.kind, *settled.get(&format!("{head}.{key}"))?))
        };
        let ((body, inch), (_, metric)) = (settled(Units::Inch)?, settled(Units::Mm)?);
        Some(Usual { body, inch, metric })
    })
}

impl Usual {
    /// On one of the two rulers.
    pub(crate) const fn on(self, system: System) -> Length {
        match system {
            System::Inch => self.inch,
            System::Metric => self.metric,
        }
    }
}
