//! Running other programs: found from the repository's root, output streamed, failures named.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

/// The repository's root, the folder above `xtask`.
pub(crate) fn root() -> &'static Path {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask.parent().unwrap_or(xtask)
}

/// Where cargo builds.
pub(crate) fn target() -> PathBuf {
    let told = std::env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
    root().join(told.unwrap_or_else(|| "target".into()))
}

/// The program as it was built last in a profile: `debug` or `release`.
pub(crate) fn program(profile: &str) -> PathBuf {
    target().join(profile).join("bagwright")
}

/// A command that runs in the repository's root and never waits for input.
pub(crate) fn command(program: impl AsRef<OsStr>) -> Command {
    let mut command = Command::new(program);
    command.current_dir(root()).stdin(Stdio::null());
    command
}

/// A call of the same `cargo` that runs this task.
pub(crate) fn cargo(arguments: &[&str]) -> Command {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = command(cargo);
    command.args(arguments);
    command
}

/// Runs a program of the crate `testkit`, whose last line sums up what it found. It ends this task
/// with a failure of its own, so that nothing follows that line.
///
/// # Errors
/// When it cannot be run.
pub(crate) fn testkit(program: &str, options: &[String]) -> Result<()> {
    let testkit = ["run", "--quiet", "--release", "--package", "testkit", "--bin", program, "--"];
    if !cargo(&testkit).args(options).status()?.success() {
        std::process::exit(1);
    }
    Ok(())
}

/// Runs `command` with its output streamed; an exit code other than 0 is an error that names it.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    let shown = spelled(command);
    println!("$ {shown}");
    let status = command.status().with_context(|| format!("cannot start `{shown}`"))?;
    if !status.success() {
        bail!("`{shown}` ended with {status}");
    }
    Ok(())
}

/// What `command` prints on standard output; an exit code other than 0 is an error.
pub(crate) fn output(command: &mut Command) -> Result<String> {
    let shown = spelled(command);
    let output = command.output().with_context(|| format!("cannot start `{shown}`"))?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        bail!("`{shown}` ended with {}\n{said}", output.status);
    }
    String::from_utf8(output.stdout).with_context(|| format!("`{shown}` printed no UTF-8"))
}

/// Whether `program` with `arguments` can be started and exits 0; it stays silent.
pub(crate) fn works(program: impl AsRef<OsStr>, arguments: &[&str]) -> bool {
    command(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// Where `program` lies on the search path.
pub(crate) fn find(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(program)).find(|file| file.is_file())
}

/// The stages of a longer task: each is announced, timed, and stops the task when it fails.
#[derive(Default)]
pub(crate) struct Stages {
    done: Vec<(&'static str, Duration)>,
}

impl Stages {
    /// Runs one stage; its failure is an error that names the stage.
    pub(crate) fn run(
        &mut self,
        name: &'static str,
        stage: impl FnOnce() -> Result<()>,
    ) -> Result<()> {
        println!("\n== {name}");
        let start = Instant::now();
        let result = stage();
        let taken = start.elapsed();
        match result {
            Ok(()) => {
                println!("== {name}: done in {:.1} s", taken.as_secs_f64());
                self.done.push((name, taken));
                Ok(())
            }
            Err(error) => {
                println!("== {name}: FAILED after {:.1} s", taken.as_secs_f64());
                Err(error.context(format!("stage `{name}` failed")))
            }
        }
    }

    /// Prints how long each stage took.
    pub(crate) fn summary(&self) {
        println!();
        for (name, taken) in &self.done {
            println!("{:>8.1} s  {name}", taken.as_secs_f64());
        }
        let total: Duration = self.done.iter().map(|(_, taken)| taken).sum();
        println!("{:>8.1} s  all {} stages", total.as_secs_f64(), self.done.len());
    }
}

/// A command as a person would type it.
fn spelled(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or_default();
    let words = std::iter::once(program).chain(command.get_args());
    words.map(OsStr::to_string_lossy).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_stage_is_named_and_not_counted_as_done() {
        let mut stages = Stages::default();
        stages.run("good", || Ok(())).expect("it does nothing");
        let error = stages.run("bad", || bail!("the cause")).expect_err("it fails");
        assert_eq!(format!("{error:#}"), "stage `bad` failed: the cause");
        assert_eq!(stages.done.len(), 1);
    }

    #[test]
    fn a_failing_command_is_named_with_its_arguments() {
        let error = run(command("false").arg("now")).expect_err("`false` exits 1");
        assert!(error.to_string().starts_with("`false now` ended with"), "{error}");
        let error = output(&mut command("no-such-program-here")).expect_err("it does not exist");
        assert!(error.to_string().contains("cannot start `no-such-program-here`"), "{error}");
    }

    #[test]
    fn commands_run_in_the_root_of_the_repository() {
        assert!(root().join("Cargo.lock").is_file());
        assert!(find("sh").is_some_and(|file| file.is_absolute()));
        assert!(find("no-such-program-here").is_none());
    }
}
