//! Steps on the table: panels spread out, or laid on each other, with what is new on them.

mod ear;
mod laid;
mod rows;
mod seams;
mod turned;
mod words;

use bag::assembly::{Assembly, Edging, Event};
use bag::operations::{Along, FaceSide, Gap, Line, Meeting, RowKind, Shown, Tool};
use bag::pattern::{CopyId, MarkShape, Run, Span};
use kurbo::{Affine, Point, Rect, Vec2};
use measure::Length;

use super::board::Board;
use super::riders::{Shape, shapes};
use super::standing::caption;
use super::story::{Folded, Sheet, Story};
use super::table::{Lain, VISIBLE, along, ends, is_seen, left_of, mirror, onto, outline, spread};
use super::{ROOM, icons};
use crate::line::LineKind;
use crate::marks;
use crate::scene::{Fill, closed};
use crate::space::length_of;

/// Nothing is enlarged by more than this.
const LARGEST: f64 = 0.6;
/// Rows of stitches are drawn at least so far apart, in mm on paper.
const ROW: f64 = 1.3;

/// What lies together: panels, and perhaps others on them.
struct Group {
    lower: Vec<Lain>,
    upper: Vec<Lain>,
    /// Names of groups that look the same and are not drawn.
    alike: Vec<String>,
    /// Whether a corner of the upper one is turned back, to show how they lie.
    ear: bool,
}

impl Group {
    fn single(lower: Vec<Lain>) -> Self {
        Self { lower, upper: Vec::new(), alike: Vec::new(), ear: false }
    }

    fn top(&self) -> &[Lain] {
        if self.upper.is_empty() { &self.lower } else { &self.upper }
    }

    fn all(&self) -> impl Iterator<Item = &Lain> {
        self.lower.iter().chain(&self.upper)
    }

    fn holds(&self, copy: CopyId) -> bool {
        self.all().any(|it| it.copy == copy)
    }
}

/// A picture on the table.
pub(super) struct Flat<'s, 'p> {
    story: &'s Story<'p>,
    work: &'s Assembly<'p>,
    step: usize,
    shown: &'s Shown,
    /// Paper millimetres for each millimetre of cloth.
    scale: f64,
    /// Distances that can be pointed at, on paper, with their true length.
    spans: Vec<(Point, Point, Length)>,
    said: Vec<String>,
}

/// Draws a step on the table; returns what is to be seen, in sentences.
pub(super) fn draw(story: &Story<'_>, step: usize, board: &mut Board) -> Vec<String> {
    let work = story.after(step);
    let shown = &story.shown[step];
    let mut flat =
        Flat { story, work, step, shown, scale: 1.0, spans: Vec::new(), said: Vec::new() };
    let turned = story.news(step).find_map(|event| match event {
        Event::Turned { body, .. } => Some(*body),
        _ => None,
    });
    if let Some(body) = turned {
        return flat.turned(board, body);
    }
    let groups = flat.groups();
    if groups.is_empty() {
        return Vec::new();
    }
    flat.scale = flat.fitting(&groups);
    let mut right = 0.0;
    for group in &groups {
        let frame = flat.extent(group);
        let (wide, high) = (frame.width() * flat.scale, frame.height() * flat.scale);
        let (x, y) = (flat.scale * widened(wide, high), flat.scale * widened(high, wide));
        if x > flat.scale || y > flat.scale {
            flat.said.push("It is drawn wider than it is, so that it can be seen.".to_owned());
        }
        let to_paper = Affine::translate(Vec2::new(right - frame.x0 * x, frame.y1 * y))
            * Affine::new([x, 0.0, 0.0, -y, 0.0, 0.0]);
        flat.group(board, group, to_paper);
        right += frame.width() * x + 6.0;
    }
    flat.tools(board);
    flat.measures(board);
    flat.said
}

/// A strap is drawn at least so wide, in mm on paper, if it is so many times longer; and widened by no
/// more than that.
const STRAP: f64 = 4.5;
const SLENDER: f64 = 10.0;
const WIDENED: f64 = 8.0;

/// By how much a strap is drawn wider than it is: long ones would be hairlines.
fn widened(thin: f64, long: f64) -> f64 {
    if thin < STRAP && thin * SLENDER < long { (STRAP / thin.max(0.1)).min(WIDENED) } else { 1.0 }
}

impl<'s, 'p> Flat<'s, 'p> {
    /// What is drawn: the panels that the step joins, or on which something is done.
    fn groups(&self) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        let mut seen: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
        for (lower, upper, group) in self.candidates() {
            if groups.iter().any(|known| lower.iter().all(|copy| known.holds(*copy))) {
                continue;
            }
            let one_body = groups.iter().any(|known| {
                known.all().any(|it| {
                    !self.work.lies_flat(it.copy) && self.work.is_one_body(it.copy, lower[0])
                })
            });
            if one_body && upper.is_empty() && self.story.news(self.step).all(is_no_place) {
                continue;
            }
            let new_on = |copy: CopyId| {
                let new = self.story.news(self.step).filter_map(move |event| match event {
                    Event::Placed { what, onto, .. } if *onto == copy => Some(*what),
                    _ => None,
                });
                new.map(|what| self.work.pattern.copy(what).piece.0).collect::<Vec<_>>()
            };
            let pieces = |sheet: &Sheet| -> Vec<usize> {
                let own = sheet.iter().map(|copy| self.work.pattern.copy(*copy).piece.0);
                own.chain(sheet.iter().flat_map(|copy| new_on(*copy))).collect()
            };
            let sign = (pieces(&lower), pieces(&upper));
            if let Some(index) = seen.iter().position(|known| *known == sign) {
                let name = upper.first().or(lower.first()).map(|copy| self.story.the(*copy));
                // Several things that lie on one panel make one thing that is said of it.
                let alike = &mut groups[index].alike;
                alike.extend(name.filter(|name| !alike.contains(name)));
                continue;
            }
            if groups.len() < 2 {
                seen.push(sign);
                groups.push(group);
            }
        }
        groups
    }

    fn candidates(&self) -> Vec<(Sheet, Sheet, Group)> {
        let mut found = Vec::new();
        for event in self.story.news(self.step) {
            match event {
                Event::Joined { sides, meet, .. } if *meet != Meeting::Lapped => {
                    found.extend(self.joined(sides, *meet));
                }
                Event::Placed { onto, .. } | Event::Stitched { onto, .. } => {
                    found.push(self.alone(*onto));
                }
                _ => {}
            }
        }
        let lays = self.story.news(self.step).any(|event| !is_no_place(event));
        let folded = if lays { None } else { self.pressed_over() };
        if found.iter().all(|(lower, upper, _)| upper.is_empty() && lower.len() < 3)
            && let Some(group) = folded
        {
            return vec![group];
        }
        if found.is_empty() {
            let copies = self.work.pattern.steps[self.step].operation.copies();
            let mut hosts: Vec<CopyId> = Vec::new();
            for copy in copies {
                let ground = self.story.ground(self.work, copy);
                let sheet = self.story.sheet(self.step, ground);
                // Of a bag that lies flat on the table, the other half lies below.
                let below = hosts.iter().any(|host| self.work.is_one_body(*host, ground));
                if !below && !hosts.iter().any(|host| sheet.contains(host)) {
                    hosts.push(ground);
                }
            }
            found.extend(hosts.into_iter().map(|host| self.lying(host)));
        }
        found
    }

    fn first(&self, copy: CopyId, up: FaceSide) -> Lain {
        let lay = match up {
            FaceSide::Right => Affine::IDENTITY,
            FaceSide::Wrong => Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]),
        };
        Lain { copy, lay, up, half: None }
    }

    /// Two panels that were pressed onto each other, the front one up.
    fn pressed_over(&self) -> Option<(Sheet, Sheet, Group)> {
        let copies = self.work.pattern.steps[self.step].operation.copies();
        let first = *copies.first()?;
        let sheet = self.story.sheet(self.step, first);
        match self.story.folded_over(self.step, &sheet)? {
            Folded::Already(front) => {
                let lain = self.first(front, FaceSide::Right);
                Some((sheet, Vec::new(), Group::single(vec![lain])))
            }
            Folded::Now(front) => {
                let before = self.story.before(self.step);
                let lain = spread(before, &sheet, self.first(front, FaceSide::Right));
                Some((sheet, Vec::new(), Group::single(lain)))
            }
        }
    }

    /// One sheet, spread out.
    fn alone(&self, copy: CopyId) -> (Sheet, Sheet, Group) {
        let sheet = self.story.sheet(self.step, copy);
        let ground = self.story.news(self.step).find_map(|event| match event {
            Event::Placed { onto, ground, .. } if sheet.contains(onto) => Some(*ground),
            _ => None,
        });
        let first = self.first(sheet[0], ground.unwrap_or(FaceSide::Right));
        let group = Group::single(spread(self.story.before(self.step), &sheet, first));
        (sheet, Vec::new(), group)
    }

    /// A sheet as it lies: a tube with its other half below.
    fn lying(&self, copy: CopyId) -> (Sheet, Sheet, Group) {
        let sheet = self.story.sheet(self.step, copy);
        // What hangs behind its slit is seen from there.
        let done = self.work.pattern.steps[self.step].operation.copies();
        let hangs = done.iter().any(|copy| self.work.is_pulled_through(*copy));
        let wrong = hangs || self.story.is_wrong_out(self.work, copy);
        let up = if wrong { FaceSide::Wrong } else { FaceSide::Right };
        let lain = spread(self.story.before(self.step), &sheet, self.first(sheet[0], up));
        (sheet, Vec::new(), Group::single(lain))
    }

    /// Two sheets laid on each other, edge on edge.
    fn joined(&self, sides: &[Run; 2], meet: Meeting) -> Option<(Sheet, Sheet, Group)> {
        let before = self.story.before(self.step);
        let (a, b) = (*sides[0].spans.first()?, *sides[1].spans.first()?);
        let sheets = [a.copy, b.copy].map(|copy| self.story.sheet(self.step, copy));
        let area = |sheet: &Sheet| -> f64 {
            let one = |copy: &CopyId| crate::facets::area(&outline(before, *copy, 0.0, false));
            sheet.iter().map(one).sum()
        };
        let (low, high) = match meet {
            Meeting::WrongSides => (FaceSide::Wrong, FaceSide::Right),
            Meeting::RightSides | Meeting::Lapped => (FaceSide::Right, FaceSide::Wrong),
        };
        if sheets[0] == sheets[1] {
            return self.folded(a, low, high);
        }
        let (upper, lower, up_span, low_span) = if area(&sheets[0]) > area(&sheets[1]) * 1.05 {
            (&sheets[1], &sheets[0], b, a)
        } else {
            (&sheets[0], &sheets[1], a, b)
        };
        let below = spread(before, lower, self.first(lower[0], low));
        let host = below.iter().find(|it| it.copy == low_span.copy)?;
        let (from, to) = ends(before.pattern, low_span);
        let place = (host.lay * from, host.lay * to);
        let lay = onto(ends(before.pattern, up_span), place, high == FaceSide::Wrong);
        let above = spread(before, upper, Lain { copy: up_span.copy, lay, up: high, half: None });
        let group = Group { lower: below, upper: above, alike: Vec::new(), ear: true };
        Some((lower.clone(), upper.clone(), group))
    }

    /// A panel that was folded, and is joined to itself: the half with the first side of the seam
    /// lies above.
    fn folded(&self, span: Span, low: FaceSide, high: FaceSide) -> Option<(Sheet, Sheet, Group)> {
        let sheet = self.story.sheet(self.step, span.copy);
        let below = self.first(span.copy, low);
        let Some(line) = self.story.folded(self.step, span.copy) else {
            return Some((sheet, Vec::new(), Group::single(vec![below])));
        };
        let (a, b) = (line.from.to_mm(), line.to.to_mm());
        let (from, to) = ends(self.work.pattern, span);
        let upper_left = (b - a).cross(from.midpoint(to) - a) >= 0.0;
        let (above_half, below_half) = if upper_left { ((a, b), (b, a)) } else { ((b, a), (a, b)) };
        let lower = Lain { half: Some(below_half), ..below };
        let lay = below.lay * mirror(a, b);
        let upper = Lain { copy: span.copy, lay, up: high, half: Some(above_half) };
        let group = Group { lower: vec![lower], upper: vec![upper], alike: Vec::new(), ear: true };
        Some((sheet, Vec::new(), group))
    }

    /// The outline of a copy in the table's coordinates.
    fn outline(&self, lain: &Lain, folded_over: bool) -> Vec<Point> {
        let points = outline(self.work, lain.copy, VISIBLE / self.scale, folded_over);
        let whole: Vec<Point> = points.into_iter().map(|point| lain.lay * point).collect();
        match lain.half {
            Some((a, b)) => {
                let (a, b) = (lain.lay * a, lain.lay * b);
                // Mirrored, what was on the left is on the right.
                if lain.lay.determinant() < 0.0 {
                    left_of(&whole, b, a)
                } else {
                    left_of(&whole, a, b)
                }
            }
            None => whole,
        }
    }

    fn shapes(&self, lain: &[Lain]) -> Vec<Shape> {
        shapes(self.story, self.work, self.step, lain, VISIBLE / self.scale)
    }

    /// The box around a group on the table.
    fn extent(&self, group: &Group) -> Rect {
        let pair = !group.upper.is_empty();
        let panels = group.all().flat_map(|lain| self.outline(lain, pair));
        let riders =
            self.shapes(group.top()).into_iter().flat_map(|shape| shape.outlines).flatten();
        let mut points = panels.chain(riders);
        let first = points.next().unwrap_or_default();
        points.fold(Rect::from_points(first, first), |rect, point| rect.union_pt(point))
    }

    fn fitting(&self, groups: &[Group]) -> f64 {
        // At the scale of one the allowances are as wide as they are; what is added later is small.
        let frames: Vec<Rect> = groups.iter().map(|group| self.extent(group)).collect();
        let wide: f64 = frames.iter().map(Rect::width).sum();
        let high = frames.iter().map(Rect::height).fold(1.0, f64::max);
        let gaps = 6.0 * (groups.len() - 1) as f64;
        let tall = if self.story.shows_stages(self.step) { ROOM.1 * 0.75 } else { ROOM.1 };
        ((ROOM.0 - gaps) / wide.max(1.0)).min(tall / high).min(LARGEST)
    }

    /// Draws one group.
    fn group(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let pair = !group.upper.is_empty();
        for lain in &group.lower {
            self.panel(board, lain, pair, to_paper);
        }
        if group.ear {
            self.eared(board, group, to_paper);
        } else {
            for lain in &group.upper {
                self.panel(board, lain, pair, to_paper);
            }
        }
        for lain in group.top() {
            self.notches(board, lain, to_paper);
            self.old_seams(board, lain, pair, to_paper);
            if !pair {
                self.gaps(board, lain, to_paper);
            }
        }
        self.riders(board, group, to_paper);
        self.stitched(board, group, to_paper);
        self.seams(board, group, to_paper);
        self.rows(board, group, to_paper);
        self.cuts_and_folds(board, group, to_paper);
        self.names(board, group, to_paper);
    }

    fn panel(&self, board: &mut Board, lain: &Lain, pair: bool, to_paper: Affine) {
        let points = self.outline(lain, pair).into_iter().map(|point| to_paper * point);
        let fill = lain.fill(self.work.pattern, to_paper);
        board.layer("work").shape(closed(points), fill, Some(LineKind::Edge));
    }
}

/// Whether nothing is laid on anything.
fn is_no_place(event: &Event) -> bool {
    !matches!(event, Event::Placed { .. })
}

/// The box around points.
pub(super) fn bounds(mut points: impl Iterator<Item = Point>) -> Rect {
    let first = points.next().unwrap_or_default();
    points.fold(Rect::from_points(first, first), |rect, point| rect.union_pt(point))
}
