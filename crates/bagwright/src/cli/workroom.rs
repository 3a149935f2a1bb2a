//! `bagwright workroom`, and `bagwright` alone: the page in the browser on which bags are designed.

use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use workroom::Settings;

use super::say;

/// Open the workroom: the page in the browser on which bags are designed.
///
/// It is served by this program to this computer alone. Everything is kept as you go.
#[derive(Debug, Args)]
pub(crate) struct Workroom {
    /// The port on this computer; 0 takes one that is free.
    #[arg(long, default_value_t = 8743)]
    port: u16,
    /// The folder in which everything is kept; the user's folder for data if left out.
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
    /// Do not open the browser.
    #[arg(long)]
    no_browser: bool,
    /// Let the class's tablets read shared handouts at this address of your network, as in
    /// 0.0.0.0:8080. They give a word of entry, and can change nothing.
    #[arg(long, value_name = "ADDRESS:PORT", value_parser = address)]
    listen: Option<SocketAddr>,
    /// The word of entry for the class; one is made up if left out.
    #[arg(long, requires = "listen", value_parser = word)]
    word: Option<String>,
}

impl Default for Workroom {
    fn default() -> Self {
        Self { port: 8743, data: None, no_browser: false, listen: None, word: None }
    }
}

fn address(text: &str) -> Result<SocketAddr, String> {
    let wrong = || "write an address with a port, as in 0.0.0.0:8080 or 192.168.1.20:8080";
    text.parse::<SocketAddr>()
        .or_else(|_| text.parse::<IpAddr>().map(|ip| SocketAddr::new(ip, 8080)))
        .map_err(|_| wrong().to_owned())
}

/// A word that is worth asking for.
fn word(text: &str) -> Result<String, String> {
    if text.chars().filter(|c| c.is_alphanumeric()).count() < 6 {
        return Err("the word has at least six letters or digits".to_owned());
    }
    Ok(text.to_owned())
}

impl Workroom {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let settings = Settings {
            port: self.port,
            data: self.data.clone(),
            browser: !self.no_browser,
            listen: self.listen,
            word: self.word.clone(),
        };
        workroom::run(&settings, say)?;
        Ok(ExitCode::SUCCESS)
    }
}
