//! Hem an edge by turning it twice.

use measure::{Length, Outline, Point, Rounding, Ruler, System};

use super::takes::edge_length;
use super::{
    Layer, Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Tool, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run, Span};
use crate::record::record;

/// Turn an edge to the wrong side twice, and stitch it down.
#[derive(Clone, Debug)]
pub struct Hem {
    /// "the top edge of the front pocket".
    pub what: String,
    /// The edge.
    pub run: Run,
    /// First turn.
    pub first: Length,
    /// Second turn: the depth of the finished hem.
    pub depth: Length,
    /// Ends of handles that are tucked under it: copy and edge.
    pub tucked: Vec<(CopyId, usize)>,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Hem {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let turns = if self.first == self.depth {
            format!("{}, and {} again", t.len(self.first), t.len(self.depth))
        } else {
            format!("{}, and then {}", t.len(self.first), t.len(self.depth))
        };
        let ends = if self.run.closed { "all the way round" } else { "from end to end" };
        // Ends can be tucked only under a hem that is folded already.
        let melts = t.melts(&self.run.copies());
        let crease = if melts {
            "creasing each fold with a roller or a fingernail"
        } else {
            "pressing each fold"
        };
        let start = if self.tucked.is_empty() {
            let trim = self.trimmed(t).map_or_else(String::new, |most| {
                format!(
                    " Before you stitch, trim both turned ends level with the raw edges that they lie on, \
                     by up to {}.",
                    t.len(most)
                )
            });
            format!("Hem {}: turn it {turns} to the wrong side, {crease}.{trim} Stitch", self.what)
        } else {
            format!("Stitch down the pressed hem of {} ({turns})", self.what)
        };
        let told = Told::new(format!(
            "{start} {ends}, {} from the inner fold (stitch length {}).",
            t.len(match t.system {
                System::Inch => Length::inch_frac(1, 8),
                System::Metric => Length::mm(3),
            }),
            t.stitch(self.stitch)
        ));
        if melts { told.mind("no iron: it would melt.") } else { told }
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let (first, depth) = (self.first, self.depth);
        let stitch_in = match t.system {
            System::Inch => Length::inch_frac(1, 8),
            System::Metric => Length::mm(3),
        };
        let [once, mut twice] = self.folds();
        "turn again, stitch".clone_into(&mut twice.says);
        let out = (first + depth) * 2;
        let twice = twice.stitch(out - depth + stitch_in, 0, 2);
        Shown {
            stages: vec![once, twice],
            tools: if t.melts(&self.run.copies()) { Vec::new() } else { vec![Tool::Iron] },
            measures: vec![first, depth],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let length = self.run.length();
        let row = Sewing::new(Stitching::Shown, length, self.stitch).round(self.run.closed);
        let row = row.over(work, &[&self.run], 3);
        let row = self.tucked.iter().fold(row, |row, (copy, edge)| {
            let along = edge_length(work, *copy, *edge).min(length);
            let times = work.pattern.piece_of(*copy).folded_layers();
            let mut row = row;
            row.layers.push(Layer { copy: *copy, times, along });
            row
        });
        let ends = i64::try_from(self.run.spans.len() * 2).unwrap_or(0);
        let stands_out = self.stands_out(work.pattern) >= TRIMMED;
        let trimmed = if stands_out { self.depth * ends } else { Length::ZERO };
        Takes::rows([row]).press(length * 2).trim(trimmed)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.hem(&self.run, self.first + self.depth, &self.tucked);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.run.copies()
    }
}

/// What stands out by less is caught in the seam beside it, and seen by nobody (common practice, no
/// source).
const TRIMMED: Length = Length::mm(3);

impl Hem {
    /// How far what is trimmed at its ends stands out at most, as a ruler shows it; nothing if it lies on
    /// what is below.
    fn trimmed(&self, t: &Telling<'_>) -> Option<Length> {
        let ruler = match t.system {
            System::Inch => Ruler::EIGHTH_INCH,
            System::Metric => Ruler::MM,
        };
        let out = self.stands_out(t.pattern);
        (out >= TRIMMED).then(|| ruler.round(out, Rounding::Up))
    }

    /// How far the ends of the turned hem stand out beyond what they lie on, at most: the sides of what
    /// widens toward the hem are cut on as they run there, and turn down onto what is narrower.
    fn stands_out(&self, pattern: &Pattern) -> Length {
        if self.run.closed {
            return Length::ZERO;
        }
        let beyond = |span: &Span| {
            let piece = pattern.piece_of(span.copy);
            let cut = piece.cut().ok()?;
            let edge = piece.net.edge(span.edge);
            let ends = [edge.start(), edge.end()];
            // From the fold: up to the cut edge, and down to what the hem lies on, twice as it is turned
            // twice.
            let lies_on =
                [(self.depth, -self.depth), (self.depth + self.first, self.first - self.depth)];
            let reach = |out: Length| reach(&cut, ends, out.to_mm());
            let out = lies_on.into_iter().filter_map(|(own, below)| {
                let ([from, to], [low, high]) = (reach(own)?, reach(below)?);
                Some((low - from).max(to - high))
            });
            out.reduce(f64::max)
        };
        let most = self.run.spans.iter().filter_map(beyond).fold(0.0, f64::max);
        Length::from_mm_f64(most)
    }

    /// Both turns, as seen from the side, before they are stitched.
    pub(crate) fn folds(&self) -> [Stage; 2] {
        turned_twice(self.first, self.depth)
    }
}

/// How far an outline reaches to either side on a line beside this one, so far to its right, in mm along
/// it; nothing if it does not come there.
fn reach(outline: &Outline, [from, to]: [Point; 2], right: f64) -> Option<[f64; 2]> {
    let (dx, dy) = ((to.x - from.x).to_mm(), (to.y - from.y).to_mm());
    let long = (dx * dx + dy * dy).sqrt();
    let corner = |point: Point| {
        let (x, y) = ((point.x - from.x).to_mm(), (point.y - from.y).to_mm());
        ((x * dx + y * dy) / long, (x * dy - y * dx) / long - right)
    };
    let corners: Vec<(f64, f64)> = outline.flattened(0.05).into_iter().map(corner).collect();
    let next = corners.iter().cycle().skip(1);
    // A corner on the line itself counts for one of its two sides.
    let met = corners.iter().zip(next).filter(|((_, a), (_, b))| (*a <= NEAR) != (*b <= NEAR));
    let met = met.map(|((x, a), (u, b))| x + (u - x) * ((NEAR - a) / (b - a)));
    met.fold(None, |found: Option<[f64; 2]>, x| match found {
        Some([low, high]) => Some([low.min(x), high.max(x)]),
        None => Some([x, x]),
    })
}

/// So far off a line, in mm, it is looked: the raw edge lies on it.
const NEAR: f64 = -1e-3;

/// An end that is turned under by `first`, and again by `depth`, as seen from the side.
pub(super) fn turned_twice(first: Length, depth: Length) -> [Stage; 2] {
    let zero = Length::ZERO;
    let out = (first + depth) * 2;
    let once = Stage::new("turn once")
        .under(&[(zero, 0), (out, 0), (out, 1), (out - first, 1)])
        .measure(out - first, out, 1);
    let twice = Stage::new("turn again")
        .under(&[
            (zero, 0),
            (out, 0),
            (out, 2),
            (out - depth, 2),
            (out - depth, 1),
            (out - depth + first, 1),
        ])
        .measure(out - depth, out, 2);
    [once, twice]
}

impl Worded for Hem {
    const WORD: &'static str = "hem";
}

record!(Hem: "Turn an edge to the wrong side twice, and stitch it down." {
    what; "\"the top edge of the front pocket\".",
    run; "The edge.",
    first; "First turn.",
    depth; "Second turn: the depth of the finished hem.",
    tucked; "Ends of handles that are tucked under it.",
    stitch; "Stitch length.",
});
