//! A design made larger or smaller, step by step.

use bag::Design;
use bag::kinds::{Grows, Param, Quantity, Value, Values};
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
        let sizes = [("width", claims.width), ("height", claims.height), ("depth", claims.depth)];
        for (key, length) in sizes.into_iter().filter(|(_, length)| length.is_positive()) {
            design.body.values.set(key, Value::Length(length));
        }
    }
    design
}

impl<'a> Growing<'a> {
    pub(super) fn new(design: &'a Design, grow: Grow<'_>) -> Result<Self, NoLargest> {
        let params = Design::params_of("body", design.body.kind).unwrap_or(&[]);
        let sizes = sizes(design);
        let key = match grow {
            Grow::Alike => sizes.first(),
            Grow::Alone(key) => sizes.iter().find(|size| size.key == key),
        };
        let Some(&&Param { key, .. }) = key else {
            return Err(NoLargest::NoSize(sizes.iter().map(|size| size.key).collect()));
        };
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
        for param in self.params.iter().filter(|param| param.key != self.key) {
            set(&mut design.body.values, param, &grown)?;
        }
        for pocket in &mut design.pockets {
            for param in Design::params_of("pocket", pocket.kind).unwrap_or(&[]) {
                set(&mut pocket.values, param, &grown)?;
            }
        }
        Some(design)
    }
}

/// The sizes of a design's body that are given, and so can grow; the one that leads first.
pub fn sizes(design: &Design) -> Vec<&'static Param> {
    let params = Design::params_of("body", design.body.kind).unwrap_or(&[]);
    let is_given = |param: &Param| matches!(design.body.values.get(param.key), Some(Value::Length(own)) if own.is_positive());
    params.iter().filter(|param| param.grows == Some(Grows::Size) && is_given(param)).collect()
}

/// Sets what grows with the sizes; none where a size leaves its range.
fn set(values: &mut Values, param: &Param, grown: &impl Fn(Length) -> Length) -> Option<()> {
    let (Some(grows), Some((least, most))) = (param.grows, range_of(param)) else {
        return Some(());
    };
    let Some(Value::Length(own)) = values.get(param.key) else { return Some(()) };
    // What is nothing stays nothing; sizes must stay in their range, others stop at its end.
    if own.is_positive() {
        let to = grown(*own);
        if grows == Grows::Size && !(least..=most).contains(&to) {
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
