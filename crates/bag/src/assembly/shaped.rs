//! What makes a piece lie otherwise than it was cut: fullness that is taken in, elastic, and what is
//! pulled through a slit.

use measure::{Length, Point};

use super::{Assembly, Edging, Event, Reachable, SideOut};
use crate::operations::{Line, Over};
use crate::pattern::{CopyId, Run, Span};

/// Fullness of no more than this many layers can be pleated or gathered (common practice, no
/// source).
const MOST_FULL: i64 = 3;
/// Two ways of taking in one piece may differ by so much.
const EVEN: Length = Length::MM;

impl Assembly<'_> {
    /// Takes in the fullness of an edge: the piece lies so wide from side to side.
    pub fn take_in(&mut self, copy: CopyId, edge: usize, to: Length) {
        let run = Run::edge(self.pattern, copy, edge);
        let Some(first) = run.spans.first().copied() else { return };
        if let Some(span) = self.taken(&run) {
            let why = format!("{} has been sewn already", self.edge_name(&span));
            self.impossible(span, why, "take in its fullness before it is sewn");
            return;
        }
        if to * MOST_FULL < run.length() {
            let why = format!(
                "{} is {:.0} mm long and is to be taken in to {:.0} mm",
                self.edge_name(&first),
                run.length().to_mm(),
                to.to_mm()
            );
            self.impossible(first, why, "cut the piece no more than three times as wide");
        }
        self.draw_in(first, run.length(), to);
    }

    /// Draws an elastic through a hem, which then measures so much.
    pub fn elastic(&mut self, casing: &Run, to: Length) {
        let Some(first) = casing.spans.first().copied() else { return };
        let hemmed = casing.spans.iter().all(|span| {
            let stretches = self.stretches(span.copy, span.edge);
            stretches.iter().all(|s| matches!(s.edging, Edging::Hemmed(_)))
        });
        if !hemmed {
            let why = format!("there is no casing along {}", self.edge_name(&first));
            self.impossible(first, why, "hem it first");
        }
        self.needs_unplaced(first.copy);
        self.draw_in(first, casing.length(), to);
    }

    /// Notes that a piece lies so wide, unless that is wider than it is, or it lies otherwise.
    fn draw_in(&mut self, at: Span, long: Length, to: Length) {
        let name = &self.pattern.copy(at.copy).name;
        if to > long {
            let why = format!(
                "the {name} is {:.0} mm wide there, and is to be drawn in to {:.0} mm",
                long.to_mm(),
                to.to_mm()
            );
            self.impossible(at, why, "cut it wider, or take a shorter elastic");
            return;
        }
        let before = self.drawn.insert(at.copy, to);
        if let Some(before) = before.filter(|before| (*before - to).abs() > EVEN) {
            let why = format!(
                "one edge of the {name} is drawn in to {:.0} mm, and the other to {:.0} mm",
                before.to_mm(),
                to.to_mm()
            );
            self.impossible(at, why, "draw in both to the width at which it is sewn on");
        }
    }

    /// Pulls what is stitched round a slit through it.
    pub fn pull_through(&mut self, what: CopyId, panel: CopyId) {
        let at = Span { copy: what, edge: 0, from: Length::ZERO, to: Length::ZERO };
        let faced = self.slits.iter().any(|slit| slit.copy == panel && slit.faced_by == Some(what));
        if faced {
            self.pulled.push(what);
            self.record(Event::PulledThrough { what, panel });
        } else {
            let [name, on] = [what, panel].map(|copy| self.pattern.copy(copy).name.as_str());
            let why = format!("no slit in the {on} goes through the {name} too");
            let cure =
                "stitch it round the place of the slit, cut the slit, and then pull it through";
            self.impossible(at, why, cure);
        }
    }

    /// What was stitched last all round a place of a panel, so that a slit there goes through it too.
    pub(super) fn stitched_round(&self, panel: CopyId, from: Point, to: Point) -> Option<CopyId> {
        let round = |rider: &&super::Rider| {
            let points = || rider.held.iter().flat_map(|line| [line.from, line.to]);
            let (xs, ys) = (points().map(|p| p.x), points().map(|p| p.y));
            let low = xs.clone().min().zip(ys.clone().min());
            let high = xs.max().zip(ys.max());
            let (Some(low), Some(high)) = (low, high) else { return false };
            let within = |p: Point| low.0 <= p.x && p.x <= high.0 && low.1 < p.y && p.y < high.1;
            rider.onto == panel && within(from) && within(to)
        };
        self.riders.iter().rev().find(round).map(|rider| rider.what)
    }

    /// Fells the allowance of a seam that is sewn: what is folded over must reach round what is left
    /// of the other.
    pub fn fell(&mut self, run: &Run, trim: Length) {
        let wide = run
            .spans
            .iter()
            .filter_map(|span| self.sewn.taken.get(&(span.copy, span.edge)))
            .min()
            .copied();
        if let (Some(span), Some(wide)) = (run.spans.first(), wide)
            && (!trim.is_positive() || trim * 2 > wide)
        {
            let why = format!(
                "an allowance of {:.0} mm cannot be folded over one that is trimmed to {:.0} mm",
                wide.to_mm(),
                trim.to_mm()
            );
            self.impossible(*span, why, "trim the lower one to less than half of the upper one");
        }
        self.finish_raw(run, true);
    }

    /// Pierces panels at points. All layers of a flat thing are gone through at once, on purpose.
    pub fn pierce_layers(&mut self, at: &[(CopyId, Point)]) {
        for (copy, point) in at {
            let whole = self.body_copies(*copy);
            let meant = whole.len() > 1
                && whole.iter().all(|part| at.iter().any(|(other, _)| other == part));
            if meant {
                self.record(Event::Stitched {
                    what: Vec::new(),
                    onto: *copy,
                    lines: vec![Line { from: *point, to: *point }],
                    reach: Reachable::Flat,
                });
            } else {
                self.pierce(*copy, *point);
            }
        }
    }

    /// Turns the top of a finished bag down.
    pub fn turn_down(&mut self, rim: &Run, depth: Length, over: Over) {
        let Some(first) = rim.spans.first().copied() else { return };
        self.needs_free(first.copy);
        if self.side_out(first.copy) != SideOut::Right {
            let name = &self.pattern.copy(first.copy).name;
            let why = format!("the bag with the {name} does not have its right side out yet");
            self.impossible(first, why, "turn its top down when it is finished");
        }
        let raw = rim.spans.iter().copied().find(|span| {
            let stretches = self.stretches(span.copy, span.edge);
            stretches.iter().any(|s| matches!(s.edging, Edging::Raw | Edging::Basted(..)))
        });
        if let Some(span) = raw {
            let why = format!("{} is still raw", self.edge_name(&span));
            self.impossible(span, why, "finish the rim before it is turned down");
        }
        for span in &rim.spans {
            self.sewn.turned_down.insert((span.copy, span.edge), depth);
        }
        self.record(Event::TurnedDown { rim: rim.clone(), depth, over });
    }

    /// Width and height of a piece as it lies, its fullness taken in.
    pub fn lying_size(&self, copy: CopyId) -> (Length, Length) {
        let (width, height) = self.pattern.piece_of(copy).net_size();
        (self.drawn.get(&copy).copied().unwrap_or(width), height)
    }

    /// Where a point of a piece comes on what it lies on.
    pub fn lying_point(&self, rider: &super::Rider, point: Point) -> Point {
        let at = rider.at;
        let (low, high) = self.pattern.piece_of(rider.what).net.bounds();
        let (across, up) = if rider.upside_down {
            (high.x - point.x, high.y - point.y)
        } else {
            (point.x - low.x, point.y - low.y)
        };
        let across = match self.drawn.get(&rider.what) {
            Some(to) if high.x > low.x => {
                let part = i128::from(across.to_nm()) * i128::from(to.to_nm());
                let whole = i128::from((high.x - low.x).to_nm());
                Length::nm(i64::try_from(part / whole).unwrap_or(0))
            }
            _ => across,
        };
        Point::new(at.x + across, at.y + up)
    }

    /// Whether it was pulled through a slit: it hangs behind the panel, held at the slit only.
    pub fn is_pulled_through(&self, copy: CopyId) -> bool {
        self.pulled.contains(&copy)
    }
}
