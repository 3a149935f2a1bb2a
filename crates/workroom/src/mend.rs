//! Looks for the value of a parameter, nearest to the present one, that cures a finding and brings
//! no new trouble. It tries them out: nothing here knows what a check looks for.

use bag::kinds::{Param, Quantity, Value};
use bag::{Design, Finding, Severity};
use measure::{Length, Rounding, Ruler};
use store::{shown_value, value_words};

use crate::change;

/// The most values that are tried of a parameter: each takes a whole packet.
const MOST_TRIES: usize = 60;
/// The same where every parameter of a part is tried.
const MOST_OF_EACH: usize = 24;

/// The path and the value, as it would be typed, that cure a finding; none when the finding names
/// no parameter, or no single value of it helps.
pub fn mend(design: &Design, finding: &Finding) -> Option<(String, String)> {
    let paths = tried(design, finding);
    let most = if paths.len() > 1 { MOST_OF_EACH } else { MOST_TRIES };
    let built = packet::build(design);
    let before = weight(&built.findings);
    let drafted = built.packet.is_some();
    paths.iter().find_map(|path| one(Search { design, finding, path, before, drafted, left: most }))
}

/// The parameters whose values are tried: the one that a finding names; or, where it is about a part
/// that the design has and that could be made, all of that part: first where it lies, as to move a
/// thing changes it least.
fn tried(design: &Design, finding: &Finding) -> Vec<String> {
    let Some(path) = finding.place.parameter.as_deref() else { return Vec::new() };
    if change::at(design, path).is_some_and(|(param, _)| is_tried(param)) {
        return vec![path.to_owned()];
    }
    let is_made = finding.check != bag::draft::REFUSED;
    let part =
        path.strip_suffix(".kind").filter(|part| is_made && !matches!(*part, "body" | "lining"));
    let Some(part) = part else { return Vec::new() };
    let mut params = change::params(design, path).unwrap_or_default().to_vec();
    params.retain(is_tried);
    let first = ["below", "on", "side"];
    params
        .sort_by_key(|param| first.iter().position(|key| *key == param.key).unwrap_or(first.len()));
    params.iter().map(|param| format!("{part}.{}", param.key)).collect()
}

fn one(mut search: Search<'_>) -> Option<(String, String)> {
    let (design, path) = (search.design, search.path);
    let (param, value) = change::at(design, path)?;
    let found = match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            let found = search.length(value, least, most);
            let may_be_left_out = matches!(param.quantity, Quantity::OptionalLength { .. });
            found.or_else(|| {
                let leave = may_be_left_out && *value != Value::Absent;
                Some(Value::Absent).filter(|absent| leave && search.cures(absent))
            })
        }
        Quantity::Count { least, most, .. } => {
            let Value::Count(now) = value else { return None };
            let mut counts: Vec<u32> = (least..=most).filter(|count| count != now).collect();
            counts.sort_by_key(|count| count.abs_diff(*now));
            counts.into_iter().map(Value::Count).find(|value| search.cures(value))
        }
        Quantity::Choice { .. } | Quantity::Thing { .. } => {
            let words = value_words(param).into_iter().map(|(word, _)| Value::Choice(word));
            words.filter(|word| word != value).find(|word| search.cures(word))
        }
        Quantity::Flag { .. } => {
            let Value::Flag(now) = value else { return None };
            Some(Value::Flag(!now)).filter(|value| search.cures(value))
        }
        Quantity::Text { .. } | Quantity::Percent { .. } | Quantity::Weight => None,
    }?;
    Some((path.to_owned(), shown_value(&found, design.units)))
}

/// Whether a finding names a parameter whose values can be tried out.
pub fn can_try(design: &Design, finding: &Finding) -> bool {
    !tried(design, finding).is_empty()
}

const fn is_tried(param: &Param) -> bool {
    !matches!(param.quantity, Quantity::Text { .. } | Quantity::Percent { .. } | Quantity::Weight)
}

/// How many errors, and how many warnings.
fn weight(findings: &[Finding]) -> (usize, usize) {
    let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
    (count(Severity::Error), count(Severity::Warning))
}

struct Search<'a> {
    design: &'a Design,
    finding: &'a Finding,
    path: &'a str,
    before: (usize, usize),
    /// Whether the design can be drafted as it is: if not, most checks were never made.
    drafted: bool,
    left: usize,
}

impl Search<'_> {
    /// Whether the finding is gone with this value, and nothing has come in its place; or, where
    /// nothing could be drafted before, something can be now.
    fn cures(&mut self, value: &Value) -> bool {
        let Some(left) = self.left.checked_sub(1) else { return false };
        self.left = left;
        let typed = shown_value(value, self.design.units);
        let Ok((design, _)) = change::apply(self.design, self.path, &typed) else { return false };
        let built = packet::build(&design);
        let is_gone = !built.findings.iter().any(|finding| {
            finding.check == self.finding.check && finding.place == self.finding.place
        });
        let is_drafted_now = !self.drafted && built.packet.is_some();
        is_gone && (is_drafted_now || weight(&built.findings) < self.before)
    }

    /// A length: farther and farther away in both directions, then back to the nearest that cures.
    fn length(&mut self, value: &Value, least: Length, most: Length) -> Option<Value> {
        let ruler = Ruler::drafting(self.design.system());
        let least = ruler.round(least, Rounding::Up);
        let most = ruler.round(most, Rounding::Down);
        let now = match value {
            Value::Length(now) => *now,
            _ if self.cures(&Value::Length(least)) => return Some(Value::Length(least)),
            _ => least,
        };
        let step = ruler.step();
        let near = ruler.round(now, Rounding::Nearest);
        let mut last = [0_i64; 2];
        for exponent in 0..20_u32 {
            // 1, 2, 3, 4, 6, 8, 12, 16, 24, … steps away.
            let far = match exponent {
                0..=2 => i64::from(exponent) + 1,
                _ if exponent % 2 == 1 => 4 << ((exponent - 3) / 2),
                _ => 6 << ((exponent - 4) / 2),
            };
            for (side, sign) in [(0, -1), (1, 1)] {
                let at = |steps: i64| (near + step.times(sign * steps)).clamp(least, most);
                if at(far) == at(last[side]) || !self.cures(&Value::Length(at(far))) {
                    last[side] = far;
                    continue;
                }
                let (mut no, mut yes) = (last[side], far);
                while yes - no > 1 {
                    let middle = no.midpoint(yes);
                    if self.cures(&Value::Length(at(middle))) { yes = middle } else { no = middle }
                }
                return Some(Value::Length(at(yes)));
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use bag::bodies;
    use measure::Units;

    use super::*;

    /// The faulty examples are mended where one value does it, and the bag is better for it.
    #[test]
    fn a_band_pocket_that_is_too_high_is_lowered_as_little_as_needed() {
        let mut design = Design::of(bodies::ALL[0], Units::Inch);
        design = change::apply(&design, "pocket.add", "patch").unwrap().0;
        design = change::apply(&design, "pocket[1].width", "30").unwrap().0;
        let findings = packet::build(&design).findings;
        let finding = findings.iter().find(|f| f.severity == Severity::Error).expect("too wide");
        assert!(can_try(&design, finding), "{finding:?}");
        let (path, value) = mend(&design, finding).expect("a narrower one fits");
        let (mended, _) = change::apply(&design, &path, &value).unwrap();
        let after = packet::build(&mended).findings;
        assert!(!after.iter().any(|f| f.severity == Severity::Error), "{after:?}");
    }

    /// The second of two pockets in one place goes lower where there is room, and else to the other
    /// side of the bag.
    #[test]
    fn a_pocket_that_lies_over_another_is_moved() {
        for (kind, height, typed, mended) in [
            ("patch", "4", "below", "6 1/2"),
            ("patch", "8", "on", "front"),
            ("band", "8", "on", "back"),
        ] {
            let mut design = Design::of(bodies::find("boxed").unwrap(), Units::Inch);
            for number in [1, 2] {
                design = change::apply(&design, "pocket.add", kind).unwrap().0;
                let path = format!("pocket[{number}].height");
                design = change::apply(&design, &path, height).unwrap().0;
            }
            let findings = packet::build(&design).findings;
            let finding = findings.iter().find(|f| f.check == "pockets-clear").expect("they clash");
            assert_eq!(finding.place.parameter.as_deref(), Some("pocket[2].kind"));
            assert!(can_try(&design, finding));
            let found = mend(&design, finding).expect("it can be moved");
            assert_eq!(found, (format!("pocket[2].{typed}"), mended.to_owned()), "{kind} {height}");
        }
    }

    /// What lies wrong wherever it is set within reach is left to the bag itself.
    #[test]
    fn a_flap_that_is_too_long_is_let_down_less_far() {
        let mut design = Design::of(bodies::find("messenger").unwrap(), Units::Inch);
        for (path, typed) in [("body.height", "10 3/8"), ("body.over", "20")] {
            design = change::apply(&design, path, typed).unwrap().0;
        }
        let findings = packet::build(&design).findings;
        let finding = findings.iter().find(|f| f.severity == Severity::Error).expect("too long");
        assert_eq!(finding.place.parameter.as_deref(), Some("body.over"));
        let (path, value) = mend(&design, finding).expect("a shorter one goes");
        assert_eq!((path.as_str(), value.as_str()), ("body.over", "10 3/8"));
    }

    #[test]
    fn a_finding_without_a_parameter_is_not_tried() {
        let design = Design::of(bodies::ALL[0], Units::Inch);
        let place = bag::Place::nowhere();
        let finding = Finding::error("x", place, String::new(), String::new());
        assert!(!can_try(&design, &finding));
        assert_eq!(mend(&design, &finding), None);
    }
}
