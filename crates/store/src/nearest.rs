//! The word that a person probably meant.

/// The one of `known` that is nearest to `word`, if any is near enough to be worth proposing.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: String = word.to_lowercase().chars().take(60).collect();
    let word = word.replace(['_', ' '], "-");
    let scored = known.into_iter().map(|known| (strsim::damerau_levenshtein(&word, known), known));
    let (distance, best) = scored.min_by_key(|(distance, _)| *distance)?;
    // One slip in a short word, two or three in a longer one.
    let allowed = (best.chars().count().max(word.chars().count()) + 1) / 3;
    (distance <= allowed.clamp(1, 3)).then_some(best)
}

/// The hint for an unknown word: the nearest one, and all there are.
pub(crate) fn hint<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
    what: &str,
) -> String {
    let all = list(known.clone());
    match nearest(word, known) {
        Some(best) => format!("did you mean `{best}`? {what} {all}"),
        None => format!("{what} {all}"),
    }
}

/// Words one after the other, `a, b, c`.
pub(crate) fn list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNOWN: [&str; 4] = ["width", "height", "depth", "inside-pocket"];

    #[test]
    fn slips_of_the_finger_are_recognised() {
        for (word, meant) in [
            ("widht", Some("width")),
            ("Width", Some("width")),
            ("hight", Some("height")),
            ("inside_pocket", Some("inside-pocket")),
            ("inside pockets", Some("inside-pocket")),
            ("colour", None),
            ("", None),
        ] {
            assert_eq!(nearest(word, KNOWN), meant, "{word}");
        }
    }

    #[test]
    fn the_hint_names_all_that_there_is() {
        let hint = hint("dept", KNOWN, "[body] takes");
        let expected = "did you mean `depth`? [body] takes width, height, depth, inside-pocket";
        assert_eq!(hint, expected);
    }
}
