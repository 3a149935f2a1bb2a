//! From a design to a pattern.
//!
//! A body plans its shells; pockets, handles and closures add to the shells' faces; the lining
//! decides how outside and inside become one. Each of them adds pieces and steps to the
//! [`Drafter`], which puts the steps in order at the end, by chapter.

mod base;
mod bias;
mod binding;
mod cloth;
mod compartments;
mod compatible;
pub(crate) mod cords;
pub(crate) mod face;
pub(crate) mod facing;
pub(crate) mod fittings;
mod gusset;
mod on_pocket;
mod opening;
mod order;
pub(crate) mod patches;
pub(crate) mod rim_set;
mod room;
mod round_base;
mod seams;
pub(crate) mod side_set;
pub mod strap;
mod tidy_up;
mod two_panels;
pub(crate) mod zip_top;
pub(crate) mod zips;

pub use base::{Base, BasePiece, BaseShape};
pub use bias::{BiasStrip, strip_from};
pub use binding::{binding_strip, seam_binding};
pub use cloth::{fabric_of, usual_usable};
pub use compatible::{Ability, RULES, Rule};
pub use face::{Borders, Face, Layer, Lie, Shell, Strip};
pub use gusset::Gusset;
pub(crate) use gusset::{STAYSTITCH, clip_every, clip_leave};
pub use opening::centred_gap;
pub use room::{Wanted, wanted};
pub use round_base::BasedTube;
pub use seams::Seam;
pub use two_panels::{PanelSize, TwoPanels, panel_size};
pub(crate) use two_panels::{base_seam, piped_sides, side_seams, up};
pub use zip_top::ZipTop;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use measure::{Length, Outline, Point, Rounding, Ruler, System};

use crate::design::{Design, Role};
use crate::finding::{Finding, Place};
use crate::kinds::Value;
use crate::operations::{EdgeFinish, Operation, Placed};
use crate::pattern::{
    Chapter, Checkpoint, Claims, Copy, CopyId, Edge, EndClaim, Grain, Hinge, Mark, MarkShape,
    Material, MaterialId, Notion, PartClaim, Pattern, Piece, PieceId, Run, Span, Step, StripJoin,
};
use crate::{bodies, closures, extras, handles, linings, pockets};

/// What drafting gives: a pattern, unless the design is impossible, and what was found on the way.
#[derive(Clone, Debug)]
pub struct Drafted {
    /// The pattern, if there can be one.
    pub pattern: Option<Pattern>,
    /// What was found while drafting.
    pub findings: Vec<Finding>,
    /// What the sizes and places came to that a design may leave out, by parameter, whether or not
    /// this one does: those that were come to before it was refused, if it was.
    pub settled: Settled,
    /// Where the design asks for pieces that are no part of the bag itself: by the name of the piece or
    /// the copy, a parameter such as `pocket[1].kind`.
    pub asked_at: BTreeMap<String, String>,
}

/// Lengths by the parameter that may be left out, as in `pocket[1].height`.
pub type Settled = BTreeMap<String, Length>;

/// Drafts a design.
pub fn draft(design: &Design) -> Drafted {
    let mut d = Drafter::new(design);
    let done = run(&mut d);
    let findings = std::mem::take(&mut d.findings);
    let settled = std::mem::take(&mut d.settled);
    let asked_at = std::mem::take(&mut d.asked_at);
    let refused = findings.iter().any(|finding| finding.check == REFUSED);
    let pattern = (done.is_some() && !refused).then(|| d.into_pattern());
    Drafted { pattern, findings, settled, asked_at }
}

/// Name under which drafting reports what cannot be made at all.
pub const REFUSED: &str = "can-be-drafted";

fn run(d: &mut Drafter<'_>) -> Option<()> {
    let design = d.design;
    let body = bodies::find(design.body.kind)?;
    let lining = linings::find(design.lining.kind)?;
    cloth::settle(d);
    lining.prepare(d, &design.lining.values);
    let plan = body.plan(d, &design.body.values)?;
    d.base_rise = plan.base_rise();
    let offers = plan.offers();
    d.rim_stands = offers.contains(&Ability::StandingRim);
    d.rim_at_sides = offers.contains(&Ability::RimAtSides);
    d.front_covered = !offers.contains(&Ability::BareFront);
    d.rim_under_flap = d.front_covered && offers.contains(&Ability::OpenFront);
    d.rim_has_depth = offers.contains(&Ability::DepthAtRim);
    let mut outside = plan.shell(d, Layer::Outside);
    let panels = d.copies_so_far();
    let mut inside = lining.is_lined().then(|| plan.shell(d, Layer::Lining));
    if !compatible::agree(d, &*plan) {
        return None;
    }
    lining.ready(d, &design.lining.values, inside.as_mut());
    let panels_done = d.steps.len();
    for index in order::pocket_order(design, inside.is_some()) {
        let chosen = &design.pockets[index];
        let (pocket, since) = (pockets::find(chosen.kind)?, d.copies.len());
        let so_far = (d.steps.len(), d.claims.pockets.len());
        pocket.build(d, &chosen.values, index, &outside, inside.as_ref());
        if order::goes_last(design, index, inside.is_some()) {
            d.hold_back(so_far);
        }
        d.ask_at(&format!("pocket[{}].kind", index + 1), since);
    }
    let closure = closures::find(design.closure.kind)?;
    d.rim_covered = closure.covers_rim();
    let closed = closure.closed(d, &design.closure.values, &outside);
    if let [front, .., back] = outside.faces.as_mut_slice() {
        [front.closed, back.closed] = closed;
    }
    let since = d.copies.len();
    handles::find(design.handles.kind)?.build(d, &design.handles.values, &outside);
    d.ask_at("handles.kind", since);
    let since = d.copies.len();
    closure.build(d, &design.closure.values, &outside, inside.as_ref());
    d.ask_at("closure.kind", since);
    for (index, chosen) in design.extras.iter().enumerate() {
        let inside = inside.as_ref();
        let bag = extras::Bag { plan: &*plan, outside: &outside, inside, panels: &panels };
        let since = d.copies.len();
        extras::find(chosen.kind)?.build(d, &chosen.values, index, bag);
        d.ask_at(&format!("extra[{}].kind", index + 1), since);
    }
    d.order_panels(panels_done);
    plan.ready_mouth(d, &outside, inside.as_ref());
    plan.sew(d, &outside, None);
    lining.finish(d, &design.lining.values, &*plan, &outside, inside.as_ref());
    plan.close(d, &outside);
    plan.claim(d, &outside);
    tidy_up::tidy_up(d);
    Some(())
}

/// How the seams of the outside are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeamMake {
    /// Plain, pressed open.
    Plain,
    /// Plain, the allowances finished together.
    Finished(EdgeFinish),
    /// French: the two rows.
    French {
        /// First row, wrong sides together.
        first: Length,
        /// Second row, right sides together.
        second: Length,
    },
}

/// A body, planned: its numbers are known.
pub trait Plan {
    /// Cuts the pieces of one layer and names its faces.
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell;
    /// Sews a layer into a bag; with an opening of that length in its base seam, if one is asked.
    /// Returns the id of the step that leaves the opening.
    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String>;
    /// Writes down what the finished bag promises, and how it folds.
    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell);
    /// How much of the height of a face goes to the base: half the depth of a boxed bag.
    fn base_rise(&self) -> Length;
    /// The base, of a bag that has one that lies flat: by default what the lower parts of front and
    /// back make.
    fn base(&self, _: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        let rise = self.base_rise();
        let front = outside.faces.first().filter(|_| rise.is_positive())?;
        let size = (front.base_width - rise * 2, rise * 2);
        Some(Base { size, shape: BaseShape::Square, piece: None })
    }
    /// The seams that can be piped, that of the front first.
    fn piped(&self, _: &Drafter<'_>, _: &Shell) -> Vec<extras::PipedSeam> {
        Vec::new()
    }
    /// Seam allowance at the opening that `sew` leaves in a lining.
    fn opening_allowance(&self, d: &Drafter<'_>) -> Length {
        d.allowance("base")
    }
    /// What the body has for pockets, handles, closures and linings to work with.
    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag()
    }
    /// What becomes of the rim.
    fn mouth(&self) -> Mouth {
        Mouth::Round
    }
    /// The edges that lie along a zip in the rim: of the outside, and of a lining that is put into it
    /// and sewn to the zip.
    fn beside_zip(&self, _: &Drafter<'_>, outside: &Shell, inside: &Shell) -> Vec<[Run; 2]> {
        let faces = outside.faces.iter().zip(&inside.faces);
        faces.map(|(out, lining)| [out.rim(), lining.rim().reversed()]).collect()
    }
    /// How much more than its allowance a lining that is put in later is turned in beside the zip.
    fn turned_in_further(&self) -> Length {
        Length::ZERO
    }
    /// Sews what takes outside and lining at once, when both are sewn to one zip and each is sewn by
    /// itself.
    fn sew_together(&self, _: &mut Drafter<'_>, _: &Shell, _: &Shell) {}
    /// What of it is pushed out when it has been turned.
    fn juts(&self) -> Juts {
        Juts::Corners
    }
    /// Readies the mouth while the panels lie flat, with its pockets and handles on them and before
    /// its seams are sewn: sets a zip.
    fn ready_mouth(&self, _: &mut Drafter<'_>, _: &Shell, _: Option<&Shell>) {}
    /// What the body itself adds when outside and inside are one and turned: rows for a casing,
    /// cords, buckles.
    fn close(&self, _: &mut Drafter<'_>, _: &Shell) {}
    /// How long the seams of the outside are together whose allowances are bound when there is no
    /// lining, from raw edge to raw edge.
    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        let (side, base) = (d.seam_allowance("side"), d.seam_allowance("base"));
        let mut seams = self.base_rise() * 4;
        for (index, face) in outside.faces.iter().enumerate() {
            if index == 0 && face.base_edge().is_some() {
                seams += face.base().length() + side * 2;
            }
            if !face.borders.right.is_empty() {
                seams += face.right().length() + base + d.rim_allowance;
            }
            if face.copies.len() > 1 {
                seams += face.width_at(face.starts[1]);
            }
        }
        seams
    }
}

/// What stands out of a body, and lies crumpled within it while it is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Juts {
    /// Corners, at the base or at the lower ends of its sides.
    Corners,
    /// Rounded corners.
    Curves,
    /// The edge of a round base, which has no corners.
    Base,
    /// The edges of two round ends.
    Ends,
}

impl Juts {
    /// "the corners".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Corners => "the corners",
            Self::Curves => "the curves",
            Self::Base => "the edge of the base",
            Self::Ends => "the edges of both ends",
        }
    }

    /// How a lining is pushed down into its bag: "corner into corner".
    pub const fn into_each_other(self) -> &'static str {
        match self {
            Self::Corners => "corner into corner",
            Self::Curves => "curve into curve",
            Self::Base => "base onto base",
            Self::Ends => "end into end",
        }
    }
}

/// What becomes of the rim of a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mouth {
    /// It is joined to the lining's, or hemmed, all the way round, when the body is sewn.
    Round,
    /// The body closes it with a zip while its panels are flat; the lining is sewn on in the same
    /// seams. Without a lining the bag is turned through the zip.
    Zipped,
    /// The body hems it, as a casing, and turns the bag.
    Hemmed,
}

/// A pattern in the making.
#[derive(Debug)]
pub struct Drafter<'d> {
    /// What is drafted.
    pub design: &'d Design,
    /// The ruler that it is drafted on.
    pub system: System,
    /// How the seams of the outside are made.
    pub seam_make: SeamMake,
    /// Allowance at the rim of the outside.
    pub rim_allowance: Length,
    /// How deep the rim is hemmed, if it is.
    pub rim_hem: Option<Length>,
    /// Ends of handles that lie under the hem of the rim: copy and edge.
    pub tucked: Vec<(CopyId, usize)>,
    /// What is stitched on below a rim: the copy below it, its box there, and its name.
    pub laid: Vec<(CopyId, [Point; 2], String)>,
    /// Pockets that are sewn on when everything else lies on their panels.
    pub late: Vec<CopyId>,
    /// What is stitched through pockets as wide as their panel, from where to where across.
    pub divided: BTreeMap<CopyId, Vec<(Length, Length)>>,
    /// Half the depth of the base, once the body is planned.
    pub base_rise: Length,
    /// Whether the rim stands up in the finished bag, once the body is planned.
    pub rim_stands: bool,
    /// Whether it stands up at its sides, at least.
    pub rim_at_sides: bool,
    /// Whether a flap of the body's own lies over the front.
    pub front_covered: bool,
    /// Whether the rim below that flap stands, so that a closure can be set into it.
    pub rim_under_flap: bool,
    /// Whether a closure lies over the rim of the front.
    pub rim_covered: bool,
    /// Whether there is room between front and back at the rim when the bag is closed.
    pub rim_has_depth: bool,
    /// Whether a zip in the rim holds front and back together before their seams are sewn, and with
    /// them the lining.
    pub zipped: bool,
    /// Panels of lining that are quilted to those of the outside.
    pub backings: Vec<Placed>,
    /// What the pattern promises.
    pub claims: Claims,
    /// Where the bag bends.
    pub hinges: Vec<Hinge>,
    /// Small things needed.
    pub notions: Vec<Notion>,
    /// Tools beyond those of every bag.
    pub tools: Vec<String>,
    materials: Vec<Material>,
    pieces: Vec<Piece>,
    copies: Vec<Copy>,
    steps: Vec<Step>,
    last: Vec<Step>,
    held_back: BTreeSet<String>,
    first: BTreeSet<String>,
    findings: Vec<Finding>,
    settled: Settled,
    asked_at: BTreeMap<String, String>,
}

/// What a new piece is, before its marks.
#[derive(Debug)]
pub struct NewPiece<'a> {
    /// Stable word.
    pub id: &'a str,
    /// What a person calls it.
    pub name: &'a str,
    /// Which part of the bag it is: gives fabric and interfacing.
    pub role: Role,
    /// Stitching line.
    pub net: Outline,
    /// Name and allowance of each edge.
    pub edges: Vec<(&'a str, Length)>,
    /// How it lies on the fabric.
    pub grain: Grain,
    /// Whether it may be made of several lengths.
    pub join: Option<StripJoin>,
}

impl<'d> Drafter<'d> {
    pub(crate) fn new(design: &'d Design) -> Self {
        Self {
            design,
            system: design.system(),
            seam_make: SeamMake::Plain,
            rim_allowance: design.allowances.length("rim"),
            rim_hem: None,
            tucked: Vec::new(),
            laid: Vec::new(),
            late: Vec::new(),
            divided: BTreeMap::new(),
            held_back: BTreeSet::new(),
            first: BTreeSet::new(),
            base_rise: Length::ZERO,
            rim_stands: true,
            rim_at_sides: true,
            front_covered: false,
            rim_under_flap: false,
            rim_covered: false,
            rim_has_depth: true,
            zipped: false,
            backings: Vec::new(),
            claims: Claims::default(),
            hinges: Vec::new(),
            notions: Vec::new(),
            tools: Vec::new(),
            materials: Vec::new(),
            pieces: Vec::new(),
            copies: Vec::new(),
            steps: Vec::new(),
            last: Vec::new(),
            findings: Vec::new(),
            settled: Settled::new(),
            asked_at: BTreeMap::new(),
        }
    }

    fn into_pattern(self) -> Pattern {
        let mut steps = self.steps;
        steps.sort_by_key(|step| step.chapter);
        steps.extend(self.last);
        Pattern {
            title: self.design.title.clone(),
            about: self.design.about.clone(),
            units: self.design.units,
            edition: self.design.edition.clone(),
            materials: self.materials,
            pieces: self.pieces,
            copies: self.copies,
            steps,
            claims: self.claims,
            hinges: self.hinges,
            notions: self.notions,
            tools: self.tools,
            shop: cloth::shop(self.design),
            thread: cloth::thread(self.design),
        }
    }

    /// A seam allowance of the design, by its key.
    pub fn allowance(&self, key: &str) -> Length {
        self.design.allowances.length(key)
    }

    /// Allowance of the outside's side or base seams: what the way of sewing them takes.
    pub fn seam_allowance(&self, key: &str) -> Length {
        match self.seam_make {
            SeamMake::French { first, second } => first + second,
            SeamMake::Plain | SeamMake::Finished(_) => self.allowance(key),
        }
    }

    /// A stitch length of the design, by its key.
    pub fn stitch(&self, key: &str) -> Length {
        self.design.stitching.length(key)
    }

    /// The chapter in which a layer is sewn into a bag.
    pub fn chapter(&self, layer: Layer) -> Chapter {
        if self.is_lined_at_zip() { Chapter::Together } else { layer.chapter() }
    }

    /// Whether a zip in the rim is sewn to the lining too.
    pub fn is_lined_at_zip(&self) -> bool {
        let lining = linings::find(self.design.lining.kind);
        self.zipped && lining.is_some_and(linings::Lining::is_sewn_on_with_zip)
    }

    /// Whether there is a lining to cut.
    pub fn is_lined(&self) -> bool {
        linings::find(self.design.lining.kind).is_some_and(linings::Lining::is_lined)
    }

    /// What a finer ruler shows: for marks and for sizes that come out of a computation.
    pub fn snap(&self, length: Length) -> Length {
        self.ruler().round(length, Rounding::Nearest)
    }

    /// The next mark of the finer ruler: for what must not come out smaller.
    pub fn snap_up(&self, length: Length) -> Length {
        self.ruler().round(length, Rounding::Up)
    }

    /// The finer ruler: 1/16 in or 1 mm.
    pub fn ruler(&self) -> Ruler {
        match self.system {
            System::Inch => Ruler::SIXTEENTH_INCH,
            System::Metric => Ruler::MM,
        }
    }

    /// The coarse ruler, for what need not be exact: 1/4 in or 5 mm.
    pub fn coarse_ruler(&self) -> Ruler {
        match self.system {
            System::Inch => Ruler::QUARTER_INCH,
            System::Metric => Ruler::FIVE_MM,
        }
    }

    /// One of two lengths, by the ruler in use.
    pub fn either(&self, inch: Length, metric: Length) -> Length {
        match self.system {
            System::Inch => inch,
            System::Metric => metric,
        }
    }

    /// The least that a bag can measure and be sewn: 1 in (25 mm).
    pub fn least(&self) -> Length {
        self.either(Length::inch(1), Length::mm(25))
    }

    /// Refuses a finished width or height that is nothing to sew; true if it is one.
    pub fn is_too_small(&mut self, key: &str, left: Length) -> bool {
        let least = self.least();
        if left >= least {
            return false;
        }
        let what = if key == "width" { "wide" } else { "high" };
        let message = self.leaves("seams and corners", key, left);
        let cure = format!("make it at least {} {what} after seams and depth", self.show(least));
        self.refuse(&format!("body.{key}"), message, cure);
        true
    }

    /// What is left of the width or the height that the body asks for, after what takes of it; left less
    /// than nothing is told by how much they take.
    pub(crate) fn leaves(&self, takers: &str, key: &str, left: Length) -> String {
        let (what, name) = if key == "width" { ("wide", "width") } else { ("high", "height") };
        if left.is_positive() {
            return format!("{takers} leave a bag {} {what}", self.show(left));
        }
        match self.design.body.values.get(key) {
            Some(Value::Length(given)) => format!(
                "nothing would be left of its {name}: {takers} take {} of {}",
                self.show(*given - left),
                self.show(*given)
            ),
            _ => format!("nothing would be left of its {name}: {takers} take all of it"),
        }
    }

    /// A length in words, for a finding.
    pub fn show(&self, length: Length) -> String {
        measure::show_length(length, self.system)
    }

    /// Adds a piece of the fabric, and with the interfacing, of its part of the bag.
    pub fn piece(&mut self, new: NewPiece<'_>) -> PieceId {
        let material = self.fabric(new.role);
        let interfacing = self.interfacing(new.role);
        let id = self.piece_of_material(new, material);
        self.pieces[id.0].interfacing = interfacing;
        id
    }

    /// Adds a piece of a given material, without interfacing.
    pub fn piece_of_material(&mut self, new: NewPiece<'_>, material: MaterialId) -> PieceId {
        let edge = |(name, allowance): (&str, Length)| Edge { name: name.to_owned(), allowance };
        self.pieces.push(Piece {
            id: new.id.to_owned(),
            name: new.name.to_owned(),
            material,
            net: new.net,
            edges: new.edges.into_iter().map(edge).collect(),
            grain: new.grain,
            interfacing: None,
            marks: Vec::new(),
            join: new.join,
            trimmed: Length::ZERO,
        });
        PieceId(self.pieces.len() - 1)
    }

    /// A piece, before it is complete.
    pub fn piece_mut(&mut self, piece: PieceId) -> &mut Piece {
        &mut self.pieces[piece.0]
    }

    /// Every copy that there is so far.
    pub fn copies_so_far(&self) -> Vec<CopyId> {
        (0..self.copies.len()).map(CopyId).collect()
    }

    /// The piece that a copy is cut by, and its name.
    pub fn copy_of(&self, copy: CopyId) -> (PieceId, String) {
        let copy = &self.copies[copy.0];
        (copy.piece, copy.name.clone())
    }

    /// Puts another operation in the place of that of each step for which one is given.
    pub fn redo_steps(&mut self, with: impl Fn(&Step) -> Option<Arc<dyn Operation>>) {
        for step in &mut self.steps {
            if let Some(operation) = with(step) {
                step.operation = operation;
            }
        }
    }

    /// Adds a material.
    pub fn material(&mut self, material: Material) -> MaterialId {
        if let Some(at) = self.materials.iter().position(|m| m.id == material.id) {
            return MaterialId(at);
        }
        self.materials.push(material);
        MaterialId(self.materials.len() - 1)
    }

    /// Cuts one more copy of a piece.
    pub fn copy(&mut self, piece: PieceId, name: &str) -> CopyId {
        self.copies.push(Copy { piece, name: name.to_owned(), mirrored: false });
        CopyId(self.copies.len() - 1)
    }

    /// The piece of a copy.
    pub fn piece_of(&self, copy: CopyId) -> &Piece {
        &self.pieces[self.copies[copy.0].piece.0]
    }

    /// All edges of a copy but one, from the one behind it round to the one before it.
    pub fn all_but(&self, copy: CopyId, but: usize) -> Run {
        let net = &self.piece_of(copy).net;
        let count = net.edge_count();
        Run::open((1..count).map(|step| {
            let edge = (but + step) % count;
            Span { copy, edge, from: Length::ZERO, to: net.edge_length(edge) }
        }))
    }

    /// Marks a piece; the same mark is made once.
    pub fn mark(&mut self, piece: PieceId, label: &str, shape: MarkShape) {
        let mark = Mark { label: label.to_owned(), shape };
        let marks = &mut self.pieces[piece.0].marks;
        if !marks.contains(&mark) {
            marks.push(mark);
        }
    }

    /// Marks the piece of a copy.
    pub fn mark_copy(&mut self, copy: CopyId, label: &str, shape: MarkShape) {
        self.mark(self.copies[copy.0].piece, label, shape);
    }

    /// How many copies are cut of the piece of this one.
    pub fn copies_alike(&self, copy: CopyId) -> usize {
        let piece = self.copies[copy.0].piece;
        self.copies.iter().filter(|it| it.piece == piece).count()
    }

    /// The given step id, with a number after it if a step has that id already.
    pub fn free_step_id(&self, stem: &str) -> String {
        let taken = |id: &str| self.steps.iter().chain(&self.last).any(|step| step.id == id);
        let numbered = (2..).map(|count| format!("{stem}-{count}"));
        std::iter::once(stem.to_owned())
            .chain(numbered)
            .find(|id| !taken(id))
            .unwrap_or_else(|| stem.to_owned())
    }

    /// Adds a step.
    pub fn step(&mut self, chapter: Chapter, id: &str, operation: impl Operation + 'static) {
        self.push(chapter, id, operation, None);
    }

    /// Adds a step after which something can be checked.
    pub fn step_checked(
        &mut self,
        chapter: Chapter,
        id: &str,
        operation: impl Operation + 'static,
        checkpoint: Checkpoint,
    ) {
        self.push(chapter, id, operation, Some(checkpoint));
    }

    /// Adds a step after all others.
    pub fn finally(&mut self, id: &str, operation: impl Operation + 'static) {
        self.last.push(Step {
            id: id.to_owned(),
            chapter: Chapter::Finish,
            operation: Arc::new(operation),
            checkpoint: None,
        });
    }

    fn push(
        &mut self,
        chapter: Chapter,
        id: &str,
        operation: impl Operation + 'static,
        checkpoint: Option<Checkpoint>,
    ) {
        self.steps.push(Step {
            id: id.to_owned(),
            chapter,
            operation: Arc::new(operation),
            checkpoint,
        });
    }

    /// Promises the size of a small part: across and along, made up and with its raw ends. Once
    /// for all that are cut alike.
    pub fn part(&mut self, copy: CopyId, size: (Length, Length)) {
        let piece = self.copy_of(copy).0;
        let known = self.claims.parts.iter().any(|part| self.copy_of(part.copy).0 == piece);
        if !known {
            self.claims.parts.push(PartClaim { copy, size });
        }
    }

    /// Promises where the ends of these are fastened.
    pub fn ends(&mut self, items: &[Placed]) {
        for item in items {
            let ends = item.feet.iter().map(|foot| EndClaim {
                copy: item.what,
                edge: foot.edge,
                on: item.onto,
                at: foot.at,
                face_up: foot.face_up,
            });
            self.claims.ends.extend(ends);
        }
    }

    /// Something small that is needed; what is the same for the same part is counted together.
    pub fn notion(&mut self, what: Notion) {
        let same = |notion: &&mut Notion| {
            notion.is_same(&what) && notion.serves == what.serves && notion.length == what.length
        };
        match self.notions.iter_mut().find(same) {
            Some(notion) => notion.count = notion.count.saturating_add(what.count),
            None => self.notions.push(what),
        }
    }

    /// A tool beyond those of every bag; once each.
    pub fn tool(&mut self, what: &str) {
        if !self.tools.iter().any(|tool| tool == what) {
            self.tools.push(what.to_owned());
        }
    }

    /// Notes what a size or a place comes to that a design may leave out, by its parameter: what a
    /// person would type there to get the same bag.
    pub fn settle(&mut self, parameter: &str, length: Length) {
        self.settled.insert(parameter.to_owned(), length);
    }

    /// It cannot be made: says so at a parameter, with the cure.
    pub fn refuse(&mut self, parameter: &str, message: String, cure: String) {
        self.findings.push(Finding::error(REFUSED, Place::parameter(parameter), message, cure));
    }

    /// Whether the design has an extra of that kind.
    pub fn has_extra(&self, kind: &str) -> bool {
        self.design.extras.iter().any(|extra| extra.kind == kind)
    }

    /// Notes that the copies made since there were so many come from that parameter.
    fn ask_at(&mut self, parameter: &str, since: usize) {
        for copy in &self.copies[since..] {
            for name in [&copy.name, &self.pieces[copy.piece.0].name] {
                self.asked_at.entry(name.clone()).or_insert_with(|| parameter.to_owned());
            }
        }
    }

    /// The steps so far, in the order in which they were added.
    pub(crate) fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// How much has been found so far.
    pub(crate) fn found(&self) -> usize {
        self.findings.len()
    }

    /// Gives what was found since then, at the parameters of a part that several kinds share, the
    /// names that these have in the kind at hand.
    pub(crate) fn rename_parameters(&mut self, since: usize, names: &[(&str, &str)]) {
        for finding in self.findings.iter_mut().skip(since) {
            let Some(parameter) = &mut finding.place.parameter else { continue };
            if let Some((_, name)) = names.iter().find(|(shared, _)| shared == parameter) {
                (*name).clone_into(parameter);
            }
        }
    }

    /// Notes something found while drafting.
    pub fn find(&mut self, finding: Finding) {
        self.findings.push(finding);
    }
}

/// The piece that raw edges are bound with, if they are.
pub(crate) fn bound_with(how: EdgeFinish) -> Option<String> {
    match how {
        EdgeFinish::Bound(_) => Some("binding".to_owned()),
        EdgeFinish::Overcast => None,
    }
}
