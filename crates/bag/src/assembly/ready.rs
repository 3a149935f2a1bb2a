//! What must be so before something can be done: refusals that several operations share.

use measure::{Length, Point};

use super::{Assembly, Edging, SideOut};
use crate::operations::{Line, Placed};
use crate::pattern::{CopyId, Run, Span};

/// A span may be so much longer than its edge: the rounding of sloped lengths.
const ROUNDING: Length = Length::nm(100_000);

impl Assembly<'_> {
    fn spot(copy: CopyId) -> Span {
        Span { copy, edge: 0, from: Length::ZERO, to: Length::ZERO }
    }

    /// Refuses to work on a body that lies in another, or around one, until the two are joined.
    pub(super) fn needs_free(&mut self, copy: CopyId) {
        let nested = self.within.iter().copied().find(|(inner, outer)| {
            let of_either = self.is_one_body(*inner, copy) || self.is_one_body(*outer, copy);
            of_either && !self.is_one_body(*inner, *outer)
        });
        let Some((inner, outer)) = nested else { return };
        let [name, inner, outer] =
            [copy, inner, outer].map(|copy| self.pattern.copy(copy).name.as_str());
        let why = format!(
            "the {name} cannot be got at: the bag with the {inner} lies in that with the {outer}"
        );
        self.impossible(Self::spot(copy), why, "do it before the one goes into the other");
    }

    /// Refuses to sew a piece by itself that is fastened to something already. True if so.
    pub(super) fn lies_fastened(&mut self, runs: &[Run]) -> bool {
        let copies: Vec<CopyId> = runs.iter().flat_map(Run::copies).collect();
        let fastened = self.riders.iter().find(|rider| {
            let loose = rider.held.is_empty() && rider.level.is_empty();
            copies.contains(&rider.what)
                && !copies.contains(&rider.onto)
                && !loose
                && !self.is_pulled_through(rider.what)
        });
        let Some(rider) = fastened else { return false };
        let (what, onto) = (rider.what, rider.onto);
        let [name, on] = [what, onto].map(|copy| self.pattern.copy(copy).name.as_str());
        let why = format!("the {name} is fastened to the {on} already, which would be sewn along");
        self.impossible(Self::spot(what), why, "do it before it is placed");
        true
    }

    /// Refuses to turn or topstitch by itself what lies on something already.
    pub(super) fn needs_unplaced(&mut self, copy: CopyId) {
        let body = self.body_copies(copy);
        let lying = self
            .riders
            .iter()
            .find(|rider| body.contains(&rider.what) && !body.contains(&rider.onto));
        if let Some((what, onto)) = lying.map(|rider| (rider.what, rider.onto)) {
            let [name, on] = [what, onto].map(|copy| self.pattern.copy(copy).name.as_str());
            let why = format!("the {name} lies on the {on} already");
            self.impossible(Self::spot(what), why, "do it before it is placed");
        }
    }

    /// Refuses to sew along more of an edge than there is. True if so.
    pub(super) fn runs_beyond(&mut self, runs: &[Run]) -> bool {
        let beyond = runs.iter().flat_map(|run| &run.spans).copied().find(|span| {
            let net = &self.pattern.piece_of(span.copy).net;
            let (_, to) = span.ordered();
            span.edge >= net.edge_count() || to > net.edge_length(span.edge) + ROUNDING
        });
        let Some(span) = beyond else { return false };
        let net = &self.pattern.piece_of(span.copy).net;
        let why = if span.edge < net.edge_count() {
            format!(
                "{} is {:.1} mm long, and is to be sewn for {:.1} mm",
                self.edge_name(&span),
                net.edge_length(span.edge).to_mm(),
                span.ordered().1.to_mm()
            )
        } else {
            let name = &self.pattern.copy(span.copy).name;
            format!("the {name} has no edge number {}", span.edge)
        };
        self.impossible(span, why, "sew along what there is, or cut the piece to its size");
        true
    }

    /// Refuses what needs a seam or a finished edge of each of these copies.
    pub fn needs_sewn(&mut self, copies: &[CopyId], what: &str) {
        let sewn = |copy: CopyId| {
            let net = &self.pattern.piece_of(copy).net;
            (0..net.edge_count()).any(|edge| {
                let done =
                    |s: &super::Stretch| !matches!(s.edging, Edging::Raw | Edging::Basted(..));
                self.stretches(copy, edge).iter().any(done)
            })
        };
        let Some(copy) = copies.iter().copied().find(|copy| !sewn(*copy)) else { return };
        let name = &self.pattern.copy(copy).name;
        let why = format!("no edge of the {name} has been sewn yet: there is nothing to {what}");
        self.impossible(Self::spot(copy), why, "do it after the seam");
    }

    /// Refuses what is done from the wrong side, once a shaped body has its right side out.
    pub fn needs_wrong_side(&mut self, copy: CopyId, what: &str) {
        if self.side_out(copy) == SideOut::Right {
            let name = &self.pattern.copy(copy).name;
            let why = format!(
                "the bag with the {name} has its right side out: its allowances lie inside, and it \
                 is too late to {what} them"
            );
            self.impossible(Self::spot(copy), why, "do it before turning");
        }
    }

    /// Topstitches round a mouth: everything that the row goes through must be one body by then,
    /// with its right side out.
    pub fn topstitch_round(&mut self, copies: &[CopyId]) {
        let Some(first) = copies.first().copied() else { return };
        self.needs_sewn(copies, "topstitch");
        let name = self.pattern.copy(first).name.clone();
        if let Some(other) = copies.iter().copied().find(|copy| !self.is_one_body(first, *copy)) {
            let other = &self.pattern.copy(other).name;
            let why = format!("the {name} and the {other} are not joined yet");
            self.impossible(Self::spot(first), why, "join them first");
        }
        if self.side_out(first) == SideOut::Wrong {
            let why = format!("the bag with the {name} is still wrong side out");
            self.impossible(Self::spot(first), why, "turn it right side out first");
        }
        // The row would go through the cuff and the bag behind it, and hold the one to the other.
        if self.sewn.turned_down.keys().any(|(copy, _)| copies.contains(copy)) {
            let why = format!("the top with the {name} is turned down already");
            self.impossible(Self::spot(first), why, "topstitch before it is turned down");
        }
    }

    /// Finishes raw edges, each once; two edges together when their seam is sewn; and none of
    /// which an end lies under a hem already.
    pub fn finish_raw(&mut self, run: &Run, together: bool) {
        if self.runs_beyond(std::slice::from_ref(run)) {
            return;
        }
        for span in run.spans.clone() {
            let stretches = self.stretches(span.copy, span.edge);
            let (from, to) = span.ordered();
            let again = stretches.iter().any(|s| s.finished && s.from < to && from < s.to);
            let sewn = stretches.iter().any(|s| s.edging != Edging::Raw);
            let named = self.edge_name(&span);
            if again {
                let why = format!("the allowance of {named} has been finished already");
                self.impossible(span, why, "finish it once");
            } else if together && !sewn {
                let why =
                    format!("{named} is not sewn yet: its allowances cannot be held together");
                self.impossible(span, why, "sew the seam first");
            } else if self.is_boxed_at(&span) {
                let why = format!("an end of {named} is sewn into a boxed corner already");
                self.impossible(span, why, "finish it before the corners are boxed");
            } else if self.is_under_hem(&span) {
                let why = format!("an end of the allowance of {named} lies under a hem already");
                self.impossible(span, why, "finish it before the hem is turned");
            }
        }
        self.finish(run);
    }

    /// Whether a corner at an end of this edge has been boxed.
    fn is_boxed_at(&self, span: &Span) -> bool {
        let boxed = &self.sewn.boxed;
        boxed.keys().any(|(copy, a, b)| *copy == span.copy && (*a == span.edge || *b == span.edge))
    }

    /// Whether an edge beside this one was hemmed after this one was sewn: the end of its allowance
    /// lies under the hem. An edge that is hemmed first has its hem in the seam.
    fn is_under_hem(&self, span: &Span) -> bool {
        let edges = self.pattern.piece_of(span.copy).net.edge_count().max(1);
        let sewn = self.stretches(span.copy, span.edge).iter().find_map(|s| match s.edging {
            Edging::Joined(step) => Some(step),
            _ => None,
        });
        let hemmed = |edge: usize, last: bool| {
            let stretches = self.stretches(span.copy, edge);
            let beside = if last { stretches.last() } else { stretches.first() };
            beside.is_some_and(
                |s| matches!(s.edging, Edging::Hemmed(by) if sewn.is_some_and(|step| step < by)),
            )
        };
        hemmed((span.edge + edges - 1) % edges, true) || hemmed((span.edge + 1) % edges, false)
    }

    /// Refuses to place what lies somewhere already, unless it lies there by one end, and is now laid by
    /// another that is raw yet. True if so.
    pub(super) fn lies_already(&mut self, item: &Placed) -> bool {
        let what = item.what;
        let Some(onto) = self.riders.iter().find(|rider| rider.what == what).map(|r| r.onto) else {
            return false;
        };
        let by_an_end =
            self.riders.iter().any(|rider| rider.what == what && !rider.level.is_empty());
        let raw = |edge: usize| {
            self.stretches(what, edge).iter().all(|stretch| stretch.edging == Edging::Raw)
        };
        if by_an_end && !item.level.is_empty() && item.level.iter().all(|(edge, ..)| raw(*edge)) {
            return false;
        }
        let [name, on] = [what, onto].map(|copy| self.pattern.copy(copy).name.as_str());
        let why = format!("the {name} lies on the {on} already");
        self.impossible(Self::spot(what), why, "place it once");
        true
    }

    /// Refuses to sew the same lines through the same thing again.
    pub(super) fn held_already(&mut self, what: CopyId, onto: CopyId, lines: &[Line]) {
        let again = !lines.is_empty()
            && self.riders.iter().any(|rider| {
                rider.what == what
                    && rider.onto == onto
                    && lines.iter().all(|line| rider.held.contains(line))
            });
        if again {
            let name = &self.pattern.copy(what).name;
            let why = format!("the {name} has been stitched along these lines already");
            self.impossible(Self::spot(what), why, "stitch it down once");
        }
    }

    /// Refuses to lay a thing over the feet of a strap on the same face of a panel, which would be
    /// hidden and sewn through.
    pub(super) fn covers_feet(&mut self, item: &Placed) {
        let Placed { what, onto, at, .. } = *item;
        let (width, height) = self.lying_size(what);
        let under = |point: Point| {
            point.x > at.x && point.x < at.x + width && point.y >= at.y && point.y < at.y + height
        };
        let covered = self.events.iter().find_map(|(_, event)| match event {
            super::Event::Placed { what: strap, onto: on, ground, feet, .. }
                if *on == onto
                    && *ground == item.ground
                    && feet.iter().any(|foot| under(foot.at)) =>
            {
                Some(*strap)
            }
            _ => None,
        });
        if let Some(strap) = covered {
            let [name, strap] = [what, strap].map(|copy| self.pattern.copy(copy).name.as_str());
            let why = format!("the {name} is laid over the {strap}, which lies there already");
            self.impossible(Self::spot(what), why, "place it before the strap");
        }
    }
}
