//! What goes with what. A kind says what it needs, and a body, a lining or a closure what it has to
//! offer; this table says for each need why a bag cannot be made without it, at the machine or in
//! the hand, and what to do instead. Nothing else refuses a combination of kinds; what depends on
//! sizes is refused where the sizes are known.

use super::{Drafter, Plan};
use crate::kinds::Kind;
use crate::{bodies, closures, handles, linings, pockets};

/// Something that a kind needs of the rest of the bag, or that it offers to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ability {
    /// A seam along the base of front and back.
    BaseSeam,
    /// A seam up each side of front and back.
    SideSeams,
    /// Ends that are pieces of their own.
    Ends,
    /// A gusset, whose sides lie flat before it is sewn in.
    Sides,
    /// Seams that are straight and turn no corner.
    StraightSeams,
    /// A rim that stands up in the finished bag: not gathered, rolled or closed by a zip.
    StandingRim,
    /// A rim that stands up at its sides, for the tabs of a strap.
    RimAtSides,
    /// A rim that lies at the mouth, and is not turned down over the outside.
    RimAtMouth,
    /// A front on which no flap of the body's own lies, or one under which a smaller closure fits.
    OpenFront,
    /// A front on which no flap of the body's own lies at all.
    BareFront,
    /// A mouth that is left for a closure to close.
    OpenMouth,
    /// A mouth whose front and back can be held together from within.
    MouthWithin,
    /// Room between front and back at the rim.
    DepthAtRim,
    /// A second layer with no raw or bound allowance in sight: a lining that is sewn by itself.
    SecondLayer,
}

/// What a need is about, and why a bag cannot be made without it.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// What is needed.
    pub needs: Ability,
    /// In words, after "needs": "a seam along the base".
    pub what: &'static str,
    /// Why, at the machine or in the hand.
    pub why: &'static str,
    /// What to do instead.
    pub cure: &'static str,
}

/// The table: one row for each ability.
pub const RULES: &[Rule] = &[
    Rule {
        needs: Ability::BaseSeam,
        what: "a seam along the base of the panel",
        why: "the lower part of its front lies raw in that seam, and nothing else would hold or hide it",
        cure: "choose a kind that is stitched to the panel, or a body with a seam at the base",
    },
    Rule {
        needs: Ability::SideSeams,
        what: "a seam up each side of the panel",
        why: "its sides lie raw in those seams, and nothing else would hold or hide them",
        cure: "choose a kind that is stitched to the panel, or a body with seams at both sides",
    },
    Rule {
        needs: Ability::Ends,
        what: "ends that are pieces of their own",
        why: "front and back, or a strip, go on round its sides, and nothing there lies flat by itself \
              while the pocket is sewn on",
        cure: "put it on the front or the back, or choose a body with round ends",
    },
    Rule {
        needs: Ability::Sides,
        what: "a gusset",
        why: "without one front and back meet at its sides, and no panel lies there that a pocket could \
              be sewn on to",
        cure: "put it on the front or the back, or choose a body with a gusset",
    },
    Rule {
        needs: Ability::StraightSeams,
        what: "straight seams",
        why: "the edge that goes round a corner or a curve is clipped, and no second row can close \
              its cut allowance in",
        cure: "choose overcast or bound allowances or a lining, or a body with straight seams",
    },
    Rule {
        needs: Ability::StandingRim,
        what: "a rim that stands up by itself",
        why: "the rim is gathered, rolled, folded or zipped, or a flap hangs from it: what is set there \
              would be drawn in or covered",
        cure: "choose another kind or place, or a body whose rim stands",
    },
    Rule {
        needs: Ability::RimAtMouth,
        what: "a rim that lies at the mouth",
        why: "its strips are caught in the seam at the rim, which is turned down over the outside and \
              lies far from the mouth",
        cure: "choose another closure, or a body whose rim is not turned down",
    },
    Rule {
        needs: Ability::OpenFront,
        what: "a front that is free for it",
        why: "its rim is gathered, and the body's own flap closes over it: what is fastened there lies \
              in the gathers, under the flap",
        cure: "choose `open` as closure, or one that lies within the mouth, below the flap",
    },
    Rule {
        needs: Ability::BareFront,
        what: "a front without a flap",
        why: "the body's own flap closes over the front: a second one would lie under it, lock under \
              lock",
        cure: "choose `open` as closure, or a tab, ties or a button under the flap",
    },
    Rule {
        needs: Ability::OpenMouth,
        what: "a mouth that is still open",
        why: "the body closes its own mouth: a second closure would lie on the first",
        cure: "choose `open` as closure, or a body that stays open at the top",
    },
    Rule {
        needs: Ability::MouthWithin,
        what: "a mouth whose front and back meet",
        why: "its zip lies in a broad top, which keeps front and back apart: what is fastened there \
              does not meet",
        cure: "choose `open` as closure, or a body that is not closed by itself",
    },
    Rule {
        needs: Ability::SecondLayer,
        what: "a lining that is sewn by itself",
        why: "the inside of its top is turned out and shows: a wrong side, or hems and bound seams",
        cure: "choose a lining that is turned or dropped in, or a body that shows its outside only",
    },
];

impl Ability {
    /// What a bag has that is sewn at the sides and the base and stays open at the top.
    pub fn of_an_open_bag() -> Vec<Self> {
        vec![
            Self::BaseSeam,
            Self::SideSeams,
            Self::StraightSeams,
            Self::StandingRim,
            Self::RimAtSides,
            Self::RimAtMouth,
            Self::OpenFront,
            Self::BareFront,
            Self::OpenMouth,
            Self::MouthWithin,
            Self::DepthAtRim,
        ]
    }

    /// The same without some of them.
    pub fn of_an_open_bag_but(not: &[Self]) -> Vec<Self> {
        Self::of_an_open_bag().into_iter().filter(|ability| !not.contains(ability)).collect()
    }

    /// Its row in the table.
    fn rule(self) -> Option<&'static Rule> {
        RULES.iter().find(|rule| rule.needs == self)
    }
}

/// Whether everything that was chosen finds what it needs; says so at a parameter where not.
pub(super) fn agree(d: &mut Drafter<'_>, plan: &dyn Plan) -> bool {
    let design = d.design;
    let mut offered = plan.offers();
    let mut needs: Vec<(String, &dyn Kind, Vec<Ability>)> = Vec::new();
    if let Some(body) = bodies::find(design.body.kind) {
        needs.push(("lining.kind".to_owned(), body, body.needs(&design.body.values)));
    }
    if let Some(lining) = linings::find(design.lining.kind) {
        if lining.is_lined() {
            offered.push(Ability::SecondLayer);
        }
        needs.push(("lining.kind".to_owned(), lining, lining.needs(&design.lining.values)));
    }
    for (index, chosen) in design.pockets.iter().enumerate() {
        if let Some(pocket) = pockets::find(chosen.kind) {
            let at = format!("pocket[{}].kind", index + 1);
            needs.push((at, pocket, pocket.needs(&chosen.values)));
        }
    }
    if let Some(kind) = handles::find(design.handles.kind) {
        needs.push(("handles.kind".to_owned(), kind, kind.needs(&design.handles.values)));
    }
    if let Some(closure) = closures::find(design.closure.kind) {
        needs.push(("closure.kind".to_owned(), closure, closure.needs(&design.closure.values)));
    }
    let mut agreed = true;
    for (at, kind, needs) in needs {
        let lacking = needs.into_iter().find(|need| !offered.contains(need));
        if let Some(rule) = lacking.and_then(Ability::rule) {
            // What asks for straight seams is not a lining but a word of one, and what asks for an end or a
            // side is the place of a pocket.
            let (at, who) = match rule.needs {
                Ability::StraightSeams => ("lining.finish".to_owned(), "this finish".to_owned()),
                Ability::Ends | Ability::Sides => {
                    let place = at.trim_end_matches("kind");
                    (format!("{place}on"), kind.title().to_lowercase())
                }
                _ => (at, kind.title().to_lowercase()),
            };
            let message =
                format!("{who} needs {}, which this bag does not have: {}", rule.what, rule.why);
            d.refuse(&at, message, rule.cure.to_owned());
            agreed = false;
        }
    }
    agreed
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use measure::System;

    use super::*;
    use crate::kinds::{Param, Quantity, Value, Values};

    /// Everything that a kind needs with its defaults, or with one other word for a choice.
    fn needed(params: &'static [Param], needs: impl Fn(&Values) -> Vec<Ability>) -> Vec<Ability> {
        let usual = Values::defaults(params, System::Inch);
        let mut all = needs(&usual);
        for param in params {
            if let Quantity::Choice { options, .. } = param.quantity {
                let words = options.iter().map(|(word, _)| Value::Choice(word));
                all.extend(words.flat_map(|word| needs(&usual.clone().with(param.key, word))));
            }
        }
        all
    }

    /// No need is without its row, which would be no refusal, and no row without a need.
    #[test]
    fn the_table_has_a_row_for_each_need() {
        let mut all = BTreeSet::new();
        for kind in bodies::ALL {
            all.extend(needed(kind.params(), |values| kind.needs(values)));
        }
        for kind in linings::ALL {
            all.extend(needed(kind.params(), |values| kind.needs(values)));
        }
        for kind in pockets::ALL {
            all.extend(needed(kind.params(), |values| kind.needs(values)));
        }
        for kind in handles::ALL {
            all.extend(needed(kind.params(), |values| kind.needs(values)));
        }
        for kind in closures::ALL {
            all.extend(needed(kind.params(), |values| kind.needs(values)));
        }
        let rows: BTreeSet<Ability> = RULES.iter().map(|rule| rule.needs).collect();
        assert_eq!(rows.len(), RULES.len());
        assert_eq!(all, rows);
    }
}
