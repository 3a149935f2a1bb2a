//! The program as it is built, serving a folder.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStderr, Command, Stdio};
use std::time::Duration;

use anyhow::{Context, Result, ensure};

/// Names the program that is to be tried.
const PROGRAM: &str = "BAGWRIGHT_PROGRAM";

/// The repository's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A workroom in a process of its own, killed when dropped.
pub struct Workroom {
    child: Child,
    /// Where it serves: `http://127.0.0.1:1234`.
    pub base: String,
    /// Where it serves the class, if it was told to.
    pub class: Option<String>,
    /// Kept open, so that the program can say what it likes.
    _says: BufReader<ChildStderr>,
}

impl Workroom {
    /// Starts it over `folder`, with further words of the command line.
    ///
    /// # Errors
    /// When no program is named, or it does not say where it serves.
    pub fn start(folder: &Path, more: &[&str]) -> Result<Self> {
        let program = std::env::var_os(PROGRAM).with_context(|| {
            format!("{PROGRAM} names the program to try; `cargo xtask browser` sets it")
        })?;
        let mut command = Command::new(program);
        command.args(["workroom", "--port", "0", "--no-browser", "--data"]).arg(folder).args(more);
        let command = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
        let mut child = command.spawn().context("the program cannot be started")?;
        let mut says = BufReader::new(child.stderr.take().context("it was asked for")?);
        let (mut own, mut class, mut all) = (None, None, String::new());
        loop {
            let mut line = String::new();
            if says.read_line(&mut line)? == 0 {
                break;
            }
            all.push_str(&line);
            let address = line.find("http://").map(|at| &line[at..]);
            let address = address.and_then(|rest| rest.split("/ ").next()).map(str::trim);
            let address = address.map(|address| address.trim_end_matches('/').to_owned());
            if line.contains("The class reads") {
                class = address
                    .map(|it| it.split(',').next().unwrap_or(&it).trim_end_matches('/').to_owned());
            } else if address.is_some() {
                own = address;
            }
            if line.contains("Ctrl-C") {
                break;
            }
        }
        let base = own.with_context(|| format!("the workroom did not start: {all}"))?;
        Ok(Self { child, base, class, _says: says })
    }

    /// The process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Asks without a browser: status and body.
    ///
    /// # Errors
    /// When there is no answer that can be understood.
    pub fn ask(&self, base: &str, head: &str, body: &[u8]) -> Result<(u16, Vec<u8>, String)> {
        ask(base, head, body)
    }
}

impl Drop for Workroom {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One request over a connection of its own: status, body and head of the answer. `head` is the first
/// line and whatever else is to be said, each line with its end.
///
/// # Errors
/// When there is no answer that can be understood.
pub(crate) fn ask(base: &str, head: &str, body: &[u8]) -> Result<(u16, Vec<u8>, String)> {
    let host = base.trim_start_matches("http://");
    let mut stream = TcpStream::connect(host)?;
    stream.set_nodelay(true)?;
    stream.set_read_timeout(Some(Duration::from_secs(60)))?;
    let (first, rest) = head.split_once('\n').unwrap_or((head, ""));
    let mut request = format!(
        "{first} HTTP/1.1\r\nHost: {host}\r\nOrigin: {base}\r\nConnection: close\r\nContent-Length: {}\r\n",
        body.len()
    );
    rest.lines().for_each(|line| request.push_str(&format!("{line}\r\n")));
    request.push_str("\r\n");
    stream.write_all(request.as_bytes())?;
    stream.write_all(body)?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    let end = answer.windows(4).position(|four| four == b"\r\n\r\n").context("no head")?;
    let head = String::from_utf8_lossy(&answer[..end]).into_owned();
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
    let body = answer.split_off(end + 4);
    let promised = head.lines().find_map(|line| {
        line.to_lowercase()
            .strip_prefix("content-length:")
            .and_then(|it| it.trim().parse::<usize>().ok())
    });
    ensure!(promised.is_none_or(|promised| promised == body.len()), "the answer was cut short");
    Ok((status.context("no status")?, body, head))
}
