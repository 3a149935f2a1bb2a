//! Every screen, light and dark, as wide as a phone, a tablet and a desktop: nothing that `axe-core`
//! (WCAG 2.2, A and AA) finds fault with, nothing cut off, nothing asked of elsewhere. Pictures stay in
//! `target/outside/workroom` for people to look at.

use anyhow::{Result, ensure};
use browser::{Page, Scheme};

use crate::{designing, in_a_workroom, reckoning, shelf};

const WIDTHS: [u32; 3] = [360, 768, 1280];

const SCREENS: [&str; 25] = [
    "/bags",
    "/bags?show=put-away",
    "/new",
    "/fabrics",
    "/fabrics/1",
    "/prices",
    "/log",
    "/safe",
    "/compare?a=1&b=2",
    "/nowhere",
    "/kit",
    "/kit?bag-1=12&spare=10&look=yes",
    "/bag/1",
    "/bag/1?showing=inside&beside=person",
    "/bag/1/pieces",
    "/bag/1/cutting",
    "/bag/1/largest",
    "/bag/1/largest?look=yes&fabric-outside=1+yd+of+54+in",
    "/bag/1/sewing?step=4",
    "/bag/1/shopping",
    "/bag/1/reckoning",
    "/bag/1/sizes",
    "/bag/1/templates",
    "/bag/1/take",
    "/bag/1/versions",
];

#[test]
fn every_screen_is_fit_to_be_seen_in_light() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, folder| look(page, folder, Scheme::Light).await)
}

#[test]
fn every_screen_is_fit_to_be_seen_in_dark() -> Result<()> {
    in_a_workroom(Scheme::Dark, async |page, folder| look(page, folder, Scheme::Dark).await)
}

async fn look(page: &Page, folder: &std::path::Path, scheme: Scheme) -> Result<()> {
    let mut faults = Vec::new();
    // As it is at first: the welcome, and shelves with nothing on them.
    for screen in ["/bag/1", "/fabrics", "/prices", "/log", "/bag/1/reckoning", "/bag/1/sizes"] {
        one(page, screen, &format!("first{}", name_of(screen)), scheme, &mut faults).await?;
    }
    page.go("/bag/1").await?;
    page.click(".welcome button").await?;
    page.until("!document.querySelector('.welcome')").await?;
    shelf::put_on_the_shelf(page, folder).await?;
    reckoning::fill_in(page).await?;
    let wrong = designing::with_an_error(page).await?;
    for screen in SCREENS {
        one(page, screen, &name_of(screen), scheme, &mut faults).await?;
    }
    one(page, &wrong, "with-an-error", scheme, &mut faults).await?;
    ensure!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    Ok(())
}

/// `/bag/1/sewing?step=4` becomes `bag-1-sewing-step-4`.
fn name_of(screen: &str) -> String {
    let name: String =
        screen.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    name.trim_matches('-').chars().take(40).collect()
}

async fn one(
    page: &Page,
    screen: &str,
    name: &str,
    scheme: Scheme,
    faults: &mut Vec<String>,
) -> Result<()> {
    page.go(screen).await?;
    for width in WIDTHS {
        page.as_wide_as(width).await?;
        page.run("document.querySelectorAll('details').forEach((it) => it.open = true)", &[])
            .await?;
        for found in page.violations().await? {
            faults.push(format!("{name}, {}, {width}: {found}", scheme.name()));
        }
        let wide =
            "return document.documentElement.scrollWidth - document.documentElement.clientWidth";
        let wide = page.run(wide, &[]).await?.as_i64().unwrap_or(1);
        if wide > 0 {
            faults.push(format!("{name}, {}, {width}: {wide} px too wide", scheme.name()));
        }
        page.run(
            "document.querySelectorAll('details').forEach((it) => it.open = it.id === 'fold-body')",
            &[],
        )
        .await?;
        page.picture(&format!("{name}-{}-{width}.png", scheme.name())).await?;
    }
    let foreign = "return performance.getEntriesByType('resource').map((it) => it.name).filter((it) => !it.startsWith(location.origin)).join(' ')";
    let foreign = page.run(foreign, &[]).await?;
    if foreign != "" {
        faults.push(format!("{name}: asks elsewhere for {foreign}"));
    }
    Ok(())
}
