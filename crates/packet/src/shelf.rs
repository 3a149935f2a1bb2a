//! Whether a bag can be cut from the pieces of fabric that there are, how they are cut, and what is
//! left of them.

use bag::pattern::MaterialId;
use layout::{Layout, Placement, Problem, Shape, Stock};
use measure::{Area, Length};

use crate::Packet;
use crate::cut::Source;

/// A piece of fabric that there is, with the grain along its length.
#[derive(Clone, Debug, PartialEq)]
pub struct Remnant {
    /// The name of the fabric, if it serves for that alone.
    pub name: Option<String>,
    /// What can be used of it, its width across the grain.
    pub shape: Shape,
}

impl Remnant {
    /// A rectangle: width across the grain × length.
    pub fn rectangle(name: Option<String>, width: Length, length: Length) -> Self {
        Self { name, shape: Shape::Rect { width, length } }
    }
}

/// What a bag is cut from.
#[derive(Clone, Debug)]
pub struct FromShelf {
    /// Each fabric, how it lies, and on which of the remnants, by index.
    pub cloths: Vec<ShelfCloth>,
    /// The largest rectangle that is left of each remnant: width × length; all of it, if it is not
    /// touched.
    pub rest: Vec<(Length, Length)>,
    /// The remnants that are not touched.
    pub whole: Vec<usize>,
}

/// One fabric of a bag, laid on remnants.
#[derive(Clone, Debug)]
pub struct ShelfCloth {
    /// Which fabric.
    pub material: MaterialId,
    /// The problem that was laid out; its remnants are those of `on`.
    pub problem: Problem,
    /// Where its pieces lie.
    pub layout: Layout,
    /// The remnants, by index; a placement's `stock` is a place in this list.
    pub on: Vec<usize>,
}

/// Why no way was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotFromShelf {
    /// The pieces have more area than all the remnants that serve for them: it cannot be done.
    TooLittle(String),
    /// No layout was found for this fabric; there may be one.
    NotFound(String),
}

impl FromShelf {
    /// The largest rectangle that is left of any remnant.
    pub fn best_rest(&self) -> Area {
        self.rest
            .iter()
            .map(|(width, length)| Area::rectangle(*width, *length))
            .max_by_key(|area| area.to_nm2())
            .unwrap_or(Area::ZERO)
    }
}

/// Fabrics of one bag that are given turns in which to take remnants; with more, only the first turns
/// are tried.
const MOST_TURNS: usize = 24;

/// Lays the fabrics of a bag on remnants, each remnant for one fabric; interfacing and webbing are
/// taken to be there. Fabrics take their turn in every order until all are laid.
///
/// # Errors
/// Why not; see [`NotFromShelf`].
pub fn from_shelf(packet: &Packet, shelf: &[Remnant]) -> Result<FromShelf, NotFromShelf> {
    let fabrics: Vec<(MaterialId, &Problem)> = packet
        .cuts
        .iter()
        .filter(|cut| cut.source == Source::Fabric)
        .map(|cut| (cut.material, &cut.sheet.problem))
        .collect();
    let name = |material: MaterialId| packet.pattern.material(material).name.clone();
    for (material, problem) in &fabrics {
        let there: i128 = serving(&name(*material), shelf, &[])
            .into_iter()
            .map(|at| shelf[at].shape.area().to_nm2())
            .sum();
        if wanted(problem).to_nm2() > there {
            return Err(NotFromShelf::TooLittle(name(*material)));
        }
    }
    let mut trouble = None;
    for order in orders(fabrics.len()).into_iter().take(MOST_TURNS) {
        let mut taken: Vec<usize> = Vec::new();
        let mut cloths = Vec::new();
        for at in order {
            let (material, problem) = fabrics[at];
            match lay(problem, &name(material), shelf, &taken) {
                Some((problem, layout, on)) => {
                    let used = layout.placements.iter().map(|placement| on[placement.stock]);
                    taken.extend(used);
                    cloths.push(ShelfCloth { material, problem, layout, on });
                }
                None => {
                    trouble = trouble.or(Some(name(material)));
                    break;
                }
            }
        }
        if cloths.len() == fabrics.len() {
            cloths.sort_by_key(|cloth| cloth.material);
            return Ok(left(cloths, shelf));
        }
    }
    Err(NotFromShelf::NotFound(trouble.unwrap_or_default()))
}

/// Every order of so many things, the given one first.
fn orders(count: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|order: Vec<usize>| {
                let next = (0..count).filter(|at| !order.contains(at)).collect::<Vec<_>>();
                next.into_iter().map(move |at| [order.as_slice(), &[at]].concat())
            })
            .take(MOST_TURNS * 8)
            .collect();
    }
    all
}

fn wanted(problem: &Problem) -> Area {
    let one = |item: &layout::Item| item.shape.area().to_nm2() * i128::from(item.count);
    Area::nm2(problem.pieces.iter().map(one).sum::<i128>() * i128::from(problem.copies))
}

/// The remnants that serve for a fabric and are not taken: those of its name first.
fn serving(name: &str, shelf: &[Remnant], taken: &[usize]) -> Vec<usize> {
    let serves = |at: &usize| {
        !taken.contains(at) && shelf[*at].name.as_deref().is_none_or(|own| own == name)
    };
    let mut all: Vec<usize> = (0..shelf.len()).filter(serves).collect();
    all.sort_by_key(|at| shelf[*at].name.is_none());
    all
}

/// Lays a fabric on as few remnants as goes: on one alone, the smallest first; else on all together.
fn lay(
    problem: &Problem,
    name: &str,
    shelf: &[Remnant],
    taken: &[usize],
) -> Option<(Problem, Layout, Vec<usize>)> {
    let all = serving(name, shelf, taken);
    let mut alone: Vec<Vec<usize>> = all.iter().map(|at| vec![*at]).collect();
    alone.sort_by_key(|on| {
        let at = on[0];
        (shelf[at].name.is_none(), shelf[at].shape.area().to_nm2())
    });
    let wanted = wanted(problem).to_nm2();
    alone.push(all);
    alone.into_iter().find_map(|on| {
        let there: i128 = on.iter().map(|at| shelf[*at].shape.area().to_nm2()).sum();
        if on.is_empty() || there < wanted {
            return None;
        }
        let shape = |at: &usize| shelf[*at].shape.clone();
        let mut own = problem.clone();
        own.stock = Stock::Remnants(on.iter().map(shape).collect());
        own.squaring = Length::ZERO;
        own.cutting = layout::Cutting::Free;
        let layout = layout::first(&own).ok()?;
        let fits =
            |layout: &Layout| layout.fit.as_ref().is_some_and(|fit| fit.left_over.is_empty());
        let ruled_out = layout.fit.as_ref().is_some_and(|fit| fit.is_proven);
        if !fits(&layout) && ruled_out {
            return None;
        }
        let layout =
            if fits(&layout) { layout } else { layout::refine(&own, &layout, ROUNDS, SEED) };
        fits(&layout).then_some((own, layout, on))
    })
}

/// Rounds of looking for a layout, and the seed of the search.
const ROUNDS: u32 = 60;
const SEED: u64 = 20;

fn left(cloths: Vec<ShelfCloth>, shelf: &[Remnant]) -> FromShelf {
    let mut on: Vec<Vec<Placement>> = vec![Vec::new(); shelf.len()];
    for cloth in &cloths {
        for placement in &cloth.layout.placements {
            on[cloth.on[placement.stock]].push(*placement);
        }
    }
    let free = |(remnant, laid): (&Remnant, &Vec<Placement>)| {
        let rest = layout::largest_free(&remnant.shape, laid);
        rest.map_or((Length::ZERO, Length::ZERO), |rest| (rest.width, rest.length))
    };
    let rest = shelf.iter().zip(&on).map(free).collect();
    let whole = (0..shelf.len()).filter(|at| on[*at].is_empty()).collect();
    FromShelf { cloths, rest, whole }
}

#[cfg(test)]
mod tests {
    use bag::Design;
    use measure::Units;
    use proptest::prelude::*;

    use super::*;

    fn tote() -> Packet {
        let body = bag::bodies::find("boxed").expect("it is in the list");
        crate::build(&Design::of(body, Units::Inch)).packet.expect("it can be made")
    }

    fn remnant(name: &str, width: i64, length: i64) -> Remnant {
        let name = (!name.is_empty()).then(|| name.to_owned());
        Remnant::rectangle(name, Length::inch(width), Length::inch(length))
    }

    #[test]
    fn a_bag_is_cut_from_what_is_there() {
        let packet = tote();
        // What its own packet buys is enough, and so is one piece of each that is as large.
        let shelf = [remnant("outside fabric", 42, 32), remnant("", 42, 18), remnant("", 60, 60)];
        let found = from_shelf(&packet, &shelf).expect("it can be cut");
        assert_eq!(found.whole, [2], "the smaller of two pieces is taken");
        assert_eq!(found.rest[2], (Length::inch(60), Length::inch(60)));
        for cloth in &found.cloths {
            assert_eq!(layout::verify(&cloth.problem, &cloth.layout), Ok(()));
        }
        // A name keeps a piece for that fabric.
        let wrong = [remnant("lining fabric", 60, 60), remnant("felt", 60, 60)];
        assert_eq!(
            from_shelf(&packet, &wrong).err(),
            Some(NotFromShelf::TooLittle("outside fabric".to_owned()))
        );
        assert!(from_shelf(&packet, &[]).is_err());
    }

    #[test]
    fn a_remnant_with_a_corner_cut_away_serves() {
        let packet = tote();
        let inch = |x, y| measure::Point::new(Length::inch(x), Length::inch(y));
        let corners = [(0, 0), (60, 0), (60, 60), (20, 60), (20, 40), (0, 40)];
        let outline = measure::Outline::polygon(corners.map(|(x, y)| inch(x, y))).unwrap();
        let shelf = [
            Remnant { name: None, shape: Shape::Outline(outline) },
            remnant("lining fabric", 42, 30),
        ];
        let found = from_shelf(&packet, &shelf).expect("it can be cut");
        for cloth in &found.cloths {
            assert_eq!(layout::verify(&cloth.problem, &cloth.layout), Ok(()));
        }
        // What is left of it lies within it: no more than its area less that of the pieces.
        let rest = Area::rectangle(found.rest[0].0, found.rest[0].1).to_nm2();
        let outside = found.cloths.iter().find(|cloth| cloth.on[0] == 0).expect("it is used");
        let there = shelf[0].shape.area().to_nm2() - wanted(&outside.problem).to_nm2();
        assert!(rest > 0 && rest <= there, "{rest} of {there}");
    }

    #[test]
    fn what_is_left_is_the_largest_clear_rectangle() {
        let inch = Length::inch;
        let at = |x, y, width, length| {
            Placement::new(0, 0, (inch(x), inch(y)), (inch(width), inch(length)))
        };
        // By hand: a 10 × 20 piece with 4 × 6 in its corner leaves 10 × 14 above, or 6 × 20 beside.
        let laid = at(0, 0, 4, 6);
        assert_eq!(largest_free(&remnant("", 10, 20), &[&laid]), (inch(10), inch(14)));
        assert_eq!(largest_free(&remnant("", 10, 20), &[]), (inch(10), inch(20)));
        let all = at(0, 0, 10, 20);
        assert_eq!(largest_free(&remnant("", 10, 20), &[&all]), (inch(0), inch(0)));
    }

    fn largest_free(remnant: &Remnant, laid: &[&Placement]) -> (Length, Length) {
        let laid: Vec<Placement> = laid.iter().map(|it| **it).collect();
        let rest = layout::largest_free(&remnant.shape, &laid);
        rest.map_or((Length::ZERO, Length::ZERO), |rest| (rest.width, rest.length))
    }

    proptest! {
        #[test]
        fn no_larger_rectangle_is_clear(
            boxes in proptest::collection::vec((0_i64..9, 0_i64..9, 1_i64..5, 1_i64..5), 0..5),
        ) {
            let inch = Length::inch;
            let laid: Vec<Placement> = boxes
                .iter()
                .map(|(x, y, w, l)| {
                    let size = (inch((*w).min(10 - x)), inch((*l).min(10 - y)));
                    Placement::new(0, 0, (inch(*x), inch(*y)), size)
                })
                .collect();
            let laid: Vec<&Placement> = laid.iter().collect();
            let (width, length) = largest_free(&remnant("", 10, 10), &laid);
            let found = Area::rectangle(width, length).to_nm2();
            let clear = |x: i64, y: i64, w: i64, l: i64| {
                laid.iter().all(|it| {
                    it.x >= inch(x + w) || it.x + it.width <= inch(x)
                        || it.y >= inch(y + l) || it.y + it.length <= inch(y)
                })
            };
            let mut best = 0;
            for x in 0..10 { for y in 0..10 { for w in 1..=10 - x { for l in 1..=10 - y {
                if clear(x, y, w, l) {
                    best = best.max(Area::rectangle(inch(w), inch(l)).to_nm2());
                }
            } } } }
            prop_assert_eq!(found, best);
        }
    }
}
