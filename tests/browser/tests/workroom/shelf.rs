//! Fabric: put on the shelf, photographed, used and cut; the largest bag that it allows; a kit; better
//! layouts.

use std::path::Path;

use anyhow::{Context, Result, ensure};
use browser::{Page, Scheme};

use crate::in_a_workroom;

/// One red point (PNG).
pub(crate) const CLOTH: &[u8] = b"\x89\x50\x4e\x47\x0d\x0a\x1a\x0a\x00\x00\x00\x0d\x49\x48\x44\x52\x00\x00\x00\x01\x00\x00\x00\x01\x08\x02\x00\x00\x00\x90\x77\x53\xde\x00\x00\x00\x0c\x49\x44\x41\x54\x78\x9c\x63\x38\xa0\xa0\x00\x00\x02\xa4\x01\x01\xe3\x4c\xa7\x2d\x00\x00\x00\x00\x49\x45\x4e\x44\xae\x42\x60\x82";

/// Puts a fabric on the shelf, with a photograph.
pub(crate) async fn put_on_the_shelf(page: &Page, folder: &Path) -> Result<()> {
    page.go("/fabrics").await?;
    page.write("#fabric-name", "blue linen").await?;
    page.run("document.getElementById('fabric-width').value = '60'", &[]).await?;
    page.write("#fabric-length", "3 yd").await?;
    page.click("form.stack button.main").await?;
    page.until("document.querySelector('.card')").await?;
    let file = folder.join("cloth.png");
    std::fs::write(&file, CLOTH)?;
    page.go("/fabrics/1").await?;
    page.write("#photo", &file.to_string_lossy()).await?;
    page.click("form[action$='/photo'] button").await?;
    page.until("document.querySelector('img.photo')?.naturalWidth === 1").await
}

#[test]
fn fabric_is_photographed_used_and_cut_from() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, folder| {
        put_on_the_shelf(page, folder).await?;
        page.go("/bag/1").await?;
        page.run("document.getElementById('fold-fabric').open = true", &[]).await?;
        let number = "return [...document.getElementById('shelf-outside').options].find((it) => it.text === 'blue linen').value";
        let number = page.run(number, &[]).await?;
        page.set("shelf-outside", number.as_str().context("it is offered")?).await?;
        ensure!(
            page.value("fabric-outside-name").await? == "blue linen",
            "the design does not take it"
        );
        page.go("/bag/1/cutting").await?;
        page.click("form[action$='/cutting/cut'] button").await?;
        page.until("location.pathname === '/fabrics'").await?;
        let text = page.text().await?;
        ensure!(
            text.contains("blue linen") && !text.contains("\n3 yd left"),
            "nothing is taken off"
        );
        Ok(())
    })
}

#[test]
fn the_largest_bag_from_a_piece_is_found_taken_and_undone() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let was = page.value("body-width").await?;
        page.go("/bag/1/cutting").await?;
        page.click("a.button[href$='/largest']").await?;
        page.until(
            "location.pathname.endsWith('/largest') && document.getElementById('fabric-outside')",
        )
        .await?;
        page.run("document.getElementById('fabric-outside').value = ''", &[]).await?;
        page.write("#fabric-outside", "1 yd of 54 in").await?;
        page.click("form.stack button.main").await?;
        page.reads("As large as it goes").await?;
        page.click("form[method=post] button.main").await?;
        page.until("location.pathname === '/bag/1' && document.querySelector('.bench')").await?;
        ensure!(page.value("body-width").await? != was, "the bag is as it was");
        page.click_and_see("#undo").await?;
        ensure!(page.value("body-width").await? == was, "it cannot be undone");
        Ok(())
    })
}

#[test]
fn a_kit_is_put_together() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/kit").await?;
        page.run("document.getElementById('bag-1').value = ''", &[]).await?;
        page.write("#bag-1", "2").await?;
        page.click("form.stack button.main").await?;
        page.reads("what to buy").await
    })
}

#[test]
fn better_layouts_are_looked_for_and_the_search_can_be_stopped() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1/cutting").await?;
        page.click("#improve").await?;
        // It ends by itself when the layouts are proven, and is stopped when they are not.
        let done = "document.querySelector('.searching') && !document.querySelector('.searching[data-going]')";
        page.until(&format!("({done}) || document.getElementById('stop')")).await?;
        if page.holds("document.getElementById('stop')").await? {
            // It may end just now.
            let _ = page.click("#stop").await;
        }
        page.until(done).await
    })
}
