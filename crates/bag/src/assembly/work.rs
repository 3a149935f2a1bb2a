//! What the operations do to the work.

use measure::{Length, Point};

use super::glue::{Glue, matched};
use super::stretch;
use super::{Assembly, Edging, Event, Facing, Reachable, Rider, SideOut};
use crate::operations::{Corner, Gap, Line, Meeting, Placed, StitchedDown, Through};
use crate::pattern::{Boxing, CopyId, Run, Span};

/// How far from a mouth the machine can still get at a bag: about 4 in, the free arm of a domestic
/// machine (common practice, no source).
const ARM: Length = Length::mm(100);

/// A line of stitches that ends nearer than this to a seam is taken to run into it.
const TOUCHES: Length = Length::mm(2);

impl Assembly<'_> {
    pub(super) fn mark(&mut self, span: &Span, edging: Edging) {
        if let Some(stretches) = self.edges.get_mut(&(span.copy, span.edge)) {
            let (from, to) = span.ordered();
            stretch::set(stretches, from, to, edging);
        }
    }

    pub(super) fn impossible(&mut self, at: Span, why: String, cure: &str) {
        let (copy, edge) = (at.copy, Some(at.edge));
        self.record(Event::Impossible { why, cure: cure.to_owned(), copy, edge });
    }

    pub(super) fn edge_name(&self, span: &Span) -> String {
        let piece = self.pattern.piece_of(span.copy);
        let edge = piece.edges.get(span.edge).map_or("edge", |edge| edge.name.as_str());
        format!("the {edge} of the {}", self.pattern.copy(span.copy).name)
    }

    /// A stretch of a run that has been sewn, hemmed or turned under already.
    pub(super) fn taken(&self, run: &Run) -> Option<Span> {
        run.spans.iter().copied().find(|span| {
            let (from, to) = span.ordered();
            self.stretches(span.copy, span.edge).iter().any(|s| {
                let meets = s.from < to && from < s.to;
                meets && !matches!(s.edging, Edging::Raw)
            })
        })
    }

    /// Joins two runs, leaving the gaps open; gaps are distances along the first side, and the
    /// second runs beside it. Riders that lie level with the edges are caught.
    pub fn join(
        &mut self,
        sides: &[Run; 2],
        meet: Meeting,
        allowance: [Length; 2],
        ease: Length,
        gaps: &[Gap],
    ) {
        if let Some(span) = sides.iter().find_map(|side| self.taken(side)) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "sew each edge once");
            return;
        }
        if self.runs_beyond(sides) || self.lies_fastened(sides) {
            return;
        }
        let parts = matched(sides, gaps);
        let Some(first) = parts.first() else { return };
        let (a, b) = (first.a.copy, first.b.copy);
        if !self.is_within(a, b) && !self.is_within(b, a) {
            self.needs_free(a);
        }
        let glues: Vec<Glue> = parts
            .iter()
            .filter(|part| !part.open)
            .map(|part| Glue { a: part.a, b: part.b, step: self.step, zip: false })
            .collect();
        let facing = self.facing_in(a, b, &glues, meet);
        for (side, allowance) in sides.iter().zip(allowance) {
            for span in &side.spans {
                self.sewn.taken.insert((span.copy, span.edge), allowance);
            }
        }
        for part in &parts {
            for span in [part.a, part.b] {
                let edging =
                    if part.open { Edging::Gap(self.step) } else { Edging::Joined(self.step) };
                self.mark(&span, edging);
                if !part.open {
                    self.catch(&span);
                }
            }
        }
        let outer = self.outer_side(a, b);
        self.glues.extend(glues);
        for part in &parts {
            self.unite(part.a.copy, part.b.copy);
        }
        self.shape(a, meet, outer);
        let (sides, gaps) = (sides.clone(), gaps.to_vec());
        self.record(Event::Joined { sides, meet, facing, allowance, ease, gaps });
    }

    pub(super) fn unite(&mut self, a: CopyId, b: CopyId) {
        let (a, b) = (self.body(a), self.body(b));
        let (low, high) = (a.min(b), a.max(b));
        self.body_of[high] = low;
    }

    /// The side that is out when two bodies become one: that of the outer one.
    pub(super) fn outer_side(&self, a: CopyId, b: CopyId) -> Option<SideOut> {
        if self.is_one_body(a, b) {
            return None;
        }
        match (self.is_within(a, b), self.is_within(b, a)) {
            (true, _) => Some(self.side_out(b)),
            (_, true) => Some(self.side_out(a)),
            _ => None,
        }
    }

    /// Which side is out after a seam: a body that no longer lies flat has the side out that did
    /// not meet in the seam.
    pub(super) fn shape(&mut self, copy: CopyId, meet: Meeting, outer: Option<SideOut>) {
        let was = self.side_out(copy);
        let side = match outer {
            Some(side) => side,
            None if was != SideOut::Flat || self.lies_flat(copy) => was,
            None if meet == Meeting::RightSides => SideOut::Wrong,
            None => SideOut::Right,
        };
        let body = self.body(copy);
        self.side_out.insert(body, side);
    }

    /// Which faces meet in a seam, within one body or between two.
    pub(super) fn facing_in(&self, a: CopyId, b: CopyId, glues: &[Glue], meet: Meeting) -> Facing {
        match (self.facing(a, b, glues), self.side_out(a)) {
            // Within a tube whose wrong side is out, right sides lie on each other.
            (Facing::AsTold, side) if self.is_one_body(a, b) && meet != Meeting::Lapped => {
                match side {
                    SideOut::Flat => Facing::AsTold,
                    SideOut::Wrong => Facing::Right,
                    SideOut::Right => Facing::Wrong,
                }
            }
            (facing, _) => facing,
        }
    }

    /// Which faces meet, as things lie.
    pub(super) fn facing(&self, a: CopyId, b: CopyId, glues: &[Glue]) -> Facing {
        let keeps = glues.iter().all(Glue::keeps_orientation);
        if !self.is_one_body(a, b) {
            let sides = [self.side_out(a), self.side_out(b)];
            if sides.iter().all(|side| *side != SideOut::Flat) {
                let (inner, outer) = match (self.is_within(a, b), self.is_within(b, a)) {
                    (true, _) => (sides[0], sides[1]),
                    (_, true) => (sides[1], sides[0]),
                    _ => return Facing::Apart,
                };
                return match (inner, outer) {
                    _ if !keeps => Facing::Against,
                    (SideOut::Right, SideOut::Wrong) => Facing::Right,
                    (SideOut::Wrong, SideOut::Right) => Facing::Wrong,
                    _ => Facing::Mixed,
                };
            }
        }
        if keeps { Facing::AsTold } else { Facing::Mixed }
    }

    /// Whatever lies level with this stretch of a host is caught in its seam; whatever is stitched
    /// down across it, and should be free, is caught too.
    pub(super) fn catch(&mut self, span: &Span) {
        if let Some(cord) = self.piped.get(&(span.copy, span.edge)).copied() {
            for own in Run::edge(self.pattern, cord, 1).spans {
                self.mark(&own, Edging::Joined(self.step));
            }
        }
        let riders: Vec<Rider> =
            self.riders.iter().filter(|rider| rider.onto == span.copy).cloned().collect();
        for rider in riders {
            let mut level = false;
            for (edge, host_edge) in &rider.level {
                if *host_edge != span.edge {
                    continue;
                }
                level = true;
                let whole = Run::edge(self.pattern, rider.what, *edge);
                let fresh = whole.spans.iter().any(|s| {
                    self.stretches(s.copy, s.edge)
                        .iter()
                        .any(|s| matches!(s.edging, Edging::Basted(..)))
                });
                for own in &whole.spans {
                    self.mark(own, Edging::Joined(self.step));
                }
                if fresh {
                    let (rider, edge) = (rider.what, *edge);
                    let (host, host_edge) = (span.copy, span.edge);
                    self.record(Event::Caught { rider, edge, host, host_edge });
                }
            }
            if !level && self.is_held_across(&rider, span) {
                let (rider, host, host_edge) = (rider.what, span.copy, span.edge);
                self.record(Event::CaughtLoose { rider, host, host_edge });
            }
        }
    }

    /// Whether stitches that hold a rider reach a host's edge.
    fn is_held_across(&self, rider: &Rider, span: &Span) -> bool {
        let edge = self.pattern.piece_of(span.copy).net.edge(span.edge);
        let ends = rider.held.iter().flat_map(|line| [line.from, line.to]);
        ends.into_iter().any(|end| edge.distance_from(end) < TOUCHES)
    }

    /// Turns a body.
    pub fn turn(&mut self, body: CopyId, through: &Through) {
        self.needs_free(body);
        self.needs_unplaced(body);
        let open = self.open(body);
        let before = self.side_out(body);
        let after = match before {
            SideOut::Flat => SideOut::Flat,
            SideOut::Wrong => SideOut::Right,
            SideOut::Right => SideOut::Wrong,
        };
        if before == SideOut::Flat {
            let at = Span { copy: body, edge: 0, from: Length::ZERO, to: Length::ZERO };
            let name = &self.pattern.copy(body).name;
            let why = format!("the {name} still lies flat: there is nothing to turn");
            self.impossible(at, why, "turn it when its seams are sewn");
        }
        let root = self.body(body);
        self.side_out.insert(root, after);
        self.record(Event::Turned { body, through: through.clone(), open, before });
    }

    /// Puts a body into another; they stay two bodies until they are joined.
    pub fn drop_in(&mut self, inner: CopyId, outer: CopyId, meet: Meeting) {
        if self.is_within(inner, outer) || self.is_within(outer, inner) {
            let at = Span { copy: inner, edge: 0, from: Length::ZERO, to: Length::ZERO };
            let name = &self.pattern.copy(inner).name;
            let why = format!("the bag with the {name} lies in the other already");
            self.impossible(at, why, "put the one into the other once");
            return;
        }
        let (inner_out, outer_out) = (self.side_out(inner), self.side_out(outer));
        let copies = [self.body_copies(inner), self.body_copies(outer)];
        self.record(Event::DroppedIn { inner, outer, meet, inner_out, outer_out, copies });
        self.within.push((inner, outer));
    }

    /// Closes what the named step left open.
    pub fn close(&mut self, left_by: &str) {
        let step = self.pattern.steps.iter().position(|step| step.id == left_by);
        let mut closed = Vec::new();
        for ((copy, edge), stretches) in &mut self.edges {
            for stretch in stretches.iter_mut() {
                if Some(stretch.edging) == step.map(Edging::Gap) {
                    stretch.edging = Edging::Closed(self.step);
                    let (from, to) = (stretch.from, stretch.to);
                    closed.push(Span { copy: *copy, edge: *edge, from, to });
                }
            }
        }
        self.glue_closed(step, &closed);
        // One of them that is not turned yet decides.
        let mut sides = closed.iter().map(|span| self.side_out(span.copy));
        let wrong = sides.clone().find(|side| *side == SideOut::Wrong);
        let side_out = wrong.or_else(|| sides.next());
        self.record(Event::Closed { left_by: left_by.to_owned(), closed, side_out });
    }

    /// The two sides of a closed opening are one edge again.
    fn glue_closed(&mut self, left_by: Option<usize>, closed: &[Span]) {
        let joined = self.events.iter().filter_map(|(step, event)| match event {
            Event::Joined { sides, gaps, .. } if Some(*step) == left_by => Some((sides, gaps)),
            _ => None,
        });
        let mut glues = Vec::new();
        for (sides, gaps) in joined {
            for part in matched(sides, gaps).into_iter().filter(|part| part.open) {
                if closed.iter().any(|span| (span.copy, span.edge) == (part.a.copy, part.a.edge)) {
                    glues.push(Glue { a: part.a, b: part.b, step: self.step, zip: false });
                }
            }
        }
        self.glues.extend(glues);
    }

    /// Boxes corners.
    pub fn box_corners(
        &mut self,
        corners: &[Vec<Corner>],
        tip: Length,
        depth: Length,
        finished: bool,
    ) {
        let panels = || corners.iter().flatten();
        if let Some(corner) = panels().next() {
            self.needs_free(corner.copy);
        }
        let unsewn = corners
            .iter()
            .flat_map(|corner| corner.iter().map(move |panel| (corner, panel)))
            .filter(|(corner, panel)| !self.is_sewn_at(panel) || !self.is_at_base(panel, corner))
            .map(|(_, panel)| *panel)
            .collect();
        let side_out = panels().next().map_or(SideOut::Flat, |corner| self.side_out(corner.copy));
        for corner in panels() {
            let at = (corner.copy, corner.side, corner.base);
            let before = match corner.fold {
                Some(fold) => self.sewn.boxed_on_fold.insert((corner.copy, corner.side, fold), tip),
                None => {
                    let boxing = Boxing { tip, beside: corner.beside };
                    self.sewn.boxed.insert(at, boxing).map(|before| before.tip)
                }
            };
            if before.is_some() {
                let span = Span {
                    copy: corner.copy,
                    edge: corner.base,
                    from: Length::ZERO,
                    to: Length::ZERO,
                };
                let name = &self.pattern.copy(corner.copy).name;
                let why = format!("a corner of the {name} has been boxed already");
                self.impossible(span, why, "box each corner once");
            }
        }
        let corners = corners.to_vec();
        self.record(Event::Boxed { corners, tip, depth, side_out, unsewn, finished });
    }

    /// How long the line is along which a corner is boxed: half of it on either panel, and what a zip
    /// between them shows.
    pub fn boxed_depth(&self, corner: &Corner, tip: Length) -> Length {
        let zip = match corner.fold {
            None => self.sewn.zips.get(&(corner.copy, corner.base)).copied(),
            Some(_) => None,
        };
        corner.half_depth(self.pattern, tip) * 2 + zip.unwrap_or(Length::ZERO)
    }

    /// Notes what a zip shows between edges to which it is sewn.
    pub fn zip_shows(&mut self, sides: &[&Run], shows: Option<Length>) {
        let spans = sides.iter().flat_map(|run| &run.spans);
        let edges = spans.map(|span| (span.copy, span.edge));
        self.sewn.zips.extend(shows.iter().flat_map(|shows| edges.clone().map(|at| (at, *shows))));
    }

    /// Whether both edges are sewn where they meet.
    fn is_sewn_at(&self, corner: &Corner) -> bool {
        if let Some(fold) = corner.fold {
            let sewn = |s: &super::Stretch| {
                matches!(s.edging, Edging::Joined(_)) && s.from < fold && fold < s.to
            };
            let around = self.stretches(corner.copy, corner.side);
            let beside = |s: &super::Stretch| {
                matches!(s.edging, Edging::Joined(_)) && (s.to == fold || s.from == fold)
            };
            return around.iter().any(sewn) || around.iter().filter(|s| beside(s)).count() == 2;
        }
        let net = &self.pattern.piece_of(corner.copy).net;
        let edges = net.edge_count();
        let (first, second) = if (corner.side + 1) % edges == corner.base {
            (corner.side, corner.base)
        } else {
            (corner.base, corner.side)
        };
        let sewn = |stretch: Option<&super::Stretch>| {
            stretch.is_some_and(|s| matches!(s.edging, Edging::Joined(_) | Edging::Zipped(_)))
        };
        sewn(self.stretches(corner.copy, first).last())
            && sewn(self.stretches(corner.copy, second).first())
    }

    /// Whether the base of a panel is sewn to a panel of its corner, or lies opposite it along a zip: its
    /// rim may be sewn to a facing.
    fn is_at_base(&self, panel: &Corner, corner: &[Corner]) -> bool {
        let others = |copy| corner.iter().any(|other| other.copy == copy);
        let is = |span: &Span| (span.copy, span.edge) == (panel.copy, panel.base);
        corner.len() < 2
            || panel.fold.is_some()
            || self.is_across_zip((panel.copy, panel.base), others)
            || self.glues.iter().any(|glue| {
                (is(&glue.a) && others(glue.b.copy)) || (is(&glue.b) && others(glue.a.copy))
            })
    }

    /// Hems a run, which takes `takes` off it.
    /// Riders' edges tucked under it are caught.
    pub fn hem(&mut self, run: &Run, takes: Length, tucked: &[(CopyId, usize)]) {
        if let Some(span) = self.taken(run) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "hem it before it is sewn to something");
            return;
        }
        if self.runs_beyond(std::slice::from_ref(run))
            || self.lies_fastened(std::slice::from_ref(run))
        {
            return;
        }
        if let Some(copy) = run.copies().first() {
            self.needs_free(*copy);
        }
        for span in &run.spans {
            self.mark(span, Edging::Hemmed(self.step));
            self.catch(span);
            self.sewn.taken.insert((span.copy, span.edge), takes);
        }
        for (rider, edge) in tucked {
            if !self.riders.iter().any(|it| it.what == *rider) {
                let name = &self.pattern.copy(*rider).name;
                let why = format!("the {name} is to lie under this hem, and is not there yet");
                let at = Span { copy: *rider, edge: *edge, from: Length::ZERO, to: Length::ZERO };
                self.impossible(at, why, "push its ends under the pressed hem first");
            }
            for span in Run::edge(self.pattern, *rider, *edge).spans {
                self.mark(&span, Edging::TurnedUnder(self.step));
            }
        }
        self.record(Event::Hemmed { run: run.clone(), takes });
    }

    /// Finishes the raw edges along a run: overcast or bound.
    pub fn finish(&mut self, run: &Run) {
        for span in &run.spans {
            if let Some(stretches) = self.edges.get_mut(&(span.copy, span.edge)) {
                let (from, to) = span.ordered();
                stretch::set_finished(stretches, from, to);
            }
        }
    }

    /// Encloses the raw edges of a seam in the seam itself.
    pub fn enclose(&mut self, sides: &[Run; 2]) {
        for side in sides {
            self.finish(side);
        }
    }

    /// Turns in the two longest edges of a strip.
    pub fn enclose_long_edges(&mut self, strip: CopyId) {
        let piece = self.pattern.piece_of(strip);
        let count = piece.net.edge_count();
        let allowance = |edge: usize| piece.edges.get(edge).map_or(Length::ZERO, |it| it.allowance);
        // As it is cut: a handle that is set into a seam may have long allowances at its ends.
        let cut = |edge: usize| {
            let ends = allowance((edge + count - 1) % count) + allowance((edge + 1) % count);
            piece.net.edge_length(edge) + ends
        };
        let longest = (0..count).map(cut).max().unwrap_or(Length::ZERO);
        for edge in (0..count).filter(|edge| cut(*edge) == longest) {
            let to = piece.net.edge_length(edge);
            let span = Span { copy: strip, edge, from: Length::ZERO, to };
            self.mark(&span, Edging::TurnedUnder(self.step));
        }
    }

    /// Strips of the piece with that id are used up as binding: all their edges are turned in or
    /// sewn over.
    pub fn use_up(&mut self, piece: &str) {
        let pattern = self.pattern;
        for strip in pattern.copy_ids().filter(|copy| pattern.piece_of(*copy).id == piece) {
            let net = &pattern.piece_of(strip).net;
            for edge in 0..net.edge_count() {
                let to = net.edge_length(edge);
                let span = Span { copy: strip, edge, from: Length::ZERO, to };
                self.mark(&span, Edging::TurnedUnder(self.step));
            }
        }
    }

    /// Places something on a host.
    pub fn place(&mut self, item: &Placed) {
        if self.lies_already(item) {
            return;
        }
        self.needs_free(item.onto);
        if item.feet.is_empty() {
            self.covers_feet(item);
        }
        let mut level = Vec::new();
        for (edge, host, host_edge) in &item.level {
            let joined = self
                .stretches(*host, *host_edge)
                .iter()
                .any(|s| !matches!(s.edging, Edging::Raw | Edging::Basted(..)));
            if joined {
                let (rider, host, host_edge) = (item.what, *host, *host_edge);
                self.record(Event::TooLate { rider, host, host_edge });
                continue;
            }
            level.push((*edge, *host, *host_edge));
            for span in Run::edge(self.pattern, item.what, *edge).spans {
                self.mark(&span, Edging::Basted(*host, *host_edge));
            }
            if let Some(allowance) = self.pattern.piece_of(*host).edges.get(*host_edge) {
                self.sewn.taken.insert((item.what, *edge), allowance.allowance);
            }
        }
        let mut hosts = vec![item.onto];
        hosts.extend(level.iter().map(|(_, host, _)| *host));
        hosts.sort_unstable();
        hosts.dedup();
        for onto in hosts {
            self.riders.push(Rider {
                what: item.what,
                onto,
                at: item.at,
                face_up: item.face_up,
                upside_down: item.upside_down,
                held: Vec::new(),
                level: level
                    .iter()
                    .filter(|(_, host, _)| *host == onto)
                    .map(|(edge, _, host_edge)| (*edge, *host_edge))
                    .collect(),
            });
        }
        self.record(Event::Placed {
            what: item.what,
            onto: item.onto,
            at: item.at,
            face_up: item.face_up,
            ground: item.ground,
            upside_down: item.upside_down,
            feet: item.feet.clone(),
        });
    }

    /// Stitches something down on a host, and holds the edges that the stitches hold.
    pub fn stitch_down(&mut self, item: &StitchedDown) {
        self.stitch_through(&[item.what], item.onto, &item.lines);
        for edge in &item.holds {
            if let Some(stretches) = self.edges.get_mut(&(item.what, *edge)) {
                for stretch in stretches.iter_mut().filter(|s| s.edging == Edging::Raw) {
                    stretch.edging = Edging::TurnedUnder(self.step);
                }
            }
        }
    }

    /// Stitches through riders and their host.
    pub fn stitch_through(&mut self, what: &[CopyId], onto: CopyId, lines: &[Line]) {
        let reach = self.reach(onto, lines);
        self.needs_free(onto);
        for rider in what {
            self.held_already(*rider, onto, lines);
            let place = self.riders.iter().position(|r| r.what == *rider && r.onto == onto);
            match place {
                Some(index) => self.riders[index].held.extend_from_slice(lines),
                None if self.lies_on(*rider, onto) => self.lies_on_too(*rider, onto, lines),
                None => {
                    let at = Span { copy: *rider, edge: 0, from: Length::ZERO, to: Length::ZERO };
                    let why = format!(
                        "the {} does not lie on the {} yet",
                        self.pattern.copy(*rider).name,
                        self.pattern.copy(onto).name
                    );
                    self.impossible(at, why, "place it first");
                }
            }
        }
        let (what, lines) = (what.to_vec(), lines.to_vec());
        self.record(Event::Stitched { what, onto, lines, reach });
    }

    /// A rider reaches on to the next panel, and is held there.
    fn lies_on_too(&mut self, what: CopyId, onto: CopyId, lines: &[Line]) {
        let Some(mut rider) = self.riders.iter().find(|rider| rider.what == what).cloned() else {
            return;
        };
        let points = || lines.iter().flat_map(|line| [line.from, line.to]);
        let (x, y) = (points().map(|p| p.x).min(), points().map(|p| p.y).min());
        rider.at = Point::new(x.unwrap_or(Length::ZERO), y.unwrap_or(Length::ZERO));
        rider.onto = onto;
        rider.held = lines.to_vec();
        rider.level = Vec::new();
        self.riders.push(rider);
    }

    /// Whether a rider lies on any panel of the host's body, or the host is a divider that lies on a
    /// panel of the bag, as the rider does: the one can be laid on the other.
    fn lies_on(&self, rider: CopyId, host: CopyId) -> bool {
        let lies = |what: CopyId| {
            self.riders.iter().any(|r| r.what == what || self.is_one_body(r.what, what))
        };
        self.riders.iter().any(|r| r.what == rider && self.is_one_body(r.onto, host))
            || (self.is_divider(host) && lies(host) && lies(rider))
    }

    /// Whether it belongs to a divider, which is turned and lies flat: it is stitched through on purpose,
    /// and from any side, until the bag is closed.
    fn is_divider(&self, copy: CopyId) -> bool {
        let dividers = self.pattern.claims.dividers.iter();
        dividers.map(|claim| claim.copy).any(|divider| self.is_one_body(divider, copy))
    }

    /// Topstitches along edges of copies: through these and whatever they are part of.
    pub fn topstitch(&mut self, copies: &[CopyId]) {
        self.needs_sewn(copies, "topstitch");
        for copy in copies {
            self.needs_unplaced(*copy);
        }
        if let Some(copy) = copies.iter().find(|copy| self.side_out(**copy) == SideOut::Wrong) {
            let at = Span { copy: *copy, edge: 0, from: Length::ZERO, to: Length::ZERO };
            let name = &self.pattern.copy(*copy).name;
            let why = format!("the {name} is still wrong side out: the row would not show");
            self.impossible(at, why, "turn it first");
        }
        for copy in copies {
            let ground = self.ground_of(*copy);
            let whole = self.body_copies(ground);
            // A flat pocket of several layers is stitched through on purpose.
            let meant = whole.iter().all(|part| copies.contains(part));
            let reach = if meant { Reachable::Flat } else { self.reach(ground, &[]) };
            let (what, lines) = (vec![*copy], Vec::new());
            self.record(Event::Stitched { what, onto: ground, lines, reach });
        }
    }

    /// Whether the machine can get at lines on a copy.
    fn reach(&self, copy: CopyId, lines: &[Line]) -> Reachable {
        let loose = |copy| {
            let hosts = self.riders.iter().filter(|rider| self.is_one_body(rider.what, copy));
            hosts.into_iter().all(|rider| self.lies_flat(rider.onto))
        };
        if self.lies_flat(copy) || (self.is_divider(copy) && loose(copy)) {
            return Reachable::Flat;
        }
        let net = &self.pattern.piece_of(copy).net;
        let open: Vec<usize> = (0..net.edge_count())
            .filter(|edge| self.stretches(copy, *edge).iter().any(|s| s.edging.is_open()))
            .collect();
        let near =
            |point: Point| open.iter().any(|edge| net.edge(*edge).distance_from(point) <= ARM);
        let reached =
            !lines.is_empty() && lines.iter().all(|line| (0..=4).all(|at| near(along(line, at))));
        if reached { Reachable::NearMouth } else { Reachable::Buried }
    }
}

/// The point so many quarters of the way along a line.
fn along(line: &Line, quarters: i64) -> Point {
    let by = |from: Length, to: Length| from + (to - from) * quarters / 4;
    Point::new(by(line.from.x, line.to.x), by(line.from.y, line.to.y))
}
