//! What is marked on a piece, in words: each kind of mark gets a letter, and a sentence that says
//! where it goes, measured on the cut piece (from its centre line, its lower edge, its side edges).

use std::collections::BTreeSet;

use measure::{Length, Point, System, show_length};

use bag::pattern::{Mark, MarkShape, Piece};

/// The marks of one piece, by label.
#[derive(Clone, Debug)]
pub struct MarkNotes<'a> {
    piece: &'a Piece,
    system: System,
    /// Lower left and upper right corner of the cut piece.
    cut: (Point, Point),
    /// Labels that get a letter.
    labels: Vec<&'a str>,
    /// Labels of nothing but folds, which their kind of line tells apart.
    folds: Vec<&'a str>,
}

/// Letters that cannot be taken for a digit or for one another.
const LETTERS: [&str; 20] = [
    "a", "b", "c", "d", "e", "f", "g", "h", "k", "m", "n", "p", "q", "r", "s", "t", "u", "w", "y",
    "z",
];

impl<'a> MarkNotes<'a> {
    /// The marks of `piece`, in the order in which they were drafted.
    pub fn new(piece: &'a Piece, system: System) -> Self {
        let cut = piece.cut().unwrap_or_else(|_| piece.net.clone()).bounds();
        let mut labels: Vec<&str> = Vec::new();
        for mark in &piece.marks {
            if !labels.contains(&mark.label.as_str()) {
                labels.push(&mark.label);
            }
        }
        let only_folds = |label: &&str| {
            let marks = || piece.marks.iter().filter(|mark| mark.label == **label);
            marks().all(|mark| matches!(mark.shape, MarkShape::Fold(..)))
        };
        let (folds, labels) = labels.into_iter().partition(only_folds);
        Self { piece, system, cut, labels, folds }
    }

    /// The letter of a mark; nothing when there are more kinds of marks than letters.
    pub fn letter(&self, mark: &Mark) -> Option<&'static str> {
        let index = self.labels.iter().position(|label| *label == mark.label)?;
        LETTERS.get(index).copied()
    }

    /// One sentence for each letter, "a – handle: …", and one for each kind of fold.
    pub fn sentences(&self) -> Vec<String> {
        let lettered = self.labels.iter().zip(LETTERS);
        lettered
            .map(|(label, letter)| format!("{letter} – {label}: {}.", self.places(label)))
            .chain(
                self.folds.iter().map(|label| format!("Lines of {label}: {}.", self.places(label))),
            )
            .collect()
    }

    /// Where the marks of one label go.
    fn places(&self, label: &str) -> String {
        let mut places: Vec<String> = Vec::new();
        let marks = || self.piece.marks.iter().filter(|mark| mark.label == label);
        let mut upright: Vec<(Length, Length, Length)> = Vec::new();
        let mut level: Vec<(Length, Length, Length)> = Vec::new();
        for mark in marks() {
            match mark.shape {
                MarkShape::Placement(a, b) | MarkShape::Fold(a, b) | MarkShape::Stitching(a, b) => {
                    if a.x == b.x {
                        upright.push((a.x, a.y.min(b.y), a.y.max(b.y)));
                    } else if a.y == b.y {
                        level.push((a.y, a.x.min(b.x), a.x.max(b.x)));
                    } else {
                        places.push(self.slanting(a, b));
                    }
                }
                _ => places.push(self.single(mark)),
            }
        }
        // Both lines of a corner that is boxed: it looks like a piece to be cut out.
        let corner = (label == "boxing line").then(|| {
            let wide = level.first().map(|line| line.2 - line.1)?;
            let high = upright.first().map(|line| line.2 - line.1)?;
            let size = measure::show_size(wide, high, self.system);
            Some(format!("a corner {size} inside the stitching lines; do not cut it"))
        });
        let slanting = || "sewn later; do not cut along it".to_owned();
        let mut all: Vec<String> =
            corner.map(|corner| corner.unwrap_or_else(slanting)).into_iter().collect();
        all.extend(self.upright(&upright));
        all.extend(self.level(&level));
        places.dedup();
        all.extend(places);
        let mut seen = BTreeSet::new();
        all.retain(|place| seen.insert(place.clone()));
        all.join("; ")
    }

    fn show(&self, length: Length) -> String {
        show_length(length, self.system)
    }

    /// Upright lines: how far from the centre, or from the left edge, and from where to where.
    fn upright(&self, lines: &[(Length, Length, Length)]) -> Vec<String> {
        let (low, high) = self.cut;
        let centre = low.x + (high.x - low.x).half();
        let reaches: BTreeSet<(Length, Length)> =
            lines.iter().map(|line| (line.1, line.2)).collect();
        reaches
            .into_iter()
            .map(|(from, to)| {
                let here: Vec<Length> = lines
                    .iter()
                    .filter(|line| (line.1, line.2) == (from, to))
                    .map(|line| line.0 - centre)
                    .collect();
                let paired =
                    here.iter().all(|x| here.iter().any(|other| (*other + *x).abs() <= NEAR));
                let place = if paired {
                    let out: BTreeSet<Length> =
                        here.iter().map(|x| x.abs()).filter(|x| *x > NEAR).collect();
                    let beside = self.list(&out);
                    match (here.iter().any(|x| x.abs() <= NEAR), out.is_empty()) {
                        (true, true) => "on the centre line".to_owned(),
                        (true, false) => {
                            format!("on the centre line, and {beside} left and right of it")
                        }
                        (false, _) => format!("{beside} left and right of the centre line"),
                    }
                } else {
                    let out = here.iter().map(|x| *x + centre - low.x).collect();
                    format!("{} from the left edge", self.list(&out))
                };
                let reach = self.reach(from, to);
                format!("{place}{reach}")
            })
            .collect()
    }

    /// Level lines: how far up from the lower edge, and over what width.
    fn level(&self, lines: &[(Length, Length, Length)]) -> Vec<String> {
        let (low, high) = self.cut;
        let heights: BTreeSet<Length> = lines.iter().map(|line| line.0 - low.y).collect();
        if heights.is_empty() {
            return Vec::new();
        }
        let short: BTreeSet<Length> = lines
            .iter()
            .map(|line| line.2 - line.1)
            .filter(|length| *length < high.x - low.x)
            .collect();
        let over =
            if short.len() == 1 { format!(", {} long", self.list(&short)) } else { String::new() };
        vec![format!("{} up from the lower edge{over}", self.list(&heights))]
    }

    /// From which height to which, when it is not the whole.
    fn reach(&self, from: Length, to: Length) -> String {
        let (low, high) = self.cut;
        let (from, to) = (from - low.y, to - low.y);
        let whole = high.y - low.y;
        match (from.is_positive(), to < whole) {
            (false, false) => String::new(),
            (false, true) => format!(", up to {} above the lower edge", self.show(to)),
            (true, false) => format!(", from {} above the lower edge to the top", self.show(from)),
            (true, true) => {
                format!(", from {} to {} above the lower edge", self.show(from), self.show(to))
            }
        }
    }

    /// "3 1/2 in and 4 5/8 in".
    fn list(&self, lengths: &BTreeSet<Length>) -> String {
        let mut words: Vec<String> = lengths.iter().map(|length| self.show(*length)).collect();
        words.dedup();
        let Some(last) = words.pop() else { return String::new() };
        if words.is_empty() { last } else { format!("{} and {last}", words.join(", ")) }
    }

    fn slanting(&self, a: Point, b: Point) -> String {
        let (bottom, top) = if a.y <= b.y { (a, b) } else { (b, a) };
        format!("from {} to {}", self.spot(bottom), self.spot(top))
    }

    /// A point by its distance from the nearer side edge of the box and from the lower edge.
    fn spot(&self, point: Point) -> String {
        let (low, high) = self.cut;
        let centre = low.x + (high.x - low.x).half();
        let from_side = (point.x - low.x).min(high.x - point.x);
        let up = self.show(point.y - low.y);
        if (point.x - centre).abs() <= NEAR {
            format!("{up} up on the centre line")
        } else {
            format!("{} in from the widest point of the side and {up} up", self.show(from_side))
        }
    }

    /// A notch: on an upright edge so far above the lower cut edge, on a level one in its middle or
    /// so far from the centre line.
    fn notch(&self, name: &str, edge: usize, along: Length) -> String {
        let net = &self.piece.net;
        let (low, high) = self.cut;
        let (ends, at) = (net.edge(edge), net.point_along(edge, along));
        let step = (ends.end().x - ends.start().x, ends.end().y - ends.start().y);
        if step.0.abs() < step.1.abs() {
            let up = self.show(at.y - low.y);
            return format!("notch the {name} {up} above the lower cut edge");
        }
        if (along * 2 - net.edge_length(edge)).abs() <= NEAR {
            return format!("notch the middle of the {name}");
        }
        let out = at.x - (low.x + (high.x - low.x).half());
        let side = if out.is_positive() { "right" } else { "left" };
        format!("notch the {name} {} {side} of the centre line", self.show(out.abs()))
    }

    fn single(&self, mark: &Mark) -> String {
        let edge_name =
            |edge: usize| self.piece.edges.get(edge).map_or("edge", |e| e.name.as_str());
        match mark.shape {
            MarkShape::Notch { edge, along } => self.notch(edge_name(edge), edge, along),
            MarkShape::BoxAndX(a, b) => {
                let (low, high) = self.cut;
                let size = measure::show_size((b.x - a.x).abs(), (b.y - a.y).abs(), self.system);
                let centre = low.x + (high.x - low.x).half();
                let out = (a.x + (b.x - a.x).half() - centre).abs();
                format!(
                    "{size}, its middle {} from the centre line, its top {} above the lower edge",
                    self.show(out),
                    self.show(a.y.max(b.y) - low.y),
                )
            }
            MarkShape::Opening { edge, from, to } => {
                let length = self.piece.net.edge_length(edge);
                let (first, last) = (from.min(to), length - from.max(to));
                let place = if (first - last).abs() <= NEAR {
                    "in the middle".to_owned()
                } else {
                    format!("{} from its end", self.show(first.min(last)))
                };
                format!("{} of the {}, {place}", self.show((to - from).abs()), edge_name(edge))
            }
            MarkShape::Dot(at) => self.spot(at),
            MarkShape::Placement(a, b) | MarkShape::Fold(a, b) | MarkShape::Stitching(a, b) => {
                self.slanting(a, b)
            }
        }
    }
}

/// Lengths closer than this (0.1 mm) count as equal: half a nanometre is lost in halving.
const NEAR: Length = Length::nm(100_000);
