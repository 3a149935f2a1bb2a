//! Steps on the table: panels spread out, or laid on each other, with what is new on them.

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
        let to_paper =
            Affine::translate(Vec2::new(right - frame.x0 * flat.scale, frame.y1 * flat.scale))
                * Affine::new([flat.scale, 0.0, 0.0, -flat.scale, 0.0, 0.0]);
        flat.group(board, group, to_paper);
        right += frame.width() * flat.scale + 6.0;
    }
    flat.tools(board);
    flat.measures(board);
    flat.said
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
                groups[index].alike.extend(name);
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
        let wrong = self.story.is_wrong_out(self.work, copy);
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

    /// Something flat before and after it is turned.
    fn turned(mut self, board: &mut Board, body: CopyId) -> Vec<String> {
        let sheet = self.story.sheet(self.step, body);
        let sides =
            [(self.story.before(self.step), "wrong side out"), (self.work, "right side out")];
        let mut x = 0.0;
        for (index, (work, says)) in sides.into_iter().enumerate() {
            self.work = work;
            let wrong = self.story.is_wrong_out(work, body);
            let up = if wrong { FaceSide::Wrong } else { FaceSide::Right };
            let lain = spread(self.story.before(self.step), &sheet, self.first(sheet[0], up));
            let group = Group::single(lain);
            self.scale = 1.0;
            let frame = self.extent(&group);
            let tall = (ROOM.1 - 8.0) / frame.height().max(1.0);
            self.scale = (33.0 / frame.width().max(1.0)).min(tall).min(LARGEST);
            let frame = self.extent(&group);
            let left = Vec2::new(x - frame.x0 * self.scale, frame.y0 * self.scale);
            let to_paper = Affine::translate(left)
                * Affine::new([self.scale, 0.0, 0.0, -self.scale, 0.0, 0.0]);
            for it in &group.lower {
                self.panel(board, it, false, to_paper);
                self.old_seams(board, it, false, to_paper);
                self.gaps(board, it, to_paper);
            }
            let wide = frame.width() * self.scale;
            caption(board, Point::new(x + wide / 2.0, 4.5), wide.max(26.0), says);
            if index == 0 {
                let y = -frame.height() * self.scale * 0.55;
                board.arrow(Point::new(wide + 1.5, y), Point::new(wide + 8.5, y), 2.0);
            }
            x += wide.max(24.0) + 11.0;
        }
        let name = self.work.pattern.copy(body).name.clone();
        self.said.push(format!(
            "Left, the {name} wrong side out, its opening between bars; right, turned right side out."
        ));
        self.said
    }

    /// Openings that a step before has left, between bars.
    fn gaps(&self, board: &mut Board, lain: &Lain, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(lain.copy).net;
        for edge in 0..net.edge_count() {
            for it in self.work.stretches(lain.copy, edge) {
                if !matches!(it.edging, Edging::Gap(_)) {
                    continue;
                }
                for along in [it.from, it.to] {
                    let way = net.edge(edge).direction_along(along);
                    let inwards = Vec2::new(-way.y, way.x) / self.scale * 1.6;
                    let foot = net.point_along(edge, along).to_mm();
                    let bar = [foot - inwards, foot + inwards].map(|at| to_paper * (lain.lay * at));
                    board.layer("new").line(bar, LineKind::New);
                }
            }
        }
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

    /// The upper panels, a corner turned back.
    fn eared(&self, board: &mut Board, group: &Group, to_paper: Affine) {
        let outlines: Vec<(Lain, Vec<Point>)> = group
            .upper
            .iter()
            .map(|lain| {
                let points = self.outline(lain, true);
                (*lain, points.into_iter().map(|point| to_paper * point).collect())
            })
            .collect();
        let frame = bounds(outlines.iter().flat_map(|(_, points)| points.iter().copied()));
        let size = (frame.width().min(frame.height()) * 0.3).clamp(3.0, 11.0);
        let Some(corner) = self.free_corner(&outlines, frame) else { return };
        let middle = frame.center();
        let way = Vec2::new((middle.x - corner.x).signum(), (middle.y - corner.y).signum());
        let (a, b) = (corner + Vec2::new(way.x * size, 0.0), corner + Vec2::new(0.0, way.y * size));
        // The line runs so that the middle is on its left.
        let (a, b) = if (b - a).cross(middle - a) >= 0.0 { (a, b) } else { (b, a) };
        for (lain, points) in &outlines {
            let fill = lain.fill(self.work.pattern, to_paper);
            board.layer("work").shape(closed(points.iter().copied()), fill, Some(LineKind::Edge));
        }
        // What the ear uncovers, over whatever is drawn there of the upper panels.
        let below =
            group.lower.first().map_or(Fill::Paper, |it| it.fill(self.work.pattern, to_paper));
        for (_, points) in &outlines {
            let bare = left_of(points, b, a);
            board.layer("ear").shape(closed(bare), below, Some(LineKind::Edge));
        }
        for (lain, points) in &outlines {
            let ear: Vec<Point> =
                left_of(points, b, a).into_iter().map(|point| mirror(a, b) * point).collect();
            if ear.len() < 3 {
                continue;
            }
            let up = match lain.up {
                FaceSide::Right => FaceSide::Wrong,
                FaceSide::Wrong => FaceSide::Right,
            };
            let back = Lain { up, ..*lain };
            let fill = back.fill(self.work.pattern, mirror(a, b) * to_paper);
            board.layer("ear").shape(closed(ear), fill, Some(LineKind::Edge));
        }
    }

    /// The corner of the upper panels at which the least is sewn.
    fn free_corner(&self, outlines: &[(Lain, Vec<Point>)], frame: Rect) -> Option<Point> {
        let corners = [
            Point::new(frame.x1, frame.y0),
            Point::new(frame.x0, frame.y0),
            Point::new(frame.x1, frame.y1),
            Point::new(frame.x0, frame.y1),
        ];
        let nearest = |corner: Point| {
            let points = outlines.iter().flat_map(|(_, points)| points.iter().copied());
            points.min_by(|a, b| length_of(*a - corner).total_cmp(&length_of(*b - corner)))
        };
        // Sewn edges, by where their middle is, count for the corners near them.
        let sewn = |corner: Point| -> usize {
            let mut count = 0;
            for (lain, _) in outlines {
                let net = &self.work.pattern.piece_of(lain.copy).net;
                for edge in 0..net.edge_count() {
                    let joined = self
                        .work
                        .stretches(lain.copy, edge)
                        .iter()
                        .any(|it| matches!(it.edging, Edging::Joined(_) | Edging::Gap(_)));

                    let (from, to) = (net.edge(edge).start().to_mm(), net.edge(edge).end().to_mm());

                    let on_table = |point: Point| self.to_corner(lain, point, frame);
                    if joined
                        && (on_table(from) == index_of(corner, frame)
                            || on_table(to) == index_of(corner, frame))
                    {
                        count += 1;
                    }
                }
            }
            count
        };
        let best = corners.into_iter().min_by_key(|corner| sewn(*corner))?;
        nearest(best)
    }

    /// Which corner of the frame a point of a copy is nearest to.
    fn to_corner(&self, lain: &Lain, point: Point, frame: Rect) -> usize {
        let on_table = lain.lay * point;
        let all = self.outline(lain, true);
        let own = bounds(all.into_iter());
        let (x, y) = ((on_table.x - own.center().x), -(on_table.y - own.center().y));
        index_of(frame.center() + Vec2::new(x, y), frame)
    }

    /// Notches of raw edges.
    fn notches(&self, board: &mut Board, lain: &Lain, to_paper: Affine) {
        let piece = self.work.pattern.piece_of(lain.copy);
        for mark in &piece.marks {
            let MarkShape::Notch { edge, along } = mark.shape else { continue };
            let raw = self.work.stretches(lain.copy, edge).iter().all(|it| {
                matches!(it.edging, Edging::Raw | Edging::Basted(..) | Edging::Joined(_))
            });
            if !raw || !is_seen(self.work, lain.copy, edge, true) {
                continue;
            }
            let way = piece.net.edge(edge).direction_along(along);
            let inwards = Vec2::new(-way.y, way.x);
            let allowance = self.seen_allowance(lain.copy, edge);
            let foot = piece.net.point_along(edge, along).to_mm() - inwards * allowance;
            let at = to_paper * (lain.lay * foot);
            let step = to_paper * (lain.lay * (foot + inwards)) - at;
            marks::notch(board.layer("work"), at, step / length_of(step).max(1e-9));
        }
    }

    /// How wide an allowance is drawn, in mm of cloth.
    fn seen_allowance(&self, copy: CopyId, edge: usize) -> f64 {
        let edges = &self.work.pattern.piece_of(copy).edges;
        let allowance = edges.get(edge).map_or(0.0, |it| it.allowance.to_mm());
        if allowance > 0.0 { allowance.max(VISIBLE / self.scale) } else { 0.0 }
    }

    /// Seams of steps before, where their stitches can be seen.
    fn old_seams(&self, board: &mut Board, lain: &Lain, pair: bool, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(lain.copy).net;
        for edge in 0..net.edge_count() {
            for it in self.work.stretches(lain.copy, edge) {
                let old = matches!(it.edging, Edging::Joined(step) if step < self.step);
                if old && is_seen(self.work, lain.copy, edge, pair) {
                    let span = Span { copy: lain.copy, edge, from: it.from, to: it.to };
                    self.path(board, "work", lain, span, 0.0, LineKind::Sewn, to_paper);
                }
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one line of a drawing has as many properties")]
    fn path(
        &self,
        board: &mut Board,
        layer: &str,
        lain: &Lain,
        span: Span,
        inset: f64,
        kind: LineKind,
        to_paper: Affine,
    ) -> Vec<Point> {
        let points: Vec<Point> = along(self.work.pattern, span, inset)
            .into_iter()
            .map(|point| to_paper * (lain.lay * point))
            .collect();
        board.layer(layer).line(points.iter().copied(), kind);
        points
    }

    /// What lies on the panels, new things outlined boldly.
    fn riders(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let host = self.true_box(group.top());
        for shape in self.shapes(group.top()) {
            let new = self
                .story
                .news(self.step)
                .any(|event| matches!(event, Event::Placed { what, .. } if *what == shape.what));
            let as_lain = Lain { copy: shape.what, lay: shape.lay, up: shape.up, half: None };
            let fill = as_lain.fill(self.work.pattern, to_paper);
            let line = if new { LineKind::New } else { LineKind::Edge };
            for outline in &shape.outlines {
                let points: Vec<Point> = outline.iter().map(|point| to_paper * *point).collect();
                board.layer("riders").shape(closed(points), fill, Some(line));
            }
            let frame = to_paper.transform_rect_bbox(shape.true_box);
            if new {
                let name = self.work.pattern.copy(shape.what).name.clone();
                let at = shape.outlines.first().map_or(frame.center(), |outline| {
                    let all = bounds(outline.iter().map(|point| to_paper * *point));
                    let top = outline.iter().map(|point| to_paper * *point);
                    let right =
                        top.filter(|it| it.y < all.center().y).max_by(|a, b| a.x.total_cmp(&b.x));
                    right.unwrap_or(all.center())
                });
                board.label(at, name.clone());
                let side = shape.up.words();
                self.said.push(format!("The {name} lies on it, {side} up."));
                if self.shown.tools.contains(&Tool::Pins) {
                    for (x, way) in [(frame.x0, 1.0), (frame.x1, -1.0)] {
                        for y in [0.3, 0.7] {
                            let at = Point::new(x, frame.y0 + frame.height() * y);
                            icons::pin(board.layer("tools"), at, Vec2::new(way, 0.0));
                        }
                    }
                }
                self.rider_spans(&shape, host, to_paper);
            }
            self.held(board, &shape, group, to_paper);
        }
    }

    /// Stitches of steps before that hold what lies there.
    fn held(&self, board: &mut Board, shape: &Shape, group: &Group, to_paper: Affine) {
        for event in self.story.past(self.step) {
            let Event::Stitched { what, onto, lines, .. } = event else { continue };
            let Some(host) = group.top().iter().find(|it| it.copy == *onto) else { continue };
            if what.contains(&shape.what) {
                for line in lines {
                    let ends = [line.from, line.to].map(|at| to_paper * (host.lay * at.to_mm()));
                    board.layer("riders").line(ends, LineKind::Sewn);
                }
            }
        }
    }

    /// Lines stitched through panels in this step.
    fn stitched(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let host_box = self.true_box(group.top());
        for event in self.story.news(self.step) {
            let Event::Stitched { what, onto, lines, .. } = event else { continue };
            let Some(host) = group.top().iter().find(|it| it.copy == *onto) else { continue };
            let on_table: Vec<(Point, Point, Length)> = lines
                .iter()
                .map(|line| {
                    let ends = [line.from, line.to].map(|at| host.lay * at.to_mm());
                    (ends[0], ends[1], line.from.distance(line.to))
                })
                .collect();
            for (a, b, _) in &on_table {
                let (a, b) = (to_paper * *a, to_paper * *b);
                let short = length_of(b - a) < 7.0;
                board
                    .layer("new")
                    .line([a, b], if short { LineKind::Edge } else { LineKind::Sewing });
            }
            let held = self.shapes(group.top()).into_iter().find(|it| what.contains(&it.what));
            self.line_spans(&on_table, held.map(|it| it.true_box), host_box, to_paper);
            if !lines.is_empty() {
                let names: Vec<String> = what.iter().map(|copy| self.story.the(*copy)).collect();
                let through =
                    if names.is_empty() { self.story.the(*onto) } else { names.join(", ") };
                self.said.push(format!("New: stitches through {through}, {} lines.", lines.len()));
            }
        }
    }

    /// Seams sewn in this step.
    fn seams(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let mut pinned = false;
        let events: Vec<Event> = self.story.news(self.step).cloned().collect();
        for event in &events {
            let (runs, gaps, allowance): (Vec<&Run>, &[Gap], Length) = match event {
                Event::Joined { sides, gaps, allowance, .. } => {
                    let upper = |run: &&Run| {
                        run.spans.iter().any(|span| {
                            let (a, b) = ends(self.work.pattern, *span);
                            let here = |it: &Lain| it.copy == span.copy && it.covers(a.midpoint(b));
                            group.top().iter().any(here)
                        })
                    };
                    (sides.iter().filter(upper).take(1).collect(), gaps, allowance[0])
                }
                Event::Hemmed { run, takes } => (vec![run], &[], *takes),
                _ => continue,
            };
            for run in runs {
                let mut before = Length::ZERO;
                let last = run.spans.len().saturating_sub(1);
                for (index, span) in run.spans.iter().enumerate() {
                    let Some(lain) = group.top().iter().find(|it| it.copy == span.copy).copied()
                    else {
                        before += span.length();
                        continue;
                    };
                    for (part, open) in parts(*span, before, gaps) {
                        if open {
                            self.opening(board, &lain, part, to_paper);
                            continue;
                        }
                        let line =
                            self.path(board, "new", &lain, part, 0.0, LineKind::Sewing, to_paper);
                        self.seam_span(&lain, part, allowance, to_paper);
                        let pins = self.shown.tools.contains(&Tool::Pins) && !pinned;
                        if pins
                            && line.len() > 1
                            && length_of(line[line.len() - 1] - line[0]) > 16.0
                        {
                            self.pins(board, &lain, part, to_paper);
                        }
                        let ends = (
                            index == 0 && part.from == span.from,
                            index == last && part.to == span.to,
                        );
                        if !run.closed || !gaps.is_empty() {
                            backstitch(
                                board,
                                &line,
                                (ends.0 || !gaps.is_empty(), ends.1 || !gaps.is_empty()),
                            );
                        }
                    }
                    before += span.length();
                    let name = self.work.pattern.piece_of(span.copy).edges[span.edge].name.clone();
                    let sentence = format!(
                        "New: the {} is sewn, {} from its edge.",
                        name,
                        self.story.show(allowance)
                    );
                    if !self.said.contains(&sentence) {
                        self.said.push(sentence);
                    }
                }
                pinned = false;
            }
        }
    }

    fn pins(&self, board: &mut Board, lain: &Lain, part: Span, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        for quarter in [1, 2, 3] {
            let at = part.from + (part.to - part.from) * quarter / 4 + (part.to - part.from) / 16;
            let way = net.edge(part.edge).direction_along(at);
            let inwards = Vec2::new(-way.y, way.x);
            let edge = net.point_along(part.edge, at).to_mm();
            let foot = edge - inwards * self.seen_allowance(part.copy, part.edge);
            let on_paper = to_paper * (lain.lay * foot);
            let step = to_paper * (lain.lay * (foot + inwards)) - on_paper;
            icons::pin(board.layer("tools"), on_paper, step / length_of(step).max(1e-9));
        }
    }

    /// A stretch that stays open, between bars.
    fn opening(&mut self, board: &mut Board, lain: &Lain, part: Span, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        for along in [part.from, part.to] {
            let way = net.edge(part.edge).direction_along(along);
            let inwards = Vec2::new(-way.y, way.x) / self.scale * 2.0;
            let foot = net.point_along(part.edge, along).to_mm();
            let bar = [foot - inwards, foot + inwards].map(|at| to_paper * (lain.lay * at));
            board.layer("new").line(bar, LineKind::New);
        }
        let (a, b) = ends(self.work.pattern, part);
        let (a, b) = (to_paper * (lain.lay * a), to_paper * (lain.lay * b));
        board.label(a.midpoint(b), format!("open: {}", self.story.show(part.length())));
        self.said.push(format!("Open between the bars: {}.", self.story.show(part.length())));
    }

    /// The distance from a seam to its edge, for the measures.
    fn seam_span(&mut self, lain: &Lain, part: Span, allowance: Length, to_paper: Affine) {
        let net = &self.work.pattern.piece_of(part.copy).net;
        let at = part.from + (part.to - part.from) / 3;
        let way = net.edge(part.edge).direction_along(at);
        let out = Vec2::new(way.y, -way.x) * self.seen_allowance(part.copy, part.edge);
        let foot = net.point_along(part.edge, at).to_mm();
        let (a, b) = (to_paper * (lain.lay * foot), to_paper * (lain.lay * (foot + out)));
        self.spans.push((a, b, allowance));
    }

    /// Rows beside edges.
    fn rows(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let shown = self.shown;
        for row in &shown.rows {
            let (spans, from_cut) = self.spans_of(group, &row.beside);
            for span in spans {
                let Some(lain) = self.lain_of(group, span.copy) else { continue };
                let seen = if from_cut { self.seen_allowance(span.copy, span.edge) } else { 0.0 };
                let inset = match row.kind {
                    RowKind::Overcast | RowKind::Binding => 0.0,
                    RowKind::Cord => ROW * 2.0 / self.scale,
                    RowKind::Stitch | RowKind::Baste => {
                        row.from.to_mm().max(ROW * 0.6 / self.scale)
                    }
                };
                let kind = match row.kind {
                    RowKind::Overcast | RowKind::Binding | RowKind::Cord => LineKind::New,
                    RowKind::Stitch | RowKind::Baste => LineKind::Sewing,
                };
                let points = self.path(board, "new", &lain, span, inset - seen, kind, to_paper);
                if row.kind == RowKind::Overcast {
                    zigzag(board, &points);
                }
                let edge = along(self.work.pattern, span, -seen);
                let middle = |points: &[Point]| {
                    points[points.len() / 2].lerp(points[points.len() / 2 - 1], 0.35)
                };
                let foot = middle(&edge);
                let near = to_paper * (lain.lay * foot);
                let inner = middle(&points);
                self.spans.push((inner, near, row.from));
            }
        }
        if let Some(row) = shown.rows.first() {
            let what = match row.kind {
                RowKind::Stitch => "a row of stitches",
                RowKind::Baste => "basting",
                RowKind::Overcast => "overcasting over the raw edges",
                RowKind::Binding => "a binding over the raw edges",
                RowKind::Cord => "a cord in the casing",
            };
            let sentence = format!("New: {what}.");
            if !self.said.contains(&sentence) {
                self.said.push(sentence);
            }
        }
    }

    /// How a copy lies, also when it lies on a panel of the group.
    fn lain_of(&self, group: &Group, copy: CopyId) -> Option<Lain> {
        if let Some(lain) = group.top().iter().find(|it| it.copy == copy) {
            return Some(*lain);
        }
        let shape = self.shapes(group.top()).into_iter().find(|it| it.what == copy)?;
        let lain = Lain { copy, lay: shape.lay, up: shape.up, half: None };
        shape.feet.is_empty().then_some(lain)
    }

    /// The stretches that a row runs beside, and whether it is measured from the cut edge.
    fn spans_of(&self, group: &Group, beside: &Along) -> (Vec<Span>, bool) {
        let whole = |copy: CopyId, edge: usize| {
            let to = self.work.pattern.piece_of(copy).net.edge_length(edge);
            Span { copy, edge, from: Length::ZERO, to }
        };
        match beside {
            Along::Raw(run) => (run.spans.clone(), true),
            Along::Mouth(_) => (Vec::new(), false),
            Along::Seam(copies) => {
                let of = |copy: &&CopyId| group.holds(**copy);
                let mut spans = Vec::new();
                for copy in copies.iter().filter(of) {
                    let glue = self
                        .work
                        .glues
                        .iter()
                        .rev()
                        .find(|it| it.a.copy == *copy || it.b.copy == *copy);
                    spans.extend(glue.map(|it| if it.a.copy == *copy { it.a } else { it.b }));
                }
                (spans, false)
            }
            Along::Finished(copies, what) => {
                let mut spans = Vec::new();
                for copy in copies {
                    let piece = self.work.pattern.piece_of(*copy);
                    let named = piece.edges.iter().position(|edge| what.contains(&edge.name));
                    let height = |edge: &usize| {
                        let it = piece.net.edge(*edge);
                        it.start().to_mm().y + it.end().to_mm().y
                    };
                    let top = (0..piece.net.edge_count())
                        .max_by(|a, b| height(a).total_cmp(&height(b)))
                        .unwrap_or(0);
                    spans.push(whole(*copy, named.unwrap_or(top)));
                }
                (spans, false)
            }
        }
    }

    /// Snips, folds and places where something is fastened.
    fn cuts_and_folds(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let place = |copy: CopyId, at: measure::Point| {
            let lain = group.top().iter().find(|it| it.copy == copy)?;
            Some(to_paper * (lain.lay * at.to_mm()))
        };
        let shown = self.shown;
        let mut cut = None;
        for (copy, line) in &shown.snips {
            if let (Some(a), Some(b)) = (place(*copy, line.from), place(*copy, line.to)) {
                board.layer("new").line([a, b], LineKind::New);
                self.spans.push((a, b, line.from.distance(line.to)));
                cut = cut.or(Some((a, b)));
            }
        }
        if let (Some((a, b)), true) = (cut, shown.tools.contains(&Tool::Scissors)) {
            let way = (b - a) / length_of(b - a).max(1e-9);
            icons::scissors(board.layer("tools"), a, way);
            let leave = shown.measures.first().copied().unwrap_or(Length::ZERO);
            if !self.spans.iter().any(|(.., known)| *known == leave) {
                self.spans.push((a.midpoint(b), a.midpoint(b), leave));
            }
            self.said.push(format!("New: {} cuts.", shown.snips.len()));
        }
        for (copy, line) in &shown.folds {
            self.fold(board, *copy, line, &place);
        }
        if let Some(lain) = group.lower.first()
            && let sheet = self.story.sheet(self.step, lain.copy)
            && let Some(Folded::Now(front)) = self.story.folded_over(self.step, &sheet)
        {
            self.press_over(board, group, front, to_paper);
        }
        for (copy, at) in &shown.spots {
            if let Some(at) = place(*copy, *at) {
                board.layer("new").shape(marks::dot(at, 1.6), Fill::Paper, Some(LineKind::New));
                marks::cross(board.layer("new"), at);
                self.said.push(format!("New: a fastening on {}.", self.story.the(*copy)));
            }
        }
    }

    /// An arrow from the panel that goes to the back, over the seam.
    fn press_over(&mut self, board: &mut Board, group: &Group, front: CopyId, to_paper: Affine) {
        let middle = |stays: bool| {
            let of = group.lower.iter().filter(|it| (it.copy == front) == stays);
            bounds(of.flat_map(|it| self.outline(it, false)).map(|point| to_paper * point)).center()
        };
        let (from, to) = (middle(false), middle(true));
        board.arrow(from, from.lerp(to, 0.8), 7.0);
        self.said.push("New: the one is folded behind the other along the seam.".to_owned());
    }

    fn fold(
        &mut self,
        board: &mut Board,
        copy: CopyId,
        line: &Line,
        place: &impl Fn(CopyId, measure::Point) -> Option<Point>,
    ) {
        let (Some(a), Some(b)) = (place(copy, line.from), place(copy, line.to)) else { return };
        board.layer("new").line([a, b], LineKind::Fold);
        let step = b - a;
        let aside = Vec2::new(-step.y, step.x) / length_of(step).max(1e-9);
        let reach = (length_of(step) * 0.4).clamp(6.0, 16.0);
        let middle = a.lerp(b, 0.3);
        board.arrow(middle + aside * reach, middle - aside * reach, reach * 0.5);
        self.said.push(format!("New: {} is folded along the line.", self.story.the(copy)));
    }

    /// Names of the panels, with the side that is up.
    fn names(&mut self, board: &mut Board, group: &Group, to_paper: Affine) {
        let pair = !group.upper.is_empty();
        let frame = |lain: &[Lain]| {
            bounds(lain.iter().flat_map(|it| self.outline(it, pair)).map(|point| to_paper * point))
        };
        let name = |lain: &[Lain]| {
            let names: Vec<String> =
                lain.iter().map(|it| self.work.pattern.copy(it.copy).name.clone()).collect();
            format!("{}, {} up", names.join(" and "), lain[0].up.words())
        };
        let own = frame(group.top());
        let whole = name(group.top());
        let at = Point::new(own.x0 + own.width() * 0.72, own.y0 + own.height() * 0.62);
        if pair {
            board.label(at, whole.clone());
            let below = frame(&group.lower);
            let at = Self::uncovered(below, own);
            let under = name(&group.lower);
            board.label(at, format!("below: {under}"));
            self.said.insert(0, format!("The {whole}, lies on the {under}."));
        } else {
            board.label(at, whole.clone());
            self.said.insert(0, format!("The {whole}."));
        }
        if !group.alike.is_empty() {
            let alike = group.alike.join(" and ");
            let at = Point::new(own.x0 + own.width() * 0.6, own.y1 - own.height() * 0.2);
            board.label(at, format!("{alike}: the same"));
            self.said.push(format!("The same is done with {alike}."));
        }
    }

    /// A point of the lower panels that the upper ones leave free.
    fn uncovered(below: Rect, above: Rect) -> Point {
        if below.y1 > above.y1 + 6.0 {
            return Point::new(below.center().x, (below.y1 + above.y1) / 2.0);
        }
        if below.y0 < above.y0 - 6.0 {
            return Point::new(below.center().x, (below.y0 + above.y0) / 2.0);
        }

        // Where the ear is turned back.
        Point::new(above.x1 - 1.4, above.y0 + 1.2)
    }

    /// The box of the cut edges of panels on the table, true to their measures.
    fn true_box(&self, lain: &[Lain]) -> Rect {
        bounds(lain.iter().flat_map(|it| {
            let points = outline(self.work, it.copy, 0.0, false);
            points.into_iter().map(|point| it.lay * point).collect::<Vec<_>>()
        }))
    }

    /// Distances of something laid on a panel that a sentence may name.
    fn rider_spans(&mut self, shape: &Shape, host: Rect, to_paper: Affine) {
        let own = shape.true_box;
        let middle = own.center();
        let mut add = |a: (f64, f64), b: (f64, f64)| {
            let (a, b) = (Point::from(a), Point::from(b));
            let long = Length::from_mm_f64(length_of(b - a));
            self.spans.push((to_paper * a, to_paper * b, long));
        };
        let (x, y) = (own.x0 + own.width() * 0.25, own.y0 + own.height() * 0.4);
        if shape.feet.is_empty() {
            add((x, own.y1), (x, host.y1));
            add((x, own.y0), (x, host.y0));
            add((own.x0, y), (host.x0, y));
            add((own.x1, y), (host.x1, y));
            add((own.x0, middle.y), (own.x1, middle.y));
            add((x, own.y0), (x, own.y1));
        }
        if let [left, right] = shape.feet.as_slice() {
            let up = (host.y0 + host.y1) / 2.0;
            add((host.center().x, up), (right.x, up));
            let lower = host.y0 + host.height() * 0.3;
            add((left.x, lower), (right.x, lower));
            add((left.x, left.y), (left.x, host.y1));
            add((left.x, left.y), (left.x, host.y0));
        }
    }

    /// Distances of stitched lines that a sentence may name.
    fn line_spans(
        &mut self,
        lines: &[(Point, Point, Length)],
        held: Option<Rect>,
        host: Rect,
        to_paper: Affine,
    ) {
        let mut add = |a: Point, b: Point| {
            let long = Length::from_mm_f64(length_of(b - a));
            self.spans.push((to_paper * a, to_paper * b, long));
        };
        let mut uprights: Vec<f64> =
            lines.iter().filter(|(a, b, _)| (a.x - b.x).abs() < 0.01).map(|(a, ..)| a.x).collect();
        if let Some(own) = held {
            uprights.extend([own.x0, own.x1]);
        }
        uprights.sort_by(f64::total_cmp);
        let level = lines.first().map_or(0.0, |(a, b, _)| a.y.min(b.y) + (a.y - b.y).abs() * 0.35);
        for pair in uprights.windows(2) {
            add(Point::new(pair[0], level), Point::new(pair[1], level));
        }
        for (a, b, _) in lines {
            let top = if a.y >= b.y { *a } else { *b };
            add(top, Point::new(top.x, host.y1));
            add(*a, *b);
            if let Some(own) = held {
                let low = if a.y < b.y { *a } else { *b };
                add(low, Point::new(low.x, own.y0));
                add(Point::new(top.x, level), Point::new(own.x1, level));
            }
        }
    }

    /// Tools that belong to the whole picture.
    fn tools(&mut self, board: &mut Board) {
        let frame = board.frame();
        if self.shown.tools.contains(&Tool::Iron) {
            icons::iron(
                board.layer("tools"),
                Point::new(frame.center().x, frame.y1 - frame.height() * 0.16),
            );
            self.said.push("It is pressed with an iron.".to_owned());
        }
    }

    /// The measures of the sentence, where the picture has what they measure.
    fn measures(&mut self, board: &mut Board) {
        let near = Length::mm(1).half();
        let mut known: Vec<String> = Vec::new();
        for measure in &self.shown.measures {
            let text = self.story.show(*measure);
            if known.contains(&text) || *measure == Length::ZERO {
                continue;
            }
            let found = self.spans.iter().find(|(.., length)| (*length - *measure).abs() <= near);
            let Some((a, b, _)) = found else { continue };
            pointed(board, *a, *b);
            board.label(a.midpoint(*b), text.clone());
            known.push(text);
        }
        if !known.is_empty() {
            self.said.push(format!("Measures shown: {}.", known.join(", ")));
        }
    }
}

/// A distance between two points, with arrowheads where there is room.
fn pointed(board: &mut Board, a: Point, b: Point) {
    let step = b - a;
    let long = length_of(step);
    if long < 4.5 {
        return;
    }
    let unit = step / long;
    let layer = board.layer("measures");
    layer.line([a, b], LineKind::Dimension);
    marks::arrowhead(layer, a, unit * -1.0);
    marks::arrowhead(layer, b, unit);
}

/// Backstitching at the ends of a row: the stitches run double there.
fn backstitch(board: &mut Board, line: &[Point], ends: (bool, bool)) {
    let mut at = |from: Point, toward: Point| {
        let step = toward - from;
        let unit = step / length_of(step).max(1e-9);
        board.layer("new").line([from, from + unit * 2.4], LineKind::New);
    };
    if line.len() < 2 || length_of(line[line.len() - 1] - line[0]) < 6.0 {
        return;
    }
    if ends.0 {
        at(line[0], line[1]);
    }
    if ends.1 {
        at(line[line.len() - 1], line[line.len() - 2]);
    }
}

/// Zigzag stitches over an edge.
fn zigzag(board: &mut Board, line: &[Point]) {
    for pair in line.windows(2) {
        let step = pair[1] - pair[0];
        let long = length_of(step);
        let unit = step / long.max(1e-9);
        let aside = Vec2::new(-unit.y, unit.x);
        let count = (long / 1.2).floor().max(1.0);
        let points = (0..=(count as u32)).map(|index| {
            let side = if index % 2 == 0 { 0.0 } else { 1.2 };
            pair[0] + unit * (long * f64::from(index) / count) + aside * side
        });
        board.layer("new").line(points, LineKind::Dimension);
    }
}

/// A span cut at the gaps that lie on it; gaps are distances along the whole run.
fn parts(span: Span, before: Length, gaps: &[Gap]) -> Vec<(Span, bool)> {
    let long = span.length();
    let mut cuts = vec![Length::ZERO, long];
    for gap in gaps {
        for at in [gap.from - before, gap.to - before] {
            if at > Length::ZERO && at < long {
                cuts.push(at);
            }
        }
    }
    cuts.sort_unstable();
    cuts.dedup();
    cuts.windows(2)
        .map(|pair| {
            let middle = (pair[0] + pair[1]).half() + before;
            let open = gaps.iter().any(|gap| gap.from <= middle && middle <= gap.to);
            let at = |along: Length| {
                if span.from <= span.to { span.from + along } else { span.from - along }
            };
            (Span { from: at(pair[0]), to: at(pair[1]), ..span }, open)
        })
        .collect()
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

/// Which quarter of a box a point lies in.
fn index_of(point: Point, frame: Rect) -> usize {
    let middle = frame.center();
    usize::from(point.x > middle.x) + 2 * usize::from(point.y > middle.y)
}
