//! Where a parameter stands in a design file, so that a finding can point to it.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::problem::Source;

/// The line and the column, both counted from 1, of a parameter such as `body.depth`,
/// `pocket[2].height` (counted from 1) or `fabric.lining.width`. Where the file leaves the
/// parameter out, that of its section; nothing when it has no such section either.
pub fn locate(text: &str, parameter: &str) -> Option<(usize, usize)> {
    let (tables, _) = DeTable::parse_recoverable(text);
    let mut table = tables.get_ref();
    let mut place: Option<Range<usize>> = None;
    for part in parameter.split('.') {
        let (word, index) = match part.strip_suffix(']').and_then(|part| part.split_once('[')) {
            Some((word, index)) => (word, index.parse::<usize>().ok()?.checked_sub(1)?),
            None => (part, 0),
        };
        let Some((key, value)) = table.get_key_value(word) else { break };
        match value.get_ref() {
            DeValue::Table(inner) => {
                place = Some(value.span());
                table = inner;
            }
            DeValue::Array(list) => {
                let Some(item) = list.get(index) else { break };
                place = Some(item.span());
                let DeValue::Table(inner) = item.get_ref() else { break };
                table = inner;
            }
            _ => {
                place = Some(key.span());
                break;
            }
        }
    }
    let place = Source { file: "", text }.problem(place?, "", "");
    Some((place.line, place.column))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parameter_is_found_and_else_its_section() {
        let text = "units = \"inch\"\n[body]\nkind = \"flat\"\n  width = 4\n[[pocket]]\non = 1\n\
                    [[pocket]]\nheight = 2\n[fabric.lining]\nwidth = 3\n";
        for (parameter, place) in [
            ("units", Some((1, 1))),
            ("body.width", Some((4, 3))),
            ("body.depth", Some((2, 1))),
            ("pocket[2].height", Some((8, 1))),
            ("pocket[1].height", Some((5, 1))),
            ("fabric.lining.width", Some((10, 1))),
            ("fabric.outside.width", Some((9, 2))),
            ("handles.drop", None),
            ("", None),
        ] {
            assert_eq!(locate(text, parameter), place, "{parameter}");
        }
    }

    #[test]
    fn nonsense_is_nowhere_or_at_its_section() {
        let text = "[[pocket]]\n";
        for parameter in ["pocket[0]", "pocket[x]", "]", "[", "...", "pocket[99999999999999999999]"]
        {
            assert_eq!(locate(text, parameter), None, "{parameter}");
        }
        assert_eq!(locate("= = [", "body"), None);
    }
}
