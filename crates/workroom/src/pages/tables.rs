//! Tables of amounts: what each row is stands first, and numbers under numbers.

use maud::{Markup, html};

use super::shell::capital;

/// A table of amounts with its caption and headings; wide ones are moved sideways.
pub(super) fn amounts(
    (label, caption): (&str, &str),
    headings: &[String],
    rows: &[Vec<String>],
) -> Markup {
    html! {
        div.scroll role="region" tabindex="0" aria-label=(label) {
            table {
                caption { (caption) }
                thead { tr { @for (at, heading) in headings.iter().enumerate() { th.number[at > 0] scope="col" { (capital(heading)) } } } }
                tbody { @for row in rows {
                    tr { @for (at, cell) in row.iter().enumerate() {
                        @if at == 0 { th scope="row" { (capital(cell)) } } @else { td.number { (cell) } }
                    } }
                } }
            }
        }
    }
}
