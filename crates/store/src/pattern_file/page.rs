//! The page on the pattern file; its tables are written from the fields of the operations.

use std::fmt::Write;

use bag::operations;
use bag::record::{self, FieldInfo};

/// A complete pattern that no body covers; the same file that is tested as an example.
const EXAMPLE: &str = include_str!("../../../../examples/written/letter-fold-pouch.toml");

const INTRODUCTION: &str = include_str!("introduction.md");

/// The text of `docs/pattern-file.md`.
pub fn pattern_page() -> String {
    let mut page = INTRODUCTION.trim_end().to_owned();
    page.push_str("\n\n## The sections\n");
    for (heading, fields) in record::parts() {
        let _ = write!(page, "\n### `{heading}`\n\n");
        table(&mut page, &fields);
    }
    page.push_str(
        "\n## The operations\n\nThe word stands behind `do =` in a step, and the fields beside it.\n",
    );
    for operation in operations::ALL {
        let _ = write!(page, "\n### `{}`\n\n{}\n\n", operation.word, operation.help);
        table(&mut page, &(operation.fields)());
    }
    page.push_str(
        "\n## A complete example\n\n`examples/written/letter-fold-pouch.toml`:\n\n```toml\n",
    );
    page.push_str(EXAMPLE);
    page.push_str("```\n");
    page
}

fn table(page: &mut String, fields: &[FieldInfo]) {
    page.push_str("| key | takes | |\n|---|---|---|\n");
    for FieldInfo { key, takes, help, optional } in fields {
        let optional = if *optional { " (may be left out)" } else { "" };
        // A bar would end the cell.
        let takes = takes.replace('|', "\\|");
        let _ = writeln!(page, "| `{key}` | {takes}{optional} | {help} |");
    }
}
