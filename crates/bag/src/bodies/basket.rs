//! A lined basket whose top is turned down all round as a cuff, which shows the lining or a fabric of
//! its own.

use measure::Length;

use super::Body;
use super::two_panel_params::{EASE, HOLDS, SIZE_FINISHED, STANDS};
use crate::design::Role;
use crate::draft::face::{BASE, RIM, whole};
use crate::draft::{Ability, Drafter, Face, Layer, Plan, Shell, TwoPanels, panel_size, wanted};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Join, Over, Phrase, Press, TurnDown};
use crate::finding::{Finding, Place};
use crate::pattern::{Chapter, Gauge, Reach, Run};

/// The kind.
pub(super) struct Basket;
/// Its entry in the list.
pub(super) const KIND: Basket = Basket;

impl Kind for Basket {
    fn name(&self) -> &'static str {
        "basket"
    }
    fn title(&self) -> &'static str {
        "Basket with a cuff"
    }
    fn help(&self) -> &'static str {
        "Boxed and lined, its top turned down all round over the outside as a cuff that shows the \
         lining or a fabric of its own. Stiff interfacing makes it stand; pockets on the outside \
         make an organiser of it."
    }
    fn params(&self) -> &'static [Param] {
        const WIDTH: Param = length(
            "width",
            "width",
            "Width of the finished basket.",
            [Length::mm(80), Length::mm(900), Length::inch(14), Length::mm(350)],
        ).size();
        const HEIGHT: Param = length(
            "height",
            "height",
            "Height in use: from the base to the fold of the cuff.",
            [Length::mm(60), Length::mm(900), Length::inch(13), Length::mm(330)],
        ).size();
        const DEPTH: Param = length(
            "depth",
            "depth",
            "Depth of the finished base.",
            [Length::mm(40), Length::mm(600), Length::inch(8), Length::mm(200)],
        ).size();
        const CUFF: Param = length(
            "cuff",
            "cuff",
            "How far down the cuff comes over the outside.",
            [Length::mm(20), Length::mm(400), Length::inch(2), Length::mm(50)],
        ).along();
        const SHOWS: Param = choice(
            "shows",
            "cuff shows",
            "What is seen on the cuff.",
            &[
                ("lining", "the lining, which is cut that much higher"),
                ("cuff", "a band of its own (`[fabric.cuff]`), sewn to the top of the lining"),
            ],
        );
        &[SIZE_FINISHED, WIDTH, HEIGHT, DEPTH, CUFF, SHOWS, HOLDS, STANDS, EASE]
    }
}

impl Body for Basket {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let cuff = values.length("cuff");
        let size = wanted(d, values, values.length("depth"))?;
        let least = d.either(Length::inch(1), Length::mm(25));
        if cuff + least > size.height {
            let message = format!(
                "a cuff of {} on a basket {} high leaves less than {} of its outside to be seen",
                d.show(cuff),
                d.show(size.height),
                d.show(least)
            );
            let most = (size.height - least).max(Length::ZERO);
            d.refuse("body.cuff", message, format!("make it {} or less", d.show(most)));
            return None;
        }
        let high = size.height + cuff;
        let (panel, tip) = panel_size(d, (size.width, high, size.depth), Length::ZERO);
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        let own = values.choice("shows") == "cuff";
        panels.is_possible(d).then(|| Box::new(Cuffed { panels, cuff, own }) as Box<dyn Plan>)
    }

    fn usual_handles(&self) -> &'static str {
        "none"
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        // A band of its own is sewn to the top of a lining.
        if values.choice("shows") == "cuff" { vec![Ability::SecondLayer] } else { Vec::new() }
    }
}

/// A planned basket: panels that are higher by the cuff.
#[derive(Clone, Debug)]
struct Cuffed {
    panels: TwoPanels,
    cuff: Length,
    /// Whether the cuff is a band of its own fabric.
    own: bool,
}

impl Cuffed {
    /// The same shell with faces that reach up to the raw rim.
    fn up_to_the_rim(&self, shell: &Shell) -> Shell {
        let mut shell = shell.clone();
        for face in &mut shell.faces {
            face.height += self.cuff;
            (face.cuff, face.covered) = (Length::ZERO, Length::ZERO);
        }
        shell
    }

    /// How far the band of the cuff goes on below the fold, inside: so far that its seam is not seen
    /// (common practice, no source).
    fn inside(&self, d: &Drafter<'_>) -> Length {
        d.either(Length::inch_frac(1, 2), Length::mm(12)).min(self.panels.panel.height / 8)
    }

    /// The faces of a lining whose top is a band of another fabric.
    fn faces_with_band(&self, d: &mut Drafter<'_>) -> Vec<Face> {
        let size = self.panels.panel.eased(d.design.lining.values.length("ease"));
        let band = self.cuff + self.inside(d);
        let split = size.height - band;
        let (side, seam) = (d.allowance("side"), d.allowance("contrast"));
        let lower = TwoPanels::panel_piece(
            d,
            ("lining-panel", "lining panel", Role::Lining),
            measure::Outline::rectangle(size.base, split),
            [d.allowance("base"), side, seam],
        );
        let upper = TwoPanels::panel_piece(
            d,
            ("cuff", "cuff", Role::Cuff),
            measure::Outline::rectangle(size.base, band),
            [seam, side, d.rim_allowance],
        );
        let faces: Vec<Face> = ["front", "back"]
            .map(|word| {
                let panels = [
                    (d.copy(lower, &format!("{word} lining")), Length::ZERO),
                    (d.copy(upper, &format!("{word} cuff")), split),
                ];
                Face::of_panels(d, word, &panels, (size.base, size.base), size.height)
            })
            .into();
        for face in &faces {
            self.panels.mark(d, face);
        }
        let seams = faces
            .iter()
            .map(|face| {
                let lower = whole(d, face.copies[0], RIM);
                [whole(d, face.copies[1], BASE), lower.reversed()]
            })
            .collect();
        let stitch = d.stitch("seam");
        let mut join = Join::plain("each cuff to its lining", seams, seam, stitch);
        join.press = Press::Toward("the lining".to_owned());
        d.step(Chapter::Lining, "join-cuffs", join);
        faces
    }
}

impl Plan for Cuffed {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = match layer {
            Layer::Lining if self.own => Shell::of_faces(layer, self.faces_with_band(d)),
            _ => self.panels.shell(d, layer),
        };
        for face in &mut shell.faces {
            face.height -= self.cuff;
            (face.cuff, face.covered) = (self.cuff, self.cuff);
            face.kept = self.cuff;
        }
        shell
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.panels.sew(d, &self.up_to_the_rim(shell), opening)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, &self.up_to_the_rim(outside));
        d.claims.height -= self.cuff;
        d.claims.height_gauge = Gauge(vec![Reach::Across(outside.faces[0].bottom(), RIM, BASE)]);
        let lining = d.design.lining.kind;
        let shows = match lining {
            _ if self.own => "its own fabric",
            "unlined" => "the wrong side of the fabric",
            _ => "the lining",
        };
        if !d.is_lined() {
            let message = format!(
                "the cuff shows {shows}, its hem and the finished seams at both sides"
            );
            let cure = "choose a lining that is sewn by itself, or a fabric and a finish that may be \
                        seen on both sides";
            let place = Place::parameter("lining.kind");
            d.find(Finding::note("cuff-shows", place, message, cure.to_owned()));
        }
        let how = Phrase::new("Turn the top down over the outside, ")
            .len(self.cuff)
            .say(format!(
                " all the way round, so that it shows {shows}; see that the fold is level with the \
                 table, and press it or crease it with the fingers. Catch the cuff down with a few \
                 hand stitches at both side seams, through the outside only, if it is to stay."
            ));
        let turn = TurnDown {
            rim: Run::round(outside.rim.clone()),
            depth: self.cuff,
            over: Over::Outside,
            how,
            mind: Some("roll the fold between the fingers first: the outside is the longer way round.".into()),
        };
        d.step(Chapter::Finish, "turn-cuff-down", turn);
    }

    fn base_rise(&self) -> Length {
        self.panels.base_rise()
    }

    fn offers(&self) -> Vec<Ability> {
        use Ability::{RimAtMouth, RimAtSides, StandingRim};
        Ability::of_an_open_bag_but(&[StandingRim, RimAtSides, RimAtMouth])
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::checks;
    use crate::design::Design;
    use crate::kinds::Value;

    fn basket(shows: &'static str) -> crate::Pattern {
        let mut design = Design::of(&KIND, Units::Inch);
        let sizes = [("width", 10), ("height", 8), ("depth", 6), ("cuff", 3)];
        for (key, inches) in sizes {
            assert!(design.body.values.set(key, Value::Length(Length::inch(inches))));
        }
        assert!(design.body.values.set("shows", Value::Choice(shows)));
        crate::draft(&design).pattern.expect("it can be drafted")
    }

    /// Arithmetic: 10 × 8 × 6 in with a cuff of 3 in: a panel is 10 + 6 + 1 wide and, from base seam
    /// to rim, 8 + 3 + 3 + 1 = 15 in high; 8 in of height are left when the cuff is down.
    #[test]
    fn the_height_in_use_is_after_the_cuff_is_turned_down() {
        let pattern = basket("lining");
        assert_eq!(checks::run(&pattern), []);
        assert_eq!(pattern.pieces[0].cut_size(), (Length::inch(17), Length::inch(15)));
        assert_eq!(pattern.claims.height, Length::inch(8));
        // The promise holds only when the cuff is really turned down.
        let mut standing = pattern.clone();
        standing.steps.retain(|step| step.id != "turn-cuff-down");
        assert!(checks::run(&standing).iter().any(|found| found.check == "finished-size"));
    }

    /// The band is the cuff and 1/2 in more, and both parts of the lining are as high as the outside.
    #[test]
    fn a_cuff_of_its_own_goes_on_inside() {
        let pattern = basket("cuff");
        assert_eq!(checks::run(&pattern), []);
        let net = |id: &str| {
            let piece = pattern.pieces.iter().find(|piece| piece.id == id);
            piece.expect("there is such a piece").net_size().1
        };
        assert_eq!(net("cuff"), Length::inch_frac(7, 2));
        assert_eq!(net("cuff") + net("lining-panel"), net("outside-panel"));
    }

    /// One layer can be turned down too, and it is said what is seen; a band of its own needs a lining
    /// to be sewn to.
    #[test]
    fn a_bag_of_one_layer_shows_its_seams_on_the_cuff() {
        for lining in ["unlined", "backed"] {
            let mut design = Design::of(&KIND, Units::Mm);
            let kind = crate::linings::find(lining).unwrap();
            design.lining = crate::design::Chosen::new(kind, design.system());
            let drafted = crate::draft(&design);
            let pattern = drafted.pattern.expect("it can be drafted");
            assert!(drafted.findings.iter().any(|found| found.check == "cuff-shows"));
            let found = checks::run(&pattern);
            let least = crate::Severity::Warning;
            assert!(found.iter().all(|found| found.severity < least), "{lining}: {found:#?}");
            assert!(design.body.values.set("shows", Value::Choice("cuff")));
            let drafted = crate::draft(&design);
            assert!(drafted.pattern.is_none());
            assert_eq!(drafted.findings[0].place.parameter.as_deref(), Some("lining.kind"));
        }
    }
}
