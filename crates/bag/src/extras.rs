//! Extras: what a bag may have besides body, pockets, handles, closure and lining. An extra is its
//! file and its word in this list.

use measure::Length;

use crate::draft::{Drafter, Face, Plan, Shell};
use crate::kinds::{Kind, Values, kinds};
use crate::pattern::CopyId;

/// The bag to which an extra is added: its pieces are cut and carry pockets, handles and closure;
/// no seam of it is sewn yet.
#[derive(Clone, Copy)]
pub struct Bag<'a> {
    /// The body.
    pub plan: &'a dyn Plan,
    /// The outside.
    pub outside: &'a Shell,
    /// The lining, if there is one.
    pub inside: Option<&'a Shell>,
    /// Every copy that the outside itself consists of.
    pub panels: &'a [CopyId],
}

impl Bag<'_> {
    /// The face of the outside with that word.
    fn face(&self, word: &str) -> Option<&Face> {
        self.outside.faces.iter().find(|face| face.word == word)
    }
}

/// An extra.
pub trait Extra: Kind {
    /// Adds its pieces and steps; `index` is its place in the design's list.
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>);
}

kinds!(Extra: label, key_loop, feet, stiffener, piping, quilting);

pub use piping::PipedSeam;

/// Refuses an extra at one of its parameters.
fn refuse(d: &mut Drafter<'_>, index: usize, key: &str, message: String, cure: String) {
    d.refuse(&format!("extra[{}].{key}", index + 1), message, cure);
}

/// The stem of step and piece ids of an extra of which a design may have several: "label",
/// "label-2".
fn stem(d: &Drafter<'_>, index: usize, word: &str) -> String {
    let list = &d.design.extras;
    let kind = list.get(index).map_or("", |extra| extra.kind);
    let before = list.iter().take(index).filter(|extra| extra.kind == kind).count();
    if before == 0 { word.to_owned() } else { format!("{word}-{}", before + 1) }
}

/// Refuses an extra of which a bag can have only one, when it is the second.
fn is_first(d: &mut Drafter<'_>, index: usize, what: &str) -> bool {
    let list = &d.design.extras;
    let kind = list.get(index).map_or("", |extra| extra.kind);
    if list.iter().take(index).all(|extra| extra.kind != kind) {
        return true;
    }
    let message = format!("this bag has {what} already, and there is room for no more");
    refuse(d, index, "kind", message, "leave one of the two out".to_owned());
    false
}

/// The same for a person: "label", "label 2".
fn spoken(stem: &str) -> String {
    stem.replace('-', " ")
}

/// Room around what is set on a panel: 1/8 in (3 mm).
fn margin(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 8), Length::mm(3))
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use crate::design::{Chosen, Design};
    use crate::kinds::{Quantity, Value};
    use crate::{Severity, bodies, extras, linings};

    /// Every extra at its default and in each of its ways, on every body, lined and not: where it
    /// can be drafted, it is sewn without an error; and each can be, on one body at least.
    #[test]
    fn every_extra_is_sewn_without_an_error() {
        for extra in extras::ALL {
            let mut built = 0;
            let linings = ["turned", "unlined"].map(|name| linings::find(name).unwrap());
            for (number, body) in bodies::ALL.iter().enumerate() {
                for lining in linings {
                    let units = if number % 2 == 0 { Units::Inch } else { Units::Mm };
                    let system = units.system();
                    let mut design = Design::of(*body, units);
                    design.lining = Chosen::new(lining, system);
                    let plain = Chosen::new(*extra, system);
                    let mut ways = vec![plain.clone()];
                    for param in extra.params() {
                        if let Quantity::Choice { options, .. } = param.quantity {
                            ways.extend(options.iter().skip(1).map(|(word, _)| {
                                let mut way = plain.clone();
                                assert!(way.values.set(param.key, Value::Choice(word)));
                                way
                            }));
                        }
                    }
                    for way in ways {
                        design.extras = vec![way.clone(), way];
                        if !["label", "key-loop"].contains(&extra.name()) {
                            design.extras.pop();
                        }
                        let Some(pattern) = crate::draft(&design).pattern else { continue };
                        let errors: Vec<_> = crate::checks::run(&pattern)
                            .into_iter()
                            .filter(|finding| finding.severity == Severity::Error)
                            .collect();
                        assert!(
                            errors.is_empty(),
                            "{} on {} with {}: {errors:#?}",
                            extra.name(),
                            body.name(),
                            lining.name()
                        );
                        built += 1;
                    }
                }
            }
            assert!(built >= 5, "{} was built {built} times", extra.name());
        }
    }
}
