//! A flat pouch that closes by a zip along its top edge.

use measure::Length;

use super::Body;
use super::two_panel_params::{EASE, HOLDS, SIZE_FINISHED, STANDS};
use crate::draft::zip_top::{ENDS, TAB, TEETH, ZIP_SEAM};
use crate::draft::{
    Ability, Drafter, Layer, Mouth, Plan, Shell, TwoPanels, ZipTop, panel_size, wanted,
};
use crate::kinds::{Kind, Param, Values, length};

/// The kind.
pub(super) struct ZipPouch;
/// Its entry in the list.
pub(super) const KIND: ZipPouch = ZipPouch;

impl Kind for ZipPouch {
    fn name(&self) -> &'static str {
        "zip-pouch"
    }
    fn title(&self) -> &'static str {
        "Flat pouch with a zip"
    }
    fn help(&self) -> &'static str {
        "Two panels with a zip between them along the top. With a lining the zip lies between \
         outside and lining, and the pouch is turned through an opening in the lining; without one \
         it is turned through the zip."
    }
    fn params(&self) -> &'static [Param] {
        const WIDTH: Param = length(
            "width",
            "width",
            "Width of the finished pouch.",
            [Length::mm(80), Length::mm(900), Length::inch(12), Length::mm(300)],
        ).size();
        const HEIGHT: Param = length(
            "height",
            "height",
            "Height of the finished pouch, from the base to the rim beside the zip.",
            [Length::mm(60), Length::mm(700), Length::inch(9), Length::mm(230)],
        ).size();
        &[SIZE_FINISHED, WIDTH, HEIGHT, TEETH, ZIP_SEAM, ENDS, TAB, HOLDS, STANDS, EASE]
    }
}

impl Body for ZipPouch {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let size = wanted(d, values, Length::ZERO)?;
        let zip = ZipTop::plan(d, values, (size.width, Length::ZERO))?;
        let (panel, tip) = panel_size(d, (size.width, size.height, size.depth), Length::ZERO);
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        panels.is_possible(d).then(|| Box::new(Pouch { panels, zip }) as Box<dyn Plan>)
    }

    fn usual_handles(&self) -> &'static str {
        "none"
    }
}

/// A planned pouch: two panels, and the zip between them.
#[derive(Clone, Debug)]
struct Pouch {
    panels: TwoPanels,
    zip: ZipTop,
}

impl Plan for Pouch {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        self.panels.shell(d, layer)
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, inside: Option<&Shell>) {
        self.zip.set(d, outside, inside);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.panels.sew(d, shell, opening)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.panels.claim(d, outside);
    }

    fn base_rise(&self) -> Length {
        Length::ZERO
    }

    fn mouth(&self) -> Mouth {
        Mouth::Zipped
    }

    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag_but(&[Ability::OpenMouth, Ability::DepthAtRim])
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::assembly::Assembly;
    use crate::checks;
    use crate::design::{Chosen, Design};
    use crate::pattern::Notion;
    use crate::finding::Severity;
    use crate::kinds::Value;
    use crate::linings;

    fn pouch(lining: &str) -> Design {
        let mut design = Design::of(&KIND, Units::Inch);
        for (key, inches) in [("width", 9), ("height", 6)] {
            assert!(design.body.values.set(key, Value::Length(Length::inch(inches))));
        }
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        design
    }

    /// Arithmetic: a pouch 9 × 6 in with 1/2 in seams and 1/4 in at the zip is cut 10 × 6 3/4; tabs
    /// that show 1/2 in and lie 1/4 in over the zip leave it 9 − 2 (1/2 − 1/4) = 8 1/2 in from stop to
    /// stop, for which 9 in are bought; each is cut 2 (1/2 + 1/2) = 2 in long.
    #[test]
    fn panels_zip_and_tabs_fit_each_other() {
        let pattern = crate::draft(&pouch("turned")).pattern.unwrap();
        assert_eq!(checks::run(&pattern), []);
        let cut = |id: &str| pattern.pieces.iter().find(|piece| piece.id == id).unwrap().cut_size();
        let panel = (Length::inch(10), Length::inch_frac(27, 4));
        assert_eq!((cut("outside-panel"), cut("lining-panel")), (panel, panel));
        assert_eq!(cut("zip-tab").1, Length::inch(2));
        let zip = |it: &Notion| {
            it.kind.key == "closed-end-zip" && it.length == Some(Length::inch(9))
        };
        assert!(pattern.notions.iter().any(zip));
        let telling = crate::operations::Telling { pattern: &pattern, system: design_system() };
        let told = pattern.step("cover-zip-ends").unwrap().operation.tell(&telling).text;
        assert!(told.starts_with("Shorten the zip from 9 in to 8 1/2 in"), "{told}");
    }

    fn design_system() -> measure::System {
        Units::Inch.system()
    }

    /// A lining that is cut 1/8 in smaller is eased in along the zip.
    #[test]
    fn a_smaller_lining_is_eased_in() {
        let mut design = pouch("turned");
        assert!(design.lining.values.set("ease", Value::Length(Length::inch_frac(1, 8))));
        let pattern = crate::draft(&design).pattern.unwrap();
        let found = checks::run(&pattern);
        assert!(found.iter().all(|found| found.severity == Severity::Note), "{found:#?}");
        let telling = crate::operations::Telling { pattern: &pattern, system: design_system() };
        let told = pattern.step("set-zip").unwrap().operation.tell(&telling).text;
        assert!(told.contains("1/8 in smaller"), "{told}");
    }

    /// Outside and lining become one closed body, right side out: nothing raw is left but what the
    /// zip opens.
    #[test]
    fn a_lined_pouch_closes_all_round() {
        let pattern = crate::draft(&pouch("turned")).pattern.unwrap();
        let work = Assembly::sew(&pattern);
        let outside = crate::pattern::CopyId(0);
        assert!(work.surface(outside).is_closed());
        assert_eq!(work.side_out(outside), crate::assembly::SideOut::Right);
        let before = pattern.steps.iter().position(|step| step.id == "turn-bag").unwrap();
        let open = Assembly::sew_first(&pattern, before).surface(outside);
        assert_eq!((open.mouths.len(), open.euler()), (1, 1));
    }

    /// A lining that is put in at last is sewn to the tape of the zip by hand, and closes it as well.
    #[test]
    fn a_lining_is_put_in_at_last() {
        let pattern = crate::draft(&pouch("dropped")).pattern.expect("it can be drafted");
        let found = checks::run(&pattern);
        assert!(found.iter().all(|found| found.severity == Severity::Note), "{found:#?}");
        let work = Assembly::sew(&pattern);
        let outside = crate::pattern::CopyId(0);
        assert!(work.surface(outside).is_closed());
        assert_eq!(work.side_out(outside), crate::assembly::SideOut::Right);
        let hand = |id: &str| pattern.step(id).unwrap().operation.takes(&work).rows.len();
        assert_eq!(hand("sew-lining-to-zip"), 2);
    }

    #[test]
    fn without_a_lining_it_is_turned_through_the_zip() {
        for lining in ["unlined", "backed"] {
            let pattern = crate::draft(&pouch(lining)).pattern.unwrap();
            let worst = checks::run(&pattern).into_iter().map(|found| found.severity).max();
            assert!(worst <= Some(Severity::Note), "{lining}: {:#?}", checks::run(&pattern));
        }
    }
}
