//! A barrel that lies on its side: two panels make the tube, with a zip along its top, and a round
//! panel closes it at either end.

use std::f64::consts::{FRAC_PI_2, PI};

use measure::{Length, Outline, Point, System, arc_between};

use super::Body;
use crate::design::{Design, Role};
use crate::draft::face::{BASE, Borders, Lie, RIM, whole, whole_span};
use crate::draft::zip_top::{ENDS, TAB, ZIP_SEAM};
use crate::draft::{
    Ability, Drafter, Face, Juts, Layer, Mouth, NewPiece, Plan, STAYSTITCH, Shell, TwoPanels,
    ZipTop, base_seam, centred_gap, clip_every, clip_leave,
};
use crate::extras::PipedSeam;
use crate::kinds::{Kind, Param, Value, Values, length};
use crate::operations::{ClipEdge, Join, Press};
use crate::pattern::{
    Checkpoint, CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, Reach, Run,
};

/// The kind.
pub(super) struct Duffel;
/// Its entry in the list.
pub(super) const KIND: Duffel = Duffel;

impl Kind for Duffel {
    fn name(&self) -> &'static str {
        "duffel"
    }
    fn title(&self) -> &'static str {
        "Duffel with round ends"
    }
    fn help(&self) -> &'static str {
        "A barrel that lies on its side: front and back go round two round ends, with a seam along \
         the base and a zip along the top. With a lining the zip lies between outside and lining, and \
         the bag is turned through an opening in the lining; of one layer, quilted or backed, its seams \
         are bound and it is turned through the zip, and a lining may still be put in at last and sewn \
         to the zip by hand. Handles that run up from the base go all the way round it."
    }
    fn params(&self) -> &'static [Param] {
        const LENGTH: Param = length(
            "length",
            "length",
            "From end to end of the finished bag, along the zip.",
            [Length::mm(200), Length::mm(1_500), Length::inch(20), Length::mm(500)],
        ).size();
        const DIAMETER: Param = length(
            "diameter",
            "diameter",
            "Across the finished ends.",
            [Length::mm(120), Length::mm(600), Length::inch(11), Length::mm(280)],
        ).size();
        const TEETH: Param = length(
            "teeth",
            "zip",
            "Width of its teeth; 5 mm (a number 5) suits bags of this kind, 8 or 10 mm large ones.",
            [Length::mm(3), Length::mm(10), Length::mm(5), Length::mm(5)],
        );
        &[LENGTH, DIAMETER, TEETH, ZIP_SEAM, ENDS, TAB]
    }
}

impl Body for Duffel {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let (long, diameter) = (values.length("length"), values.length("diameter"));
        let found = d.found();
        let zip = ZipTop::plan(d, values, (long, Length::ZERO));
        d.rename_parameters(found, &[("body.width", "body.length")]);
        let barrel = Barrel { long, diameter, zip: zip? };
        let seam = d.seam_allowance("side");
        if seam * 4 > diameter {
            let message = format!(
                "an allowance of {} takes up half of an end {} across: it cannot be sewn in",
                d.show(seam),
                d.show(diameter)
            );
            let cure = format!("make the end {} across or more", d.show(seam * 4));
            d.refuse("body.diameter", message, cure);
            return None;
        }
        Some(Box::new(barrel))
    }

    fn usual_lining(&self) -> &'static str {
        "unlined"
    }

    fn suit(&self, design: &mut Design) {
        design.handles.values.set("from", Value::Choice("base"));
        let [stop, drop] = match design.system() {
            System::Inch => [Length::inch(4), Length::inch(10)],
            System::Metric => [Length::mm(100), Length::mm(250)],
        }
        .map(Value::Length);
        design.handles.values.set("stop", stop);
        design.handles.values.set("drop", drop);
        design.lining.values.set("finish", Value::Choice("bound"));
    }
}

/// Edges of an end, seen from outside: from the zip down its left half and up its right half, and
/// the stretch at its top that lies over the zip.
const ROUND: usize = 0;
/// Over the zip.
const OVER: usize = 1;

/// A planned barrel.
#[derive(Clone, Debug)]
struct Barrel {
    /// From end to end.
    long: Length,
    /// Across an end.
    diameter: Length,
    zip: ZipTop,
}

impl Barrel {
    /// The end: a circle, of which the zip, with what its seams take off its tape, keeps a stretch
    /// at the top. So the tube is as wide as π times the diameter less that.
    fn end(&self, ease: Length) -> Option<Outline> {
        let diameter = self.diameter - ease;
        let radius = diameter.half();
        let half = self.zip.across().half().to_mm() / radius.to_mm();
        let centre = Point::new(radius, radius);
        let side = |from, to| arc_between(centre, radius, from, to).1;
        let mut over = side(FRAC_PI_2 - half, FRAC_PI_2 + half);
        let start = over.last()?.1;
        let mut round = side(FRAC_PI_2 + half, FRAC_PI_2 - half + PI * 2.0);
        // Both end where the other begins, to the nanometre: it lies as far right as that left.
        let mirrored = Point::new(diameter - start.x, start.y);
        round.last_mut()?.1 = mirrored;
        over.last_mut()?.1 = start;
        Outline::from_edges(start, vec![round, over]).ok()
    }

    /// An end as a face of its own, which carries pockets: a circle, whose top lies over the zip.
    fn face(d: &Drafter<'_>, word: &'static str, end: CopyId) -> Face {
        let (low, high) = d.piece_of(end).net.bounds();
        let (across, radius) = (high.x - low.x, (high.x - low.x).half());
        let rim = whole_span(d, end, OVER);
        let base = whole_span(d, end, ROUND);
        Face {
            copies: vec![end],
            starts: vec![Length::ZERO],
            lies: vec![Lie { foot: Point::new(low.x + radius, low.y), turned: false }],
            base_width: across,
            top_width: across,
            height: across,
            corner: radius,
            circle: true,
            ..Face::within(
                word,
                Borders { base: Some(base), right: Vec::new(), left: Vec::new(), rim },
            )
        }
    }

    /// What the end at the left or the right of a layer's right side is called: by where it lies in the
    /// bag. Seen from within, the left lies on the right.
    fn word(layer: Layer, left: bool) -> &'static str {
        if left == (layer == Layer::Outside) { "left" } else { "right" }
    }

    /// The ends of a layer, that at the left of its right side first: they were cut right after the
    /// panels.
    fn ends_of(shell: &Shell) -> [CopyId; 2] {
        [1, 2].map(|after| CopyId(shell.faces[1].bottom().0 + after))
    }

    /// Marks the middles, and the quarters of the ends.
    fn mark(d: &mut Drafter<'_>, faces: &[Face], ends: [CopyId; 2]) {
        for face in faces {
            let copy = face.bottom();
            for (label, edge) in [("centre of the base", BASE), ("centre of the rim", RIM)] {
                let along = d.piece_of(copy).net.edge_length(edge).half();
                d.mark_copy(copy, label, MarkShape::Notch { edge, along });
            }
        }
        let [end, _] = ends;
        let long = d.piece_of(end).net.edge_length(ROUND);
        for eighth in (1..8).filter(|eighth| *eighth != 4) {
            let along = long * eighth / 8;
            d.mark_copy(end, "quarter", MarkShape::Notch { edge: ROUND, along });
        }
        for (label, edge) in [("base seam", ROUND), ("middle of the zip", OVER)] {
            let along = d.piece_of(end).net.edge_length(edge).half();
            d.mark_copy(end, label, MarkShape::Notch { edge, along });
        }
    }

    /// Marks the quarters of the tube along both sides of a face, when all its panels are there.
    fn mark_sides(d: &mut Drafter<'_>, face: &Face) {
        for spans in [&face.borders.right, &face.borders.left] {
            for quarter in 1..4 {
                let mut left = face.height * quarter / 4;
                for span in spans {
                    let long = span.length();
                    if left <= long {
                        let along =
                            if span.from <= span.to { span.from + left } else { span.from - left };
                        let shape = MarkShape::Notch { edge: span.edge, along };
                        d.mark_copy(span.copy, "quarter", shape);
                        break;
                    }
                    left -= long;
                }
            }
        }
    }

    /// The two sides of the seam round an end: along the tube from the zip down to the base and up
    /// again, and along the end.
    fn round(d: &Drafter<'_>, shell: &Shell, left: bool) -> [Run; 2] {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let (down, up) =
            if left { (front.left(), back.right()) } else { (back.left(), front.right()) };
        let end = Self::ends_of(shell)[usize::from(!left)];
        let along_end = whole_span(d, end, ROUND).reversed();
        [down.reversed().then(up), Run::open([along_end])]
    }

    fn sew_end(&self, d: &mut Drafter<'_>, shell: &Shell, left: bool) {
        let word = Self::word(shell.layer, left);
        let end = Self::ends_of(shell)[usize::from(!left)];
        let sides = Self::round(d, shell, left);
        let over = whole(d, end, OVER);
        let runs = [sides.as_slice(), std::slice::from_ref(&over)].concat();
        if shell.layer == Layer::Lining {
            Self::sew_lining_end(d, sides, word);
            return;
        }
        let what = format!("the {word} end");
        let lined = d.is_lined_at_zip();
        let mut join =
            Join::plain(&what, vec![sides], d.seam_allowance("side"), d.stitch("seam"));
        join.over = vec![over];
        join.press = Press::Toward("the tube".to_owned());
        join.lay = Some(format!(
            "Pin {what} into the tube, right sides together: first its lowest mark at the base seam \
             and the middle of its top at the middle of the zip, then the quarter marks, then \
             between, so that the clips open.{}",
            if lined { " The lining is pulled away to the other side of the zip." } else { "" }
        ));
        let mind = match (left, lined) {
            (true, _) => {
                "sew with the tube uppermost, so that no pleat is caught, and slowly over the tape of \
                 the zip."
            }
            (false, true) => {
                "open the zip at least halfway before you pin: the bag is turned through it, and \
                 through the opening in the lining."
            }
            (false, false) => {
                "open the zip at least halfway before you pin: when this end is sewn in, the zip is \
                 the only way to turn the bag."
            }
        };
        join.mind = Some(mind.to_owned());
        let size = Checkpoint::Size {
            what: what.clone(),
            width: Gauge(vec![Reach::Wide(end)]),
            height: Gauge(vec![Reach::High(end)]),
            depth: None,
        };
        d.step_checked(d.chapter(shell.layer), &format!("sew-{word}-end"), join, size);
        let seam = format!("the seam of {what}");
        d.finish_seams(shell.layer, &format!("finish-{word}-end"), &seam, runs);
    }

    /// The seam of an end of a lining, pinned into its tube.
    fn lining_end(d: &Drafter<'_>, what: &str, sides: [Run; 2], away: &str, first: &str) -> Join {
        let mut join = Join::plain(what, vec![sides], d.seam_allowance("side"), d.stitch("seam"));
        join.press = Press::Toward("the tube".to_owned());
        join.lay = Some(format!(
            "Pin {what} into its tube, right sides together{away}: first its lowest mark at the base \
             seam, and {first}, then the quarter marks, then between, so that the clips open."
        ));
        join
    }

    /// The end of a lining; its top stays free, and is sewn to the end of the zip.
    fn sew_lining_end(d: &mut Drafter<'_>, sides: [Run; 2], word: &str) {
        let what = format!("the {word} end of the lining");
        let first = "both ends of its round edge at the rims";
        let mut join = Self::lining_end(d, &what, sides, "", first);
        join.mind = Some(
            "begin and end exactly at the rims: what lies between them is turned in.".to_owned(),
        );
        d.step(d.chapter(Layer::Lining), &format!("sew-lining-{word}-end"), join);
    }

    /// The end of a lining that is sewn on with the zip: round it, and across the end of the zip, on
    /// whose other side that of the outside lies.
    fn sew_hung_end(d: &mut Drafter<'_>, outside: &Shell, inside: &Shell, left: bool) {
        let word = Self::word(Layer::Lining, left);
        let what = format!("the {word} end of the lining");
        let away = ", with the outside pulled away to the other side of the zip";
        let first = "the middle of its top at the middle of the zip, on the end of the outside";
        let mut join = Self::lining_end(d, &what, Self::round(d, inside, left), away, first);
        // Seen from within, its left end lies at the right of the bag.
        let [outer, inner] =
            [Self::ends_of(outside)[usize::from(left)], Self::ends_of(inside)[usize::from(!left)]];
        join.across = vec![[whole(d, outer, OVER), whole(d, inner, OVER).reversed()]];
        join.mind = Some(
            "sew across the zip exactly on the stitches that hold the end of the outside there."
                .to_owned(),
        );
        d.step(d.chapter(Layer::Lining), &format!("sew-lining-{word}-end"), join);
    }

    /// Where the tube bends round its ends.
    fn fold(d: &mut Drafter<'_>, shell: &Shell) {
        let [end, _] = Self::ends_of(shell);
        let net = d.piece_of(end).net.clone();
        let half = shell.faces[0].base_width.half();
        let high = shell.faces[0].height;
        for (along, bend) in net.edge(ROUND).chord_bends() {
            // From the zip down the one face, and up the other: both bend alike.
            let up = high - along;
            for face in shell.faces.iter().filter(|_| up.is_positive()) {
                for (copy, from, to) in face.line((-half, up), (half, up)) {
                    let line = HingeLine::Fold(copy, from, to);
                    d.hinges.push(Hinge { line, degrees: 180.0 - bend });
                }
            }
        }
        // The base seam lies in the middle of a chord.
        let of = if shell.layer == Layer::Lining { "lining-" } else { "" };
        let seams = [
            (format!("{}-base-seam", shell.layer.word()), 180.0),
            (format!("sew-{of}left-end"), 90.0),
            (format!("sew-{of}right-end"), 90.0),
        ];
        for (seam, degrees) in seams {
            d.hinges.push(Hinge { line: HingeLine::Seam(seam), degrees });
        }
    }
}

impl Plan for Barrel {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let (base, side) = (d.seam_allowance("base"), d.seam_allowance("side"));
        let ease = match layer {
            Layer::Outside => Length::ZERO,
            Layer::Lining => d.design.lining.values.length("ease"),
        };
        let (long, across) = (self.long - ease, self.diameter - ease);
        let end = self.end(ease).unwrap_or_else(|| Outline::rectangle(across, across));
        let high = end.edge_length(ROUND).half();
        let (panel, round, role, noun) = match layer {
            Layer::Outside => {
                (("outside-panel", "outside panel"), ("end", "end"), Role::Outside, "panel")
            }
            Layer::Lining => (
                ("lining-panel", "lining panel"),
                ("lining-end", "lining end"),
                Role::Lining,
                "lining",
            ),
        };
        let net = Outline::rectangle(long, high);
        let allowances = [base, side, d.rim_allowance];
        let piece = TwoPanels::panel_piece(d, (panel.0, panel.1, role), net, allowances);
        let faces: Vec<Face> = ["front", "back"]
            .map(|word| {
                let panels = [(d.copy(piece, &format!("{word} {noun}")), Length::ZERO)];
                Face::of_panels(d, word, &panels, (long, long), high)
            })
            .into();
        // Of a lining that is put in it is turned in and sewn to the end of the zip, as its rims are
        // along it.
        let over = match layer {
            Layer::Lining if !d.is_lined_at_zip() => d.rim_allowance,
            _ => side,
        };
        let piece = d.piece(NewPiece {
            id: round.0,
            name: round.1,
            role,
            net: end,
            edges: vec![("round edge", side), ("top, over the zip", over)],
            grain: Grain::Lengthwise,
            join: None,
        });
        let words = [true, false].map(|left| Self::word(layer, left));
        let ends = words.map(|word| d.copy(piece, &format!("{word} {}", round.1)));
        Self::mark(d, &faces, ends);
        let mut shell = Shell::of_faces(layer, faces);
        let words = words.map(|word| if word == "left" { "left end" } else { "right end" });
        shell.ends = words.into_iter().zip(ends).map(|(word, end)| Self::face(d, word, end)).collect();
        // Beside the zip nothing comes free.
        for face in &mut shell.faces {
            face.kept = d.either(Length::inch_frac(1, 2), Length::mm(12));
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, inside: Option<&Shell>) {
        for face in outside.faces.iter().chain(inside.iter().flat_map(|shell| &shell.faces)) {
            Self::mark_sides(d, face);
        }
        self.zip.set(d, outside, inside);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let mut base = base_seam(d, shell);
        if let Some(opening) = opening {
            let front = &shell.faces[0];
            let gap = centred_gap(front.base().length(), opening);
            let mark = MarkShape::Opening { edge: BASE, from: gap.from, to: gap.to };
            d.mark_copy(front.bottom(), "opening", mark);
            base.gap = Some(gap);
        }
        if shell.layer == Layer::Outside && !d.claims.handles.is_empty() {
            let loops = "pin the loops of the handles to the middle of their panels first, out of \
                         the way of this seam and of those round the ends.";
            base.mind = Some(loops.to_owned());
        }
        let runs = base.runs();
        let left_by = d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-base-seam", "the base seam", runs);
        let allowance = d.seam_allowance("side");
        let (id, of) = match shell.layer {
            Layer::Outside => ("clip-tube", ""),
            Layer::Lining => ("clip-lining-tube", " of the lining"),
        };
        let clip = ClipEdge {
            what: format!("both ends of the tube{of}"),
            corners: Vec::new(),
            curves: [true, false].map(|left| Self::round(d, shell, left)[0].clone()).into(),
            every: clip_every(d, self.diameter.half()),
            leave: clip_leave(d, allowance, Length::inch_frac(1, 8)),
            stitch: STAYSTITCH,
        };
        d.step(d.chapter(shell.layer), id, clip);
        if shell.layer == Layer::Lining {
            Self::fold(d, shell);
        }
        // Those of a lining that hangs from the zip need both layers.
        if shell.layer == Layer::Outside || !d.is_lined_at_zip() {
            for left in [true, false] {
                self.sew_end(d, shell, left);
            }
        }
        opening.map(|_| left_by)
    }

    fn sew_together(&self, d: &mut Drafter<'_>, outside: &Shell, inside: &Shell) {
        for left in [true, false] {
            Self::sew_hung_end(d, outside, inside, left);
        }
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let front = outside.faces[0].bottom();
        let [end, _] = Self::ends_of(outside);
        d.claims.width = self.long;
        d.claims.width_gauge = Gauge(vec![Reach::Along(front, BASE)]);
        d.claims.height = self.diameter;
        d.claims.height_gauge = Gauge(vec![Reach::High(end)]);
        d.claims.depth = self.diameter;
        d.claims.depth_gauge = Gauge(vec![Reach::Wide(end)]);
        d.claims.top_width = self.long;
        d.claims.top_gauge = Gauge(vec![Reach::Along(front, RIM)]);
        d.claims.asked =
            vec![("width", self.long), ("height", self.diameter), ("depth", self.diameter)];
        Self::fold(d, outside);
    }

    fn base_rise(&self) -> Length {
        Length::ZERO
    }

    fn mouth(&self) -> Mouth {
        Mouth::Zipped
    }

    /// Its front lies on the front of the lining as seen from within: the left end on the right one.
    fn beside_zip(&self, d: &Drafter<'_>, outside: &Shell, inside: &Shell) -> Vec<[Run; 2]> {
        let faces = outside.faces.iter().zip(&inside.faces);
        let rims = faces.map(|(out, lining)| [out.rim(), lining.rim().reversed()]);
        let [left, right] = Self::ends_of(inside);
        let ends = Self::ends_of(outside).into_iter().zip([right, left]);
        let over = |end| whole(d, end, OVER);
        rims.chain(ends.map(|(out, lining)| [over(out), over(lining).reversed()])).collect()
    }

    fn juts(&self) -> Juts {
        Juts::Ends
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<PipedSeam> {
        let allowance = d.seam_allowance("side");
        let every = clip_every(d, self.diameter.half());
        let ends = Self::ends_of(outside);
        let of_end = |what, end: CopyId| {
            let along = Run::round([ROUND, OVER].map(|edge| whole_span(d, end, edge)));
            PipedSeam { what, along, allowance, every }
        };
        vec![of_end("the edge of the left end", ends[0]), of_end("the edge of the right end", ends[1])]
    }

    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        let around = d.piece_of(Self::ends_of(outside)[0]).net.perimeter();
        around * 2 + self.long + d.seam_allowance("side") * 2
    }

    fn offers(&self) -> Vec<Ability> {
        use Ability::{
            DepthAtRim, MouthWithin, OpenMouth, RimAtSides, StandingRim, StraightSeams,
        };
        let not =
            [DepthAtRim, MouthWithin, OpenMouth, RimAtSides, StandingRim, StraightSeams];
        let mut offers = Ability::of_an_open_bag_but(&not);
        offers.push(Ability::Ends);
        offers
    }
}

#[cfg(test)]
mod tests;
