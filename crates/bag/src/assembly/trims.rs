//! What further operations do to the work: binding, zips, slits, hardware, cords, trimming.

use measure::{Length, Point};

use super::glue::{Glue, matched};
use super::{Assembly, Edging, Event, SlitMade};
use crate::operations::{Line, Meeting, Spot};
use crate::pattern::{CopyId, Run, Span};

/// A zip set into a slit may be this much longer than it; its ends lie behind the panel.
const ZIP_BEYOND: Length = Length::mm(60);

impl Assembly<'_> {
    fn at(copy: CopyId) -> Span {
        Span { copy, edge: 0, from: Length::ZERO, to: Length::ZERO }
    }

    fn name(&self, copy: CopyId) -> &str {
        &self.pattern.copy(copy).name
    }

    /// Basting along edges: they must not have been sewn, and lie within the allowance.
    pub fn baste(&mut self, run: &Run, from_edge: Length) {
        for span in &run.spans {
            let allowance =
                self.pattern.piece_of(span.copy).edges.get(span.edge).map(|edge| edge.allowance);
            if allowance.is_some_and(|allowance| from_edge >= allowance) {
                let why =
                    format!("basting along {} would show beyond its seam", self.edge_name(span));
                self.impossible(*span, why, "baste nearer to the edge than the seam");
            }
        }
        if let Some(span) = self.taken(run) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "baste before the seam is sewn");
        }
    }

    /// Trims or clips allowances of copies to what is left beside the stitches.
    pub fn trim_to(&mut self, copies: &[CopyId], leave: Length) {
        let Some(copy) = copies.first() else { return };
        if !leave.is_positive() {
            let why = "the cut goes into the stitches".to_owned();
            self.impossible(Self::at(*copy), why, "leave a little beside the stitches");
        }
        let sewn = |copy: &CopyId| self.sewn.taken.keys().any(|(at, _)| at == copy);
        if !copies.iter().any(sewn) {
            let why = format!("no seam of the {} has been sewn yet", self.name(*copy));
            self.impossible(Self::at(*copy), why, "trim after the seam is sewn");
        }
    }

    /// Clips the allowance of raw edges at single spots and along stretches, up to so far from the
    /// stitching line.
    pub fn clip(&mut self, corners: &[Spot], curves: &[Run], leave: Length) {
        let whole = |copy, edge| Run::edge(self.pattern, copy, edge);
        let edges: Vec<Run> = corners
            .iter()
            .map(|spot| whole(spot.copy, spot.edge))
            .chain(curves.iter().cloned())
            .collect();
        if let Some(span) = edges.iter().find_map(|run| self.taken(run)) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "clip it before it is sewn, so that it can spread");
            return;
        }
        let spans: Vec<Span> = edges.iter().flat_map(|run| run.spans.clone()).collect();
        for span in spans {
            let edge = self.pattern.piece_of(span.copy).edges.get(span.edge);
            let allowance = edge.map_or(Length::ZERO, |edge| edge.allowance);
            if !leave.is_positive() || leave >= allowance {
                let why = format!(
                    "a clip into {} would {}",
                    self.edge_name(&span),
                    if leave.is_positive() {
                        "not reach into it"
                    } else {
                        "cut its stitching line"
                    }
                );
                self.impossible(span, why, "end it between the edge and the stitching line");
                return;
            }
        }
        self.record(Event::Clipped { corners: corners.to_vec(), curves: curves.to_vec() });
    }

    /// Cuts a slit into a panel.
    pub fn slit(&mut self, copy: CopyId, from: Point, to: Point) {
        let (low, high) = self.pattern.piece_of(copy).net.bounds();
        let within = |p: Point| p.x > low.x && p.x < high.x && p.y > low.y && p.y < high.y;
        if !within(from) || !within(to) {
            let why = format!("the slit runs out of the {}", self.name(copy));
            self.impossible(Self::at(copy), why, "keep it within the stitching line");
            return;
        }
        self.needs_flat(copy, "cut a slit into it");
        let (step, faced_by) = (self.step, self.stitched_round(copy, from, to));
        self.slits.push(SlitMade { copy, from, to, step, held: None, faced_by });
    }

    /// Sets a zip into the slit of a panel.
    pub fn hold_slit(&mut self, copy: CopyId, zip: Length) {
        let step = self.step;
        let open = self.slits.iter_mut().find(|slit| slit.copy == copy && slit.held.is_none());
        let Some(slit) = open else {
            let why = format!("there is no open slit in the {}", self.name(copy));
            self.impossible(Self::at(copy), why, "cut the slit first");
            return;
        };
        slit.held = Some(step);
        let (from, to) = (slit.from, slit.to);
        let long = from.distance(to);
        if zip < long || zip > long + ZIP_BEYOND {
            let why = format!(
                "the slit is {:.0} mm long and the zip {:.0} mm",
                long.to_mm(),
                zip.to_mm()
            );
            self.impossible(
                Self::at(copy),
                why,
                "take a zip as long as the slit, or a little longer",
            );
        }
        self.stitch_through(&[], copy, &[Line { from, to }]);
    }

    /// Sets a zip between two edges.
    pub fn zip(&mut self, sides: &[Run; 2], allowance: Length, length: Length) {
        if let Some(span) = sides.iter().find_map(|side| self.taken(side)) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "sew each edge once");
            return;
        }
        let parts = matched(sides, &[]);
        let Some(first) = parts.first().copied() else { return };
        // It may run on through the allowances at both ends of the edge.
        let edge = sides[0].length();
        let piece = self.pattern.piece_of(first.a.copy);
        let count = piece.edges.len().max(1);
        let beside = [first.a.edge + 1, first.a.edge + count - 1];
        let beyond = beside.iter().filter_map(|it| piece.edges.get(*it % count));
        let cut = edge + beyond.map(|it| it.allowance).sum::<Length>();
        if length > cut.max(edge + ZIP_BEYOND) {
            let why = format!(
                "the zip is {:.0} mm long and the edge {:.0} mm",
                length.to_mm(),
                edge.to_mm()
            );
            self.impossible(first.a, why, "shorten the zip, or take a shorter one");
        }
        let glues: Vec<Glue> = parts
            .iter()
            .map(|part| Glue { a: part.a, b: part.b, step: self.step, zip: true })
            .collect();
        let facing = self.facing(first.a.copy, first.b.copy, &glues);
        for part in &parts {
            for span in [part.a, part.b] {
                self.mark(&span, Edging::Zipped(self.step));
                self.sewn.taken.insert((span.copy, span.edge), allowance);
                self.catch(&span);
            }
        }
        self.glues.extend(glues);
        for part in &parts {
            self.unite(part.a.copy, part.b.copy);
        }
        self.shape(first.a.copy, Meeting::RightSides, None);
        self.record(Event::Joined {
            sides: sides.clone(),
            meet: Meeting::RightSides,
            facing,
            allowance: [allowance; 2],
            ease: Length::ZERO,
            gaps: Vec::new(),
        });
    }

    /// Sews edges over the end of a zip that closes their body.
    pub fn join_over_zip(&mut self, run: &Run, allowance: Length) {
        let Some(first) = run.spans.first().copied() else { return };
        if let Some(span) = self.taken(run) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "sew each edge once");
            return;
        }
        let of_body = |copy: CopyId| self.is_one_body(copy, first.copy);
        let zipped = self.glues.iter().any(|it| it.zip && of_body(it.a.copy))
            || self.hangs_from_zip(of_body);
        if !zipped {
            let why = format!("there is no zip for {} to lie over", self.edge_name(&first));
            self.impossible(first, why, "set the zip before this seam is sewn across its end");
        }
        for span in &run.spans {
            self.mark(span, Edging::Zipped(self.step));
            self.sewn.taken.insert((span.copy, span.edge), allowance);
            self.catch(span);
        }
    }

    /// Binds an edge, which takes nothing off it.
    pub fn bind(&mut self, run: &Run) {
        if let Some(span) = self.taken(run) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "bind an edge instead of sewing it");
            return;
        }
        for span in &run.spans {
            self.mark(span, Edging::Bound(self.step));
            self.sewn.taken.insert((span.copy, span.edge), Length::ZERO);
            self.catch(span);
        }
    }

    /// Pierces a panel for hardware.
    pub fn pierce(&mut self, copy: CopyId, at: Point) {
        let (low, high) = self.pattern.piece_of(copy).net.bounds();
        if at.x <= low.x || at.x >= high.x || at.y <= low.y || at.y >= high.y {
            let why = format!("that point lies outside the {}", self.name(copy));
            self.impossible(Self::at(copy), why, "keep it within the stitching line");
        }
        self.stitch_through(&[], copy, &[Line { from: at, to: at }]);
    }

    /// Pierces a panel by hand, which can be done through the mouth of a finished bag.
    pub fn pierce_by_hand(&mut self, copy: CopyId, at: Point) {
        let (low, high) = self.pattern.piece_of(copy).net.bounds();
        if at.x <= low.x || at.x >= high.x || at.y <= low.y || at.y >= high.y {
            let why = format!("that point lies outside the {}", self.name(copy));
            self.impossible(Self::at(copy), why, "keep it within the stitching line");
        }
    }

    /// Fastens the end of a strap to something that is not sewn to the bag.
    pub fn fasten_end(&mut self, strap: CopyId, edge: usize) {
        let run = Run::edge(self.pattern, strap, edge);
        if let Some(span) = self.taken(&run) {
            let why = format!("{} is fastened already", self.edge_name(&span));
            self.impossible(span, why, "fasten each end once");
            return;
        }
        for span in &run.spans {
            self.mark(span, Edging::TurnedUnder(self.step));
        }
    }

    /// Turns in and holds every edge of a copy.
    pub fn turn_under(&mut self, copy: CopyId) {
        for edge in 0..self.pattern.piece_of(copy).net.edge_count() {
            for span in Run::edge(self.pattern, copy, edge).spans {
                self.mark(&span, Edging::TurnedUnder(self.step));
            }
        }
    }

    /// Refuses what can only be done while both ends of a strap are free.
    pub fn needs_ends_free(&mut self, strap: CopyId) {
        if self.riders.iter().any(|rider| rider.what == strap) {
            let why = format!("the {} is fastened to the bag already", self.name(strap));
            self.impossible(Self::at(strap), why, "do it before it is placed");
        }
    }

    /// Bastes a covered cord along edges that are still raw; its ends run off into the allowance, or
    /// meet.
    pub fn pipe(&mut self, cord: CopyId, along: &Run) {
        if let Some(span) = self.taken(along) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "baste the piping on before that seam is sewn");
            return;
        }
        let Some(first) = along.spans.first().copied() else { return };
        let long = self.pattern.piece_of(cord).net_size().1;
        if long < along.length() {
            let why = format!(
                "the {} is {:.0} mm long, and goes round {:.0} mm",
                self.name(cord),
                long.to_mm(),
                along.length().to_mm()
            );
            self.impossible(first, why, "cut it longer");
        }
        for span in &along.spans {
            self.piped.insert((span.copy, span.edge), cord);
        }
        let step = self.step;
        let edges = self.pattern.piece_of(cord).net.edge_count();
        for edge in 0..edges {
            let whole = Run::edge(self.pattern, cord, edge);
            // Of its two long sides the one that lies level with the edges waits for the seam.
            let edging = match edge {
                1 => Edging::Basted(first.copy, first.edge),
                _ => Edging::TurnedUnder(step),
            };
            for span in whole.spans {
                self.mark(&span, edging);
            }
        }
    }

    /// Stitches rows for a cord along the finished rim of copies.
    pub fn stitch_casing(&mut self, copies: &[CopyId]) {
        self.topstitch_round(copies);
        self.cased.extend(copies);
    }

    /// Threads a cord through the hem of a mouth, or between rows that were stitched along it.
    pub fn thread(&mut self, casing: &Run, length: Length) {
        let hemmed = casing.spans.iter().all(|span| {
            let cased = self.cased.contains(&span.copy);
            self.stretches(span.copy, span.edge).iter().all(|s| match s.edging {
                Edging::Hemmed(_) | Edging::TurnedUnder(_) => true,
                Edging::Joined(_) => cased,
                _ => false,
            })
        });
        let Some(first) = casing.spans.first().copied() else { return };
        if !hemmed {
            let why = format!("there is no casing along {}", self.edge_name(&first));
            self.impossible(first, why, "hem it first, and leave an end of the hem open");
        }
        if length <= casing.length() {
            let why = format!(
                "the cord is {:.0} mm long and the casing {:.0} mm around",
                length.to_mm(),
                casing.length().to_mm()
            );
            self.impossible(first, why, "cut the cord longer than the casing, for the knots");
        }
    }

    /// Refuses what can only be done to a piece of which no edge has been sewn.
    pub fn needs_fresh(&mut self, copy: CopyId, what: &str) {
        let edges = self.pattern.piece_of(copy).net.edge_count();
        let sewn = (0..edges)
            .any(|edge| self.stretches(copy, edge).iter().any(|s| s.edging != Edging::Raw));
        if sewn {
            let why =
                format!("the {} is sewn already: it is too late to {what} it", self.name(copy));
            self.impossible(Self::at(copy), why, "do it before the first seam");
        }
    }

    /// Refuses to fold aside what does not hang free behind a slit.
    pub fn needs_hanging(&mut self, bag: CopyId) {
        if !self.is_pulled_through(bag) {
            let why =
                format!("the {} does not hang free: it cannot be folded aside", self.name(bag));
            self.impossible(Self::at(bag), why, "do it when it has been pulled through its slit");
        }
    }

    /// Refuses what can only be done while a panel lies flat.
    pub fn needs_flat(&mut self, copy: CopyId, what: &str) {
        if !self.lies_flat(copy) {
            let why = format!(
                "the {} is part of a bag already: it is too late to {what}",
                self.name(copy)
            );
            self.impossible(Self::at(copy), why, "do it while the panel lies flat");
        }
    }
}
