//! Reading a design file or a pattern file, and showing what was found in it.

use std::borrow::Cow;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use bag::{Design, Finding, Pattern, Place, Severity};
use clap::Args;
use measure::{System, Units};
use packet::{Built, Packet, Reading};
use store::Problem;

use super::{Ruler, counted, say};

/// Largest file that is read.
const LARGEST: u64 = 1_000_000;

/// A file that was understood.
pub(super) struct BagFile {
    /// As the user named it.
    pub(super) name: String,
    /// Its text.
    pub(super) text: String,
    /// What it says.
    pub(super) content: Content,
}

/// What a file says: it is a pattern file if it has the key `format`, and a design otherwise.
pub(super) enum Content {
    /// A design.
    Design(Box<Design>),
    /// A pattern, written by hand or explained.
    Pattern(Box<Pattern>),
}

/// A file, and which of its sizes and options is meant.
#[derive(Debug, Args)]
pub(super) struct Named {
    /// The design file, or a pattern file.
    pub(super) file: PathBuf,
    /// One of the sizes of the design, [size.NAME].
    #[arg(long, value_name = "NAME")]
    size: Option<String>,
    /// One of the options of the design, [option.NAME].
    #[arg(long, value_name = "NAME")]
    option: Option<String>,
}

impl Named {
    /// Reads it, or tells everything that is wrong with it; nothing then, and exit 2.
    pub(super) fn read(&self) -> anyhow::Result<Option<BagFile>> {
        file(&self.file)?.map(|file| self.member_of(file)).transpose()
    }

    /// The same file as the size and the option that are meant.
    pub(super) fn member_of(&self, mut file: BagFile) -> anyhow::Result<BagFile> {
        if self.size.is_some() || self.option.is_some() {
            file.content = member(&file, (self.size.as_deref(), self.option.as_deref()))?;
        }
        Ok(file)
    }
}

/// Reads a file, or tells everything that is wrong with it; nothing then, and exit 2.
pub(super) fn file(path: &Path) -> anyhow::Result<Option<BagFile>> {
    match file_or_problems(path)? {
        Ok(file) => Ok(Some(file)),
        Err(problems) => {
            for problem in &problems {
                say(&problem.to_string());
            }
            let (name, problems) = (path.display(), counted(problems.len(), "problem"));
            say(&format!("bagwright: {name} has {problems}; nothing was made"));
            Ok(None)
        }
    }
}

/// Reads a file, or returns everything that is wrong with it.
pub(super) fn file_or_problems(path: &Path) -> anyhow::Result<Result<BagFile, Vec<Problem>>> {
    let (name, text) = text(path)?;
    if store::is_audit(&text) {
        bail!("{name} is an audit file: use `bagwright audit {name}`");
    }
    Ok(content(&name, &text).map(|content| BagFile { name, text, content }))
}

/// Name and text of a file.
pub(super) fn text(path: &Path) -> anyhow::Result<(String, String)> {
    let name = path.display().to_string();
    let size = match fs::metadata(path) {
        Ok(size) => size,
        Err(error) if error.kind() == ErrorKind::NotFound => bail!("there is no file {name}"),
        Err(error) => return Err(error).with_context(|| format!("{name} cannot be read")),
    };
    if size.is_dir() {
        bail!("{name} is a folder; name a file, such as {name}/my-bag.toml");
    }
    if size.len() > LARGEST {
        bail!("{name} is larger than 1 MB: such a file is a page of text");
    }
    let bytes = fs::read(path).with_context(|| format!("{name} cannot be read"))?;
    let Ok(text) = String::from_utf8(bytes) else {
        bail!("{name} is not text in UTF-8; it should be a TOML file");
    };
    Ok((name, text))
}

fn content(name: &str, text: &str) -> Result<Content, Vec<Problem>> {
    if store::is_pattern(text) {
        return store::read_pattern(name, text).map(|pattern| Content::Pattern(Box::new(pattern)));
    }
    store::read_design(name, text).map(|design| Content::Design(Box::new(design)))
}

/// Builds the packet for the reader's ruler: the file's own, drafted anew, or converted. A pattern
/// file cannot be drafted anew, and is always converted.
pub(super) fn build(content: &Content, ruler: Option<Ruler>, converted: bool) -> Built {
    match content {
        Content::Design(design) => build_design(design, ruler, converted),
        Content::Pattern(pattern) => {
            let own = pattern.units.system();
            let wanted = ruler.map_or(own, System::from);
            let reading = if wanted == own { Reading::Own } else { Reading::Converted };
            packet::from_pattern((**pattern).clone(), wanted, reading, Vec::new())
        }
    }
}

fn build_design(design: &Design, ruler: Option<Ruler>, converted: bool) -> Built {
    let wanted = ruler.map_or(design.system(), System::from);
    if wanted == design.system() {
        return packet::build(design);
    }
    if converted {
        return packet::build_for(design, wanted, Reading::Converted);
    }
    packet::build_for(&redrafted(design, ruler), wanted, Reading::Redrafted)
}

/// Builds the packet of the same pieces, each measure read off another ruler than the one that they
/// were drafted on.
pub(super) fn converted(content: &Content, ruler: Option<Ruler>, system: System) -> Built {
    match content {
        Content::Design(design) => {
            packet::build_for(&redrafted(design, ruler), system, Reading::Converted)
        }
        Content::Pattern(pattern) => {
            packet::from_pattern((**pattern).clone(), system, Reading::Converted, Vec::new())
        }
    }
}

/// The packet of the same pieces on the ruler that a packet is not for.
pub(super) fn other_ruler(
    content: &Content,
    packet: &Packet,
    ruler: Option<Ruler>,
) -> anyhow::Result<Packet> {
    let built = converted(content, ruler, packet.system.other());
    built.packet.context("the other ruler gives no packet")
}

/// One size, one option, or both, of a design that was read without a problem. The title says
/// which.
pub(super) fn member(
    file: &BagFile,
    (size, option): (Option<&str>, Option<&str>),
) -> anyhow::Result<Content> {
    let Content::Design(_) = file.content else {
        bail!("{} is a pattern file: only designs have sizes", file.name);
    };
    let members = store::read_family(&file.name, &file.text).map_err(|problems| {
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        anyhow::anyhow!("{}", told.join("\n"))
    })?;
    let found = members
        .iter()
        .find(|member| member.size.as_deref() == size && member.option.as_deref() == option);
    if let Some(member) = found {
        let mut design = member.design.clone();
        for name in [size, option].into_iter().flatten() {
            design.title = format!("{}, {name}", design.title);
        }
        return Ok(Content::Design(Box::new(design)));
    }
    let sizes = members.iter().filter_map(|member| member.size.as_deref());
    let options = members.iter().filter_map(|member| member.option.as_deref());
    let mut names: Vec<&str> = Vec::new();
    for name in sizes.chain(options) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() {
        bail!("{} has no sizes and no options; write one as [size.NAME]", file.name);
    }
    bail!("{} has no such size or option; there are {}", file.name, names.join(", "))
}

/// The design for the reader's ruler, drafted anew if it is the other one.
pub(super) fn redrafted(design: &Design, ruler: Option<Ruler>) -> Cow<'_, Design> {
    let wanted = ruler.map_or(design.system(), System::from);
    if wanted == design.system() {
        return Cow::Borrowed(design);
    }
    Cow::Owned(design.redrafted(match wanted {
        System::Inch => Units::Inch,
        System::Metric => Units::Mm,
    }))
}

/// The packet and whether it has errors, if it is ready to cut or a draft is wanted; or else tells
/// everything that is wrong with it.
pub(super) fn ready(file: &BagFile, built: Built, draft: bool) -> Option<(Packet, bool)> {
    let errors = built.findings.iter().any(|finding| finding.severity == Severity::Error);
    if errors {
        built.findings.iter().for_each(|finding| say(&tell(file, finding)));
    }
    let packet = built.packet.filter(|_| !errors || draft);
    if packet.is_none() {
        say(&format!("bagwright: {} is not ready to cut, so nothing was written", file.name));
    }
    Some((packet?, errors))
}

/// A finding in words: where in the file, or where on the bag, what, and the cure.
pub(super) fn tell(file: &BagFile, finding: &Finding) -> String {
    let Finding { check, severity, place, message, cure } = finding;
    let found = match file.content {
        Content::Design(_) => place.parameter.as_deref().and_then(|p| store::locate(&file.text, p)),
        Content::Pattern(_) => {
            store::locate_in_pattern(&file.text, place.step.as_deref(), place.piece.as_deref())
        }
    };
    let at = match found {
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
