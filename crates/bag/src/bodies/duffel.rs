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
mod tests {
    use measure::Units;

    use super::*;
    use crate::assembly::{Assembly, SideOut};
    use crate::checks;
    use crate::design::Chosen;
    use crate::finding::Severity;
    use crate::linings;
    use crate::tests::one_closed_body;

    fn duffel(long: Length, diameter: Length, lining: &str) -> Design {
        let mut design = Design::of(&KIND, Units::Inch);
        assert!(design.body.values.set("length", Value::Length(long)));
        assert!(design.body.values.set("diameter", Value::Length(diameter)));
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        design
    }

    /// MIL-B-829M, duffel bag: 12 1/2 in across and 37 in long, so 39.27 in around (π · d). With a
    /// number 5 zip whose tape is 31 mm wide, sewn in by 1/4 in at either edge, 31 − 12.7 = 18.3 mm of
    /// that are the zip's, and each panel takes half of the rest (derived).
    #[test]
    fn a_published_duffel() {
        let design = duffel(Length::inch(37), Length::inch_frac(25, 2), "unlined");
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        let worst = checks::run(&pattern).into_iter().filter(|f| f.severity > Severity::Note);
        assert_eq!(worst.collect::<Vec<_>>(), []);
        let piece = |id: &str| pattern.pieces.iter().find(|piece| piece.id == id).unwrap();
        let around = piece("end").net.perimeter().to_inch();
        assert!((around - 39.27).abs() < 0.005, "{around}");
        let panel = piece("outside-panel").net_size();
        assert_eq!(panel.0, Length::inch(37));
        let high = (39.2699 - 18.3 / 25.4) / 2.0;
        assert!((panel.1.to_inch() - high).abs() < 0.001, "{}", panel.1.to_inch());
        let area = piece("end").net.area().to_mm2() / (25.4 * 25.4);
        assert!((area - 122.72).abs() < 0.01, "{area}");
        let end = piece("end").cut_size();
        for cut in [end.0, end.1] {
            assert!((cut - Length::inch_frac(27, 2)).abs() < Length::nm(20_000), "{cut:?}");
        }
    }

    /// The zip is the only mouth of it when both ends are sewn in, and it is turned through it.
    #[test]
    fn it_is_turned_through_its_zip() {
        for lining in ["unlined", "backed"] {
            let design = duffel(Length::inch(20), Length::inch(11), lining);
            let pattern = crate::draft(&design).pattern.unwrap();
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
            let work = Assembly::sew(&pattern);
            let surface = work.surface(CopyId(0));
            assert_eq!((surface.mouths.len(), surface.euler()), (1, 1), "{lining}");
            assert!(surface.orientable && surface.inside_out.is_empty());
            let zip = (31.0_f64 - 12.7) * 2.0 + 2.0 * 20.0 * 25.4;
            let around = surface.mouths[0].around.to_mm();
            assert!((around - zip).abs() < 0.1, "{around}");
            assert_eq!(work.side_out(CopyId(0)), SideOut::Right);
        }
    }

    /// An end that is sewn in before there is a zip has nothing to lie over.
    #[test]
    fn an_end_lies_over_a_zip() {
        let design = duffel(Length::inch(20), Length::inch(11), "unlined");
        let mut pattern = crate::draft(&design).pattern.unwrap();
        let set = pattern.steps.iter().position(|step| step.id == "set-zip").unwrap();
        pattern.steps.remove(set);
        let found = checks::run(&pattern);
        assert!(found.iter().any(|f| f.message.contains("there is no zip")), "{found:#?}");
    }

    /// A zip that runs on through the ends is as long as the cut panel, however wide its allowances.
    #[test]
    fn a_zip_runs_through_wide_allowances() {
        let mut design = duffel(Length::inch(20), Length::inch(11), "unlined");
        assert!(design.body.values.set("ends", Value::Choice("through")));
        assert!(design.allowances.set("side", Value::Length(Length::inch_frac(3, 2))));
        let pattern = crate::draft(&design).pattern.unwrap();
        let found = checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity < Severity::Error), "{found:#?}");
    }

    /// A lining that is sewn on with the zip has its ends sewn in on the other side of the zip's: turned
    /// through the opening in its base, it and the outside are one closed body, right side out.
    #[test]
    fn a_lining_hangs_from_the_zip() {
        for lining in ["turned", "faced"] {
            for diameter in [5, 11] {
                let design = duffel(Length::inch(20), Length::inch(diameter), lining);
                let pattern = crate::draft(&design).pattern.expect("it can be drafted");
                let found = checks::run(&pattern);
                assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
                one_closed_body(&pattern);
                let turn = pattern.steps.iter().position(|step| step.id == "turn-bag").unwrap();
                let open = Assembly::sew_first(&pattern, turn).surface(CopyId(0));
                assert_eq!((open.mouths.len(), open.euler()), (1, 1));
                // The other end of the zip, or an end of the outside that is not there yet.
                let at = |id: &str| pattern.steps.iter().position(|step| step.id == id).unwrap();
                let mut early = pattern.clone();
                early.steps.swap(at("sew-left-end"), at("sew-lining-left-end"));
                let found = checks::run(&early);
                let over = |f: &crate::finding::Finding| f.message.contains("does not lie over the end");
                assert!(found.iter().any(over), "{found:#?}");
                let mut gaping = pattern.clone();
                let step = gaping.steps.iter_mut().find(|it| it.id == "sew-lining-left-end").unwrap();
                let mut join = step.as_a::<Join>().unwrap().clone();
                join.across.clear();
                step.operation = std::sync::Arc::new(join);
                assert!(checks::run(&gaping).iter().any(|f| f.severity == Severity::Error));
            }
        }
    }

    /// A lining that is put in at last is sewn to the zip and its ends all round: outside and lining
    /// become one closed body, right side out.
    #[test]
    fn a_lining_is_put_in_at_last() {
        let design = duffel(Length::inch(20), Length::inch(11), "dropped");
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        let found = checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity == Severity::Note), "{found:#?}");
        assert_eq!(one_closed_body(&pattern).copies.len(), 8);
    }

    fn with_pocket(diameter: Length, lining: &str, kind: &str, on: &'static str) -> Design {
        let mut design = duffel(Length::inch(20), diameter, lining);
        design.handles = Chosen::new(crate::handles::find("none").unwrap(), design.system());
        let mut pocket = Chosen::new(crate::pockets::find(kind).unwrap(), design.system());
        assert!(pocket.values.set("on", Value::Choice(on)), "{kind} {on}");
        design.pockets = vec![pocket];
        design
    }

    /// Geometry: 6 mm within an end 391 mm across, a pocket 60 mm wide is √(379² − 60²) = 374 mm high:
    /// 370 in steps of 5.
    #[test]
    fn a_patch_as_high_as_a_round_end_has_no_width() {
        let of = |high: i64| {
            let mut design = with_pocket(Length::mm(391), "turned", "patch", "ends");
            design.units = Units::Mm;
            design.pockets[0].values.set("height", Value::Length(Length::mm(high)));
            crate::draft(&design)
        };
        assert!(of(370).pattern.is_some());
        for high in [376, 391] {
            let drafted = of(high);
            assert!(drafted.pattern.is_none());
            let told = |f: &crate::finding::Finding| {
                f.cure == "make it 370 mm or less high, in the middle of the end"
                    && f.place.parameter.as_deref() == Some("pocket[1].height")
            };
            assert!(drafted.findings.iter().any(told), "{:#?}", drafted.findings);
        }
    }

    /// A pocket on an end 11 in across reaches up to where that is widest: its mouth is the diameter, it
    /// is as deep as the radius, and its area is half of the circle's (geometry).
    #[test]
    fn a_pocket_is_caught_in_the_seam_round_an_end() {
        for (kind, lining) in
            [("band", "unlined"), ("band", "turned"), ("slip", "turned"), ("slip", "unlined"), ("slip", "dropped")]
        {
            for on in ["left-end", "right-end", "ends"] {
                let design = with_pocket(Length::inch(11), lining, kind, on);
                let pattern = crate::draft(&design).pattern.expect("it can be drafted");
                let found = checks::run(&pattern);
                assert!(found.iter().all(|f| f.severity == Severity::Note), "{kind} {lining}: {found:#?}");
                assert_eq!(pattern.claims.pockets.len(), if on == "ends" { 2 } else { 1 });
                let work = Assembly::sew(&pattern);
                for claim in &pattern.claims.pockets {
                    // A lining is cut smaller by its ease.
                    let (low, high) = pattern.piece_of(claim.on).net.bounds();
                    let across = high.x - low.x;
                    assert!((across - Length::inch(11)).abs() < Length::mm(10));
                    let net = &pattern.piece_of(claim.copy).net;
                    let half = PI / 8.0 * across.to_inch() * across.to_inch();
                    let area = net.area().to_mm2() / (25.4 * 25.4);
                    assert!((area - half).abs() < half * 0.01, "{area} {half}");
                    assert!((claim.size.0 - across).abs() < Length::MM, "{:?}", claim.size);
                    assert!((claim.true_depth - across.half()).abs() < Length::MM);
                    let caught = |copy: CopyId| work.events.iter().any(|(_, event)| {
                        matches!(event, crate::assembly::Event::Caught { rider, .. } if *rider == copy)
                    });
                    assert!(caught(claim.copy), "{kind} {on}");
                }
            }
        }
    }

    /// A pocket that ends below where its end is widest widens up to its hem: what is turned down is wider
    /// than what it lies on, and is trimmed. Of one 80 mm high on an end 250 mm across, half as wide as
    /// √(125² − 45²) = 116.6 mm at its top edge, the sides are cut on from there with 45/116.6 of slant: a
    /// hem of 12 mm ends 12 · 0.386 + 4.9 mm farther out than the curve 12 mm below it, all at the cutting line: 9.5 mm (geometry).
    /// One that ends at the widest chord stands out by nothing to speak of.
    #[test]
    fn a_hem_that_is_turned_onto_a_narrower_curve_is_trimmed() {
        let told = |height: Option<Length>| {
            let mut design = with_pocket(Length::mm(250), "turned", "band", "left-end");
            design.pockets[0].values.set("height", Value::Length(height.unwrap_or(Length::mm(125))));
            design.pockets[0].values.set("hem", Value::Length(Length::mm(12)));
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            let telling = crate::operations::Telling { pattern: &pattern, system: System::Metric };
            let step = pattern.step("hem-outside-pocket").expect("it is hemmed");
            step.operation.tell(&telling).text
        };
        assert!(!told(None).contains("trim"), "{}", told(None));
        assert!(told(Some(Length::mm(80))).contains("up to 10 mm. Stitch"), "{}", told(Some(Length::mm(80))));
    }

    /// What is laid flat on an end lies within the largest box that goes there: its corners are no
    /// farther from the middle than the radius less 1/4 in (Pythagoras).
    #[test]
    fn a_flat_pocket_clears_the_seam_round_an_end() {
        for kind in ["patch", "zip-slit", "window"] {
            for (diameter, lining) in [(8, "turned"), (11, "turned"), (11, "unlined"), (20, "dropped")] {
                let design = with_pocket(Length::inch(diameter), lining, kind, "left-end");
                let drafted = crate::draft(&design);
                let pattern = drafted.pattern.unwrap_or_else(|| panic!("{kind} {diameter}: {:#?}", drafted.findings));
                let found = checks::run(&pattern);
                assert!(found.iter().all(|f| f.severity == Severity::Note), "{kind} {lining}: {found:#?}");
                let claim = &pattern.claims.pockets[0];
                let (low, high) = pattern.piece_of(claim.on).net.bounds();
                let (middle, radius) = (low.middle(high), (high.x - low.x).half());
                for (x, y) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                    let corner =
                        Point::new(claim.at.x + claim.size.0 * x, claim.at.y + claim.size.1 * y);
                    let clear = radius - middle.distance(corner);
                    assert!(clear > Length::inch_frac(1, 8), "{kind} {diameter} {lining}: {clear:?}");
                }
            }
        }
    }

    /// Other bodies have no ends of their own, and too small ones no room: both are refused with the
    /// reason.
    #[test]
    fn what_cannot_lie_on_an_end_is_refused() {
        let mut design = with_pocket(Length::inch(11), "turned", "band", "left-end");
        design.pockets[0].values.set("height", Value::Length(Length::inch(10)));
        let found = crate::draft(&design).findings;
        assert_eq!(found[0].place.parameter.as_deref(), Some("pocket[1].height"), "{found:#?}");
        let mut boxed = Design::of(crate::bodies::find("boxed").unwrap(), Units::Inch);
        boxed.pockets = design.pockets;
        let found = crate::draft(&boxed).findings;
        assert!(found[0].message.contains("ends that are pieces of their own"), "{found:#?}");
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
        /// Whatever is asked for on an end is refused with a reason, or sews.
        #[test]
        fn pockets_on_ends_of_any_size_sew(
            diameter in 120_i64..600,
            asked in 40_i64..400,
            kind in proptest::sample::select(vec!["band", "slip", "patch", "zip-slit", "window"]),
            lining in proptest::sample::select(vec!["turned", "faced", "dropped", "unlined", "backed"]),
            on in proptest::sample::select(vec!["left-end", "right-end", "ends"]),
            divisions in 1_u32..4,
        ) {
            let mut design = with_pocket(Length::mm(diameter), lining, kind, on);
            let values = &mut design.pockets[0].values;
            if values.get("height").is_some() && asked > 60 {
                values.set("height", Value::Length(Length::mm(asked)));
            }
            if values.get("divisions").is_some() {
                values.set("divisions", Value::Count(divisions));
            }
            let drafted = crate::draft(&design);
            match drafted.pattern {
                None => proptest::prop_assert!(!drafted.findings.is_empty()),
                Some(pattern) => {
                    let found = checks::run(&pattern);
                    let errors: Vec<_> =
                        found.iter().filter(|f| f.severity == Severity::Error).collect();
                    proptest::prop_assert_eq!(errors, Vec::<&crate::finding::Finding>::new());
                }
            }
        }
    }
}
