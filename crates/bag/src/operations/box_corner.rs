//! Box the corners of a bag.

use measure::Length;

use super::takes::each_once;
use super::{
    CoverZipEnds, EdgeFinish, JoinOverZip, Operation, SetZip, Sewing, Shown, Stitching, Takes,
    Telling, Told, USUAL_STITCH, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run, Step, half_depth};
use crate::record::{
    AtLeastOne, Datum, Field, Part, Plain, Reader, Table, edge_named, name_of_edge, record,
};

/// Box the base corners: fold side seam onto base seam and sew across.
#[derive(Clone, Debug)]
pub struct BoxCorner {
    /// What is boxed: "the outside".
    pub what: String,
    /// The corners; each is the corner of every panel that meets there.
    pub corners: Vec<Vec<Corner>>,
    /// Distance of the stitching line from the tip, along the seams.
    pub tip: Length,
    /// Length of the stitching line, which is the depth of the bag.
    pub depth: Length,
    /// Seam allowance that is left beyond the stitching line.
    pub leave: Length,
    /// Stitch length.
    pub stitch: Length,
    /// How the raw edge is then finished, if it stays in sight.
    pub finish: Option<EdgeFinish>,
}

/// One panel's corner: where two of its edges meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Corner {
    /// The panel.
    pub copy: CopyId,
    /// Index of its side edge.
    pub side: usize,
    /// Index of its base edge.
    pub base: usize,
    /// Where the side edge crosses the fold at the base, for a panel that is folded there and has
    /// no base seam: distance along the side edge. The fold is square to the side.
    pub fold: Option<Length>,
    /// How far from the base edge the line crosses the side, where a zip lies between this panel and
    /// the other: half of what the zip shows less than the distance from the tip, which lies on the
    /// middle of the zip. Nothing where the line is as far from either edge.
    pub beside: Option<Length>,
}

impl Corner {
    /// The corner where these two edges meet, with nothing between this panel and the other.
    pub const fn of(copy: CopyId, side: usize, base: usize) -> Self {
        Self { copy, side, base, fold: None, beside: None }
    }

    /// How far the corner reaches up from the base when it is boxed at a distance from the tip:
    /// half the depth. On a fold square to the side that is the distance itself; beside a zip what
    /// the zip leaves of it.
    pub fn half_depth(&self, pattern: &Pattern, tip: Length) -> Length {
        match (self.fold, self.beside) {
            (Some(_), _) => tip,
            (None, Some(beside)) => beside,
            (None, None) => half_depth(pattern, self.copy, self.side, self.base, tip),
        }
    }
}

impl BoxCorner {
    /// Whether a zip is sewn to the panels at these corners.
    fn crosses_zip(&self, t: &Telling<'_>) -> bool {
        let copies: Vec<CopyId> = self.corners.iter().flatten().map(|corner| corner.copy).collect();
        let mut zips = t.before(self).filter_map(Step::as_a::<SetZip>);
        zips.any(|zip| zip.copies().iter().any(|copy| copies.contains(copy)))
            || self.crosses_lined_zip(t)
    }

    /// Whether these are the corners of an outside and of its lining, which hang from one zip.
    fn crosses_lined_zip(&self, t: &Telling<'_>) -> bool {
        let boxed = |run: &Run| {
            let copies = run.copies();
            self.corners.iter().flatten().any(|corner| copies.contains(&corner.copy))
        };
        let mut zips = t.before(self).filter_map(Step::as_a::<JoinOverZip>);
        zips.any(|zip| zip.seams.iter().any(|[outside, lining]| boxed(outside) && boxed(lining)))
    }
}

impl Operation for BoxCorner {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let finish = match self.finish {
            None => "",
            Some(EdgeFinish::Overcast) => " Overcast the raw edges together.",
            Some(EdgeFinish::Bound(_)) => {
                " Bind the raw edges together with a piece of the binding, its ends turned in."
            }
        };
        let (tip, depth) = (t.len(self.tip), t.len(self.depth));
        // What is not of the panels is of the zip.
        let beside = self.corners.first().and_then(|panels| {
            panels
                .iter()
                .map(|panel| panel.beside)
                .sum::<Option<Length>>()
                .filter(|_| !panels.is_empty())
        });
        let zip = beside.map_or_else(String::new, |beside| {
            format!(", {} of it across the zip", t.len(self.depth - beside))
        });
        let line = if self.is_marked(t) {
            format!(
                "The boxing lines marked on the panels must meet in one line: check that it lies \
                 {tip} from the tip of the stitching and is {depth} long from fold to fold{zip}."
            )
        } else {
            format!(
                "Measure {tip} from the tip of the stitching along the seam, and draw a line \
                 square across it: it must be {depth} long from fold to fold."
            )
        };
        let on_fold = |corner: &Corner| corner.fold.is_some();
        let corners = || self.corners.iter().flatten();
        let at_rim = |corner: &Corner| t.edge(corner.copy, corner.base) == "rim";
        let at_rims = corners().all(at_rim);
        let (at_zip, two_layers) =
            (at_rims && self.crosses_zip(t), at_rims && self.crosses_lined_zip(t));
        let seams = if at_zip {
            "the side seam exactly on the middle of the zip"
        } else if at_rims {
            "the side seam exactly on the seam along the top"
        } else if corners().all(on_fold) {
            "the side seam exactly on the fold at the base"
        } else if corners().any(on_fold) {
            "the side seam, or the side fold where there is no seam, exactly on the base seam"
        } else {
            "the side seam exactly on the base seam"
        };
        let tabbed = at_zip && t.before(self).any(|step| step.as_a::<CoverZipEnds>().is_some());
        let ends = if tabbed { "the tabs" } else { "the ends of the zip" };
        let trim = if two_layers {
            format!(
                "Do the outside first, its lining pulled away to the other side of the zip, then the \
                 lining, the outside pulled away: both rows cross {} in the same place. When all are \
                 sewn, trim the points of both layers, {ends} with them,",
                if tabbed { "the tab" } else { "the zip" }
            )
        } else {
            "Trim the point".to_owned()
        };
        Told::new(format!(
            "Box the corners of {}. At each {}corner, lay {seams}, right sides together, so \
             that the corner makes a point. {line} Sew on the line \
             (stitch length {}), backstitching at both ends, and sew over it once more. {trim} to {} \
             from the stitches.{finish}",
            self.what,
            if at_rims { "" } else { "base " },
            t.stitch(self.stitch),
            t.len(self.leave),
        ))
        .mind(if at_zip && !tabbed {
            "measure from where the stitches of the side seam cross the middle of the zip, not from \
             the raw tip, and measure both corners before you cut either. Turn the hand wheel across \
             the teeth: a needle that strikes one breaks."
        } else if at_zip {
            "measure from where the stitches of the side seam cross the middle of the zip, not from \
             the raw tip, and measure both corners before you cut either."
        } else {
            "measure from where the seams' stitches meet, not from the raw tip, and measure both \
             corners before you cut either."
        })
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: vec![self.tip, self.depth, self.leave], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for corner in &self.corners {
            let panels = each_once(corner.iter().map(|it| it.copy));
            let row = |kind, stitch| {
                let row = Sewing::new(kind, self.depth, stitch);
                // Each panel lies doubled there, unless two of them lie on each other.
                let times = if panels.len() == 1 { 2 } else { 1 };
                panels.iter().fold(row, |row, copy| row.through(*copy, times))
            };
            takes.rows.push(row(Stitching::Seam, self.stitch));
            if self.finish.is_some() {
                takes.rows.push(row(Stitching::Overcast, USUAL_STITCH));
            }
            takes = takes.press(self.depth).trim(self.depth);
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.box_corners(&self.corners, self.tip, self.depth, self.finish.is_some());
    }

    fn copies(&self) -> Vec<CopyId> {
        self.corners.iter().flatten().map(|corner| corner.copy).collect()
    }
}

impl BoxCorner {
    /// Whether every panel that is boxed carries its boxing lines.
    fn is_marked(&self, t: &Telling<'_>) -> bool {
        let marked = |corner: &Corner| {
            let marks = &t.pattern.piece_of(corner.copy).marks;
            marks.iter().any(|mark| mark.label == BOXING_LINE)
        };
        self.corners.iter().flatten().all(marked)
    }
}

/// What the mark is called along which a corner is boxed.
pub(crate) const BOXING_LINE: &str = "boxing line";

impl Worded for BoxCorner {
    const WORD: &'static str = "box-corner";
}

record!(BoxCorner: "Box the corners: fold side seam onto base seam and sew across." {
    what; "What is boxed: \"the outside\".",
    corners via AtLeastOne; "The corners of the bag; each is the corner of every panel that meets there.",
    tip; "Distance of the stitching line from the tip, along the seams.",
    depth; "Length of the stitching line, which is the depth of the bag.",
    leave; "Seam allowance that is left beyond the stitching line.",
    stitch; "Stitch length.",
    finish; "How the raw edge is then finished, if it stays in sight.",
});

/// How sharp and how blunt a corner may be that is boxed, in degrees.
const BOXABLE: [f64; 2] = [20.0, 160.0];

impl Field for Corner {
    fn takes() -> String {
        "`{ copy, side, base }`, naming two edges that meet, with `beside` if a zip lies beyond the \
         base edge and the line is only so far from that, or `{ copy, side, fold }` where the side \
         crosses a fold so far from its start"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("copy".to_owned(), self.copy.write(pattern)?),
            ("side".to_owned(), name_of_edge(pattern, self.copy, self.side)),
        ];
        fields.push(match self.fold {
            Some(fold) => ("fold".to_owned(), Datum::Length(fold)),
            None => ("base".to_owned(), name_of_edge(pattern, self.copy, self.base)),
        });
        fields.extend(self.beside.map(|beside| ("beside".to_owned(), Datum::Length(beside))));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let copy = table.field::<CopyId, Plain>(reader, "copy", None);
        let side = edge_named(reader, &mut table, "side", copy);
        let fold = table.field::<Option<Length>, Plain>(reader, "fold", None);
        let base = match fold {
            Some(Some(_)) => side,
            _ => edge_named(reader, &mut table, "base", copy),
        };
        let beside = match fold {
            Some(Some(_)) => Some(None),
            _ => table.field::<Option<Length>, Plain>(reader, "beside", None),
        };
        table.close(reader);
        let corner = Self { copy: copy?, side: side?, base: base?, fold: fold?, beside: beside? };
        corner.can_be_boxed(reader).then_some(corner)
    }
}

impl Corner {
    /// Whether there is a corner at all, and one that can be folded to a point.
    fn can_be_boxed(self, reader: &mut Reader) -> bool {
        let net = &reader.piece_of(self.copy).net;
        if let Some(fold) = self.fold {
            let long = net.edge_length(self.side);
            if fold.is_positive() && fold < long {
                return true;
            }
            let hint = format!("the side is {} long", reader.show(long));
            reader.within(Part::Key("fold".to_owned()), |reader| {
                reader.report("the fold does not cross this side", hint);
            });
            return false;
        }
        let count = net.edge_count();
        let vertex = match (self.side, self.base) {
            (side, base) if (side + 1) % count == base => base,
            (side, base) if (base + 1) % count == side => side,
            _ => {
                reader.within(Part::Key("base".to_owned()), |reader| {
                    reader.report("these two edges do not meet", "name two neighbouring edges");
                });
                return false;
            }
        };
        let degrees = net.interior_angle(vertex).to_degrees();
        let is_boxable = (BOXABLE[0]..=BOXABLE[1]).contains(&degrees);
        if !is_boxable {
            let message = format!("a corner of {degrees:.0} degrees cannot be boxed");
            reader.report(message, "box corners between 20 and 160 degrees");
        }
        is_boxable
    }
}
