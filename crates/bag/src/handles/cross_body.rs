//! One adjustable strap across the body, with a slider and two rings.

use measure::Length;

use super::Handles;
use crate::draft::fittings::{
    CARRIES, HARDWARE, NAME, WEIGHT, RingTabs, WIDTH, carried, end_fold, handle_webbing, hardware_goes,
    length_of, ring_height, ring_tabs, stands_within,
};
use crate::draft::side_set::{SideSet, SideWords, set_in_sides};
use crate::draft::strap::{Hold, even_up, free_below};
use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{FaceSide, FastenEnd, Fastening, FoldTab, Phrase, ThreadStrap};
use crate::pattern::{Chapter, CopyId, HandleClaim, Notion, notion};

/// The kind.
pub(super) struct CrossBody;
/// Its entry in the list.
pub(super) const KIND: CrossBody = CrossBody;

impl Kind for CrossBody {
    fn name(&self) -> &'static str {
        "cross-body"
    }
    fn title(&self) -> &'static str {
        "Adjustable cross-body strap"
    }
    fn help(&self) -> &'static str {
        "One long strap with a slider, between two rings that hang in tabs: at the rim, \
         at the ends of a gusset of one strip or at the back, or in the side seams. Its length is worked out from the shortest and the longest that it is to be worn."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "longest",
                "longest",
                "From rim to rim over the shoulder when it is let out; 52 in (130 cm) goes across \
                 most bodies.",
                [Length::mm(400), Length::mm(2_000), Length::inch(52), Length::mm(1_300)],
            ),
            length(
                "shortest",
                "shortest",
                "The same when it is drawn in.",
                [Length::mm(250), Length::mm(1_800), Length::inch(32), Length::mm(800)],
            ),
            WIDTH,
            choice(
                "at",
                "tabs",
                "Where the tabs with the rings are.",
                &[
                    (
                        "sides",
                        "at the ends of the gusset; without such a gusset, at the back; in the side \
                         seams where the rim is gathered, rolled, folded or turned down",
                    ),
                    ("back", "at the back, near its sides"),
                ],
            ),
            length(
                "inset",
                "tabs from the sides",
                "From the side of the back, at the rim, to the middle of a tab.",
                [Length::mm(12), Length::mm(300), Length::inch_frac(5, 4), Length::mm(30)],
            ),
            length(
                "stands",
                "tab stands",
                "How far a tab stands above the rim, without its ring.",
                [Length::mm(12), Length::mm(80), Length::inch(1), Length::mm(25)],
            ),
            choice(
                "ends",
                "strap ends",
                "How the strap is joined to the rings.",
                &[
                    ("rings", "sewn round them, for good"),
                    ("hooks", "with swivel hooks, so that it can be taken off"),
                ],
            ),
            HARDWARE,
            CARRIES,
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

/// What a swivel hook adds to a strap (common practice, no source: 1 1/2 to 2 in).
fn hook(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(7, 4), Length::mm(45))
}

/// How much strap lies doubled at a slider that is let out, and how near it comes to the other end
/// when it is drawn in: the slider and two fingers (common practice, no source).
fn clearance(d: &Drafter<'_>) -> Length {
    d.either(Length::inch(2), Length::mm(50))
}

/// A strap between its rings.
///
/// One end is sewn to the slider; from there it runs down through the first ring, back up through
/// the slider and on to the second ring. With D lying doubled, a strap of length L is worn
/// L − D long; D cannot be less than a clearance c, nor more than the worn length less c. So
/// it is worn from (L + c) / 2 to L − c (derived).
fn worn(strap: Length, clearance: Length) -> [Length; 2] {
    [(strap + clearance).half(), strap - clearance]
}

impl Handles for CrossBody {
    fn needs(&self, values: &Values) -> Vec<Ability> {
        if values.choice("at") == "back" { vec![Ability::StandingRim] } else { Vec::new() }
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let width = values.length("width");
        let hardware = values.optional("hardware").unwrap_or(width);
        let at_sides = values.choice("at") != "back";
        if at_sides && !d.rim_at_sides {
            self.in_side_seams(d, values, outside, hardware);
            return;
        }
        let ends = if at_sides { outside.gusset_ends(d) } else { None };
        // Where the tabs are, and how far apart in the finished bag.
        let index = outside.faces.len() - 1;
        let x = outside.faces[index].top_width.half() - values.length("inset");
        let (shell, at, apart) = match &ends {
            Some(ends) => {
                let wide = outside.faces[0].top_width;
                (ends, [(0, Length::ZERO), (1, Length::ZERO)], wide)
            }
            None => (outside, [(index, -x), (index, x)], x * 2),
        };
        let parameter = if ends.is_some() { "handles.width" } else { "handles.inset" };
        if !hardware_goes(d, "handles.hardware", hardware, width)
            || !stands_within(d, shell, (parameter, "a tab"), &at, width)
            || (ends.is_none() && !far_enough(d, x, width))
        {
            return;
        }
        let hooks = values.choice("ends") == "hooks";
        let per_end = values.length("stands")
            + ring_height(d, hardware)
            + if hooks { hook(d) } else { Length::ZERO };
        let Some((strap, doubled)) = self.length(d, values, per_end * 2) else { return };
        let fold = end_fold(d);
        let cut = strap + (fold.turn + fold.back) * 2;
        let material = handle_webbing(d, values);
        let piece = length_of(d, material, ("strap", "strap"), (width, cut), [Length::ZERO; 2]);
        let over = format!("a ring for webbing {} wide", d.show(hardware));
        let tabs = RingTabs {
            material,
            width,
            stands: values.length("stands"),
            over: &over,
            at: &at,
            patched: carried(values) >= 10,
            hold: Hold::Rim,
        };
        let tabs = ring_tabs(d, shell, tabs);
        let copy = d.copy(piece, "strap");
        let [shortest, longest] = worn(strap, doubled).map(|worn| worn + per_end * 2);
        let drop = |worn: Length| taut(worn, apart);
        let feet = at.map(|(index, x)| {
            let face = &shell.faces[index];
            face.on(face.copies.len() - 1, x, face.height).1
        });
        let on = shell.faces[at[0].0].top();
        d.claims.handles.push(HandleClaim {
            free: longest,
            drop: drop(longest),
            fastened: tabs,
            added: per_end * 2,
            doubled,
            shortest: Some(drop(shortest)),
            carries: carried(values),
            apart: ends.as_ref().map(|_| apart),
            ..HandleClaim::plain("strap".to_owned(), copy, on, feet, width)
        });
        self.buckle(d, copy, hooks, (shortest, longest), hardware);
    }
}

/// How far a strap drops that is worn so long, between feet so far apart (Pythagoras).
fn taut(worn: Length, apart: Length) -> Length {
    let (leg, half) = (worn.half().to_mm(), apart.half().to_mm());
    Length::from_mm_f64((leg * leg - half * half).max(0.0).sqrt())
}

/// Refuses tabs that meet in the middle.
fn far_enough(d: &mut Drafter<'_>, x: Length, width: Length) -> bool {
    if x >= width {
        return true;
    }
    let message = "tabs so far from the sides meet in the middle of the back".to_owned();
    d.refuse("handles.inset", message, "set them nearer to the sides".to_owned());
    false
}

impl CrossBody {
    /// Tabs with rings in the side seams, below a rim that is gathered, rolled, folded or turned
    /// down, and the strap between them.
    fn in_side_seams(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outside: &Shell,
        hardware: Length,
    ) {
        let (width, stands) = (values.length("width"), values.length("stands"));
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let Some(back) = outside.faces.last() else { return };
        if !hardware_goes(d, "handles.hardware", hardware, width) {
            return;
        }
        let below = free_below(d, &faces) + width.half();
        let room = d.either(Length::inch_frac(1, 2), Length::mm(12));
        if back.height - below - width.half() < d.base_rise.max(back.corner) + room {
            let message =
                format!("rings {} below the rim hang beside the base", d.show(below));
            let cure = "make the bag higher, or what is gathered, rolled or folded less deep";
            d.refuse("handles.at", message, cure.to_owned());
            return;
        }
        let hooks = values.choice("ends") == "hooks";
        let per_end =
            stands + ring_height(d, hardware) + if hooks { hook(d) } else { Length::ZERO };
        // They hang below the rim, or the top of the roll, from which the strap is measured.
        let added = (per_end - below + back.rolled) * 2;
        let Some((strap, doubled)) = self.length(d, values, added) else { return };
        let fold = end_fold(d);
        let material = handle_webbing(d, values);
        let cut = strap + (fold.turn + fold.back) * 2;
        let piece = length_of(d, material, ("strap", "strap"), (width, cut), [Length::ZERO; 2]);
        let seam = d.seam_allowance("side");
        let names = ("ring-tab", "ring tab");
        let tab = length_of(d, material, names, (width, stands * 2), [seam; 2]);
        let sides = [("left", -1), ("right", 1)];
        let tabs = sides.map(|(side, _)| d.copy(tab, &format!("{side} ring tab"))).to_vec();
        d.part(tabs[0], (width, stands + seam));
        let over = format!("a ring for webbing {} wide", d.show(hardware));
        let stitch = d.stitch("seam");
        d.step(Chapter::Handles, "fold-ring-tabs", FoldTab { tabs: tabs.clone(), over, stitch });
        let items: Vec<SideSet<'_>> = sides
            .iter()
            .zip(&tabs)
            .map(|((_, sign), what)| SideSet {
                what: *what,
                face: back,
                sign: *sign,
                height: back.height - below,
                width,
                ground: FaceSide::Right,
            })
            .collect();
        let words = SideWords {
            id: "place-ring-tabs",
            what: "each ring tab",
            mark: "ring tab",
            mind: "the tabs carry the bag: sew to and fro over them when the seam is sewn.",
        };
        set_in_sides(d, Chapter::Panels, &items, words);
        let copy = d.copy(piece, "strap");
        let apart = (back.top_width - d.base_rise * 2).max(width);
        let [shortest, longest] = worn(strap, doubled).map(|worn| worn + added);
        let drop = |worn: Length| taut(worn, apart);
        let index = back.copies.len() - 1;
        let feet =
            [-1, 1].map(|sign| back.on(index, back.top_width.half() * sign, back.height - below).1);
        d.claims.handles.push(HandleClaim {
            free: longest,
            drop: drop(longest),
            fastened: tabs,
            added,
            doubled,
            shortest: Some(drop(shortest)),
            carries: carried(values),
            apart: Some(apart),
            ..HandleClaim::plain("strap".to_owned(), copy, back.top(), feet, width)
        });
        self.buckle(d, copy, hooks, (shortest, longest), hardware);
    }

    /// Puts strap, slider and rings together, and lists them.
    fn buckle(
        &self,
        d: &mut Drafter<'_>,
        strap: CopyId,
        hooks: bool,
        worn: (Length, Length),
        hardware: Length,
    ) {
        self.thread(d, strap, hooks, worn);
        d.notion(Notion::of(&notion::RING, 2).wide(hardware));
        d.notion(Notion::of(&notion::SLIDER, 1).wide(hardware));
        if hooks {
            d.notion(Notion::of(&notion::SWIVEL_HOOK, 2).wide(hardware));
        }
    }

    /// Length of the strap without its end folds, and the least that lies doubled.
    fn length(&self, d: &mut Drafter<'_>, values: &Values, added: Length) -> Option<(Length, Length)> {
        let (shortest, longest) = (values.length("shortest"), values.length("longest"));
        let clear = clearance(d);
        let strap = even_up(d, longest - added + clear);
        let [least, _] = worn(strap, clear);
        if longest < shortest {
            let message = format!(
                "the longest, {}, is less than the shortest, {}",
                d.show(longest),
                d.show(shortest)
            );
            d.refuse("handles.longest", message, "give the longer one as `longest`".to_owned());
            return None;
        }
        if least < clear * 2 {
            let message = format!("a strap {} long has no room for a slider", d.show(longest));
            d.refuse("handles.longest", message, "make it longer".to_owned());
            return None;
        }
        if least + added > shortest {
            let message = format!(
                "a strap that lets out to {} draws in to {} and no less: it lies doubled only as \
                 far as its slider slides",
                d.show(longest),
                d.show(least + added)
            );
            let most = shortest * 2 - added - clear * 2;
            let cure = format!(
                "ask for a shortest of {} or more, or a longest of {} or less",
                d.show(least + added),
                d.show(most.max(Length::ZERO))
            );
            d.refuse("handles.shortest", message, cure);
            return None;
        }
        Some((strap, clear))
    }

    fn thread(
        &self,
        d: &mut Drafter<'_>,
        strap: CopyId,
        hooks: bool,
        (shortest, longest): (Length, Length),
    ) {
        let (stitch, fold) = (d.stitch("seam"), end_fold(d));
        let by = Fastening::Folded(fold);
        let to_slider = FastenEnd {
            ends: vec![(strap, 0)],
            through: "the slider, round its middle bar, from below".to_owned(),
            by,
            stitch,
        };
        let first = if hooks { "the first hook" } else { "the ring of one tab, from outside" };
        let how = Phrase::new(format!(
            "Lay the strap right side up with the slider at its left end. Bring the free end through \
             {first}, back to the slider and through it over the middle bar, under the end that is \
             sewn there. It can then be worn from "
        ))
        .len(d.snap(shortest))
        .say(" to ")
        .len(d.snap(longest))
        .say(" long, from rim to rim.");
        let mind = Some("see that the strap is not twisted, and pull the slider once along its whole way before you go on.".into());
        let thread = ThreadStrap { straps: vec![strap], how, mind };
        let through = if hooks { "the second hook" } else { "the ring of the other tab" }.to_owned();
        let end = FastenEnd { ends: vec![(strap, 2)], through, by, stitch };
        if hooks {
            d.step(Chapter::Handles, "sew-slider", to_slider);
            d.step(Chapter::Handles, "thread-strap", thread);
            d.step(Chapter::Handles, "fasten-strap", end);
        } else {
            d.step(Chapter::Handles, "sew-slider", to_slider);
            d.finally("thread-strap", thread);
            d.finally("fasten-strap", end);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Derived, and as sold: a strap of 60 in with 2 in of clearance is worn from 31 to 58 in.
    #[test]
    fn a_strap_draws_in_to_half_its_length() {
        let inch = Length::inch;
        assert_eq!(worn(inch(60), inch(2)), [inch(31), inch(58)]);
    }
}
