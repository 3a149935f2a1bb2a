//! The zip between two edges of a body that do not meet: its tape lies between them, its tabs at either
//! end.

use bag::assembly::Event;
use bag::operations::{CoverZipEnds, JoinOverZip, SetZip, ZipInto};
use bag::pattern::{CopyId, Grain, Run, Step};
use kurbo::Point;

use crate::body::Body;
use crate::folding::{Facet, lies_on};
use crate::line::LineKind;
use crate::scene::{Fill, Layer, closed};
use crate::space::{Eye, Space, length_of};
use crate::texture::Side;

/// Two edges nearer than this meet, in mm of cloth: nothing is seen between them.
const MEET: f64 = 1.0;
/// Where the chain lies on the tape, in parts of what is seen of it.
const CHAIN: [f64; 2] = [0.42, 0.58];

/// What is seen of a zip between its two seams.
pub(crate) struct Tape<'b> {
    /// Along the one seam, and along the other, in one direction.
    pub(crate) seams: [[Space; 2]; 2],
    /// A facet beside it.
    pub(crate) beside: &'b Facet,
    /// The tab that covers its end, and how much of it is seen at either end, in parts of its length.
    tabs: Option<(CopyId, f64)>,
}

/// The two edges of the outside between which a step sets a zip, in one direction.
pub(crate) fn sides_of(step: &Step) -> Option<[Run; 2]> {
    if let Some(zip) = step.as_a::<SetZip>() {
        return match &zip.into {
            ZipInto::Edges(sides, _) => Some(sides.clone()),
            ZipInto::Slit(_) => None,
        };
    }
    hung(step, 0)
}

/// Those of the outside, or of its lining, that a step sews to a zip together.
fn hung(step: &Step, layer: usize) -> Option<[Run; 2]> {
    match step.as_a::<JoinOverZip>()?.seams.as_slice() {
        [one, other] => Some([one[layer].clone(), other[layer].reversed()]),
        _ => None,
    }
}

/// What of a run is seen as the body is folded: where it begins and ends, how far along the run, and
/// a facet on it.
struct Part<'b> {
    ends: [(f64, Space); 2],
    on: &'b Facet,
}

impl<'b> Part<'b> {
    fn of(body: &'b Body<'_, '_>, run: &Run) -> Option<Self> {
        let mut seen: Vec<(f64, Space, &Facet)> = Vec::new();
        let mut before = 0.0;
        for span in &run.spans {
            let edge = body.pattern().piece_of(span.copy).net.edge(span.edge);
            let [from, to] = [span.from, span.to].map(|along| edge.point_along(along).to_mm());
            for facet in body.facets.iter().filter(|facet| facet.copy == span.copy) {
                let on = facet.polygon.iter().filter(|at| lies_on(**at, from, to));
                let place =
                    |at: &Point| (before + length_of(*at - from), body.place(facet, *at), facet);
                seen.extend(on.map(place));
            }
            before += span.length().to_mm();
        }
        let first = *seen.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let last = *seen.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Self { ends: [(first.0, first.1), (last.0, last.1)], on: first.2 })
    }
}

impl<'b> Tape<'b> {
    /// The zip of a body; nothing if none is set yet, or if the edges on either side of it meet.
    pub(crate) fn of(body: &'b Body<'_, '_>) -> Option<Self> {
        let set = |at: usize| {
            let joined = |(step, event): &(usize, Event)| {
                *step == at && matches!(event, Event::Joined { .. })
            };
            body.work.events.iter().any(joined)
        };
        let steps = body.pattern().steps.iter().enumerate().filter(|(at, _)| set(*at));
        let runs = steps.flat_map(|(_, step)| sides_of(step).into_iter().chain(hung(step, 1)));
        runs.filter_map(|sides| Self::between(body, &sides)).next()
    }

    fn between(body: &'b Body<'_, '_>, sides: &[Run; 2]) -> Option<Self> {
        let [Some(one), Some(other)] = [0, 1].map(|side| Part::of(body, &sides[side])) else {
            return None;
        };
        let seams = [one.ends.map(|it| it.1), other.ends.map(|it| it.1)];
        let long = one.ends[1].0 - one.ends[0].0;
        let apart = (seams[0][0] - seams[1][0]).length();
        if apart < MEET || long < MEET {
            return None;
        }
        let cover = body.pattern().steps.iter().find_map(|step| step.as_a::<CoverZipEnds>());
        let tabs = cover.and_then(|cover| {
            let bare = (sides[0].length() - cover.length).half() + cover.over;
            Some((*cover.tabs.first()?, (bare.to_mm() - one.ends[0].0) / long))
        });
        let tabs = tabs.filter(|(_, share)| *share > 0.01 && *share < 0.5);
        Some(Self { seams, beside: one.on, tabs })
    }

    /// A place on it: so far along, and so far across, in parts of both.
    pub(crate) fn at(&self, along: f64, across: f64) -> Space {
        let [[a, b], [d, c]] = self.seams;
        let (on, off) = (a + (b - a) * along, d + (c - d) * along);
        on + (off - on) * across
    }

    /// Its outline.
    pub(crate) fn outline(&self, eye: &Eye) -> [Point; 4] {
        let [[a, b], [d, c]] = self.seams;
        [a, b, c, d].map(|at| eye.see(at))
    }

    /// How long it is, in mm.
    pub(crate) fn long(&self) -> f64 {
        (self.seams[0][1] - self.seams[0][0]).length()
    }

    /// Tape, chain and tabs.
    pub(crate) fn paint(&self, body: &Body<'_, '_>, eye: &Eye, layer: &mut Layer) {
        layer.shape(closed(self.outline(eye)), Fill::Paper, Some(LineKind::Edge));
        let see = |along, across| eye.see(self.at(along, across));
        for across in CHAIN {
            layer.line([see(0.0, across), see(1.0, across)], LineKind::Thin);
        }
        let Some((tab, share)) = self.tabs else { return };
        let side = if body.wrong_out { Side::Wrong } else { Side::Right };
        let lay = body.lay(eye, self.beside, Grain::Lengthwise);
        for (from, to) in [(0.0, share), (1.0 - share, 1.0)] {
            let shape = [see(from, 0.0), see(to, 0.0), see(to, 1.0), see(from, 1.0)];
            let fill = Fill::Cloth(body.texture(tab, side), lay);
            layer.shape(closed(shape), fill, Some(LineKind::Edge));
        }
    }
}

impl Body<'_, '_> {
    /// Draws its zip, where that is seen between two edges, on the near or the far side.
    pub(crate) fn zip(&self, eye: &Eye, layer: &mut Layer, near: bool) {
        if let Some(tape) = Tape::of(self)
            && self.is_near(eye, tape.beside) == near
        {
            tape.paint(self, eye, layer);
        }
    }
}
