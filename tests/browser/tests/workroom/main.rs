//! Works in the workroom in a real browser, as a teacher would, and looks at every screen.
//!
//! Each flow begins in a workroom of its own over an empty folder. Nothing here is timed.

mod designing;
mod keeping;
mod keys;
mod looks;
mod reckoning;
mod shelf;

use anyhow::Result;
use browser::{Driver, Page, Scheme, Workroom, block_on};

/// Runs a flow in a workroom of its own.
pub(crate) fn in_a_workroom<F>(scheme: Scheme, flow: F) -> Result<()>
where
    F: AsyncFnOnce(&Page, &std::path::Path) -> Result<()>,
{
    let folder = tempfile::tempdir()?;
    let room = Workroom::start(&folder.path().join("data"), &[])?;
    let driver = Driver::start()?;
    block_on(async {
        let page = Page::open(&driver, &room.base, scheme).await?;
        // The first visit makes the bag to try things on.
        page.go("/").await?;
        flow(&page, folder.path()).await?;
        Ok(page.client.clone().close().await?)
    })
}
