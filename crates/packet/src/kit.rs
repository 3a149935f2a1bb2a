//! Several bags cut at once, for a class or a batch: one layout for each cloth over all of them,
//! what to buy together, how many layers may lie on each other, and what goes into each bundle.

use bag::pattern::notion::{Counter, Sold};
use bag::pattern::{Form, MaterialId, Notion};
use layout::{Cutting, Layout, NoLayout, Problem};
use measure::Length;

use crate::cut::{Cut, Source};
use crate::takes::{Pace, Takes};
use crate::{LaidPiece, Packet};

/// Bags of one design in a kit.
#[derive(Clone, Debug)]
pub struct KitBag {
    /// Its packet.
    pub packet: Packet,
    /// How many are handed out.
    pub wanted: u32,
    /// How many are cut: the spare ones with them.
    pub cut: u32,
}

/// Everything for a class or a batch.
#[derive(Clone, Debug)]
pub struct Kit {
    /// The bags, by design.
    pub bags: Vec<KitBag>,
    /// Each cloth, with the pieces of all bags that are cut from it.
    pub cloths: Vec<KitCloth>,
    /// Webbing by name.
    pub webbing: Vec<KitWebbing>,
    /// Thread by the cloth that it matches.
    pub threads: Vec<KitThread>,
    /// Small things, by the counters of the shop.
    pub notions: Vec<KitNotion>,
}

/// What is the same small thing in the shop, for all bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitNotion {
    /// One of it; how many are needed of each length stands in [`KitNotion::each`].
    pub notion: Notion,
    /// For each of the kit's designs how many all its bags need.
    pub each: Vec<i64>,
    /// For each of the kit's designs how much they need, where it is sold by length.
    pub run: Vec<Length>,
    /// What is bought of what is sold by length.
    pub bought: Option<Length>,
}

impl KitNotion {
    /// How many for all bags.
    pub fn count(&self) -> i64 {
        self.each.iter().sum()
    }

    /// Where it lies in the shop.
    pub const fn counter(&self) -> Counter {
        self.notion.kind.counter
    }
}

/// Thread for all bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitThread {
    /// The name of the cloth that it matches.
    pub matches: String,
    /// How much.
    pub length: Length,
    /// How much of it for each of the kit's designs.
    pub each: Vec<Length>,
}

/// One cloth for all bags.
#[derive(Clone, Debug)]
pub struct KitCloth {
    /// A bag that uses it, and which of its materials it is.
    pub of: (usize, MaterialId),
    /// Whether it is a fabric or an interfacing.
    pub source: Source,
    /// All pieces.
    pub problem: Problem,
    /// What each of the problem's pieces is: of which bag, and what it stands for.
    pub pieces: Vec<(usize, LaidPiece)>,
    /// Where everything lies, cut through one layer; or why it cannot.
    pub layout: Result<Layout, NoLayout>,
    /// What it would come to if each bag were bought for by itself, as far as each fits.
    pub apart: Option<Length>,
    /// Stacks of several layers, each in one go; only those that can be laid.
    pub stacks: Vec<Stack>,
    /// What all bags of each of the kit's designs would take off the bolt by themselves.
    pub each: Vec<Length>,
}

/// Fabric laid in layers, all of them right side up, and cut through at once.
#[derive(Clone, Debug)]
pub struct Stack {
    /// How many layers.
    pub layers: u32,
    /// The pieces of one layer.
    pub problem: Problem,
    /// Where they lie.
    pub layout: Layout,
    /// What is bought for all layers.
    pub bought: Length,
}

/// Webbing for all bags.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitWebbing {
    /// A bag that uses it, and which of its materials it is.
    pub of: (usize, MaterialId),
    /// All lengths together.
    pub used: Length,
    /// How much of it for each of the kit's designs.
    pub each: Vec<Length>,
    /// Rounded up to what the shop sells.
    pub bought: Length,
}

/// What is cut through at once at most: layers, and how thick they may be together. Common practice,
/// no source: a 45 mm rotary cutter takes six to eight layers of quilting cotton, shears two to four.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layers {
    /// How many at most.
    pub most: u32,
    /// How thick at most.
    pub thick: Length,
}

impl Layers {
    /// Of a rotary cutter.
    pub const ROTARY: Self = Self { most: 6, thick: Length::nm(2_400_000) };
    /// Of shears.
    pub const SHEARS: Self = Self { most: 4, thick: Length::nm(2_000_000) };

    /// How many layers of a cloth: by its thickness, if it was measured.
    pub fn of(self, thickness: Option<Length>) -> u32 {
        let by_thickness = thickness
            .filter(|one| one.is_positive())
            .map(|one| u32::try_from(self.thick.to_nm() / one.to_nm()).unwrap_or(self.most));
        by_thickness.map_or(self.most, |layers| layers.clamp(1, self.most))
    }
}

impl Kit {
    /// Puts bags together: so many of each packet, and `spare` percent more of each to cut, rounded
    /// up to a whole bag. `rounds` of improvement for each layout; the same input gives the same
    /// kit.
    pub fn of(bags: Vec<(Packet, u32)>, spare: u32, rounds: u32) -> Self {
        let bags: Vec<KitBag> = bags
            .into_iter()
            .map(|(packet, wanted)| {
                let more = (u64::from(wanted) * u64::from(spare)).div_ceil(100);
                let cut = wanted.saturating_add(u32::try_from(more).unwrap_or(u32::MAX));
                KitBag { packet, wanted, cut }
            })
            .collect();
        let mut groups: Vec<Vec<(usize, usize)>> = Vec::new();
        for (bag, it) in bags.iter().enumerate() {
            for (index, cut) in it.packet.cuts.iter().enumerate().filter(|(_, cut)| cut.is_bought())
            {
                let same = |group: &&mut Vec<(usize, usize)>| {
                    let (other, at) = group[0];
                    let theirs = &bags[other].packet;
                    is_same(&it.packet, cut, theirs, &theirs.cuts[at])
                };
                match groups.iter_mut().find(same) {
                    Some(group) => group.push((bag, index)),
                    None => groups.push(vec![(bag, index)]),
                }
            }
        }
        let cloths = groups.iter().map(|group| cloth(&bags, group, rounds)).collect();
        let (webbing, threads, notions) = (webbing(&bags), threads(&bags), notions(&bags));
        Self { bags, cloths, webbing, threads, notions }
    }

    /// How many bags are cut.
    pub fn count(&self) -> u32 {
        self.bags.iter().map(|bag| bag.cut).sum()
    }

    /// How many bags are handed out.
    pub fn wanted(&self) -> u32 {
        self.bags.iter().map(|bag| bag.wanted).sum()
    }
}

/// Whether two cuts come off one bolt: the same name and the same cloth.
fn is_same(a: &Packet, cut: &Cut, b: &Packet, other: &Cut) -> bool {
    let [mine, theirs] = [a.pattern.material(cut.material), b.pattern.material(other.material)];
    cut.source == other.source
        && mine.name == theirs.name
        && mine.form == theirs.form
        && a.pattern.shop.increments == b.pattern.shop.increments
}

/// The pieces of a group, so many of each bag as `of` says.
fn together(bags: &[KitBag], group: &[(usize, usize)], of: impl Fn(&KitBag) -> u32) -> Problem {
    let first = |at: usize| &bags[group[at].0].packet.cuts[group[at].1].sheet.problem;
    let mut problem = first(0).clone();
    problem.pieces.clear();
    for (at, (bag, _)) in group.iter().enumerate() {
        let own = first(at);
        problem.gap = problem.gap.max(own.gap);
        problem.squaring = problem.squaring.max(own.squaring);
        problem.cutting = match (problem.cutting, own.cutting) {
            (
                Cutting::StripsFirst { longest_cut: Some(a) },
                Cutting::StripsFirst { longest_cut: Some(b) },
            ) => Cutting::StripsFirst { longest_cut: Some(a.min(b)) },
            (strips @ Cutting::StripsFirst { .. }, Cutting::StripsFirst { .. }) => strips,
            _ => Cutting::Free,
        };
        let times = of(&bags[*bag]);
        problem.pieces.extend(own.pieces.iter().cloned().map(|mut item| {
            item.count = item.count.saturating_mul(times);
            item
        }));
    }
    // One design only: so many sets of it, which says more to those who search.
    if let [(bag, _)] = group {
        problem.pieces.clone_from(&first(0).pieces);
        problem.copies = of(&bags[*bag]);
    }
    problem
}

fn cloth(bags: &[KitBag], group: &[(usize, usize)], rounds: u32) -> KitCloth {
    let cut_of = |at: &(usize, usize)| &bags[at.0].packet.cuts[at.1];
    let (bag, _) = group[0];
    let leading = cut_of(&group[0]);
    let pattern = &bags[bag].packet.pattern;
    let problem = together(bags, group, |bag| bag.cut);
    let apart = group.iter().map(|at| {
        let bought = cut_of(at).layout.as_ref()?.bought;
        Some(bought * i64::from(bags[at.0].cut))
    });
    let form = &pattern.material(leading.material).form;
    let thickness = match form {
        Form::Fabric(cloth) | Form::Interfacing(cloth) => cloth.thickness,
        Form::Webbing { .. } => None,
    };
    let most = match problem.cutting {
        Cutting::StripsFirst { .. } => Layers::ROTARY,
        _ => Layers::SHEARS,
    };
    let least = group.iter().map(|at| bags[at.0].cut).max().unwrap_or(1);
    let stacks = (2..=most.of(thickness).min(least)).filter_map(|layers| {
        let problem = together(bags, group, |bag| bag.cut.div_ceil(layers));
        let layout = lay(&problem, rounds).ok()?;
        let bought = problem_increments(&problem)?.round_up(layout.needed * i64::from(layers));
        Some(Stack { layers, problem, layout, bought })
    });
    let mut each = vec![Length::ZERO; bags.len()];
    for at in group {
        let needed = cut_of(at).layout.as_ref().map_or(Length::ZERO, |layout| layout.needed);
        each[at.0] += needed * i64::from(bags[at.0].cut);
    }
    KitCloth {
        each,
        of: (bag, leading.material),
        source: leading.source,
        pieces: group
            .iter()
            .flat_map(|at| cut_of(at).sheet.pieces.iter().map(|piece| (at.0, *piece)))
            .collect(),
        layout: match (group, &leading.layout) {
            // One bag by itself lies as its own packet shows.
            ([(bag, _)], Some(layout)) if rounds == 0 && bags[*bag].cut == 1 => Ok(layout.clone()),
            _ => lay(&problem, rounds),
        },
        apart: apart.sum(),
        stacks: stacks.collect(),
        problem,
    }
}

fn problem_increments(problem: &Problem) -> Option<&measure::Increments> {
    match &problem.stock {
        layout::Stock::Bolt { increments, .. } => Some(increments),
        _ => None,
    }
}

/// Seed of the search: any will do, and it is always the same.
const SEED: u64 = 20;

fn lay(problem: &Problem, rounds: u32) -> Result<Layout, NoLayout> {
    let first = layout::first(problem)?;
    Ok(if rounds == 0 { first } else { layout::refine(problem, &first, rounds, SEED) })
}

fn webbing(bags: &[KitBag]) -> Vec<KitWebbing> {
    let mut all: Vec<KitWebbing> = Vec::new();
    for (index, bag) in bags.iter().enumerate() {
        for one in &bag.packet.webbing {
            let used = one.used * i64::from(bag.cut);
            let material = bag.packet.pattern.material(one.material);
            let same = |other: &&mut KitWebbing| {
                let theirs = bags[other.of.0].packet.pattern.material(other.of.1);
                theirs.name == material.name && theirs.form == material.form
            };
            match all.iter_mut().find(same) {
                Some(other) => {
                    other.used += used;
                    other.each[index] += used;
                }
                None => {
                    let (of, bought) = ((index, one.material), Length::ZERO);
                    let mut each = vec![Length::ZERO; bags.len()];
                    each[index] = used;
                    all.push(KitWebbing { of, used, each, bought });
                }
            }
        }
    }
    for one in &mut all {
        let increments = &bags[one.of.0].packet.pattern.shop.increments;
        one.bought = increments.round_up(one.used);
    }
    all
}

fn threads(bags: &[KitBag]) -> Vec<KitThread> {
    let mut all: Vec<KitThread> = Vec::new();
    for (index, bag) in bags.iter().enumerate() {
        for need in Takes::of(&bag.packet, Pace::USUAL).threads {
            let matches = bag.packet.pattern.material(need.matches).name.clone();
            let length = need.length * i64::from(bag.cut);
            let found = all.iter().position(|other| other.matches == matches);
            let at = found.unwrap_or_else(|| {
                let each = vec![Length::ZERO; bags.len()];
                all.push(KitThread { matches, length: Length::ZERO, each });
                all.len() - 1
            });
            all[at].length += length;
            all[at].each[index] += length;
        }
    }
    all
}

/// What is the same in the shop, counted over all bags and rounded as it is sold.
fn notions(bags: &[KitBag]) -> Vec<KitNotion> {
    let mut all: Vec<KitNotion> = Vec::new();
    for (index, bag) in bags.iter().enumerate() {
        for notion in &bag.packet.pattern.notions {
            let found = all.iter().position(|other| other.notion.is_same(notion));
            let at = found.unwrap_or_else(|| {
                let notion = Notion { count: 1, serves: String::new(), ..notion.clone() };
                let (each, run) = (vec![0; bags.len()], vec![Length::ZERO; bags.len()]);
                all.push(KitNotion { notion, each, run, bought: None });
                all.len() - 1
            });
            all[at].each[index] += i64::from(notion.count) * i64::from(bag.cut);
            let run = notion.run().unwrap_or(Length::ZERO);
            all[at].run[index] += run * i64::from(bag.cut);
        }
    }
    for one in all.iter_mut().filter(|one| one.notion.kind.sold == Sold::ByLength) {
        let first = one.run.iter().position(|run| run.is_positive()).unwrap_or(0);
        let increments = &bags[first].packet.pattern.shop.increments;
        one.bought = Some(increments.round_up(one.run.iter().copied().sum()));
    }
    all.sort_by_key(KitNotion::counter);
    all
}

impl KitCloth {
    /// Whether cutting all bags together takes no more than bag by bag.
    pub fn is_together(&self) -> bool {
        let together = self.layout.as_ref().ok().map(|layout| layout.bought);
        together.is_some_and(|together| self.apart.is_none_or(|apart| together <= apart))
    }

    /// What to buy: together, or bag by bag where that comes to less.
    pub fn bought(&self) -> Option<Length> {
        let together = self.layout.as_ref().ok().map(|layout| layout.bought);
        together.into_iter().chain(self.apart).min()
    }
}
