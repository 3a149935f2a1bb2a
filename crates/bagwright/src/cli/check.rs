//! `bagwright check`: everything that is found about a design or a pattern.

use std::process::ExitCode;

use bag::Severity;
use bag::assembly::{Assembly, report};
use clap::Args;
use packet::Packet;

use super::read::Named;
use super::{Ruler, counted, print, read, say};

/// Check a design or a pattern file: sew it in the abstract and tell what would go wrong.
///
/// Exit 0 if it can be cut, 1 if anything is an error, 2 if the file is not understood.
#[derive(Debug, Args)]
pub(crate) struct Check {
    #[command(flatten)]
    bag: Named,
    /// Findings as JSON on standard output.
    #[arg(long)]
    json: bool,
    /// Check the edition for the other ruler, drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// With --units: keep the pieces as they are, and convert each measure.
    #[arg(long, requires = "units")]
    converted: bool,
    /// Show the work as it lies after this step, by its number in the booklet or its id: what is sewn, raw or open, which way
    /// out each body is, and what lies on what.
    #[arg(long, value_name = "STEP", conflicts_with = "json")]
    after: Option<String>,
}

impl Check {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, self.units, self.converted);
        if let (Some(step), Some(packet)) = (&self.after, &built.packet) {
            return after(packet, step);
        }
        if self.json {
            print(&store::findings_json(&built.findings))?;
        } else {
            for finding in &built.findings {
                print(&format!("{}\n", read::tell(&file, finding)))?;
            }
            let count = |severity| built.findings.iter().filter(|f| f.severity == severity).count();
            let [errors, warnings, notes] =
                [Severity::Error, Severity::Warning, Severity::Note].map(count);
            let verdict = if errors > 0 { "not ready to cut" } else { "ready to cut" };
            let summary = format!(
                "{}: {verdict}: {}, {}, {}\n",
                file.name,
                counted(errors, "error"),
                counted(warnings, "warning"),
                counted(notes, "note")
            );
            print(&summary)?;
        }
        let failed = built.findings.iter().any(|f| f.severity == Severity::Error);
        Ok(if failed { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }
}

impl Check {
    /// Reads the file; what keeps it from being read is told, as JSON if that was asked.
    fn read(&self) -> anyhow::Result<Option<read::BagFile>> {
        if !self.json {
            return self.bag.read();
        }
        match read::file_or_problems(&self.bag.file)? {
            Ok(file) => self.bag.member_of(file).map(Some),
            Err(problems) => {
                print(&store::problems_json(&problems))?;
                Ok(None)
            }
        }
    }
}

/// Tells the work after a step; exit 2 if there is no such step.
fn after(packet: &Packet, step: &str) -> anyhow::Result<ExitCode> {
    let steps = &packet.pattern.steps;
    let numbered = step.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    let index = numbered.filter(|index| *index < steps.len());
    if let Some(index) = index.or_else(|| steps.iter().position(|known| known.id == step)) {
        let work = Assembly::sew_first(&packet.pattern, index + 1);
        print(&report(&work, packet.system))?;
        return Ok(ExitCode::SUCCESS);
    }
    let ids: Vec<&str> = steps.iter().map(|step| step.id.as_str()).collect();
    let near = store::nearest(step, ids.iter().copied());
    let meant = near.map_or_else(String::new, |near| format!(" did you mean `{near}`?"));
    let lines = ids.iter().enumerate().map(|(index, id)| format!("\n{:>4}  {id}", index + 1));
    let all: String = lines.collect();
    say(&format!("bagwright: no step is called `{step}`;{meant} there are:{all}"));
    Ok(ExitCode::from(2))
}
