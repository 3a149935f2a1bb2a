//! The page on the design file, written from the parameters themselves.

use bag::Role;
use bag::kinds::{Kind, Param, Quantity, Value};
use bag::pattern::spell_weight;
use measure::{Length, System, Units, fits, show_length, show_number};

use crate::nearest;
use crate::sections::{self, CHANGES, Form, HEAD, LISTS, LONGEST_LIST, SECTIONS, Section};
use crate::usual::{Usual, usual};
use crate::values;
use crate::write::{Starter, spelled, starter};

/// What stands before the sections. The sections, ranges and defaults below it are generated.
const INTRODUCTION: &str = "\
# The design file

A design is a text file in [TOML](https://toml.io), named for example `market-tote.toml`. It says what you
want; everything else (pieces, steps, cutting layouts, what to buy) follows from it.

This page is written by `cargo xtask docs` from the program itself.

- Each line is `key = value`. A line `[section]` starts a section, and `#` starts a remark.
- Whatever you leave out has its default. Only `units` and `[body]` with its `kind` must be there.
- A size whose default is “left out” follows from the bag; beside it stands what it comes to in a bag that has
  all else as it comes. The workroom shows in each empty field what it comes to in yours.
- Sizes are width × height.
- `bagwright new BODY` prints a design with remarks, to start from; `--whole` with every kind of pocket and extra.
- When something is wrong, you are told of all of it at once: the line, what is wrong, and what would be right.

## Lengths

A number without a unit is in the design's `units`. Anything else stands in quotes, with or without a unit:

```toml
width = 16              # in the design's units
height = 13.5           # decimals are exact
depth = \"4 1/2\"         # a fraction
squaring = \"1 in\"       # in, ft, yd, mm, cm, m
length = \"5 ft 2 in\"    # two units
usable = '42\"'          # single quotes where the text has a double one
```

Lengths are kept exactly; nothing is rounded on reading. A range below is shown on a ruler, so that its ends
are themselves allowed.
";

/// What the file says of sizes and options.
const FAMILY: &str = "
## `[size.NAME]` and `[option.NAME]`

One design in several sizes, and with other handles, closures or fabrics. Each says only what differs, under the
same sections as the design itself:

```toml
[size.small]
body.width = 10
body.height = 9

[option.webbing]
handles.kind = \"webbing\"
```

A section that names another `kind` starts from that kind's defaults, and `pocket` takes the place of the whole list.
`bagwright sizes my-bag.toml` puts every size with every option side by side: finished size, pieces, what to buy of
each fabric; `--csv` writes it for a spreadsheet. `bagwright make my-bag.toml --size small --option webbing` makes the
packet of one of them. `units` and `[edition]` are the same for the whole file.
";

/// The text of `docs/design-file.md`.
pub fn guide() -> String {
    let mut page = INTRODUCTION.to_owned();
    page.push_str("\n## Before the first section\n\n");
    table(&mut page, HEAD);
    for section in SECTIONS {
        self::section(&mut page, section);
    }
    page.push_str(FAMILY);
    things(&mut page);
    page.push_str("\n## A complete example\n\nThis is what `bagwright new boxed` prints.\n");
    let example = starter("boxed", Units::Inch, Starter::Short).unwrap_or_default();
    page.push_str(&format!("\n```toml\n{example}```\n"));
    page
}

/// What the things of a section are called that may be written several times.
fn several(key: &str) -> Option<&'static str> {
    LISTS.iter().find(|(list, _)| *list == key).map(|(_, several)| *several)
}

fn section(page: &mut String, section: &Section) {
    let key = section.key;
    let header = match section.form {
        Form::ByRole(_) => format!("[{key}.PART]"),
        Form::Kind(_) if several(key).is_some() => format!("[[{key}]]"),
        Form::Kind(_) | Form::Values(_) => format!("[{key}]"),
    };
    page.push_str(&format!("\n## `{header}`\n\n{}\n", section.help));
    match section.form {
        Form::Kind(_) => {
            let kinds = sections::kinds(section);
            let names = nearest::list(kinds.iter().map(|kind| kind.name()));
            page.push_str(&format!("\n`kind` is one of: {names}.\n"));
            if let Some(several) = several(key) {
                page.push_str(&format!("At most {LONGEST_LIST} {several} are taken.\n"));
            }
            for kind in kinds {
                self::kind(page, key, kind);
            }
        }
        Form::Values(params) => {
            page.push('\n');
            table(page, params);
            if key == "edition" {
                page.push_str(&format!(
                    "\n`{CHANGES}`, a list of at most {LONGEST_LIST} texts, says what has changed \
                     since the last edition.\n"
                ));
            }
        }
        Form::ByRole(params) => {
            let parts: Vec<String> = Role::ALL
                .iter()
                .map(|role| format!("`{}` ({})", role.key(), role.title()))
                .collect();
            page.push_str(&format!("\nPART is one of: {}.\n\n", parts.join(", ")));
            table(page, params);
        }
    }
}

fn kind(page: &mut String, section: &str, kind: &dyn Kind) {
    page.push_str(&format!(
        "\n### `kind = \"{}\"`\n\n{}: {}\n",
        kind.name(),
        kind.title(),
        kind.help()
    ));
    if kind.params().is_empty() {
        page.push_str("\nThere is nothing to set.\n");
    } else {
        page.push('\n');
        rows(page, kind.params(), |key| {
            let Usual { body, inch, metric } = usual(section, kind, key)?;
            let whose =
                if section == "body" { String::new() } else { format!(" in a `{body}` bag") };
            Some(format!("{}{whose}", both(inch, metric)))
        });
    }
}

fn table(page: &mut String, params: &[Param]) {
    rows(page, params, |_| None);
}

/// A table of parameters, with what a length comes to that is left out.
fn rows(page: &mut String, params: &[Param], usual: impl Fn(&str) -> Option<String>) {
    page.push_str("| key | what it is | takes | default |\n|---|---|---|---|\n");
    for param in params {
        let mut default = default(param);
        if param.default_value(System::Inch) == Value::Absent
            && let Some(usual) = usual(param.key)
        {
            default = format!("{default}: {usual}");
        }
        let cells = [format!("`{}`", param.key), param.help.to_owned(), takes(param), default];
        let cells = cells.map(|cell| cell.replace('|', "\\|"));
        page.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
}

/// What a bag can be designed to hold.
fn things(page: &mut String) {
    page.push_str(
        "\n## Things to hold\n\nSizes are width × height × thickness, as the thing stands in the \
         bag, without room around it.\n\n| word | thing | size | source |\n|---|---|---|---|\n",
    );
    for fit in fits() {
        let size = |system| {
            let [width, height] = [fit.width, fit.height].map(|side| show_number(side, system));
            format!("{width} × {height} × {}", show_length(fit.thickness, system))
        };
        let (inch, metric) = (size(System::Inch), size(System::Metric));
        page.push_str(&format!(
            "| `{}` | {} | {metric} ({inch}) | {} |\n",
            fit.id, fit.title, fit.source
        ));
    }
}

/// What a parameter takes, in both systems.
pub(crate) fn takes(param: &Param) -> String {
    match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            let [inch, mm] =
                [Units::Inch, Units::Mm].map(|units| values::range_shown(least, most, units));
            if inch == mm { inch } else { format!("{inch} ({mm})") }
        }
        Quantity::Thing { .. } => "a thing, see [Things to hold](#things-to-hold)".to_owned(),
        Quantity::Choice { .. } => {
            let words = values::words(param).into_iter();
            words
                .map(|(word, meaning)| format!("`{word}`: {meaning}"))
                .collect::<Vec<_>>()
                .join("; ")
        }
        _ => values::range(param, Units::Inch),
    }
}

/// The default of a parameter, in both systems where they differ.
fn default(param: &Param) -> String {
    match param.default_value(System::Inch) {
        Value::Length(inch) => {
            let metric = match param.default_value(System::Metric) {
                Value::Length(metric) => metric,
                _ => inch,
            };
            both(inch, metric)
        }
        Value::Absent => "left out".to_owned(),
        Value::Count(count) => count.to_string(),
        Value::Choice(word) => format!("`{word}`"),
        Value::Flag(flag) => flag.to_string(),
        Value::Text(text) if text.is_empty() => "empty".to_owned(),
        Value::Text(text) => text,
        Value::Percent(share) => values::percent_shown(share),
        Value::Weight(weight) => spell_weight(weight),
    }
}

/// A length of an inch design and that of a metric one: "9 in (230 mm)".
fn both(inch: Length, metric: Length) -> String {
    let [mm, inch_mm] = [metric, inch].map(|length| spelled(length, Units::Mm));
    let inches = spelled(inch, Units::Inch);
    let inches = inches.trim_matches('"');
    match inches.ends_with("mm") {
        true if inch == metric => format!("{inch_mm} mm"),
        true => format!("{inches} ({mm} mm)"),
        false => format!("{inches} in ({mm} mm)"),
    }
}
