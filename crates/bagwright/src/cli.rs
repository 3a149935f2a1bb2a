//! The command line: one file for each command.

mod audit;
mod check;
mod draw;
mod earns;
mod explain;
mod folder;
mod handout;
mod kinds;
mod kit;
mod largest;
mod lay;
mod make;
mod new;
mod progress;
mod read;
mod remnants;
mod shopping;
mod sizes;
mod tag;
mod takes;
mod templates;
mod workroom;

use std::io::Write;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};
use measure::System;

/// Design a sewn bag; get checked pieces, cutting layouts, steps and a packet to sew from.
///
/// Without a command the workroom opens in the browser: design there by looking. Or write a design
/// as a few lines of TOML: start with `bagwright new boxed > my-bag.toml`, change what
/// you like, and run `bagwright make my-bag.toml -o my-bag`.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub(crate) struct Cli {
    /// What to do; without a command the workroom is opened.
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Workroom(workroom::Workroom),
    Make(make::Make),
    Check(check::Check),
    Explain(explain::Explain),
    Audit(audit::Audited),
    Lay(lay::Lay),
    Kit(kit::MakeKit),
    Shopping(shopping::Shopping),
    Largest(largest::LargestBag),
    Remnants(remnants::Remnants),
    Tag(tag::TagOf),
    Takes(takes::TakesOf),
    Earns(earns::EarnsOf),
    Templates(templates::Templates),
    Handout(handout::Handout),
    Draw(draw::Draw),
    Sizes(sizes::Sizes),
    New(new::New),
    Kinds(kinds::Kinds),
    #[command(hide = true, about = "Print a generated page of the documentation")]
    Docs(kinds::Docs),
}

/// Whose ruler the reader has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Ruler {
    /// Inches and eighths; fabric in yards.
    #[value(alias = "in", alias = "inches")]
    Inch,
    /// Millimetres; fabric in metres.
    #[value(alias = "cm", alias = "mm")]
    Metric,
}

impl From<Ruler> for System {
    fn from(ruler: Ruler) -> Self {
        match ruler {
            Ruler::Inch => Self::Inch,
            Ruler::Metric => Self::Metric,
        }
    }
}

impl Cli {
    /// Runs the command.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(command) = &self.command else { return workroom::Workroom::default().run() };
        match command {
            Command::Workroom(workroom) => workroom.run(),
            Command::Make(make) => make.run(),
            Command::Check(check) => check.run(),
            Command::Explain(explain) => explain.run(),
            Command::Audit(audit) => audit.run(),
            Command::Lay(lay) => lay.run(),
            Command::Kit(kit) => kit.run(),
            Command::Shopping(shopping) => shopping.run(),
            Command::Largest(largest) => largest.run(),
            Command::Remnants(remnants) => remnants.run(),
            Command::Tag(tag) => tag.run(),
            Command::Takes(takes) => takes.run(),
            Command::Earns(earns) => earns.run(),
            Command::Templates(templates) => templates.run(),
            Command::Handout(handout) => handout.run(),
            Command::Draw(draw) => draw.run(),
            Command::Sizes(sizes) => sizes.run(),
            Command::New(new) => new.run(),
            Command::Kinds(kinds) => kinds.run(),
            Command::Docs(docs) => docs.run(),
        }
    }
}

/// Writes to standard output; a reader that has gone away (`| head`) is no error.
pub(crate) fn print(text: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(error.into()),
        _ => Ok(()),
    }
}

/// Writes a line to standard error, where everything goes that is not a result.
pub(crate) fn say(text: &str) {
    // Nobody is left to tell when standard error is closed.
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// "1 error", "2 errors".
pub(crate) fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}
