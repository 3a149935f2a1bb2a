//! The cutting order in words: one sentence for each cut, or for several that are alike.

use measure::{Length, System, show_length};

use crate::{CutKind, CutLine, Layout, Off, Problem};

/// Cuts that follow each other and do the same, told together.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct CutStep {
    /// The number of the first of them, from one.
    pub first: usize,
    /// The number of the last of them.
    pub last: usize,
    /// What they are for.
    pub kind: CutKind,
    /// What is done, in words, without the number.
    pub words: String,
}

impl Layout {
    /// The cutting order as steps in words, each with the numbers of its cuts; empty when pieces
    /// are cut in any order.
    pub fn cut_steps(&self, problem: &Problem, system: System) -> Vec<CutStep> {
        let mut steps: Vec<CutStep> = Vec::new();
        let mut alike: Vec<&CutLine> = Vec::new();
        for (number, cut) in (1..).zip(&self.cuts) {
            match steps.last_mut() {
                Some(step) if alike.last().is_some_and(|one| self.is_alike(one, cut)) => {
                    alike.push(cut);
                    step.last = number;
                    step.words = self.tell(problem, system, &alike);
                }
                _ => {
                    alike = vec![cut];
                    let words = self.tell(problem, system, &alike);
                    steps.push(CutStep { first: number, last: number, kind: cut.kind, words });
                }
            }
        }
        steps
    }

    /// The steps as lines, numbered as the cuts are.
    pub fn cuts_in_words(&self, problem: &Problem, system: System) -> Vec<String> {
        let line = |step: CutStep| match step {
            CutStep { first, last, words, .. } if first == last => format!("{first}. {words}"),
            CutStep { first, last, words, .. } => format!("{first}–{last}. {words}"),
        };
        self.cut_steps(problem, system).into_iter().map(line).collect()
    }

    /// Whether two cuts are told together: of one kind, with equal sizes and pieces coming off.
    fn is_alike(&self, one: &CutLine, other: &CutLine) -> bool {
        let off = |cut: &CutLine| match cut.off {
            Off::Piece(at) => self.placements.get(at).map(|placed| placed.piece),
            Off::Part(_) | Off::Waste(_) => None,
        };
        let is_same_part = one.kind == CutKind::Trim
            || one.kind == CutKind::Strip
            || (one.part.y, one.part.x + one.part.width)
                == (other.part.y, other.part.x + other.part.width);
        one.kind == other.kind
            && one.part.stock == other.part.stock
            && one.is_across() == other.is_across()
            && taken(one) == taken(other)
            && one.extent() == other.extent()
            && off(one) == off(other)
            && is_same_part
    }

    fn tell(&self, problem: &Problem, system: System, alike: &[&CutLine]) -> String {
        let Some(cut) = alike.first() else { return String::new() };
        let size = show_length(taken(cut), system);
        let times = alike.len();
        let gives = self.gives(problem, cut, times);
        match cut.kind {
            CutKind::Divide => {
                let lies = self.folded(cut, "end to end");
                format!("{lies}: divide it lengthwise, {size} from its edge")
            }
            CutKind::Strip => {
                let lies = self.folded(cut, "selvedge on selvedge");
                let what = match times {
                    1 => format!("cut a strip {size} high across the whole width"),
                    _ => format!("cut {times} strips, each {size} high, across the whole width"),
                };
                format!("{lies}: {what}{gives}")
            }
            CutKind::Cross => {
                let high = show_length(cut.part.length, system);
                let strip = match self.strip_of(cut) {
                    Some(number) => format!("Strip of cut {number}, {high} high"),
                    None => format!("The last strip, {high} high"),
                };
                match times {
                    1 => format!("{strip}: cut {size} off{gives}"),
                    _ => format!("{strip}: cut {size} off, {times} times{gives}"),
                }
            }
            CutKind::Trim if cut.is_across() => {
                let wide = show_length(cut.part.width, system);
                match times {
                    1 => format!("Block {wide} wide: trim to {size} high{gives}"),
                    _ => format!("Blocks {wide} wide: trim to {size} high, {times} times{gives}"),
                }
            }
            CutKind::Trim => {
                let high = show_length(cut.part.length, system);
                match times {
                    1 => format!("What is {high} high: trim to {size} wide{gives}"),
                    _ => format!("What is {high} high: trim to {size} wide, {times} times{gives}"),
                }
            }
        }
    }

    /// The number of the cut that a strip comes from.
    fn strip_of(&self, cut: &CutLine) -> Option<usize> {
        let comes_off = |one: &CutLine| match one.off {
            Off::Part(strip) => {
                one.kind == CutKind::Strip
                    && (strip.stock, strip.y) == (cut.part.stock, cut.part.y)
                    && strip.x <= cut.part.x
                    && cut.part.x < strip.x + strip.width
            }
            Off::Piece(_) | Off::Waste(_) => false,
        };
        self.cuts.iter().position(comes_off).map(|index| index + 1)
    }

    /// How the fabric lies for a cut; remnants are numbered, and have no selvedge to speak of.
    fn folded(&self, cut: &CutLine, how: &str) -> String {
        let (what, how) = match self.fit {
            Some(_) => (format!("Remnant {}", cut.part.stock + 1), "edge on edge"),
            None => ("Fabric".to_owned(), how),
        };
        match cut.layers {
            0 | 1 => format!("{what} flat"),
            2 => format!("{what} folded once, {how}"),
            4 => format!("{what} folded twice, {how}"),
            more => format!("{what} folded into {more} layers, {how}"),
        }
    }

    /// What comes off at a cut, in words.
    fn gives(&self, problem: &Problem, cut: &CutLine, times: usize) -> String {
        let Off::Piece(at) = cut.off else { return String::new() };
        let name = self.placements.get(at).and_then(|one| problem.pieces.get(one.piece));
        match name {
            Some(item) if times == 1 => format!(", {}", item.name),
            Some(item) => format!(", {} × {times}", item.name),
            None => String::new(),
        }
    }
}

/// How far from the edge of the part the cut is.
fn taken(cut: &CutLine) -> Length {
    if cut.is_across() { cut.from.1 - cut.part.y } else { cut.from.0 - cut.part.x }
}

#[cfg(test)]
mod tests {
    use expect_test::expect;
    use measure::Increments;

    use super::*;
    use crate::{Cutting, Item, Rotations, Stock, first};

    #[test]
    fn the_cutting_order_of_a_bag() {
        let inch = |w: i64, l: i64| (Length::inch_frac(w, 2), Length::inch_frac(l, 2));
        let fixed = Rotations::along_the_grain();
        let items = vec![
            Item::rectangle("body", inch(31, 35), 2, fixed),
            Item::rectangle("pocket", inch(17, 15), 2, fixed),
            Item::rectangle("strap", inch(50, 8), 2, fixed),
        ];
        let stock = Stock::bolt(Length::inch(42), Increments::eighth_yards());
        let mut problem = Problem::new(stock, items);
        problem.cutting = Cutting::StripsFirst { longest_cut: Some(Length::inch(24)) };
        let layout = first(&problem).unwrap();
        expect![[r#"
            1. Fabric folded once, selvedge on selvedge: cut a strip 17 1/2 in high across the whole width
            2–3. Fabric folded once, selvedge on selvedge: cut 2 strips, each 4 in high, across the whole width
            4–5. Strip of cut 1, 17 1/2 in high: cut 15 1/2 in off, 2 times, body × 2
            6. Strip of cut 1, 17 1/2 in high: cut 8 1/2 in off
            7. Strip of cut 2, 4 in high: cut 25 in off, strap
            8. Strip of cut 3, 4 in high: cut 25 in off, strap
            9–10. Blocks 8 1/2 in wide: trim to 7 1/2 in high, 2 times, pocket × 2"#]].assert_eq(&layout.cuts_in_words(&problem, System::Inch).join("\n"));
    }
}
