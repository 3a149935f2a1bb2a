//! The finished bag in space, from any side: its panels folded by the pattern's hinges, with pockets,
//! handles and closure; as it is closed, open, or with its front cut away so that the inside is
//! seen; and beside it a person or a sheet of paper, to tell its size.
//!
//! Everything is drawn from what the pattern claims and from what the assembly records. Nothing here
//! asks which bag it is.

mod beside;
mod closures;
mod dividers;
mod gathered;
mod measures;
mod places;
mod pockets;
mod shut;
mod zip;

use bag::assembly::{Assembly, Event};
use bag::pattern::{HandleClaim, Pattern};
use kurbo::{Point, Rect};
use measure::{Length, System, show_length};

use crate::body::{Body, Loops};
use crate::folding::{Facet, fold, fold_from, front_copy, joins_lining, lining_over_zip};
use crate::line::LineKind;
use crate::scene::Scene;
use crate::space::{Eye, Space};
use crate::straps::Strap;
use crate::texture::{Cloth, Side, Texture};
use bag::operations::FaceSide;

/// The height of a person as people say it: feet and inches, or centimetres.
pub fn show_height(height: Length, system: System) -> String {
    beside::show_height(height, system)
}

/// From where a bag is seen, in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// How far to the right of the front the eye stands: 0 is before the front, 90 before the right
    /// side, 180 behind.
    pub turn: f64,
    /// How far above the horizon: 0 is level, 90 straight above.
    pub rise: f64,
}

/// What is seen of a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Showing {
    /// Its outside, closed as it is carried.
    Closed,
    /// Its outside, its closure open.
    Open,
    /// Its inside: the panels on the side of the eye are cut away.
    Inside,
}

impl Showing {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Closed, Self::Open, Self::Inside];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::Open => "open",
            Self::Inside => "inside",
        }
    }
}

/// Something of known size beside the bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// A person of that height, who carries it.
    Person(Length),
    /// A sheet of paper: A4, or Letter for a reader with inches.
    Sheet,
}

/// How the finished bag is drawn.
#[derive(Clone, Copy, Debug)]
pub struct FinishedOptions {
    /// The reader's ruler.
    pub system: System,
    /// Room on paper, width × height in mm.
    pub room: (f64, f64),
    /// Whether its width, height and depth are written beside it.
    pub measures: bool,
    /// From where; [`usual_view`] if none is given.
    pub view: Option<View>,
    /// What of it.
    pub showing: Showing,
    /// Whether handles hang down before their panel, and do not stand up.
    pub hanging: bool,
    /// What is beside it.
    pub beside: Option<Beside>,
}

impl FinishedOptions {
    /// The bag alone, closed, its handles standing, from its usual side.
    pub const fn new(system: System, room: (f64, f64)) -> Self {
        Self {
            system,
            room,
            measures: false,
            view: None,
            showing: Showing::Closed,
            hanging: false,
            beside: None,
        }
    }
}

/// From where a bag is best seen: a bag with a depth from the front right and above, a flat one from
/// the front; its inside from the side away from most of its inside pockets; one whose handles all
/// stand out from its back is seen from the front too, where its pockets are.
pub fn usual_view(pattern: &Pattern, showing: Showing) -> View {
    let deep = pattern.claims.depth.is_positive();
    match showing {
        Showing::Closed if deep => View { turn: 28.0, rise: 20.0 },
        Showing::Closed => View { turn: 0.0, rise: 0.0 },
        Showing::Open => View { turn: 28.0, rise: 38.0 },
        Showing::Inside => {
            let (own, other) =
                (pockets::area_inside(pattern, 28.0), pockets::area_inside(pattern, 208.0));
            let turn = if other > own { 208.0 } else { 28.0 };
            View { turn, rise: if deep { 30.0 } else { 18.0 } }
        }
    }
}

/// Whether something on the back is worth a look from behind: a pocket, or straps that stand out.
pub fn has_a_back(pattern: &Pattern) -> bool {
    pattern.claims.handles.iter().any(|handle| handle.stands_out)
        || pockets::area_outside(pattern, 180.0) > 0.0
}

/// Whether there is something to see inside.
pub fn has_an_inside(pattern: &Pattern) -> bool {
    pattern.claims.pockets.iter().any(|pocket| pocket.inside)
}

/// Room that measures need on each side, in mm.
const MEASURES: f64 = 16.0;

/// Whether the folded panels stay within the finished width and height, give or take a tenth: hinges
/// of a written pattern may lay a part where no bag has it, and a wrong picture is worse than none.
fn comes_out_as_claimed(pattern: &Pattern, facets: &[Facet]) -> bool {
    let places = |facets: &[Facet]| -> Vec<Space> {
        let corners = |facet: &Facet| {
            facet.polygon.iter().map(|corner| facet.frame.at(*corner)).collect::<Vec<_>>()
        };
        facets.iter().flat_map(corners).collect()
    };
    let extent = |places: &[Space], along: fn(&Space) -> f64| {
        let all = places.iter().map(along);
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    let front = places(facets.get(..1).unwrap_or_default());
    let all = places(facets);
    let most = |claimed: f64| claimed * 1.1 + 5.0;
    let wide = extent(&front, |place| place.x).max(pattern.claims.width.to_mm());
    // The front stands up to its rim, which may be rolled down in use.
    let high = extent(&front, |place| place.z).max(pattern.claims.height.to_mm());
    extent(&all, |place| place.x) <= most(wide) && extent(&all, |place| place.z) <= most(high)
}

/// The picture of the finished bag; without layers when the panels do not fold to a bag of the
/// finished size.
pub fn draw(pattern: &Pattern, options: FinishedOptions) -> Scene {
    let view = options.view.unwrap_or_else(|| usual_view(pattern, options.showing));
    let id = match options.showing {
        Showing::Closed => "finished".to_owned(),
        other => format!("finished-{}", other.name()),
    };
    let mut scene =
        Scene::new(id, format!("{}, finished", pattern.title), description(pattern, options, view));
    let facets = fold(pattern);
    if facets.is_empty() || !comes_out_as_claimed(pattern, &facets) {
        return scene;
    }
    let work = Assembly::sew(pattern);
    let mut bag = Bag::new(&work, facets, options, view);
    match options.beside {
        Some(Beside::Person(height)) => beside::person(&mut bag, &mut scene, height),
        Some(Beside::Sheet) => beside::sheet(&mut bag, &mut scene),
        None => {
            bag.fit(options, Bag::extent);
            bag.paint(&mut scene);
        }
    }
    scene.scale = bag.eye.scale;
    if options.measures && !matches!(options.beside, Some(Beside::Person(_))) {
        measures::draw(&bag, scene.layer("measures"));
    }
    scene
}

pub use places::mark;

/// What one would see, in words.
fn description(pattern: &Pattern, options: FinishedOptions, view: View) -> String {
    let claims = &pattern.claims;
    let show = |length| show_length(length, options.system);
    let depth = if claims.depth.is_positive() {
        format!(" and {} deep", show(claims.depth))
    } else {
        String::new()
    };
    let inside = options.showing == Showing::Inside;
    let pockets = claims.pockets.iter().filter(|it| it.inside == inside).map(|it| it.name.clone());
    let handles = claims.handles.iter().filter(|_| !inside).map(|it| it.name.clone());
    let closed = options.showing == Showing::Closed;
    let closures = claims
        .closures
        .iter()
        // Halves that meet within the bag are not seen.
        .filter(|it| closed && (!it.shows.is_empty() || it.meets.is_empty()))
        .map(|it| it.name.clone());
    let parts: Vec<String> = pockets.chain(handles).chain(closures).collect();
    let with =
        if parts.is_empty() { String::new() } else { format!(", with {}", parts.join(", ")) };
    let turn = view.turn.rem_euclid(360.0);
    let side = match turn {
        t if !(10.0..350.0).contains(&t) => "the front",
        t if t < 70.0 => "the front right",
        t if t < 110.0 => "the right side",
        t if t < 170.0 => "behind on the right",
        t if t < 190.0 => "behind",
        t if t < 250.0 => "behind on the left",
        t if t < 290.0 => "the left side",
        _ => "the front left",
    };
    let above = match view.rise {
        r if r > 5.0 => " and above",
        r if r < -5.0 => " and below",
        _ => "",
    };
    let state = match options.showing {
        Showing::Closed => "The finished bag",
        Showing::Open => "The finished bag, open,",
        Showing::Inside => "The inside of the finished bag, the near side cut away,",
    };
    let scale = match options.beside {
        Some(Beside::Person(height)) => {
            let how = if claims.handles.is_empty() { "stands beside" } else { "carries" };
            format!(" A person {} tall {how} it.", show_height(height, options.system))
        }
        Some(Beside::Sheet) => {
            format!(" Beside it stands a sheet of {} paper.", beside::sheet_name(options.system))
        }
        None => String::new(),
    };
    format!(
        "{state} seen from {side}{above}, {} wide, {} high{depth}{with}.{scale}",
        show(claims.width),
        show(claims.height),
    )
}

/// Whether the inside shows a lining: something was dropped into the outside.
pub fn is_lined(pattern: &Pattern) -> bool {
    lining_front(&Assembly::sew(pattern)).is_some()
}

/// A copy of the body that lies within the outside.
fn lining_front(work: &Assembly<'_>) -> Option<bag::pattern::CopyId> {
    let outside = front_copy(work.pattern)?;
    work.events.iter().find_map(|(step, event)| match event {
        // A lining that is sewn on over a zip.
        Event::Joined { sides, .. } if joins_lining(work, *step, sides) => lining_over_zip(work),
        Event::DroppedIn { copies: [inner, outer], .. } => {
            // Of the two bodies the lining is the one without the front.
            let other = if outer.contains(&outside) { inner } else { outer };
            crate::folding::most_like_front(work.pattern, other)
        }
        _ => None,
    })
}

/// A folded bag before an eye.
struct Bag<'w, 'p> {
    outer: Body<'w, 'p>,
    lining: Option<Body<'w, 'p>>,
    lined: bool,
    /// How its top is rolled or folded down.
    shut: Option<shut::Shut>,
    /// Its straps are out of sight: on the shoulders of who wears it.
    worn: bool,
    view: View,
    eye: Eye,
    options: FinishedOptions,
}

impl<'w, 'p> Bag<'w, 'p> {
    fn new(
        work: &'w Assembly<'p>,
        facets: Vec<Facet>,
        options: FinishedOptions,
        view: View,
    ) -> Self {
        let mut outer = Body::new(work, facets);
        outer.loops = if options.hanging { Loops::Down } else { Loops::Up };
        let shut = shut::of(work).filter(|_| options.showing == Showing::Closed);
        if let Some(shut) = shut {
            outer.shut(shut.takes);
        }
        let casing = gathered::casing(&outer).filter(|_| options.showing == Showing::Closed);
        if let Some(casing) = casing {
            outer.gather(casing);
        }
        // Nothing is seen of the inside of a bag that is rolled or drawn shut.
        let front = lining_front(work).filter(|_| shut.is_none() && casing.is_none());
        let lining = front.and_then(|front| {
            let mut lining = Body::new(work, fold_from(work, front));
            lining.wrong_out = true;
            if !lining.fits_in(&outer) {
                return None;
            }
            lining.stand_in(&outer);
            Some(lining)
        });
        let eye = Eye::new(view.turn, view.rise, 1.0);
        Self { outer, lining, lined: front.is_some(), shut, worn: false, view, eye, options }
    }

    fn pattern(&self) -> &'p Pattern {
        self.outer.pattern()
    }

    /// Sets the scale so that what `extent` says fits the room.
    fn fit(&mut self, options: FinishedOptions, extent: impl Fn(&Self) -> Rect) {
        self.eye = Eye::new(self.view.turn, self.view.rise, 1.0);
        let room = if options.measures {
            (options.room.0 - 2.0 * MEASURES, options.room.1 - MEASURES)
        } else {
            options.room
        };
        let seen = extent(self);
        let scale = (room.0 / seen.width().max(1.0)).min(room.1 / seen.height().max(1.0));
        self.eye = Eye::new(self.view.turn, self.view.rise, scale);
    }

    fn handles(&self) -> &'p [HandleClaim] {
        if self.worn { &[] } else { &self.pattern().claims.handles }
    }

    /// The box around everything that is seen.
    fn extent(&self) -> Rect {
        let outer = &self.outer;
        let panels = outer.facets.iter().flat_map(|it| outer.seen(&self.eye, it, &it.polygon));
        let straps: Vec<Strap> =
            self.handles().iter().filter_map(|it| Strap::of(outer, &self.eye, it)).collect();
        let straps = straps.iter().flat_map(|strap| strap.seen(&self.eye).collect::<Vec<_>>());
        let mut points = panels.chain(straps);
        let first = points.next().unwrap_or_default();
        points.fold(Rect::from_points(first, first), |rect, point| rect.union_pt(point))
    }

    /// The box around the bag alone, in space.
    fn box_in_space(&self) -> (Space, Space) {
        let outer = &self.outer;
        let corners = || {
            let each = |facet: &Facet| {
                facet.polygon.iter().map(|at| outer.place(facet, *at)).collect::<Vec<_>>()
            };
            outer.facets.iter().flat_map(each)
        };
        let least = |of: fn(&Space) -> f64| corners().map(|at| of(&at)).fold(f64::MAX, f64::min);
        let most = |of: fn(&Space) -> f64| corners().map(|at| of(&at)).fold(f64::MIN, f64::max);
        (
            Space::new(least(|at| at.x), least(|at| at.y), least(|at| at.z)),
            Space::new(most(|at| at.x), most(|at| at.y), most(|at| at.z)),
        )
    }

    fn paint(&self, scene: &mut Scene) {
        let inside = self.options.showing == Showing::Inside;
        self.straps(scene, false);
        closures::behind(self, scene);
        self.far(scene);
        if inside {
            self.cut_away(scene);
            return;
        }
        closures::across(self, scene);
        let eye = &self.eye;
        let near = self.outer.sorted(eye, true);
        for facet in &near {
            self.outer.facet(eye, scene.layer("outside"), facet);
        }
        gathered::folds(self, scene, &near);
        for facet in &near {
            pockets::on_outside(self, scene.layer("pockets"), facet);
        }
        for handle in self.handles() {
            if Strap::of(&self.outer, eye, handle).is_some_and(|it| it.is_near) {
                self.outer.legs(eye, scene.layer("near-handle"), handle);
            }
        }
        closures::before(self, scene);
        self.straps(scene, true);
    }

    /// The handles on the far or the near side.
    fn straps(&self, scene: &mut Scene, near: bool) {
        let name = if near { "near-handle" } else { "far-handle" };
        for handle in self.handles() {
            let Some(strap) = Strap::of(&self.outer, &self.eye, handle) else { continue };
            let mut drawn = if near { strap.before_the_sides() } else { Vec::new() };
            drawn.extend((strap.is_near == near).then_some(strap));
            for strap in drawn {
                strap.paint(&self.outer, &self.eye, scene.layer(name), handle);
            }
        }
    }

    /// The far panels, of which the inner side is seen, and what lies there.
    fn far(&self, scene: &mut Scene) {
        let eye = &self.eye;
        for facet in self.outer.sorted(eye, false) {
            let layer = scene.layer("inside");
            self.outer.facet(eye, layer, facet);
            if self.lined && self.lining.is_none() {
                // A lining that does not fold is told by its cloth alone.
                let texture = Texture { cloth: Cloth::Lining, side: Side::Right };
                self.outer.facet_in(eye, layer, facet, texture);
            }
        }
        let (within, up) = match &self.lining {
            Some(lining) => (lining, FaceSide::Right),
            None => (&self.outer, FaceSide::Wrong),
        };
        if self.lining.is_some() {
            for facet in within.sorted(eye, false) {
                within.facet(eye, scene.layer("lining"), facet);
            }
        }
        for facet in within.sorted(eye, false) {
            pockets::on_inside(self, within, up, scene.layer("inside-pockets"), facet);
        }
        dividers::within(self, within, scene);
    }

    /// The outline of the panels that are cut away.
    fn cut_away(&self, scene: &mut Scene) {
        let layer = scene.layer("cut-away");
        for facet in self.outer.sorted(&self.eye, true) {
            self.outer.edges_of(&self.eye, layer, facet, LineKind::Hidden);
        }
    }

    /// The middle of the bag's highest strap, or of its rim, as it is seen.
    fn held_at(&self) -> Point {
        let straps = self.handles().iter().filter(|it| !it.stands_out);
        let tops = straps.filter_map(|it| Strap::of(&self.outer, &self.eye, it)?.top());
        let (low, high) = self.box_in_space();
        let rim = Space::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0, high.z);
        let top = tops.max_by(|a, b| a.z.total_cmp(&b.z)).unwrap_or(rim);
        self.eye.see(top)
    }
}

#[cfg(test)]
mod tests {
    use bag::design::{Chosen, Design};
    use measure::Units;

    use super::*;

    /// A lining stands in its bag: as wide and as deep as it, and as high; it is folded as it is sewn,
    /// not only told by its cloth.
    #[test]
    fn the_lining_of_every_body_is_folded() {
        let mut unfolded = Vec::new();
        for body in bag::bodies::ALL {
            for lining in bag::linings::ALL {
                let mut design = Design::of(*body, Units::Mm);
                design.lining = Chosen::new(*lining, System::Metric);
                let Some(pattern) = bag::draft(&design).pattern else { continue };
                let work = Assembly::sew(&pattern);
                let Some(front) = lining_front(&work) else { continue };
                let outer = Body::new(&work, fold(&pattern));
                let inner = Body::new(&work, fold_from(&work, front));
                if !inner.fits_in(&outer) {
                    unfolded.push(format!("{} {}", body.name(), lining.name()));
                }
            }
        }
        // A facing that joins panels of another shape is told by its cloth alone.
        let by_cloth = ["bottle-carrier faced"];
        assert_eq!(unfolded, by_cloth);
    }
}
