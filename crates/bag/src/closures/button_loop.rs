//! A button on the front and a loop of cord at the back.

use measure::{Length, Point};

use super::Closure;
use super::shared::{Clear, front_and_back, half_on, rectangle, round, spans_the_mouth};
use crate::draft::fittings::{length_of, webbing};
use crate::draft::rim_set::{RimSet, RimWords, set_in_rim};
use crate::draft::strap::behind_rim;
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{FaceSide, Phrase, SewOn};
use crate::pattern::{ClosureClaim, Half, MarkShape};

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
         closure, and easy to renew."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "button",
                "button",
                "Width of the button.",
                [Length::mm(12), Length::mm(60), Length::inch(1), Length::mm(25)],
            ),
            length(
                "below",
                "button below the rim",
                "From the rim down the front to the middle of the button.",
                [Length::mm(15), Length::mm(200), Length::inch_frac(3, 2), Length::mm(40)],
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
        spans_the_mouth()
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let (below, across) = (values.length("below"), values.length("across"));
        let (button, cord) = (values.length("button"), values.length("cord"));
        let Some([front, back]) = front_and_back(outside) else { return };
        if let Some(handle) = d.handle_at_rim(back, Length::ZERO, cord * 2) {
            let message = format!("the {handle} stands where the loop is set into the rim");
            let cure = "set the handles farther apart, or choose another closure";
            d.refuse("closure.kind", message, cure.to_owned());
            return;
        }
        let middle = (Length::ZERO, below);
        let Some(half) = half_on(d, front, middle, button.half(), Clear::Everything) else { return };
        let (behind, in_seam) = behind_rim(d);
        let free = d.snap(loop_length(across + below, button));
        let (net, end) = if in_seam { (free, behind) } else { (free + behind * 2, Length::ZERO) };
        let material = webbing(d, "loop-cord", "cord or round elastic", cord, "the loop");
        let piece = length_of(d, material, ("loop", "loop"), (cord, net), [end; 2]);
        let copy = d.copy(piece, "loop");
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
            mind: "try the loop over the button before you sew: it must go over with a little pull.",
        };
        set_in_rim(d, outside, &[item], words);
        d.mark_copy(half.on, "button", MarkShape::Dot(half.at));
        let how = Phrase::new("on the front, centred, ")
            .len(below)
            .say(" below the rim, with a shank of thread as high as the loop is thick");
        let at = vec![(half.on, half.at)];
        d.finally("sew-on-button", SewOn { what: "the button".to_owned(), at, how });
        d.notion(&format!("1 button, {} wide", d.show(button)));
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
                rectangle(front, Some(copy), (Length::ZERO, Length::ZERO), (cord * 3, below)),
                round(front, middle, button),
            ],
        });
    }
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
