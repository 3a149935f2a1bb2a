//! A design made larger or smaller, step by step.

use bag::Design;
use bag::kinds::{Param, Quantity, Value};
use bag::pattern::Pattern;
use measure::{Length, Rounding, Ruler, System};

use super::NoLargest;

/// What grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grow<'a> {
    /// The whole body and its pockets, in proportion. Handles, closure and allowances keep their
    /// measures.
    Alike,
    /// One size of the body, by its key; all else keeps its measures.
    Alone(&'a str),
}

/// The keys of a body's sizes, the one that leads first.
const SIZES: [&str; 3] = ["width", "height", "depth"];

/// Lengths of a body that do not grow: what a hand needs.
const FIXED: [&str; 4] = ["ease", "hem", "turn", "casing"];
/// Lengths of a pocket that grow.
const OF_POCKETS: [&str; 3] = ["width", "height", "below"];

/// A design and its steps.
pub(super) struct Growing<'a> {
    design: &'a Design,
    params: &'static [Param],
    alone: bool,
    /// The size that is stepped.
    pub(super) key: &'static str,
    /// By how much.
    pub(super) step: Length,
    own: Length,
}

/// The design with its size given as the finished bag, if it was worked out from what must fit.
pub(super) fn finished(design: &Design, pattern: &Pattern) -> Design {
    let mut design = design.clone();
    if design.body.values.get("size") == Some(&Value::Choice("fits")) {
        let claims = &pattern.claims;
        design.body.values.set("size", Value::Choice("finished"));
        for (key, length) in SIZES.into_iter().zip([claims.width, claims.height, claims.depth]) {
            if length.is_positive() {
                design.body.values.set(key, Value::Length(length));
            }
        }
    }
    design
}

impl<'a> Growing<'a> {
    pub(super) fn new(design: &'a Design, grow: Grow<'_>) -> Result<Self, NoLargest> {
        let params = Design::params_of("body", design.body.kind).unwrap_or(&[]);
        let is_length = |param: &&Param| matches!(param.quantity, Quantity::Length { .. });
        let sizes = || {
            let has = |key: &&str| params.iter().filter(is_length).any(|param| param.key == *key);
            SIZES.into_iter().filter(has)
        };
        let key = match grow {
            Grow::Alike => sizes().next(),
            Grow::Alone(key) => sizes().find(|size| *size == key),
        };
        let key = key.ok_or_else(|| NoLargest::NoSize(sizes().collect()))?;
        let ruler = ruler(design.system());
        let own = design.body.values.length(key);
        Ok(Self { design, params, alone: grow != Grow::Alike, key, step: ruler.step(), own })
    }

    fn range(&self) -> (i64, i64) {
        let param = self.params.iter().find(|param| param.key == self.key);
        let (least, most) = param.and_then(range_of).unwrap_or((self.own, self.own));
        let step = self.step.to_nm();
        ((least.to_nm() + step - 1) / step, most.to_nm() / step)
    }

    /// The smallest step.
    pub(super) fn least(&self) -> i64 {
        self.range().0
    }

    /// The largest step.
    pub(super) fn most(&self) -> i64 {
        self.range().1
    }

    /// The stepped size at a step.
    pub(super) fn stepped(&self, at: i64) -> Length {
        self.step * at
    }

    /// The largest step below one at which the pieces would cover `fill` times the fabric, that
    /// their area does not rule out. With all sizes larger by a factor the area is larger by its
    /// square at most; less, since allowances do not grow, and much less if one size grows alone.
    /// So from a step down, area is lost no faster than by the square. A few steps are left for
    /// the rounding of what grows along.
    pub(super) fn leap(&self, at: i64, fill: f64) -> i64 {
        #[allow(clippy::cast_possible_truncation, reason = "a step count below a million")]
        #[allow(clippy::cast_precision_loss, reason = "a step count below a million")]
        let to = (at as f64 / fill.sqrt()).ceil() as i64 + 4;
        to.min(at - 1)
    }

    /// The design at a step; none where something leaves its range.
    pub(super) fn at(&self, at: i64) -> Option<Design> {
        let mut design = self.design.clone();
        let size = self.stepped(at);
        design.body.values.set(self.key, Value::Length(size));
        if self.alone {
            return Some(design);
        }
        let ruler = ruler(design.system());
        let grown = |length: Length| {
            let nm = i128::from(length.to_nm()) * i128::from(size.to_nm())
                / i128::from(self.own.to_nm().max(1));
            let nm = i64::try_from(nm).unwrap_or(i64::MAX / 4);
            ruler.round(Length::nm(nm), Rounding::Nearest)
        };
        let grows = |param: &&Param| param.key != self.key && !FIXED.contains(&param.key);
        for param in self.params.iter().filter(grows) {
            set(&mut design.body.values, param, &grown)?;
        }
        for pocket in &mut design.pockets {
            let params = Design::params_of("pocket", pocket.kind).unwrap_or(&[]);
            for param in params.iter().filter(|param| OF_POCKETS.contains(&param.key)) {
                set(&mut pocket.values, param, &grown)?;
            }
        }
        Some(design)
    }
}

fn set(
    values: &mut bag::kinds::Values,
    param: &Param,
    grown: &impl Fn(Length) -> Length,
) -> Option<()> {
    let Some((least, most)) = range_of(param) else { return Some(()) };
    let Some(Value::Length(own)) = values.get(param.key) else { return Some(()) };
    let to = grown(*own);
    // What is nothing stays nothing; main sizes must stay in their range, others stop at its end.
    if own.is_positive() {
        if SIZES.contains(&param.key) && !(least..=most).contains(&to) {
            return None;
        }
        values.set(param.key, Value::Length(to.clamp(least, most)));
    }
    Some(())
}

fn range_of(param: &Param) -> Option<(Length, Length)> {
    match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            Some((least, most))
        }
        _ => None,
    }
}

/// The ruler on which finished sizes are stepped.
const fn ruler(system: System) -> Ruler {
    match system {
        System::Inch => Ruler::EIGHTH_INCH,
        System::Metric => Ruler::MM,
    }
}
