//! `bagwright largest`: the largest bag of this shape from this fabric.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;
use bag::{Chosen, Design};
use clap::Args;
use measure::{System, show_length};
use packet::largest::{Given, Grow, Largest, NoLargest, largest};
use packet::{show_needed, show_there_is};

use super::progress::Progress;
use super::read::{self, Content, Named};
use super::{print, say};

/// Find the largest bag of this shape that can be cut from the fabric there is.
///
/// Body and pockets grow in proportion, to the ruler's step (1/8 in, or 1 mm); handles, closure and
/// seam allowances keep their measures. With --only, one size grows alone.
#[derive(Debug, Args)]
pub(crate) struct LargestBag {
    #[command(flatten)]
    bag: Named,
    /// What there is: "1 yd of 54 in", "22 x 18 in" (width × length), "fat quarter"; for another part
    /// than the outside, "lining: 1/2 yd of 44 in". May be given several times; fabric for other
    /// parts is taken to be there.
    #[arg(long, required = true, value_name = "FABRIC")]
    fabric: Vec<String>,
    /// Only this size of the body grows: width, height, depth; length or diameter of a duffel.
    #[arg(long, value_name = "SIZE")]
    only: Option<String>,
    /// Write the design at that size to this file.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// The answer as JSON, lengths in millimetres.
    #[arg(long)]
    json: bool,
}

impl LargestBag {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let Content::Design(design) = &file.content else {
            anyhow::bail!("{} is a pattern file: only designs have sizes", file.name);
        };
        let given = self.fabric.iter().map(|text| Given::parse(text, design.units));
        let given: Vec<Given> = given
            .collect::<Result<_, _>>()
            .map_err(|error| anyhow::anyhow!("--fabric: {error}"))?;
        let grow = self.only.as_deref().map_or(Grow::Alike, Grow::Alone);
        let mut progress = Progress::begin();
        progress.now("Trying sizes");
        let answer = largest(design, &given, grow);
        progress.done();
        if let (Ok(found), Some(path)) = (&answer, &self.output) {
            let text = store::write_design(&found.design);
            super::folder::write_file(path, text.as_bytes())
                .with_context(|| format!("{} cannot be written", path.display()))?;
        }
        match answer {
            Ok(found) if self.json => print(&store::largest_json(&found))?,
            Ok(found) => print(&tell(design, &given, &found))?,
            Err(NoLargest::Errors(findings)) => {
                findings.iter().for_each(|finding| say(&read::tell(&file, finding)));
                say(&format!("bagwright: {} is not ready to cut at its own size", file.name));
                return Ok(ExitCode::from(1));
            }
            Err(NoLargest::Nothing) => {
                say(&format!(
                    "bagwright: no size of {} can be cut from {}",
                    file.name,
                    self.fabric.join(" and ")
                ));
                return Ok(ExitCode::from(1));
            }
            Err(question) => anyhow::bail!("{}", asked_wrongly(&question)),
        }
        Ok(ExitCode::SUCCESS)
    }
}

/// What was wrong with the question, and at which option.
fn asked_wrongly(question: &NoLargest) -> String {
    let option = if matches!(question, NoLargest::NoSize(_)) { "--only" } else { "--fabric" };
    format!("{option}: {question}")
}

/// The answer in words.
fn tell(design: &Design, given: &[Given], found: &Largest) -> String {
    let system = design.system();
    let show = |length| show_length(length, system);
    let claims = &found.pattern.claims;
    let mut text = format!("{}, as large as it goes:\n", design.title);
    let sizes = [("width", claims.width), ("height", claims.height), ("depth", claims.depth)];
    for (word, length) in sizes.iter().filter(|(_, length)| length.is_positive()) {
        text.push_str(&format!("  {word:7} {}\n", show(*length)));
    }
    for (fabric, (_, layout)) in given.iter().zip(&found.laid) {
        text.push_str(&format!(
            "  takes {} of the {} there are for the {}\n",
            show_needed(layout.needed, system),
            show_there_is(fabric.length, system),
            fabric.role.title()
        ));
    }
    text.push_str(&format!("{}\n\nIn the design file:\n", found.certainty(system)));
    text.push_str(&changed("[body]", &design.body, &found.design.body, system));
    for (before, after) in design.pockets.iter().zip(&found.design.pockets) {
        text.push_str(&changed("[[pocket]]", before, after, system));
    }
    text
}

/// The values of a chosen kind that have changed, as they stand in a design file.
fn changed(heading: &str, before: &Chosen, after: &Chosen, system: System) -> String {
    let values = after.values.iter().filter(|(key, value)| before.values.get(key) != Some(value));
    let lines: Vec<String> = values
        .filter_map(|(key, value)| match value {
            bag::kinds::Value::Length(length) => {
                Some(format!("{key} = \"{}\"\n", show_length(*length, system)))
            }
            bag::kinds::Value::Choice(word) => Some(format!("{key} = \"{word}\"\n")),
            _ => None,
        })
        .collect();
    if lines.is_empty() { String::new() } else { format!("{heading}\n{}", lines.concat()) }
}
