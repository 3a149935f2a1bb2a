//! The page on the audit file, written from the table of its keys.

use super::keys::{HEAD, Key, LONGEST_LIST, MOST_PIECES, SECTIONS, Takes};
use crate::guide;

/// A complete list of claims, all of which can be; the same file that is tested as an example.
const EXAMPLE: &str = include_str!("../../../../examples/audit/tuesday-shopper.toml");

const INTRODUCTION: &str = "\
# The audit file

A pattern on paper says many things: what to cut and how often, how much cloth to buy, how large the bag
will be. An audit file writes those claims down, and `bagwright audit FILE` holds them against arithmetic
and cloth: it reports every claim that cannot be, with both numbers and the cure, and lists what was checked
and is fine.

This page is written by `cargo xtask docs` from the program itself.

- It is a text file in [TOML](https://toml.io): each line is `key = value`, a line `[section]` starts a
  section, `[[section]]` one of several, and `#` starts a remark.
- Only `units`, the fabrics and the pieces must be there. Whatever else the pattern does not claim is left
  out, and only what is claimed is judged.
- Sizes are width × height. Lengths are written as in [a design file](design-file.md#lengths): a number in
  the file's `units`, or a text such as `\"4 1/2\"`, `\"3/8 yd\"` or `\"12 cm\"`.
- When something in the file is not understood, you are told of all of it at once.

`--json` prints the result for other programs, `--units` words it for the other ruler, and `-o DIR` writes
a picture of the layout behind each yardage. Exit 0: every claim can be. Exit 1: at least one cannot. Exit
2: the file is not understood.
";

const JUDGED: &str = "
## What is judged

| check | what it reports |
|---|---|
| `piece-count` | pieces listed that are not as many as the pattern says, or as its bodies, straps and pockets need |
| `fits-the-fabric` | pieces wider than the cloth that may not be turned or joined |
| `yardage` | yardage that is too short, by how much, and how many of a piece come out of it; or generous, by how much |
| `finished-size` | panels that do not give the claimed width, height or depth, and how to cut them so that they do |
| `corners-match` | squares cut out of corners whose two edges do not meet |
| `rims-match` | lining and outside of different length around the rim |
| `strap-length`, `strap-width`, `strap-drop` | straps that do not come out as long, as wide or as free as claimed |
| `pocket-size` | patch pockets that do not finish as claimed |

A yardage is said to be too short only where that is *proven*: no layout of these pieces, however clever, is
that short. Where a layout that fits was not found, but is not proven impossible either, there is a warning
with both numbers. Where the file does not say the usable width, the proof holds for the whole bought width.

A depth, a free length or a drop that cannot be is told once: what else follows from it is judged by the
number that it agrees with. Straps may be 1/8 in (4 mm) off, a drop 1/4 in (8 mm), and everything else as much
as the ruler does not show.
";

/// The text of `docs/audit-file.md`.
pub fn audit_page() -> String {
    let mut page = INTRODUCTION.to_owned();
    page.push_str(JUDGED);
    page.push_str("\n## Before the first section\n\n");
    table(&mut page, HEAD);
    for section in SECTIONS {
        let must = if section.must { " There must be at least one." } else { "" };
        page.push_str(&format!("\n## `{}`\n\n{}{must}\n\n", section.label(), section.help));
        table(&mut page, section.keys);
    }
    page.push_str(&format!(
        "\nAt most {LONGEST_LIST} sections of a kind are taken, and at most {MOST_PIECES} pieces.\n"
    ));
    page.push_str(&format!(
        "\n## A complete example\n\nEvery claim of this pattern can be. Lists with slips stand \
         beside it in `examples/audit/`.\n\n```toml\n{EXAMPLE}```\n"
    ));
    page
}

fn table(page: &mut String, keys: &[Key]) {
    page.push_str("| key | what it is | takes | if left out |\n|---|---|---|---|\n");
    for key in keys {
        let absent = key.absent.unwrap_or("must be there").to_owned();
        let cells = [format!("`{}`", key.key), key.help.to_owned(), takes(key), absent];
        let cells = cells.map(|cell| cell.replace('|', "\\|"));
        page.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
}

fn takes(key: &Key) -> String {
    match (key.param(), key.takes) {
        (Some(param), _) => guide::takes(&param),
        (None, Takes::Piece) => "the name of a piece".to_owned(),
        (None, Takes::Fabrics) => "the name of a fabric, or a list of names".to_owned(),
        (None, _) => "a list of lengths in quotes".to_owned(),
    }
}
