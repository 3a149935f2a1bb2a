//! Steps on what has become a bag: drawn in space.

use bag::assembly::{Assembly, Event};
use bag::operations::{Along, Shown, Tool};
use bag::pattern::{CopyId, Span};
use kurbo::{Point, Rect, Vec2};
use measure::Length;

use super::board::{Board, wrapped};
use super::story::Story;
use super::{ROOM, corner, icons};
use crate::body::{Body, Loops};
use crate::line::LineKind;
use crate::space::{Eye, Space};
use crate::text::{Text, size};

/// From how far to the right and above it is seen, in degrees; and from below, where the base
/// matters.
const VIEW: (f64, f64) = (28.0, 24.0);
const FROM_BELOW: (f64, f64) = (28.0, -24.0);
/// A row near the rim is drawn at least so far from it, in mm on paper.
const ROW: f64 = 1.6;

/// A body, and what lies in it.
pub(super) struct Nest<'s, 'p> {
    outer: Body<'s, 'p>,
    inner: Option<Body<'s, 'p>>,
    /// The inner one is seen whole: it stands out of the outer one.
    out: bool,
}

impl Nest<'_, '_> {
    fn extent(&self, eye: &Eye) -> Rect {
        let own = self.outer.extent(eye);
        match &self.inner {
            Some(inner) if self.out => own.union(inner.extent(eye)),
            _ => own,
        }
    }

    fn paint(&self, eye: &Eye, board: &mut Board) {
        self.outer.far(eye, board.layer("work"));
        self.zip(eye, board, false);
        if let Some(inner) = &self.inner {
            inner.far(eye, board.layer("work"));
            if self.out {
                inner.near(eye, board.layer("work"));
            }
        }
        self.outer.near(eye, board.layer("work"));
        self.zip(eye, board, true);
    }

    /// The zip between two edges of the outer one; what stands out of it comes up between these.
    fn zip(&self, eye: &Eye, board: &mut Board, near: bool) {
        if !self.out {
            self.outer.zip(eye, board.layer("work"), near);
        }
    }
}

/// Whether a step is drawn in space.
pub(super) fn is_spatial(story: &Story<'_>, step: usize) -> bool {
    let work = story.after(step);
    let copies = story.pattern.steps[step].operation.copies();
    let Some(copy) = copies.iter().find(|copy| story.is_bag(**copy)) else { return false };
    if story.folded_body(*copy).is_empty() {
        return false;
    }
    let flat = story.news(step).any(|event| match event {
        Event::Joined { sides, .. } => !sides[0].closed,
        Event::Placed { .. } => true,
        Event::Stitched { lines, .. } => !lines.is_empty(),
        Event::Hemmed { run, .. } => !run.closed,
        _ => false,
    });
    let shown = &story.shown[step];
    let rows = shown.rows.iter().any(|row| matches!(row.beside, Along::Raw(_)));
    let cuts = !shown.snips.is_empty() || !shown.folds.is_empty() || !shown.spots.is_empty();
    !flat && !rows && !cuts && !work.lies_flat(*copy)
}

/// Draws a step in space; returns what is to be seen, in sentences.
pub(super) fn draw(story: &Story<'_>, step: usize, board: &mut Board) -> Vec<String> {
    let copies = story.pattern.steps[step].operation.copies();
    let Some(copy) = copies.into_iter().find(|copy| story.is_bag(*copy)) else { return Vec::new() };
    let mut stand = Stand { story, step, copy, shown: &story.shown[step], said: Vec::new() };
    let mut done = false;
    for event in story.news(step) {
        done = match event {
            Event::Boxed { corners, tip, depth, .. } => {
                stand.boxed(board, corners, *tip, *depth);
                true
            }
            Event::DroppedIn { inner, outer, .. } => {
                stand.dropped(board, *inner, *outer);
                true
            }
            Event::Turned { .. } => {
                stand.turned(board);
                true
            }
            Event::Closed { closed, .. } => {
                stand.closed(board, closed);
                true
            }
            _ => continue,
        };
        break;
    }
    if !done {
        stand.at_the_mouth(board);
    }
    stand.said
}

struct Stand<'s, 'p> {
    story: &'s Story<'p>,
    step: usize,
    copy: CopyId,
    shown: &'s Shown,
    said: Vec<String>,
}

/// The eye that sees a nest in its room.
fn eye_for(nests: &[&Nest<'_, '_>], view: (f64, f64), room: (f64, f64)) -> Eye {
    let plain = Eye::new(view.0, view.1, 1.0);
    let seen = nests.iter().map(|nest| nest.extent(&plain)).reduce(|a, b| a.union(b));
    let seen = seen.unwrap_or_default();
    let scale = (room.0 / seen.width().max(1.0)).min(room.1 / seen.height().max(1.0)).min(0.6);
    Eye::new(view.0, view.1, scale)
}

/// Words below a part of the picture, centred.
pub(super) fn caption(board: &mut Board, at: Point, wide: f64, says: &str) {
    for (index, line) in wrapped(says, wide).into_iter().enumerate() {
        let at = at + Vec2::new(0.0, 3.9 * index as f64);
        board.layer("names").text(Text::new(line, at).sized(size::NOTE));
    }
}

impl<'s, 'p> Stand<'s, 'p> {
    fn body(&self, work: &'s Assembly<'p>, copy: CopyId) -> Body<'s, 'p> {
        Body::new(work, self.story.folded_body(copy))
    }

    /// The body of the step's copy, with what is in it, after the step or before it.
    fn nest(&self, work: &'s Assembly<'p>, step: usize) -> Nest<'s, 'p> {
        let dropped = work.events.iter().find_map(|(_, event)| match event {
            Event::DroppedIn { inner, outer, .. } => Some((*inner, *outer)),
            _ => None,
        });
        let meant = |(inner, outer): &(CopyId, CopyId)| {
            work.is_one_body(*inner, self.copy) || work.is_one_body(*outer, self.copy)
        };
        let Some((inner, outer)) = dropped.filter(meant) else {
            return self.hung(work, step);
        };
        let turned = work.events.iter().filter_map(|(at, event)| match event {
            Event::Turned { body, .. }
                if work.is_one_body(*body, inner) && work.is_one_body(*body, outer) =>
            {
                Some(*at)
            }
            _ => None,
        });
        // Only a turning after the rim was sewn turns both.
        let rim = work.events.iter().filter_map(|(at, event)| match event {
            Event::Joined { sides, .. } if sides[0].closed => Some(*at),
            _ => None,
        });
        let rim = rim.max().unwrap_or(usize::MAX);
        let Some(turned) = turned.filter(|at| *at > rim).max() else {
            let mut around = self.body(work, outer);
            around.wrong_out = true;
            let mut within = self.body(work, inner);
            within.stand_in(&around);
            let inner = Some(within).filter(|it| it.fits_in(&around));
            return Nest { outer: around, inner, out: false };
        };
        let mut bag = self.body(work, inner);
        bag.loops = Loops::Up;
        let mut lining = self.body(work, outer);
        if !lining.fits_in(&bag) {
            return Nest { outer: bag, inner: None, out: false };
        }
        let out = self.is_pulled_out(turned, step);
        lining.stand_in(&bag);
        if out {
            lining.on_head = true;
            bag.loops = Loops::Down;
        } else {
            lining.wrong_out = true;
        }
        Nest { outer: bag, inner: Some(lining), out }
    }

    /// Whether a lining still hangs out of its bag: when both are turned, and until its opening is
    /// closed.
    fn is_pulled_out(&self, turned: usize, step: usize) -> bool {
        let closes =
            |step: usize| self.story.news(step).any(|event| matches!(event, Event::Closed { .. }));
        turned == step || ((turned + 1..step).all(closes) && closes(step))
    }

    /// The body of the step's copy; when it is turned and its opening closed, with the lining that
    /// hangs from the same zip, pulled out of it.
    fn hung(&self, work: &'s Assembly<'p>, step: usize) -> Nest<'s, 'p> {
        let mut alone = self.body(work, self.copy);
        alone.wrong_out = self.story.is_wrong_out(work, self.copy);
        let turning = self.story.news(step).any(|event| matches!(event, Event::Turned { .. }));
        let turned = work.events.iter().filter_map(|(at, event)| match event {
            Event::Turned { body, .. } if work.is_one_body(*body, self.copy) => Some(*at),
            _ => None,
        });
        let turned = turned.max();
        let out = turning || turned.is_some_and(|turned| self.is_pulled_out(turned, step));
        let pattern = self.story.pattern;
        let layers = crate::folding::front_copy(pattern).zip(crate::folding::lining_over_zip(work));
        let Some((front, lining)) = layers.filter(|_| out) else {
            return Nest { outer: alone, inner: None, out: false };
        };
        let (mut bag, mut lining) = (self.body(work, front), self.body(work, lining));
        if !work.is_one_body(front, self.copy) || !lining.fits_in(&bag) {
            return Nest { outer: alone, inner: None, out: false };
        }
        bag.wrong_out = alone.wrong_out;
        lining.wrong_out = alone.wrong_out;
        bag.loops = Loops::Down;
        lining.stand_in(&bag);
        lining.on_head = true;
        Nest { outer: bag, inner: Some(lining), out: true }
    }

    fn name(&self, copy: CopyId) -> String {
        let names: Vec<String> = self
            .story
            .folded_copies(copy)
            .iter()
            .map(|copy| self.story.pattern.copy(*copy).name.clone())
            .collect();
        names.join(", ")
    }

    /// A corner that is boxed: where it is on the bag, and how it lies.
    fn boxed(
        &mut self,
        board: &mut Board,
        corners: &[Vec<bag::operations::Corner>],
        tip: Length,
        depth: Length,
    ) {
        let work = self.story.after(self.step);
        let mut nest = self.nest(work, self.step);
        nest.outer.loops = Loops::Hidden;
        let eye = eye_for(&[&nest], VIEW, (ROOM.0 - 8.0, ROOM.1 * 0.6));
        let ears = corner::ears(&nest.outer, &eye, corners, tip);
        for ear in ears.iter().filter(|ear| !ear.near) {
            ear.paint(&nest.outer, board);
        }
        nest.paint(&eye, board);
        for ear in ears.iter().filter(|ear| ear.near) {
            ear.paint(&nest.outer, board);
        }
        let frame = board.frame();
        let top = frame.y1 + 8.0;
        let copy = corners.iter().flatten().next().map_or(self.copy, |corner| corner.copy);
        corner::close_up(self.story, board, &self.shown.measures, (tip, depth), (top, copy));
        let wrong = if nest.outer.wrong_out { "wrong" } else { "right" };
        self.said.push(format!(
            "The bag of {} stands {wrong} side out; at each base corner the cloth sticks out as a \
             point. Below, one corner as it lies flat: the seam runs up its middle, and the new \
             stitches cross it {} from the tip, {} long.",
            self.name(self.copy),
            self.story.show(tip),
            self.story.show(depth),
        ));
    }

    /// One bag goes down into another.
    fn dropped(&mut self, board: &mut Board, inner: CopyId, outer: CopyId) {
        let work = self.story.after(self.step);
        let mut around = self.body(work, outer);
        around.wrong_out = self.story.is_wrong_out(work, outer);
        let mut within = self.body(work, inner);
        within.wrong_out = self.story.is_wrong_out(work, inner);
        within.stand_in(&around);
        within.shift = within.shift + Space::new(0.0, 0.0, around.size().2 * 0.72);
        let nest = Nest { outer: around, inner: Some(within), out: true };
        let eye = eye_for(&[&nest], VIEW, ROOM);
        nest.paint(&eye, board);
        let Some(within) = &nest.inner else { return };
        let frame = within.extent(&eye);
        let x = frame.x0 - 5.0;
        board.arrow(
            Point::new(x, frame.y0 + 4.0),
            Point::new(x, frame.y0 + frame.height() * 0.75),
            0.0,
        );
        let side = |wrong: bool| if wrong { "wrong side out" } else { "right side out" };
        let at = frame.origin() + Vec2::new(frame.width() * 0.7, frame.height() * 0.25);
        let front = |body: &Body<'_, '_>| {
            body.facets
                .first()
                .map_or_else(String::new, |it| self.story.pattern.copy(it.copy).name.clone())
        };
        board.label(at, format!("{}, {}", front(within), side(within.wrong_out)));
        let frame = nest.outer.extent(&eye);
        let at = frame.origin() + Vec2::new(frame.width() * 0.7, frame.height() * 0.75);
        board.label(at, format!("{}, {}", front(&nest.outer), side(nest.outer.wrong_out)));
        self.said.push(format!(
            "The bag of {} ({}) goes down into the bag of {} ({}).",
            self.name(inner),
            side(within.wrong_out),
            self.name(outer),
            side(nest.outer.wrong_out),
        ));
    }

    /// Before and after turning.
    fn turned(&mut self, board: &mut Board) {
        let before = self.nest(self.story.before(self.step), self.step);
        let after = self.nest(self.story.after(self.step), self.step);
        let opening = self.opening(self.story.before(self.step));
        // The opening of a lining that stands on its head is on top.
        let view = if opening.is_empty() || before.out { VIEW } else { FROM_BELOW };
        let room = (30.0, ROOM.1 - 8.0);
        let (first, second) = (eye_for(&[&before], view, room), eye_for(&[&after], VIEW, room));
        // One scale for both.
        let scale = first.scale.min(second.scale);
        let first = Eye::new(view.0, view.1, scale);
        let second = Eye::new(VIEW.0, VIEW.1, scale);
        let mut one = Board::new(crate::scene::Scene::new("part", "", ""), 0.0);
        before.paint(&first, &mut one);
        let mouth = self.gap_lines(&before, &first, &opening);
        for line in &mouth {
            one.layer("new").line(line.iter().copied(), LineKind::New);
        }
        let mut other = Board::new(crate::scene::Scene::new("part", "", ""), 0.0);
        after.paint(&second, &mut other);
        let (a, b) = (one.frame(), other.frame());
        let base = 0.0;
        let left = Vec2::new(-a.x0, base - a.y1);
        let right = Vec2::new(a.width() + 11.0 - b.x0, base - b.y1);
        board.take(one, left);
        board.take(other, right);
        let y = base - a.height().min(b.height()) * 0.5;
        board.arrow(Point::new(a.width() + 1.5, y), Point::new(a.width() + 9.0, y), 2.0);
        let through = if mouth.is_empty() { "its top edge" } else { "the opening" };
        let columns = [
            (0.0, a.width(), format!("wrong side out; turn it through {through}")),
            (a.width() + 11.0, b.width(), "right side out".to_owned()),
        ];
        for (x, wide, says) in columns {
            caption(board, Point::new(x + wide / 2.0, base + 3.0), wide.max(26.0), &says);
        }
        self.said.push(format!(
            "Left, the bag of {} before it is turned, wrong side out; right, turned right side out.",
            self.name(self.copy),
        ));
    }

    /// What the steps left open in the body of the step's copy.
    fn opening(&self, work: &Assembly<'_>) -> Vec<Span> {
        let gap = |span: &Span| {
            work.stretches(span.copy, span.edge).iter().any(|it| {
                it.from == span.from && matches!(it.edging, bag::assembly::Edging::Gap(_))
            })
        };
        work.open(self.copy).into_iter().filter(gap).collect()
    }

    /// The stretches of edges as they are seen on the facets.
    fn gap_lines(&self, nest: &Nest<'_, '_>, eye: &Eye, spans: &[Span]) -> Vec<Vec<Point>> {
        let mut lines = Vec::new();
        let bodies = [Some(&nest.outer), nest.inner.as_ref()];
        for body in bodies.into_iter().flatten() {
            for span in spans {
                let (a, b) = super::table::ends(self.story.pattern, *span);
                let middle = a.midpoint(b);
                let facet = body
                    .facets
                    .iter()
                    .find(|facet| facet.copy == span.copy && facet.bounds(facet.frame.at(middle)));
                if let Some(facet) = facet {
                    lines.push(body.seen_line(eye, facet, a, b));
                }
            }
        }
        lines
    }

    /// An opening is closed.
    fn closed(&mut self, board: &mut Board, closed: &[Span]) {
        let work = self.story.after(self.step);
        let nest = self.nest(work, self.step);
        let eye = eye_for(&[&nest], (28.0, 30.0), ROOM);
        nest.paint(&eye, board);
        let lines = self.gap_lines(&nest, &eye, closed);
        for line in &lines {
            board.layer("new").line(line.iter().copied(), LineKind::Sewing);
        }
        if let Some(line) = lines.first() {
            let (first, last) = (line[0], line[line.len() - 1]);
            let at = if first.x > last.x { first } else { last };
            if self.shown.tools.contains(&Tool::Needle) {
                icons::needle(board.layer("tools"), at);
            }
            board.label(line[line.len() / 2], "the opening, closed");
        }
        let frame = nest.outer.extent(&eye);
        if nest.out {
            let at = frame.center() + Vec2::new(frame.width() * 0.2, frame.height() * 0.2);
            let front = |body: &Body<'_, '_>| {
                body.facets
                    .first()
                    .map_or_else(String::new, |it| self.story.pattern.copy(it.copy).name.clone())
            };
            board.label(at, front(&nest.outer));
            let within = nest.inner.as_ref().map_or_else(String::new, front);
            let at = Point::new(frame.center().x, frame.y0 - 6.0);
            board.label(at, format!("{within}, pulled out of the bag"));
        }
        let measures: Vec<String> = self
            .shown
            .measures
            .iter()
            .map(|it| format!("turned in {}", self.story.show(*it)))
            .collect();
        if let (Some(line), Some(measure)) = (lines.first(), measures.first()) {
            board.label(line[0].lerp(line[line.len() - 1], 0.2), measure.clone());
        }
        self.said.push(
            "The bag right side out, its lining pulled out of it; the opening is sewn up."
                .to_owned(),
        );
    }

    /// Rows, hems and pressing around the mouth; and whatever is done to a bag that stands.
    fn at_the_mouth(&mut self, board: &mut Board) {
        let work = self.story.after(self.step);
        let mut nest = self.nest(work, self.step);
        let rows: Vec<Length> = self
            .shown
            .rows
            .iter()
            .filter(|row| {
                matches!(row.beside, Along::Mouth(_) | Along::Seam(_) | Along::Finished(..))
            })
            .map(|row| row.from)
            .collect();
        let mut insets: Vec<(Length, Length)> = rows.iter().map(|row| (*row, *row)).collect();
        for event in self.story.news(self.step) {
            match event {
                Event::Joined { allowance, .. } => insets.push((allowance[0], allowance[0])),
                Event::Hemmed { .. } => {
                    let deepest = self.shown.measures.iter().max().copied();
                    insets.extend(deepest.map(|depth| (depth, depth)));
                }
                _ => {}
            }
        }
        if nest.outer.loops != Loops::Hidden && !insets.is_empty() {
            nest.outer.loops = Loops::Down;
        } else if nest.inner.is_none() && !nest.outer.wrong_out {
            nest.outer.loops = Loops::Up;
        }
        let room = if self.shown.stages.is_empty() { ROOM } else { (ROOM.0, ROOM.1 * 0.62) };
        let eye = eye_for(&[&nest], VIEW, room);
        nest.outer.far(&eye, board.layer("work"));
        if let Some(inner) = &nest.inner {
            inner.far(&eye, board.layer("work"));
        }
        let visible = |inset: Length| inset.to_mm().max(ROW / eye.scale);
        for (inset, _) in &insets {
            let rim = nest.inner.as_ref().unwrap_or(&nest.outer);
            rim.rim_row(&eye, board.layer("work"), visible(*inset), false, LineKind::Sewing);
        }
        nest.outer.near(&eye, board.layer("work"));
        nest.zip(&eye, board, true);
        for (inset, says) in &insets {
            let row = nest.outer.rim_row(
                &eye,
                board.layer("new"),
                visible(*inset),
                true,
                LineKind::Sewing,
            );
            if let Some((a, b)) = row {
                board.label(a.midpoint(b), self.story.show(*says));
            }
        }
        self.tools(board, &nest, &eye);
        self.sides(board, &nest, &eye);
        if !insets.is_empty() {
            let measures: Vec<String> = insets.iter().map(|it| self.story.show(it.1)).collect();
            self.said.push(format!(
                "New: stitches all the way round, {} from the edge.",
                measures.join(", ")
            ));
        }
    }

    fn tools(&mut self, board: &mut Board, nest: &Nest<'_, '_>, eye: &Eye) {
        if !self.shown.tools.contains(&Tool::Iron) {
            return;
        }
        let front = nest.outer.facets.first();
        let at = front.map_or(Point::ZERO, |facet| {
            let middle = super::flat::bounds(facet.polygon.iter().copied());
            let x = middle.x0 + middle.width() * 0.3;
            let y = if nest.inner.is_some() || !self.shown.stages.is_empty() {
                middle.y1
            } else {
                middle.center().y
            };
            eye.see(nest.outer.place(facet, Point::new(x, y)))
        });
        icons::iron(board.layer("tools"), at + Vec2::new(0.0, 2.0));
        self.said.push("It is pressed with an iron.".to_owned());
    }

    fn sides(&mut self, board: &mut Board, nest: &Nest<'_, '_>, eye: &Eye) {
        let side = |wrong: bool| if wrong { "wrong side out" } else { "right side out" };
        let frame = nest.outer.extent(eye);
        let outer = side(nest.outer.wrong_out);
        let front = nest.outer.facets.first().map_or(frame.center(), |facet| {
            let box_ = super::flat::bounds(facet.polygon.iter().copied());
            let at = Point::new(box_.x0 + box_.width() * 0.75, box_.y0 + box_.height() * 0.35);
            eye.see(nest.outer.place(facet, at))
        });
        let whose = |body: &Body<'_, '_>| {
            body.facets
                .first()
                .map_or_else(String::new, |facet| self.story.pattern.copy(facet.copy).name.clone())
        };
        board.label(front, format!("{}, {outer}", whose(&nest.outer)));
        let mut sentence = format!("The bag of {} stands {outer}", self.name(self.copy));
        if let Some(inner) = &nest.inner {
            let far = inner.rim().into_iter().filter(|(facet, ..)| !inner.is_near(eye, facet));
            let rim = far.max_by(|a, b| (a.2 - a.1).hypot2().total_cmp(&(b.2 - b.1).hypot2()));
            if let Some((facet, a, b)) = rim {
                let down = Vec2::new(0.0, -4.0 / eye.scale);
                let at = eye.see(inner.place(facet, a.lerp(b, 0.3) + down));
                board.label(at, format!("inside: {}", whose(inner)));
            }
            sentence.push_str(&format!(", the {} in it", whose(inner)));
        }
        self.said.insert(0, format!("{sentence}."));
    }
}
