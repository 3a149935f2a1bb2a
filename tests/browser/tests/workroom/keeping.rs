//! What is kept and taken away: versions, files, print, a backup that is brought back.

use anyhow::{Context, Result, ensure};
use browser::Scheme;
use serde_json::json;

use crate::in_a_workroom;

#[test]
fn a_version_is_gone_back_to() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let was = page.value("body-width").await?;
        page.go("/bag/1/versions").await?;
        page.write("#name", "as taught in spring").await?;
        page.click("form[action$='/versions'] button").await?;
        page.reads("as taught in spring").await?;
        page.go("/bag/1").await?;
        page.set("body-width", "18").await?;
        page.go("/bag/1/versions").await?;
        page.click("table form button").await?;
        page.until("location.pathname === '/bag/1' && document.querySelector('.bench')").await?;
        ensure!(page.value("body-width").await? == was, "the width is not back");
        Ok(())
    })
}

#[test]
fn every_file_is_taken_away_under_a_name() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1/take").await?;
        let links = page
            .run("return [...document.querySelectorAll('ul.take a')].map((it) => it.href)", &[])
            .await?;
        let links = links.as_array().context("links")?;
        ensure!(links.len() >= 9, "only {} files", links.len());
        for link in links {
            let take = "const done = arguments[1];
                fetch(arguments[0]).then(async (it) => done([it.status, (await it.arrayBuffer()).byteLength,
                    it.headers.get('content-disposition') || '']));";
            let taken = page.told(take, std::slice::from_ref(link)).await?;
            let good = taken[0] == 200
                && taken[1].as_u64().unwrap_or_default() > 100
                && taken[2].as_str().unwrap_or_default().starts_with("attachment; filename=");
            ensure!(good, "{link}: {taken}");
        }
        Ok(())
    })
}

#[test]
fn on_paper_there_is_the_work_and_no_buttons() -> Result<()> {
    in_a_workroom(Scheme::Dark, async |page, _| {
        for screen in ["", "/pieces", "/cutting", "/sewing?step=4", "/shopping"] {
            page.go(&format!("/bag/1{screen}")).await?;
            let printed = page.own("Page.printToPDF", json!({ "printBackground": false })).await?;
            ensure!(
                printed["data"].as_str().is_some_and(|it| it.starts_with("JVBERi")),
                "{screen}: no PDF"
            );
            page.own("Emulation.setEmulatedMedia", json!({ "media": "print", "features": [{ "name": "prefers-color-scheme", "value": "dark" }] })).await?;
            let seen = "[...document.querySelectorAll('header.top, nav, button, .skip')].filter((it) => it.offsetParent && getComputedStyle(it).visibility === 'visible').map((it) => it.outerHTML.slice(0, 80)).join(' ')";
            let seen = page.run(&format!("return {seen}"), &[]).await?;
            ensure!(seen == "", "{screen}: on paper there is {seen}");
            let pale = "return [...document.querySelectorAll('main p, main td, main dd, main h2')].filter((it) => it.offsetParent).map((it) => getComputedStyle(it).color).filter((it) => it.match(/\\d+/g).slice(0, 3).some((part) => part > 150)).join(' ')";
            let pale = page.run(pale, &[]).await?;
            ensure!(pale == "", "{screen}: on paper there are letters of {pale}");
            page.own("Emulation.setEmulatedMedia", json!({ "media": "" })).await?;
        }
        Ok(())
    })
}

#[test]
fn a_backup_brings_everything_back() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, folder| {
        page.go("/safe").await?;
        let file = folder.join("from-a-stick.sqlite");
        std::fs::write(&file, page.taken("/safe/backup").await?)?;
        page.go("/bag/1").await?;
        let was = page.value("title").await?;
        page.set("title", "Another name").await?;
        page.go("/safe").await?;
        page.write("#file", &file.to_string_lossy()).await?;
        page.click("form[action='/safe/restore'] button").await?;
        page.reads("Everything is back").await?;
        page.go("/bags").await?;
        let text = page.text().await?;
        ensure!(
            text.contains(&was) && !text.contains("Another name"),
            "it is not as it was: {text}"
        );
        // A file that is no backup changes nothing.
        std::fs::write(&file, "a shopping list")?;
        page.go("/safe").await?;
        page.write("#file", &file.to_string_lossy()).await?;
        page.click("form[action='/safe/restore'] button").await?;
        page.until("document.querySelector('[role=alert]')").await?;
        page.go("/bags").await?;
        page.reads(&was).await
    })
}
