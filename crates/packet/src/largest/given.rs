//! Fabric that there is, as people say it.

use bag::design::Role;
use measure::{Length, Units, parse_length};

/// A length of fabric that there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Given {
    /// The part of the bag that is cut from it.
    pub role: Role,
    /// Across, from selvedge to selvedge.
    pub width: Length,
    /// The part of the width that can be used; none for what is usual of that width.
    pub usable: Option<Length>,
    /// How long it is.
    pub length: Length,
}

/// Pieces of fabric that have a name, with width and length in inches: half the width of a 44 in
/// fabric, so that one selvedge may be on it (quilters' usual sizes: a half yard or a quarter yard,
/// cut in two; some cut them from 42 in, 21 in wide).
const NAMED: [(&str, i64, i64); 2] = [("fat quarter", 22, 18), ("fat eighth", 22, 9)];

impl Given {
    /// Reads `1 yd of 54 in` (so long, off a bolt so wide; its selvedges are taken off), `22 x 18 in`
    /// (a piece, width × length, all of it usable), `fat quarter` or `fat eighth`; each may begin
    /// with the part that is cut from it, `lining: 1/2 yd of 44 in`, and is the outside otherwise. A
    /// number without a unit is taken in `units`.
    ///
    /// # Errors
    /// What is wrong with the text, and what would be right.
    pub fn parse(text: &str, units: Units) -> Result<Self, String> {
        let (role, what) = match text.split_once(':') {
            None => (Role::Outside, text),
            Some((part, what)) => {
                let role = Role::ALL.into_iter().find(|role| role.key() == part.trim());
                let role = role.ok_or_else(|| {
                    let parts: Vec<&str> = Role::ALL.iter().map(|role| role.key()).collect();
                    format!("`{}` is no part of a bag; there are {}", part.trim(), parts.join(", "))
                })?;
                (role, what)
            }
        };
        let what = what.trim();
        let read = |text: &str| parse_length(text, units).map_err(|error| error.to_string());
        if let Some((_, width, length)) = NAMED.iter().find(|(name, ..)| *name == what) {
            let (width, length) = (Length::inch(*width), Length::inch(*length));
            return Ok(Self { role, width, usable: Some(width), length });
        }
        if let Some((length, width)) = what.split_once(" of ") {
            return Ok(Self { role, width: read(width)?, usable: None, length: read(length)? });
        }
        if let Some((width, length)) = what.split_once(['x', '×']) {
            // The unit may stand once, behind both.
            let length = length.trim();
            let unit = length.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"');
            let has_unit = width.contains(|c: char| c.is_alphabetic() || c == '"');
            let width = if has_unit { width.to_owned() } else { format!("{width}{unit}") };
            let width = read(&width)?;
            return Ok(Self { role, width, usable: Some(width), length: read(length)? });
        }
        let names: Vec<&str> = NAMED.iter().map(|(name, ..)| *name).collect();
        Err(format!(
            "`{what}` is no fabric; say its length and width, as in `1 yd of 54 in`, or width × \
             length of a piece, as in `22 x 18 in`, or {}",
            names.join(" or ")
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(text: &str) -> Given {
        Given::parse(text, Units::Inch).unwrap()
    }

    #[test]
    fn fabric_is_read_as_people_say_it() {
        let yard = Given {
            role: Role::Outside,
            width: Length::inch(54),
            usable: None,
            length: Length::inch(36),
        };
        assert_eq!(parsed("1 yd of 54 in"), yard);
        assert_eq!(parsed("lining: 1 yd of 54 in"), Given { role: Role::Lining, ..yard });
        assert_eq!(parsed("36 of 54"), yard);
        let piece = parsed("22 x 18 in");
        assert_eq!(piece, parsed("22 in x 18 in"));
        assert_eq!((piece.width, piece.usable), (Length::inch(22), Some(Length::inch(22))));
        assert_eq!(piece, parsed("fat quarter"));
        let metric = Given::parse("50 cm of 140 cm", Units::Mm).unwrap();
        assert_eq!((metric.length, metric.width), (Length::mm(500), Length::mm(1_400)));
    }

    /// 18 × 22 in and 9 × 44 in are equal areas, 396 sq in (allpeoplequilt.com, "What are fat
    /// quarters and fat eighths", 2017).
    #[test]
    fn a_fat_quarter_is_as_much_as_a_quarter_yard() {
        let quarter = parsed("fat quarter");
        let area = measure::Area::rectangle(quarter.width, quarter.length);
        assert_eq!(area, measure::Area::rectangle(Length::inch(44), Length::inch(9)));
    }

    #[test]
    fn what_is_not_understood_is_told() {
        let fails = |text: &str| Given::parse(text, Units::Inch).unwrap_err();
        assert!(fails("much").starts_with("`much` is no fabric"));
        assert!(fails("strap: 1 yd of 54 in").starts_with("`strap` is no part"));
        assert!(fails("1 yd of 54 parsecs").contains("parsec"));
    }
}
