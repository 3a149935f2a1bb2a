//! `bagwright audit`: what a paper pattern says, held against arithmetic and cloth.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::bail;
use bag::Severity;
use clap::Args;
use drawing::layouts::{self, LayoutOptions, On};
use drawing::{Cloth, svg};
use measure::System;
use packet::audit::{Audit, Claims, audit_for};

use super::folder::Folder;
use super::{Ruler, counted, print, read, say};

/// Room for the picture of a layout on paper, width × height in mm.
const ROOM: (f64, f64) = (170.0, 230.0);

/// Audit a paper pattern: tell every claim that cannot be, and which were checked and are fine.
///
/// The file lists what the pattern says: pieces, fabrics and yardage, seam allowances, finished
/// size, straps, pockets. Exit 0 if every claim can be, 1 if one cannot, 2 if the file is not
/// understood.
#[derive(Debug, Args)]
pub(crate) struct Audited {
    /// The audit file.
    file: PathBuf,
    /// What was found as JSON on standard output.
    #[arg(long)]
    json: bool,
    /// The reader's ruler; that of the file if left out.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// A folder for pictures of the layouts behind each yardage; whole or not at all.
    #[arg(short, long, value_name = "DIR")]
    output: Option<PathBuf>,
}

impl Audited {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let (name, text) = read::text(&self.file)?;
        if store::is_design(&text) {
            bail!("{name} is a design file: use `bagwright check {name}`");
        }
        let claims = match store::read_audit(&name, &text) {
            Ok(claims) => claims,
            Err(problems) => {
                for problem in &problems {
                    say(&problem.to_string());
                }
                let problems = counted(problems.len(), "problem");
                say(&format!("bagwright: {name} has {problems}; nothing was audited"));
                return Ok(ExitCode::from(2));
            }
        };
        let system = self.units.map_or(claims.units.system(), System::from);
        let audit = audit_for(&claims, system);
        if let Some(place) = &self.output {
            pictures(place, &claims, &audit, system)?;
        }
        if self.json {
            print(&store::audit_json(&claims, &audit))?;
        } else {
            print(&tell(&name, &text, &audit))?;
            let speaks_of_layouts = audit.findings.iter().any(|f| f.check == "yardage");
            match &self.output {
                Some(place) => print(&format!("  layouts: {}\n", place.display()))?,
                None if speaks_of_layouts => print("  see the layouts with `-o DIR`\n")?,
                None => {}
            }
        }
        Ok(if audit.is_clean() { ExitCode::SUCCESS } else { ExitCode::from(1) })
    }
}

/// Everything in words: findings at their places, then what is fine, then the sum.
fn tell(name: &str, text: &str, audit: &Audit) -> String {
    let at = |parameter: &Option<String>| match parameter
        .as_deref()
        .and_then(|parameter| store::locate(text, parameter))
    {
        Some((line, column)) => format!("{name}:{line}:{column}"),
        None => name.to_owned(),
    };
    let mut told = String::new();
    for finding in &audit.findings {
        told.push_str(&format!(
            "{}: {}: {}\n  = {} [{}]\n",
            at(&finding.place.parameter),
            finding.severity.word(),
            finding.message,
            finding.cure,
            finding.check
        ));
    }
    if !audit.fine.is_empty() {
        told.push_str("checked and fine:\n");
    }
    for fine in &audit.fine {
        told.push_str(&format!("  {} [{}]\n", fine.message, fine.check));
    }
    let [errors, warnings, notes] =
        [Severity::Error, Severity::Warning, Severity::Note].map(|severity| audit.count(severity));
    let verdict = match (errors, audit.fine.len() + audit.findings.len()) {
        (0, 0) => "nothing is claimed that can be judged".to_owned(),
        (0, _) => "every claim can be".to_owned(),
        _ => format!("{} cannot be", counted(errors, "claim")),
    };
    told.push_str(&format!(
        "{name}: {verdict}; {}, {}, {} checked and fine\n",
        counted(warnings, "warning"),
        counted(notes, "note"),
        counted(audit.fine.len(), "claim")
    ));
    told
}

/// Writes a picture of each layout, and what was found beside them.
fn pictures(place: &Path, claims: &Claims, audit: &Audit, system: System) -> anyhow::Result<()> {
    let folder = Folder::begin(place, false)?;
    for laid in &audit.laid {
        let (Some(layout), Some(fabric)) = (&laid.layout, claims.fabrics.get(laid.fabric)) else {
            continue;
        };
        let id = format!("{}-{}", laid.fabric + 1, plain(&fabric.name));
        let cloth = if fabric.turnable { Cloth::Interfacing } else { Cloth::Outside };
        let options = LayoutOptions {
            id: &id,
            fabric: &fabric.name,
            cloth,
            one_way: fabric.one_way,
            on: On::Bolt,
            system,
            room: ROOM,
        };
        let (scene, _) = layouts::draw(&laid.problem, layout, options);
        folder.write(&format!("layout-{id}.svg"), svg::file(&scene).as_bytes())?;
    }
    folder.write("audit.json", store::audit_json(claims, audit).as_bytes())?;
    folder.finish()
}

/// Lower-case words joined by hyphens.
fn plain(name: &str) -> String {
    let letters = name.to_lowercase();
    let words = letters.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let plain = words.collect::<Vec<_>>().join("-");
    if plain.is_empty() { "fabric".to_owned() } else { plain }
}
