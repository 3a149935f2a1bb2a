//! Reading a design file, and showing what was found in it.

use std::fs;
use std::path::Path;

use anyhow::{Context, bail};
use bag::{Design, Finding, Place};
use measure::{System, Units};
use packet::{Built, Reading};

use super::{Ruler, say};

/// Largest design file that is read.
const LARGEST: u64 = 1_000_000;

/// A design file that was understood.
pub struct DesignFile {
    /// As the user named it.
    pub name: String,
    /// Its text.
    pub text: String,
    /// What it says.
    pub design: Design,
}

/// Reads a design, or tells everything that is wrong with it; nothing then, and exit 2.
pub fn design(path: &Path) -> anyhow::Result<Option<DesignFile>> {
    let name = path.display().to_string();
    let size = fs::metadata(path).with_context(|| format!("{name} cannot be read"))?;
    if size.is_dir() {
        bail!("{name} is a folder; name a design file, such as {name}/my-bag.toml");
    }
    if size.len() > LARGEST {
        bail!("{name} is larger than 1 MB: a design is a page of text");
    }
    let bytes = fs::read(path).with_context(|| format!("{name} cannot be read"))?;
    let Ok(text) = String::from_utf8(bytes) else {
        bail!("{name} is not text in UTF-8; a design is a TOML file");
    };
    match store::read_design(&name, &text) {
        Ok(design) => Ok(Some(DesignFile { name, text, design })),
        Err(problems) => {
            for problem in &problems {
                say(&problem.to_string());
            }
            let count = problems.len();
            let what = if count == 1 { "problem" } else { "problems" };
            say(&format!("bagwright: {name} has {count} {what}; nothing was made"));
            Ok(None)
        }
    }
}

/// Builds the packet for the reader's ruler: the design's own, drafted anew, or converted.
pub fn build(design: &Design, ruler: Option<Ruler>, converted: bool) -> Built {
    let own = design.system();
    let wanted = ruler.map_or(own, System::from);
    if wanted == own {
        return packet::build(design);
    }
    if converted {
        return packet::build_for(design, wanted, Reading::Converted);
    }
    let units = match wanted {
        System::Inch => Units::Inch,
        System::Metric => Units::Mm,
    };
    packet::build_for(&design.redrafted(units), wanted, Reading::Redrafted)
}

/// A finding in words: where in the file, or where on the bag, what, and the cure.
pub fn tell(file: &DesignFile, finding: &Finding) -> String {
    let Finding { check, severity, place, message, cure } = finding;
    let at = match place.parameter.as_deref().and_then(|p| store::locate(&file.text, p)) {
        Some((line, column)) => format!("{}:{line}:{column}", file.name),
        None => file.name.clone(),
    };
    let where_ = on_the_bag(place).map_or_else(String::new, |place| format!(" ({place})"));
    format!("{at}: {}: {message}{where_}\n  = {cure} [{check}]", severity.word())
}

/// "step join-rim, front panel, rim".
fn on_the_bag(place: &Place) -> Option<String> {
    let step = place.step.as_ref().map(|step| format!("step {step}"));
    let parts: Vec<String> =
        [step, place.piece.clone(), place.edge.clone()].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}
