//! `bagwright tag`: the text of a label for a bag that is given or sold.

use std::process::ExitCode;

use clap::Args;
use paper::Tag;

use super::read::Named;
use super::{print, read, say};

/// Write the text of a label: what it is, who made it, fibres, care symbols by their names; and a
/// list of what to look up before a bag is given or sold. It claims no conformity.
#[derive(Debug, Args)]
pub(crate) struct TagOf {
    #[command(flatten)]
    bag: Named,
    /// Name and address of who made it.
    #[arg(long, default_value = "")]
    maker: String,
    /// By which you know the bags that were made together; the edition if left out.
    #[arg(long, default_value = "")]
    batch: String,
    /// What a part is made of: "outside: 55 % linen, 45 % cotton". May be given several times.
    #[arg(long = "fibre", value_name = "PART: SHARES")]
    fibres: Vec<String>,
    /// The warmest wash in °C: 30, 40, 50, 60, 70 or 95; not washed if left out.
    #[arg(long, value_name = "DEGREES")]
    wash: Option<u32>,
    /// The hottest iron in dots: 1, 2 or 3; not ironed if left out.
    #[arg(long, value_name = "DOTS")]
    iron: Option<u32>,
    /// It is meant mainly for somebody of 12 years or younger.
    #[arg(long)]
    child: bool,
}

impl TagOf {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, None, false);
        let Some((packet, _)) = read::ready(&file, built, false) else {
            return Ok(ExitCode::from(1));
        };
        let tag = Tag {
            maker: self.maker.clone(),
            batch: self.batch.clone(),
            fibres: self.fibres.clone(),
            wash: self.wash,
            iron: self.iron,
            child: self.child,
        };
        let slips = tag.slips(&packet);
        if !slips.is_empty() {
            slips.iter().for_each(|slip| say(&format!("bagwright: {slip}")));
            return Ok(ExitCode::from(2));
        }
        print(&paper::tag_text(&packet, &tag))?;
        Ok(ExitCode::SUCCESS)
    }
}
