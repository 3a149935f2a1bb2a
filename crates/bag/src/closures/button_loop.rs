//! A button on the front and a loop of cord at the back.

use measure::{Length, Point};

use super::Closure;
use super::shared::{Clear, amiss, front_and_back, half_on, nearest, rectangle, round};
use crate::draft::cords::knot;
use crate::draft::fittings::{length_of, webbing};
use crate::draft::rim_set::{RimSet, RimWords, set_in_rim};
use crate::draft::strap::{behind_rim, free_below};
use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Values, length, optional};
use crate::operations::{FaceSide, FastenEnd, Fastening, Phrase, SetEyelets, SewOn};
use crate::pattern::{Band, ClosureClaim, CopyId, Half, MarkShape, Notion, notion};

/// The kind.
pub(super) struct ButtonLoop;
/// Its entry in the list.
pub(super) const KIND: ButtonLoop = ButtonLoop;

impl Kind for ButtonLoop {
    fn name(&self) -> &'static str {
        "button-loop"
    }
    fn title(&self) -> &'static str {
        "Button and loop"
    }
    fn help(&self) -> &'static str {
        "A loop of cord or elastic in the back rim goes over a button on the front: the simplest \
         closure, and easy to renew. Where the rim is gathered, rolled or turned down, the loop comes \
         out of an eyelet in the back, and is knotted inside."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "button",
                "button",
                "Width of the button.",
                [Length::mm(12), Length::mm(60), Length::inch(1), Length::mm(25)],
            ),
            optional(
                "below",
                "button below the rim",
                "From the rim down the front to the middle of the button; or from the lower edge of what \
                 is gathered, rolled or turned down there. Left out, a little below it, where the front \
                 is free.",
                [Length::mm(15), Length::mm(200)],
            ),
            length(
                "across",
                "across the mouth",
                "How far the loop goes from rim to rim; more for a bag that is full.",
                [Length::ZERO, Length::mm(200), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "cord",
                "cord",
                "Thickness of the cord or elastic.",
                [Length::mm(3), Length::mm(8), Length::inch_frac(1, 8), Length::mm(3)],
            ),
        ];
        PARAMS
    }
}

/// How long a loop is from seam to seam: to the middle of the button and back, and half round the
/// button on the way, so that it slips over it when it is drawn aside (common practice, no source).
fn loop_length(reach: Length, button: Length) -> Length {
    reach * 2 + button
}

impl Closure for ButtonLoop {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::OpenFront]
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let across = values.length("across");
        let (button, cord) = (values.length("button"), values.length("cord"));
        let Some([front, back]) = front_and_back(outside) else { return };
        if let Some(handle) = d.handle_at_rim(back, (Length::ZERO, Length::ZERO), cord * 2) {
            let message = format!("the {handle} stands where the loop is set into the rim");
            let cure = "set the handles farther apart, or choose another closure";
            d.refuse("closure.kind", message, cure.to_owned());
            return;
        }
        let stands = d.rim_stands || d.rim_under_flap;
        let kept = if stands { Length::ZERO } else { front.kept };
        let usual = kept + d.either(Length::inch_frac(3, 2), Length::mm(40));
        let below = match values.optional("below") {
            Some(below) => below + kept,
            None => nearest(d, usual, front.height, |below| {
                let middle = (Length::ZERO, below);
                below >= kept + button.half()
                    && amiss(d, front, middle, button.half(), Clear::Everything).is_none()
            }),
        };
        d.settle("closure.below", below - kept);
        let middle = (Length::ZERO, below);
        let Some(half) = half_on(d, front, middle, button.half(), Clear::Everything) else { return };
        let (behind, in_seam) = behind_rim(d);
        // Where the rim does not stand: how far below it the loop comes out of the back.
        let exit = (!stands).then(|| d.snap_up(free_below(d, &[back]) + cord * 2));
        let up = exit.map_or(Length::ZERO, |exit| exit - back.rolled);
        let free = d.snap(loop_length(up + across + below - front.rolled, button));
        let (net, end) = match exit {
            Some(_) => (free + knot(d, cord) * 2, Length::ZERO),
            None if in_seam => (free, behind),
            None => (free + behind * 2, Length::ZERO),
        };
        let material =
            webbing(d, "loop-cord", "cord or round elastic", (Band::Cord, cord), "the loop");
        let piece = length_of(d, material, ("loop", "loop"), (cord, net), [end; 2]);
        let copy = d.copy(piece, "loop");
        let held = if exit.is_some() { Length::ZERO } else { behind };
        d.part(copy, (cord, free + held * 2));
        match exit {
            Some(exit) => through_back(d, back, copy, (cord, exit)),
            None => {
                let item = RimSet {
                    what: copy,
                    face: outside.faces.len() - 1,
                    ends: vec![(0, -cord, FaceSide::Right), (2, cord, FaceSide::Right)],
                    width: cord,
                };
                let words = RimWords {
                    id: "place-loop",
                    what: "the loop on the back,",
                    mark: "loop",
                    lies: "its two ends beside each other and the loop hanging down",
                    mind: "try the loop over the button before you sew: it must go over with a \
                           little pull.",
                };
                set_in_rim(d, outside, &[item], words);
            }
        }
        d.mark_copy(half.on, "button", MarkShape::Dot(half.at));
        let how = Phrase::new("on the front, centred, ")
            .len(below)
            .say(" below the rim, with a shank of thread as high as the loop is thick");
        let at = vec![(half.on, half.at)];
        d.finally("sew-on-button", SewOn { what: "the button".to_owned(), at, how });
        d.notion(Notion::of(&notion::BUTTON, 1).wide(button));
        let on_loop = Half {
            on: copy,
            at: Point::new(cord.half(), net.half()),
            edge: 0,
            spent: net.half() - below,
        };
        d.claims.closures.push(ClosureClaim {
            name: "button and loop".to_owned(),
            meets: vec![[on_loop, half]],
            shows: vec![
                rectangle(
                    front,
                    Some(copy),
                    (Length::ZERO, front.rolled),
                    (cord * 3, below - front.rolled),
                ),
                round(front, middle, button),
            ],
        });
    }
}

/// Both ends of the loop go through one eyelet in the back, and are knotted inside.
fn through_back(d: &mut Drafter<'_>, back: &Face, copy: CopyId, (cord, exit): (Length, Length)) {
    let (on, at) = back.at(Length::ZERO, back.height - exit);
    d.mark_copy(on, "loop", MarkShape::Dot(at));
    let hole = d.snap_up(cord * 2 + d.either(Length::inch_frac(1, 16), Length::mm(1)));
    let how = Phrase::new("in the back at its mark, ").len(exit).say(
        " below the rim and through every layer of the finished bag, a scrap of firm interfacing \
         behind it,",
    );
    d.finally("set-loop-eyelet", SetEyelets { what: "an eyelet".to_owned(), at: vec![(on, at)], hole, how });
    let fasten = FastenEnd {
        ends: vec![(copy, 0), (copy, 2)],
        through: "the eyelet in the back from outside, together".to_owned(),
        by: Fastening::Knotted(knot(d, cord)),
        stitch: d.stitch("seam"),
    };
    d.finally("knot-loop", fasten);
    d.notion(Notion::of(&notion::EYELET, 1).wide(hole).serving("the loop"));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: a button of 1 in, 1 1/2 in below the rim, 1/2 in across the mouth:
    /// a loop of 5 in.
    #[test]
    fn a_loop_reaches_round_its_button() {
        let inch = Length::inch;
        assert_eq!(loop_length(inch(2), inch(1)), inch(5));
    }
}
