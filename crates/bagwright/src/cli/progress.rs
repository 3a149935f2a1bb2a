//! Telling what is being done, on a terminal only.

use std::io::{IsTerminal, Write};

/// Tells what is being done while it takes long; silent when nobody is watching.
pub(crate) struct Progress {
    watched: bool,
    last: usize,
}

impl Progress {
    /// Begins, and finds out whether standard error is a terminal.
    pub(crate) fn begin() -> Self {
        Self { watched: std::io::stderr().is_terminal(), last: 0 }
    }

    /// Now does this; replaces what was shown before.
    pub(crate) fn now(&mut self, what: &str) {
        if self.watched {
            let blank = " ".repeat(self.last.saturating_sub(what.chars().count()));
            self.write(&format!("\r{what}…{blank}"));
            self.last = what.chars().count() + 1;
        }
    }

    /// Wipes the line.
    pub(crate) fn done(&mut self) {
        if self.watched && self.last > 0 {
            self.write(&format!("\r{}\r", " ".repeat(self.last)));
            self.last = 0;
        }
    }

    fn write(&self, text: &str) {
        let mut out = std::io::stderr().lock();
        // Progress that cannot be shown is no reason to stop.
        let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.done();
    }
}
