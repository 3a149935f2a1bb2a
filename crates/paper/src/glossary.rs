//! Words of the trade, explained for whoever sews a first bag. Only those that a booklet uses are
//! printed in it.

/// A word: how it may appear in a text (lower case), how it is headed, and what it means.
struct Word {
    forms: &'static [&'static str],
    term: &'static str,
    meaning: &'static str,
}

const WORDS: [Word; 39] = [
    word(
        &["backstitch"],
        "Backstitch",
        "sew a few stitches back and forth where a seam begins and ends, so that it holds",
    ),
    word(
        &["bast"],
        "Baste",
        "hold layers for the time being with long stitches that are taken out or hidden later",
    ),
    word(&["bind", "binding"], "Bind", "enclose a raw edge in a strip of fabric"),
    word(
        &["on the bolt"],
        "Bolt",
        "the board or roll on which cloth is sold, selvedge to selvedge",
    ),
    word(
        &["box the corner", "boxed", "boxing"],
        "Box a corner",
        "sew across the point of a corner, so that a flat bag gets a base with depth",
    ),
    word(
        &["boxing line"],
        "Boxing line",
        "the line along which a corner is boxed; it is sewn, not cut",
    ),
    word(
        &["calico"],
        "Calico",
        "plain cotton cloth, unbleached and unprinted; in the United States it is called muslin",
    ),
    word(
        &["clapper"],
        "Clapper",
        "a block of wood held on a seam that was steamed until it is cool",
    ),
    word(
        &["clip the", "clip notch", "clip into", "snip"],
        "Clip",
        "snip into the seam allowance, not into the stitches",
    ),
    word(&["crease"], "Crease", "the line that a pressed fold leaves"),
    word(
        &["pulled taut", "taut drop"],
        "Drop",
        "how far the top of a handle pulled taut stands above the rim, measured in the middle",
    ),
    word(&["edgestitch"], "Edgestitch", "sew on the right side very close to an edge or a seam"),
    word(
        &["french seam"],
        "French seam",
        "a seam sewn twice, wrong sides together first, that hides its raw edges",
    ),
    word(
        &["fuse", "fused", "fusing"],
        "Fuse",
        "bond interfacing to fabric with the heat of the iron",
    ),
    word(
        &["grain"],
        "Grain",
        "the direction of the threads that run along the selvedge; cloth gives least along it",
    ),
    word(
        &["hand wheel"],
        "Hand wheel",
        "the wheel at the side of the machine; turned towards you, it makes single stitches",
    ),
    word(
        &["hem"],
        "Hem",
        "fold an edge to the wrong side, twice if it would fray, and sew it down",
    ),
    word(&["interfac"], "Interfacing", "a cloth behind the fabric that gives it body"),
    word(&["lining"], "Lining", "the inner bag, which hides the seams of the outer one"),
    word(
        &["nap", "one-way", "one way"],
        "Nap",
        "pile that has an up and a down; as with a one-way print, all pieces must lie the same way",
    ),
    word(&["notch"], "Notch", "a short snip in the allowance that shows where to match"),
    word(&["notions"], "Notions", "the small things beside cloth: thread, needles, closures"),
    word(
        &["opening"],
        "Opening",
        "a stretch of seam left unsewn, through which the bag or a pocket is turned",
    ),
    word(
        &["overcast"],
        "Overcast",
        "sew over a raw edge, with a zigzag for instance, so that it does not fray",
    ),
    word(&["overedge"], "Overedge stitch", "a stitch that goes round a raw edge as it sews"),
    word(
        &["press ", "pressed", "pressing", "press,"],
        "Press",
        "set the iron down and lift it, without pushing the cloth out of shape",
    ),
    word(
        &["press cloth"],
        "Press cloth",
        "thin cotton laid between the iron and what it could mark",
    ),
    word(&["raw edge"], "Raw edge", "an edge as it was cut"),
    word(
        &["right side"],
        "Right side",
        "the side of the fabric that is meant to be seen; the other is the wrong side",
    ),
    word(&["rim"], "Rim", "the upper edge of the bag"),
    word(&["seam allowance"], "Seam allowance", "the cloth between the stitching and the cut edge"),
    word(&["selvedge"], "Selvedge", "the firm edge along both sides of the fabric as it was woven"),
    word(
        &["square up", "squared up", "squaring up"],
        "Square up",
        "cut the end of the cloth at right angles to its selvedge",
    ),
    word(&["ticking"], "Ticking", "firm striped cotton cloth"),
    word(
        &["topstitch"],
        "Topstitch",
        "sew on the right side, beside a seam or an edge, where it is seen",
    ),
    word(&["trim"], "Trim", "cut away what is too much, close to a line or the stitches"),
    word(&["turn through", "right side out"], "Turn through", "pull the work right side out"),
    word(&["usable width"], "Usable width", "the width of the cloth between its selvedges"),
    word(&["webbing"], "Webbing", "a strong woven band, sold by length"),
];

const fn word(forms: &'static [&'static str], term: &'static str, meaning: &'static str) -> Word {
    Word { forms, term, meaning }
}

/// The words that `text` uses, with what they mean, in the order of the alphabet.
pub(crate) fn used_in(text: &str) -> Vec<(&'static str, &'static str)> {
    let text = text.to_lowercase();
    WORDS
        .iter()
        .filter(|word| word.forms.iter().any(|form| contains_word(&text, form)))
        .map(|word| (word.term, word.meaning))
        .collect()
}

/// Whether `form` stands at the beginning of a word of `text`.
fn contains_word(text: &str, form: &str) -> bool {
    text.match_indices(form)
        .any(|(at, _)| !text[..at].chars().next_back().is_some_and(char::is_alphabetic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_in_order_and_found_at_their_beginning() {
        let terms: Vec<_> = WORDS.iter().map(|word| word.term.to_lowercase()).collect();
        assert!(terms.is_sorted(), "{terms:?}");
        let found: Vec<_> = used_in("Basting trims. Press the rim.").iter().map(|w| w.0).collect();
        assert_eq!(found, ["Baste", "Press", "Rim", "Trim"]);
        assert!(used_in("The untrimmed cloth is primed; kidnapped.").is_empty());
    }
}
