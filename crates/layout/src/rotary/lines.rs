//! The cuts of a layout in strips, in the order in which they are made: the fabric is divided if it
//! has to be, then all strips are cut, then all cross cuts are made, then everything is trimmed.

use measure::Length;

use super::kinds::{Block, Job};
use super::lanes::{Laid, Lanes};
use crate::{CutKind, CutLine, Off, Part};

/// What a part is divided into along one direction: how far each goes, and what it is.
type Children = Vec<(Length, Off)>;

/// All cuts. `order` says for each strip, block and member in turn which placement it is.
pub(crate) fn lines(
    gap: Length,
    longest: Option<Length>,
    lanes: &Lanes,
    fabric: (Length, Length),
    job: &Job,
    laid: &[Laid],
    order: &[usize],
) -> Vec<CutLine> {
    let mut lines = Lines { gap, longest, layers: lanes.layers, cuts: Vec::new(), job };
    let whole =
        Part { stock: 0, x: Length::ZERO, y: Length::ZERO, width: fabric.0, length: fabric.1 };
    let mut order = order.iter().copied();
    let mut of_lanes: Vec<(Part, Children)> = Vec::new();
    for one in laid {
        let lane = Part { x: one.x, width: lanes.width, ..whole };
        if of_lanes.last().is_none_or(|(part, _)| part.x != one.x) {
            of_lanes.push((lane, Vec::new()));
        }
        let high = Length::nm(one.strip.height) - gap;
        let part = Part { y: one.y, length: high, ..lane };
        let off = lines.strip(part, &one.strip.blocks, &mut order);
        if let Some((_, strips)) = of_lanes.last_mut() {
            strips.push((high, off));
        }
    }
    if lanes.count > 1 {
        let lane = |(part, _): &(Part, Children)| (part.width, Off::Part(*part));
        let children: Vec<_> = of_lanes.iter().map(lane).collect();
        lines.split(CutKind::Divide, whole, false, &children);
    }
    for (lane, strips) in &of_lanes {
        let lane = if lanes.count > 1 { *lane } else { whole };
        lines.split(CutKind::Strip, lane, true, strips);
    }
    let mut cuts = lines.cuts;
    cuts.sort_by_key(|cut| cut.kind);
    cuts
}

struct Lines<'a> {
    gap: Length,
    longest: Option<Length>,
    layers: u32,
    cuts: Vec<CutLine>,
    job: &'a Job,
}

impl Lines<'_> {
    /// The cuts within a strip; what it is when it comes off.
    fn strip(
        &mut self,
        part: Part,
        blocks: &[Block],
        order: &mut impl Iterator<Item = usize>,
    ) -> Off {
        let mut x = part.x;
        let mut children = Vec::new();
        for block in blocks {
            let width = Length::nm(block.width) - self.gap;
            let off = self.block(Part { x, width, ..part }, block, order);
            children.push((width, off));
            x += Length::nm(block.width);
        }
        self.split(CutKind::Cross, part, false, &children)
    }

    /// The trims of a block; what it is when it comes off.
    fn block(&mut self, part: Part, block: &Block, order: &mut impl Iterator<Item = usize>) -> Off {
        let mut y = part.y;
        let mut children = Vec::new();
        let mut wide = Vec::new();
        for &member in &block.stack {
            let way = self.job.way(member);
            let (width, length) =
                (Length::nm(way.width) - self.gap, Length::nm(way.height) - self.gap);
            let row = Part { y, length, ..part };
            let piece = order.next().map_or(Off::Waste(row), Off::Piece);
            let is_just_as_wide = width == part.width;
            children.push((length, if is_just_as_wide { piece } else { Off::Part(row) }));
            if !is_just_as_wide {
                wide.push((row, (width, piece)));
            }
            y += Length::nm(way.height);
        }
        let off = self.split(CutKind::Trim, part, true, &children);
        for (row, child) in wide {
            self.split(CutKind::Trim, row, false, &[child]);
        }
        off
    }

    /// Cuts a part from its beginning on into these; what the part is: the one child that it just
    /// is, or a part that is cut up.
    fn split(
        &mut self,
        kind: CutKind,
        part: Part,
        across: bool,
        children: &[(Length, Off)],
    ) -> Off {
        let mut rest = part;
        for (index, &(far, off)) in children.iter().enumerate() {
            if far == extent(rest, across) {
                return if index == 0 { off } else { Off::Part(part) };
            }
            let next = cut_off(rest, across, far + self.gap);
            let left = match children.get(index + 1) {
                None => Off::Waste(next),
                Some(&(far, child)) if far == extent(next, across) => child,
                Some(_) => Off::Part(next),
            };
            let (from, to) = if across {
                ((rest.x, rest.y + far), (rest.x + rest.width, rest.y + far))
            } else {
                ((rest.x + far, rest.y), (rest.x + far, rest.y + rest.length))
            };
            let layers = self.layers(kind, rest);
            self.cuts.push(CutLine { kind, part: rest, from, to, layers, off, left });
            rest = next;
        }
        Off::Part(part)
    }

    /// Through how many layers the part is cut. Strips are cut from folded fabric; to be divided
    /// lengthwise it is folded end to end until the cut is short enough.
    fn layers(&self, kind: CutKind, part: Part) -> u32 {
        match kind {
            CutKind::Strip => self.layers,
            CutKind::Divide => self.longest.map_or(1, |longest| {
                let times = (part.length.to_nm() - 1) / longest.to_nm().max(1) + 1;
                u32::try_from(times.max(1)).unwrap_or(1)
            }),
            CutKind::Cross | CutKind::Trim => 1,
        }
    }
}

fn extent(part: Part, across: bool) -> Length {
    if across { part.length } else { part.width }
}

/// What is left beyond a cut; nothing when the cut takes it all.
fn cut_off(part: Part, across: bool, far: Length) -> Part {
    let far = far.min(extent(part, across));
    if across {
        Part { y: part.y + far, length: part.length - far, ..part }
    } else {
        Part { x: part.x + far, width: part.width - far, ..part }
    }
}
