//! Join two runs.

use measure::Length;

use super::{
    DropIn, Operation, Sewing, Shown, SlipstitchToZip, Stitching, Takes, Telling, Told, Tool, Turn,
    Worded, listed, sentence,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run, Span, Step};
use crate::record::{Part, Reader, Seams, Signed, record, words};

/// Join two runs, edge to edge.
#[derive(Clone, Debug)]
pub struct Join {
    /// What is sewn: "side seams", "base seam", "rim".
    pub what: String,
    /// The seams that are sewn alike in this step, each with its two sides in the same sewing
    /// direction.
    pub seams: Vec<[Run; 2]>,
    /// Which faces meet.
    pub meet: Meeting,
    /// How far from each edge it is sewn.
    pub allowance: [Length; 2],
    /// How much longer the first side is than the second, and is meant to be.
    pub ease: Length,
    /// Stretches left open, as distances along the first side of the first seam.
    pub gaps: Vec<Gap>,
    /// Whether they are left open in each of the seams, not in the first alone.
    pub each_open: bool,
    /// Stretches of edges that lie over the end of a zip, and are sewn to it in the same row.
    pub over: Vec<Run>,
    /// Where a lining is sewn across the end of a zip from its other side, in the same row: the edge of
    /// the outside that lies there already, and the lining's own.
    pub across: Vec<[Run; 2]>,
    /// Stitch length.
    pub stitch: Length,
    /// How the seam is pressed.
    pub press: Press,
    /// How it is laid and pinned, one sentence, where the usual words do not say it.
    pub lay: Option<String>,
    /// Where people go wrong; a seam with an opening warns of that by itself.
    pub mind: Option<String>,
}

/// A stretch of a seam that is left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Start, as a distance along the seam.
    pub from: Length,
    /// End.
    pub to: Length,
}

/// Which faces meet in a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meeting {
    /// Right sides together.
    RightSides,
    /// Wrong sides together.
    WrongSides,
    /// One edge lies on the other, both right side up.
    Lapped,
}

impl Meeting {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::RightSides => "right sides together",
            Self::WrongSides => "wrong sides together",
            Self::Lapped => "both right side up, one edge lapped over the other",
        }
    }
}

/// How a seam is pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Press {
    /// Open.
    Open,
    /// To one side: "the base", "the lining".
    Toward(String),
    /// As it lies.
    Flat,
    /// Left for later.
    Not,
}

impl Press {
    /// The sentence, if there is anything to press.
    pub(crate) fn sentence(&self) -> Option<String> {
        match self {
            Self::Open => Some("Press the seam allowances open.".to_owned()),
            Self::Toward(side) => Some(format!("Press the seam allowances toward {side}.")),
            Self::Flat => Some("Press the seam flat.".to_owned()),
            Self::Not => None,
        }
    }
}

impl Join {
    /// Seams right sides together, equal allowances, nothing left open.
    pub fn plain(what: &str, seams: Vec<[Run; 2]>, allowance: Length, stitch: Length) -> Self {
        Self {
            what: what.to_owned(),
            seams,
            meet: Meeting::RightSides,
            allowance: [allowance; 2],
            ease: Length::ZERO,
            gaps: Vec::new(),
            each_open: false,
            over: Vec::new(),
            across: Vec::new(),
            stitch,
            press: Press::Open,
            lay: None,
            mind: None,
        }
    }

    fn side(&self, side: usize) -> Vec<CopyId> {
        copies_on(&self.seams, side)
    }

    /// Whether an earlier seam holds both sides together as they are to lie for this one.
    fn lies_so(&self, t: &Telling<'_>, a: &[CopyId], b: &[CopyId]) -> bool {
        let mut lies = false;
        for step in t.before(self) {
            if step.as_a::<Turn>().is_some() {
                lies = false;
            }
            let Some(join) = step.as_a::<Self>() else { continue };
            let meets =
                |run: &Run, side: &[CopyId]| run.copies().iter().any(|it| side.contains(it));
            let joins = join
                .seams
                .iter()
                .any(|[c, d]| (meets(c, a) && meets(d, b)) || (meets(c, b) && meets(d, a)));
            lies |= joins && join.meet == self.meet;
        }
        lies
    }

    /// Whether one of these has been put into another bag, or another into it.
    fn lies_within(&self, t: &Telling<'_>, copies: &[CopyId]) -> bool {
        t.before(self).any(|step| {
            step.as_a::<DropIn>().is_some_and(|drop_in| {
                copies.contains(&drop_in.inner) || copies.contains(&drop_in.outer)
            })
        })
    }

    /// The stretches left open in the seam with that index.
    fn gaps_of(&self, seam: usize) -> &[Gap] {
        if seam == 0 || self.each_open { &self.gaps } else { &[] }
    }

    /// Whether it leaves more openings than one.
    pub(super) fn opens_several(&self) -> bool {
        let seams = if self.each_open { self.seams.len() } else { 1 };
        self.gaps.len() * seams > 1
    }

    fn is_round(&self) -> bool {
        self.crosses_zip() || self.seams.iter().all(|seam| seam[0].closed)
    }

    /// Whether the seam is closed by going on across the end of a zip.
    fn crosses_zip(&self) -> bool {
        !self.over.is_empty() || !self.across.is_empty()
    }

    /// Whether what is left open is sewn to a zip later.
    fn opens_for_zip(&self, t: &Telling<'_>) -> bool {
        let Some(first) = self.seams.first().and_then(|seam| seam[0].spans.first()) else {
            return false;
        };
        let stitched = t.pattern.steps.iter().filter_map(Step::as_a::<SlipstitchToZip>);
        let mut spans = stitched.flat_map(|it| &it.seams).flat_map(|seam| &seam[1].spans);
        spans.any(|s| (s.copy, s.edge) == (first.copy, first.edge))
    }

    /// The sentences from the first stitch to the last.
    fn sewing(&self, t: &Telling<'_>) -> String {
        let corners = self.seams.iter().any(|seam| turns_corners(t.pattern, &seam[0]));
        let pivot = if corners { " Turn at each corner with the needle down." } else { "" };
        let gaps: Vec<String> = self.gaps.iter().map(|gap| t.len(gap.to - gap.from)).collect();
        let ends = match (self.is_round(), gaps.is_empty()) {
            (true, true) if self.crosses_zip() => ", all the way round and across the zip, \
                 overlapping the first stitches a little."
                .into(),
            (true, true) => ", all the way round, overlapping the first stitches a little.".into(),
            (true, false) => format!(
                ", from one mark of the opening all the way round to the other, backstitching at \
                 both ends: {} {}are left open for turning.",
                listed(&gaps),
                if self.each_open { "of each " } else { "" }
            ),
            (false, true) => ", backstitching at both ends.".to_owned(),
            (false, false) => format!(
                ", backstitching at both ends. Leave an opening of {} between the marks for \
                 {}, and backstitch on both sides of it.",
                listed(&gaps),
                if self.opens_for_zip(t) { "the zip" } else { "turning" }
            ),
        };
        sentence(&format!("{}{ends}{pivot}", self.how_sewn(t)))
    }

    fn how_sewn(&self, t: &Telling<'_>) -> String {
        let [a, b] = self.allowance;
        let allowance = if a == b {
            format!("{} from the edge", t.len(a))
        } else {
            format!(
                "{} from the edge of {} and {} from the edge of {}",
                t.len(a),
                t.names(&self.side(0)),
                t.len(b),
                t.names(&self.side(1))
            )
        };
        format!("sew {} {allowance} (stitch length {})", self.what, t.stitch(self.stitch))
    }
}

impl Operation for Join {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let [a, b] = [self.side(0), self.side(1)];
        let mut sentences = Vec::new();
        // Bodies that are joined in the round lie in each other already.
        if let Some(lay) = &self.lay {
            sentences.push(lay.clone());
        } else if self.is_round() && (a.len() > 1 || self.lies_within(t, &a)) {
        } else if a == b && self.lies_so(t, &a, &b) {
            sentences.push(format!(
                "Keep {} folded, {}, match the marks along {}, and pin.",
                t.names(&a),
                self.meet.words(),
                self.what
            ));
        } else if self.lies_so(t, &a, &b) {
            sentences.push(format!(
                "Keep {} {}, match the marks along {}, and pin.",
                t.names(&[a.as_slice(), &b].concat()),
                self.meet.words(),
                self.what
            ));
        } else if a == b {
            sentences.push(format!(
                "With {} folded, {}, lay its edges on each other, matching the marks, and pin.",
                t.names(&a),
                self.meet.words()
            ));
        } else {
            sentences.push(format!(
                "Lay {} on {}, {}, matching the marks, and pin.",
                t.names(&a),
                t.names(&b),
                self.meet.words()
            ));
        }
        sentences.push(self.sewing(t));
        if self.ease != Length::ZERO {
            let smaller = if self.ease.is_positive() { &b } else { &a };
            sentences.push(format!(
                "{} {} smaller around: stretch {} slightly to fit.",
                sentence(&format!("{} {}", t.names(smaller), are(smaller))),
                t.len(self.ease.abs()),
                if smaller.len() == 1 { "it" } else { "them" },
            ));
        }
        sentences.extend(self.press.sentence());
        let told = Told::new(sentences.join(" "));
        match &self.mind {
            Some(mind) => told.mind(mind),
            None if self.gaps.is_empty() => told,
            None => told.mind("without this opening it cannot be turned right side out."),
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let [a, b] = self.allowance;
        Shown {
            stages: if self.is_round() { Vec::new() } else { self.press.stages(a) },
            tools: vec![Tool::Pins],
            measures: [a, b]
                .into_iter()
                .chain(self.gaps.iter().map(|gap| gap.to - gap.from))
                .collect(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for (index, sides) in self.seams.iter().enumerate() {
            let gaps = self.gaps_of(index);
            let open: Length = gaps.iter().map(|gap| gap.to - gap.from).sum();
            let ends = self.over.iter().chain(self.across.iter().map(|[_, own]| own));
            let over = if index == 0 { ends.map(Run::length).sum() } else { Length::ZERO };
            let length = (sides[0].length() + over - open).max(Length::ZERO);
            let closed = sides[0].closed || self.crosses_zip();
            let row = Sewing::new(Stitching::Seam, length, self.stitch)
                .round(closed && gaps.is_empty())
                .times(1)
                .over(work, &[&sides[0], &sides[1]], 1);
            takes.rows.push(row);
            if self.press != Press::Not {
                takes = takes.press(length);
            }
        }
        takes
    }

    fn makes(&self, part: CopyId, size: (Length, Length), pattern: &Pattern) -> (Length, Length) {
        let piece = pattern.piece_of(part);
        let mut sewn: Vec<usize> = Vec::new();
        let spans = self.seams.iter().flatten().flat_map(|run| &run.spans);
        for edge in spans.filter(|span| span.copy == part).map(|span| span.edge) {
            if !sewn.contains(&edge) {
                sewn.push(edge);
            }
        }
        sewn.into_iter().fold(size, |size, edge| {
            let (shape, allowance) = (piece.net.edge(edge), piece.edges[edge].allowance);
            match (shape.start(), shape.end()) {
                (a, b) if a.y == b.y => (size.0, size.1 - allowance),
                (a, b) if a.x == b.x => (size.0 - allowance, size.1),
                _ => size,
            }
        })
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (index, sides) in self.seams.iter().enumerate() {
            work.join(sides, self.meet, self.allowance, self.ease, self.gaps_of(index));
        }
        for run in &self.over {
            work.join_over_zip(run, self.allowance[1]);
        }
        for sides in &self.across {
            work.join_across_zip_end(sides, self.allowance[1]);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [self.side(0), self.side(1)].concat()
    }
}

impl Worded for Join {
    const WORD: &'static str = "join";
}

fn are(copies: &[CopyId]) -> &'static str {
    if copies.len() == 1 { "is" } else { "are" }
}

/// Whether a run goes on along another edge of the same piece, around a corner; not where a
/// straight edge goes over into a curve.
pub(super) fn turns_corners(pattern: &Pattern, run: &Run) -> bool {
    run.spans.windows(2).any(|pair| {
        let (one, next) = (pair[0], pair[1]);
        let ways = |span: Span, end: Length| {
            pattern.piece_of(span.copy).net.edge(span.edge).direction_along(end)
        };
        let forward = |span: Span| if span.from <= span.to { 1.0 } else { -1.0 };
        let (arriving, leaving) =
            (ways(one, one.to) * forward(one), ways(next, next.from) * forward(next));
        // A turn of more than 20 degrees.
        one.copy == next.copy && one.edge != next.edge && arriving.dot(leaving) < 0.94
    })
}

/// The copies on one side of some seams, each once.
pub(super) fn copies_on(seams: &[[Run; 2]], side: usize) -> Vec<CopyId> {
    let mut copies = Vec::new();
    for copy in seams.iter().flat_map(|seam| seam[side].copies()) {
        if !copies.contains(&copy) {
            copies.push(copy);
        }
    }
    copies
}

record!(Join: "Join two runs, edge to edge; several seams in one step if they are sewn alike." {
    what; "What is sewn: \"both side seams\".",
    seams via Seams; "The seams, the two sides of each in the same sewing direction.",
    meet = Meeting::RightSides; "Which faces meet. Left out: right sides.",
    allowance; "How far from each edge it is sewn.",
    ease via Signed = Length::ZERO; "How much longer the first side is than the second, and is meant to be.",
    gaps; "Stretches left open for turning, in the first seam.",
    each_open = false; "Whether they are left open in each of the seams: in parts that are sewn alike.",
    over; "Stretches of edges that lie over the end of a zip, sewn to it in the same row, by the second side's allowance.",
    across via Seams = Vec::new(); "Where a lining is sewn across the end of a zip in the same row: the edge of the outside that lies over that end, then the lining's own.",
    stitch; "Stitch length.",
    press = Press::Open; "How the seam is pressed. Left out: open.",
    lay; "How it is laid and pinned, one sentence, where the usual words do not say it.",
    mind; "Where people go wrong; a seam with an opening warns of that by itself.",
} check Join::gaps_lie_within);

words!(Meeting { "right-sides" => RightSides, "wrong-sides" => WrongSides, "lapped" => Lapped });
words!(Press { "open" => Open, "flat" => Flat, "not" => Not; "toward": Toward(String) });

impl Join {
    /// Whether the openings lie within the seams that have them.
    fn gaps_lie_within(&self, reader: &mut Reader) -> bool {
        let open = if self.each_open { self.seams.len() } else { 1 };
        let sides = self.seams.iter().take(open).map(|[side, _]| side.length());
        let Some(long) = sides.min() else { return true };
        let Some(index) = self.gaps.iter().position(|gap| gap.to > long) else { return true };
        reader.within(Part::Key("gaps".to_owned()), |reader| {
            reader.within(Part::Index(index), |reader| {
                let hint = format!("the seam is {} long", reader.show(long));
                reader.report("this opening lies beyond the end of the seam", hint);
            });
        });
        false
    }
}
