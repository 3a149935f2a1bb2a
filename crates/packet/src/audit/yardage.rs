//! Whether the yardage is enough: a layout that proves that it is, or a bound that proves that it
//! is not, or neither.

use layout::Stock;
use layout::{
    Item, Join, JoinAngle, JoinPlace, Layout, NoLayout, Problem, Rotation, Rotations, Shrinkage,
};
use measure::Length;

use bag::pattern::{Grain, StripPlace};

use super::judge::{Judge, counted};
use super::{FabricClaim, PieceClaim};

/// Name of the check on yardage.
const CHECK: &str = "yardage";
/// Name of the check on pieces that are too wide.
const FITS: &str = "fits-the-fabric";

/// How long a shorter layout is looked for: rounds for one piece, and the most rounds.
const SEARCH: (u32, u32) = (100_000, 2_000);
/// Seed of the search: any will do, and it is always the same.
const SEED: u64 = 20;

/// Of so many pieces at most a message says how many come out.
const MOST_TOLD: usize = 3;

/// The pieces of a fabric, laid as short as was found.
#[derive(Clone, Debug)]
pub struct LaidFabric {
    /// Which of the pattern's fabrics.
    pub fabric: usize,
    /// Its pieces.
    pub problem: Problem,
    /// The shortest layout that was found; none if a piece does not fit.
    pub layout: Option<Layout>,
    /// The length that the pattern gives, if it gives one.
    pub given: Option<Length>,
}

/// Judges every fabric that anything is cut from.
pub(super) fn judge(j: &mut Judge<'_>) -> Vec<LaidFabric> {
    let mut laid = Vec::new();
    for (index, fabric) in j.claims.fabrics.iter().enumerate() {
        let pieces = j.claims.pieces.iter().filter(|piece| piece.from.contains(&index));
        let items: Vec<Item> = pieces.map(|piece| item(piece, fabric)).collect();
        if items.iter().all(|item| item.count == 0) {
            continue;
        }
        let bolt = Bolt { number: index + 1, fabric, items };
        let problem = bolt.problem(j, fabric.usable_width);
        let layout = match layout::first(&problem) {
            Ok(layout) => Some(bolt.judge(j, &problem, layout)),
            Err(no) => {
                bolt.refuse(j, &no);
                None
            }
        };
        laid.push(LaidFabric { fabric: index, problem, layout, given: fabric.yardage });
    }
    laid
}

fn item(piece: &PieceClaim, fabric: &FabricClaim) -> Item {
    let rotations = rotations(piece.grain, fabric);
    let size = (piece.width, piece.height);
    let item = Item::rectangle(&piece.name, size, piece.count, rotations);
    match piece.join {
        Some(join) => item.joined(Join {
            most: join.most,
            allowance: join.allowance,
            angle: JoinAngle::Straight,
            place: match join.place {
                StripPlace::Centre => JoinPlace::Centre,
                StripPlace::Anywhere => JoinPlace::Anywhere,
                StripPlace::NearEnd(reach) => JoinPlace::WithinEnd(reach),
            },
        }),
        None => item,
    }
}

/// How a piece may lie. A piece of free grain may lie along or across; what has no grain, such as
/// most interfacing, takes every piece in any way.
fn rotations(grain: Grain, fabric: &FabricClaim) -> Rotations {
    match (if fabric.turnable { Grain::Free } else { grain }, fabric.one_way) {
        (Grain::Lengthwise, true) => Rotations::one_way(),
        (Grain::Lengthwise, false) => Rotations::along_the_grain(),
        (Grain::Crosswise, true) => Rotations::one_way_across(),
        (Grain::Crosswise, false) => Rotations::across_the_grain(),
        (Grain::Free, true) => Rotations::of([Rotation::None, Rotation::Quarter]),
        (Grain::Free, false) => Rotations::free(),
    }
}

/// A fabric with what is cut from it.
struct Bolt<'a> {
    /// Counted from 1.
    number: usize,
    fabric: &'a FabricClaim,
    items: Vec<Item>,
}

impl Bolt<'_> {
    fn problem(&self, j: &Judge<'_>, width: Length) -> Problem {
        let increments = j.claims.increments.clone();
        let mut problem = Problem::new(Stock::bolt(width, increments), self.items.clone());
        problem.squaring = j.claims.squaring;
        let fabric = self.fabric;
        problem.shrinkage =
            Shrinkage { lengthwise: fabric.shrinks_in_length, crosswise: fabric.shrinks_in_width };
        problem
    }

    /// The same on all that could be usable: the bought width, where the usable one was assumed.
    fn at_widest(&self, problem: &Problem) -> Problem {
        let mut widest = problem.clone();
        if !self.fabric.usable_given {
            let Stock::Bolt { width, .. } = &mut widest.stock else { return widest };
            *width = self.fabric.bought_width.max(*width);
        }
        widest
    }

    fn place(&self) -> String {
        format!("fabric[{}].yardage", self.number)
    }

    /// A piece does not fit at all.
    fn refuse(&self, j: &mut Judge<'_>, no: &NoLayout) {
        let name = &self.fabric.name;
        let usable = self.fabric.usable_width;
        let place = format!("fabric[{}].width", self.number);
        let NoLayout::TooWide(pieces) = no else {
            let cure = "mend the sizes and counts of its pieces".to_owned();
            j.wrong(FITS, &place, format!("{name}: {}", no.describe(j.system)), cure);
            return;
        };
        let widest = layout::first(&self.at_widest(&self.problem(j, usable)));
        for piece in pieces {
            let index = j.claims.pieces.iter().position(|claimed| claimed.name == piece.name);
            let place = index.map_or_else(|| place.clone(), |i| format!("piece[{}]", i + 1));
            let (long, wide) = j.pair(piece.wide_enough, piece.usable);
            let message = format!(
                "`{}` ({}) needs {long} across {name}, which has {wide} of usable width",
                piece.name,
                measure::show_size(piece.width, piece.length, j.system)
            );
            let mut cures = vec![format!("take {name} with {long} of usable width")];
            if piece.turn {
                cures.push("lay it the other way on the grain".to_owned());
            }
            match piece.joins {
                Some(1) => cures.push("join it once".to_owned()),
                Some(joins) => cures.push(format!("join it {joins} times")),
                None => {}
            }
            let cure = cures.join(", or ");
            match widest {
                // What is assumed of the selvedges proves nothing.
                Ok(_) => j.doubt(FITS, &place, message, cure),
                Err(_) => j.wrong(FITS, &place, message, cure),
            }
        }
    }

    /// Judges the yardage by a layout; the shortest layout that was found.
    fn judge(&self, j: &mut Judge<'_>, problem: &Problem, layout: Layout) -> Layout {
        let Some(given) = self.fabric.yardage else { return layout };
        let cloth = Cloth::of(problem, given);
        if cloth.holds(&layout) {
            self.enough(j, &layout, &cloth);
            return layout;
        }
        let count = u32::try_from(layout.placements.len()).unwrap_or(u32::MAX).max(1);
        let rounds = (SEARCH.0 / count).min(SEARCH.1);
        let layout = layout::refine(problem, &layout, rounds, SEED);
        if cloth.holds(&layout) {
            self.enough(j, &layout, &cloth);
            return layout;
        }
        let widest = layout::first(&self.at_widest(problem));
        let bound = widest.map_or(Length::ZERO, |widest| widest.bound);
        if bound > cloth.usable {
            self.too_short(j, &layout, &cloth, bound);
        } else {
            self.unproven(j, &layout, &cloth, bound);
        }
        layout
    }

    fn enough(&self, j: &mut Judge<'_>, layout: &Layout, cloth: &Cloth<'_>) {
        let name = &self.fabric.name;
        let given = j.cloth(cloth.given);
        let message = format!(
            "{given} of {name} is enough: {} take {} of {} ({})",
            counted(layout.placements.len() as u64, "piece"),
            j.show(layout.length),
            j.show(cloth.usable),
            layout.proof
        );
        j.fine(CHECK, &self.place(), message);
        if layout.bought < cloth.given {
            let over = j.cloth(cloth.given - layout.bought);
            let less = j.cloth(layout.bought);
            let message = format!("{given} of {name} is generous by {over}: {less} would do");
            let cure = format!("buy {less}, as the layout shows; or keep {over} to spare");
            j.note(CHECK, &self.place(), message, cure);
        }
    }

    fn too_short(&self, j: &mut Judge<'_>, layout: &Layout, cloth: &Cloth<'_>, bound: Length) {
        let name = &self.fabric.name;
        let more = if layout.bound == layout.length {
            String::new()
        } else {
            format!(" (the shortest layout found takes {})", j.show(layout.length))
        };
        let (least, gives) = j.pair(bound, cloth.usable);
        let message = format!(
            "{} of {name} is too short by {}: it gives {gives}{}, and its pieces take {least} at \
             least{more}{}",
            j.cloth(cloth.given),
            j.up(bound - cloth.usable),
            self.losses(j),
            self.come_out(cloth),
        );
        let cure = self.buy(j, layout, cloth);
        j.wrong(CHECK, &self.place(), message, cure);
    }

    fn unproven(&self, j: &mut Judge<'_>, layout: &Layout, cloth: &Cloth<'_>, bound: Length) {
        let name = &self.fabric.name;
        let (found, gives) = j.pair(layout.length, cloth.usable);
        let assumed = if self.fabric.usable_given {
            String::new()
        } else {
            format!(" on {} of usable width, which is assumed", j.show(self.fabric.usable_width))
        };
        let message = format!(
            "no layout was found that fits on {} of {name}: it gives {gives}{}, and the shortest \
             found takes {found}{assumed}; {} at least is proven{}",
            j.cloth(cloth.given),
            self.losses(j),
            j.show(bound),
            self.come_out(cloth),
        );
        let cure = self.buy(j, layout, cloth);
        j.doubt(CHECK, &self.place(), message, cure);
    }

    /// What is lost of the yardage before it is cut, in words.
    fn losses(&self, j: &Judge<'_>) -> String {
        let mut losses = Vec::new();
        if self.fabric.shrinks_in_length > 0 {
            losses.push("washing".to_owned());
        }
        if j.claims.squaring.is_positive() {
            losses.push("squaring up".to_owned());
        }
        if losses.is_empty() { String::new() } else { format!(" after {}", losses.join(" and ")) }
    }

    /// What to buy instead, and whether turning the pieces would help.
    fn buy(&self, j: &Judge<'_>, layout: &Layout, cloth: &Cloth<'_>) -> String {
        let buy = format!(
            "buy {}, as the layout shows ({} used, {})",
            j.cloth(layout.bought),
            j.show(layout.length),
            layout.proof
        );
        let mut turned = cloth.problem.clone();
        for item in &mut turned.pieces {
            item.rotations = Rotations::free();
        }
        match layout::first(&turned) {
            Ok(layout) if cloth.holds(&layout) => {
                format!("{buy}; or let its pieces lie across the grain, and they fit")
            }
            _ => buy,
        }
    }

    /// Of each piece that does not come out even if nothing else is cut, how many do.
    fn come_out(&self, cloth: &Cloth<'_>) -> String {
        let mut words = String::new();
        let widest = self.at_widest(cloth.problem);
        let mut told = 0;
        for item in &self.items {
            if told == MOST_TOLD {
                break;
            }
            let some = most_alone(cloth.problem, item, |layout| layout.length <= cloth.usable);
            if some >= item.count {
                continue;
            }
            let most = most_alone(&widest, item, |layout| layout.bound <= cloth.usable);
            told += 1;
            let of = format!("of {} listed `{}`", item.count, item.name);
            words.push_str(&if most <= some {
                format!("; {of}, {some} {}", if some == 1 { "comes out" } else { "come out" })
            } else {
                format!("; {of}, {some} for certain and {most} at most come out")
            });
        }
        words
    }
}

/// The most of one piece, none else being cut, of which the first layout is as asked.
fn most_alone(problem: &Problem, item: &Item, is_so: impl Fn(&Layout) -> bool) -> u32 {
    let mut alone = problem.clone();
    alone.pieces = vec![item.clone()];
    search(item.count, |count| {
        for item in &mut alone.pieces {
            item.count = count;
        }
        layout::first(&alone).is_ok_and(|layout| is_so(&layout))
    })
}

/// The greatest count up to `most` for which `serves` holds, if it holds for all below; none
/// serves always.
fn search(most: u32, mut serves: impl FnMut(u32) -> bool) -> u32 {
    let (mut low, mut high) = (0, most);
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        if serves(middle) {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    low
}

/// A length of cloth as the pattern gives it.
struct Cloth<'a> {
    problem: &'a Problem,
    /// As bought.
    given: Length,
    /// What is left of it after washing and squaring up.
    usable: Length,
}

impl<'a> Cloth<'a> {
    fn of(problem: &'a Problem, given: Length) -> Self {
        let usable = problem.shrinkage.after_washing(given) - problem.squaring;
        Self { problem, given, usable: usable.max(Length::ZERO) }
    }

    fn holds(&self, layout: &Layout) -> bool {
        layout.length <= self.usable
    }
}
