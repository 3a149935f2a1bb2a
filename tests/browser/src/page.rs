//! A window of the browser, with what a person does in it.

use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

use anyhow::{Context, Result, bail, ensure};
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use serde_json::{Value, json};

use crate::served::root;

/// Rules of WCAG 2.2, levels A and AA, and what its makers hold for good besides.
const RULES: [&str; 6] = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/// How long something is waited for; a machine that does other things beside is slow.
const PATIENCE: Duration = Duration::from_secs(60);

/// Runs a flow to its end.
///
/// # Errors
/// Those of the flow.
pub fn block_on(flow: impl Future<Output = Result<()>>) -> Result<()> {
    tokio::runtime::Builder::new_current_thread().enable_all().build()?.block_on(flow)
}

/// Light or dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scheme {
    /// Dark letters on light ground.
    Light,
    /// Light letters on dark ground.
    Dark,
}

impl Scheme {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// The program that drives browsers, killed when dropped; its browsers end with it.
pub struct Driver {
    child: Child,
    port: u16,
    _says: BufReader<ChildStdout>,
}

impl Driver {
    /// Starts it on a port that is free.
    ///
    /// # Errors
    /// When it is not installed (`cargo xtask setup` does that), or does not start.
    pub fn start() -> Result<Self> {
        let mut command = Command::new("chromedriver");
        let command = command.arg("--port=0").stdin(Stdio::null()).stdout(Stdio::piped());
        let mut child = command.stderr(Stdio::null()).spawn().context("chromedriver")?;
        let mut says = BufReader::new(child.stdout.take().context("it was asked for")?);
        let mut line = String::new();
        while says.read_line(&mut line)? > 0 {
            let port = line.split("on port ").nth(1).filter(|_| line.contains("successfully"));
            if let Some(port) = port.and_then(|it| it.trim().trim_end_matches('.').parse().ok()) {
                return Ok(Self { child, port, _says: says });
            }
            line.clear();
        }
        bail!("chromedriver does not say on which port it is")
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A command of the browser's own protocol for developers.
#[derive(Debug)]
struct Own(&'static str, Value);

impl WebDriverCompatibleCommand for Own {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/goog/cdp/execute", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _url: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "cmd": self.0, "params": self.1 }).to_string()))
    }
}

/// A window.
pub struct Page {
    /// The session.
    pub client: Client,
    /// Where the workroom is.
    pub base: String,
}

impl Page {
    /// Opens a browser for a workroom.
    ///
    /// # Errors
    /// When there is none.
    pub async fn open(driver: &Driver, base: &str, scheme: Scheme) -> Result<Self> {
        let arguments = ["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"];
        let mut wanted = serde_json::Map::new();
        wanted.insert("goog:chromeOptions".to_owned(), json!({ "args": arguments }));
        let connector = hyper_util::client::legacy::connect::HttpConnector::new();
        let client = ClientBuilder::new(connector)
            .capabilities(wanted)
            .connect(&format!("http://127.0.0.1:{}", driver.port))
            .await?;
        let mut patience = client.get_timeouts().await?;
        patience.set_script(Some(PATIENCE));
        client.update_timeouts(patience).await?;
        let page = Self { client, base: base.to_owned() };
        let media = json!([{ "name": "prefers-color-scheme", "value": scheme.name() }]);
        page.own("Emulation.setEmulatedMedia", json!({ "features": media })).await?;
        Ok(page)
    }

    /// A command of the browser's own protocol.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn own(&self, name: &'static str, parameters: Value) -> Result<Value> {
        Ok(self.client.issue_cmd(Own(name, parameters)).await?)
    }

    /// Goes to a page of the workroom, and waits for what it asks for when it has been shown.
    ///
    /// # Errors
    /// When there is no answer.
    pub async fn go(&self, path: &str) -> Result<()> {
        self.client.goto(&format!("{}{path}", self.base)).await?;
        let unmade = "details[data-part=''], .small[data-part=''] > p";
        self.until(&format!("!document.querySelector(\"{unmade}\")")).await
    }

    /// What a script of the page says.
    ///
    /// # Errors
    /// When it fails.
    pub async fn run(&self, script: &str, arguments: &[Value]) -> Result<Value> {
        self.client.execute(script, arguments.to_vec()).await.with_context(|| script.to_owned())
    }

    /// What a script says with its last argument, a function.
    ///
    /// # Errors
    /// When it fails, or takes too long.
    pub async fn told(&self, script: &str, arguments: &[Value]) -> Result<Value> {
        self.client
            .execute_async(script, arguments.to_vec())
            .await
            .with_context(|| script.to_owned())
    }

    /// What comes from an address of the workroom.
    ///
    /// # Errors
    /// When nothing comes.
    pub async fn taken(&self, address: &str) -> Result<Vec<u8>> {
        let script = "const [address, done] = arguments;
            fetch(address).then((it) => it.arrayBuffer()).then((it) => done([...new Uint8Array(it)]));";
        let bytes = self.told(script, &[address.into()]).await?;
        let bytes = bytes.as_array().context("nothing came")?.iter();
        let bytes: Option<Vec<u8>> =
            bytes.map(|it| it.as_u64().and_then(|it| u8::try_from(it).ok())).collect();
        bytes.context("no bytes")
    }

    /// Whether an expression holds.
    ///
    /// # Errors
    /// When it fails.
    pub async fn holds(&self, expression: &str) -> Result<bool> {
        Ok(self.run(&format!("return !!({expression})"), &[]).await? == Value::Bool(true))
    }

    /// Waits until an expression holds.
    ///
    /// # Errors
    /// When it never does.
    pub async fn until(&self, expression: &str) -> Result<()> {
        let begun = tokio::time::Instant::now();
        while begun.elapsed() < PATIENCE {
            // A page that is just going away cannot say anything.
            if self.holds(expression).await.unwrap_or(false) {
                return Ok(());
            }
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
        bail!("never: {expression}; the page says: {}", self.text().await.unwrap_or_default())
    }

    /// All that can be read.
    ///
    /// # Errors
    /// When there is no page.
    pub async fn text(&self) -> Result<String> {
        let text = self.run("return document.querySelector('main').innerText", &[]).await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until something can be read.
    ///
    /// # Errors
    /// When it never can.
    pub async fn reads(&self, text: &str) -> Result<()> {
        let text = Value::from(text);
        self.until(&format!("document.querySelector('main').innerText.includes({text})")).await
    }

    /// What a field holds.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn value(&self, id: &str) -> Result<String> {
        let value =
            self.run("return document.getElementById(arguments[0]).value", &[id.into()]).await?;
        Ok(value.as_str().unwrap_or_default().to_owned())
    }

    /// Clicks.
    ///
    /// # Errors
    /// When there is nothing to click on.
    pub async fn click(&self, selector: &str) -> Result<()> {
        let to = "document.querySelector(arguments[0])?.scrollIntoView({ block: 'center' })";
        self.run(to, &[selector.into()]).await?;
        let it =
            self.client.find(Locator::Css(selector)).await.with_context(|| selector.to_owned())?;
        it.click().await.with_context(|| selector.to_owned())
    }

    /// Writes into a field, or names a file in it.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn write(&self, selector: &str, text: &str) -> Result<()> {
        let it =
            self.client.find(Locator::Css(selector)).await.with_context(|| selector.to_owned())?;
        it.send_keys(text).await.with_context(|| selector.to_owned())
    }

    /// Presses keys, one after the other.
    ///
    /// # Errors
    /// When the browser does not take them.
    pub async fn press(&self, keys: &str) -> Result<()> {
        let mut all = KeyActions::new("keys".to_owned());
        for value in keys.chars() {
            all = all.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        Ok(self.client.perform_actions(all).await?)
    }

    /// Goes on by the tab key until the focus is where it is wanted.
    ///
    /// # Errors
    /// When it is never there.
    pub async fn tab_to(&self, selector: &str) -> Result<()> {
        let here = format!("document.activeElement.matches({})", Value::from(selector));
        for _ in 0..400 {
            if self.holds(&here).await? {
                return Ok(());
            }
            self.press("\u{e004}").await?;
        }
        bail!("the tab key does not lead to {selector}")
    }

    /// How many changes of the page were answered.
    ///
    /// # Errors
    /// When there is no page.
    pub async fn changes(&self) -> Result<i64> {
        let script = "return Number(document.documentElement.dataset.changes || 0)";
        Ok(self.run(script, &[]).await?.as_i64().unwrap_or_default())
    }

    /// Waits for the answer to a change.
    ///
    /// # Errors
    /// When there is none.
    pub async fn changed(&self, before: i64) -> Result<()> {
        self.until(&format!("Number(document.documentElement.dataset.changes || 0) > {before}"))
            .await
    }

    /// Changes a field, and waits for the answer.
    ///
    /// # Errors
    /// When there is no such field, or no answer.
    pub async fn set(&self, id: &str, value: &str) -> Result<()> {
        let before = self.changes().await?;
        let script = "const field = document.getElementById(arguments[0]);
            field.value = arguments[1];
            field.dispatchEvent(new Event('change', { bubbles: true }));";
        self.run(script, &[id.into(), value.into()]).await?;
        self.changed(before).await
    }

    /// Clicks on what changes the bag, and waits for the answer.
    ///
    /// # Errors
    /// When there is nothing to click on, or no answer.
    pub async fn click_and_see(&self, selector: &str) -> Result<()> {
        let before = self.changes().await?;
        self.click(selector).await?;
        self.changed(before).await
    }

    /// Makes the window as wide as a device.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn as_wide_as(&self, width: u32) -> Result<()> {
        let size =
            json!({ "width": width, "height": 1000, "deviceScaleFactor": 1, "mobile": false });
        self.own("Emulation.setDeviceMetricsOverride", size).await.map(|_| ())
    }

    /// Keeps a picture of the whole page for people to look at.
    ///
    /// # Errors
    /// When it cannot be written.
    pub async fn picture(&self, name: &str) -> Result<()> {
        let taken = json!({ "captureBeyondViewport": true, "format": "png" });
        let taken = self.own("Page.captureScreenshot", taken).await?;
        let data = taken["data"].as_str().context("no picture")?;
        keep(name, &from_base64(data)?)
    }

    /// What `axe-core` finds wrong with the page, a line each.
    ///
    /// # Errors
    /// When it is not installed (`cargo xtask setup` does that).
    pub async fn violations(&self) -> Result<Vec<String>> {
        if !self.holds("window.axe").await? {
            self.run(&axe()?, &[]).await?;
        }
        let script = "const done = arguments[arguments.length - 1];
            axe.run({ runOnly: arguments[0] }).then(
                (found) => done(found.violations.map((v) =>
                    v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 90)).join(' | '))),
                (error) => done([String(error)]));";
        let found = self.told(script, &[json!(RULES)]).await?;
        let found = found.as_array().context("axe-core says nothing")?;
        Ok(found.iter().map(|it| it.as_str().unwrap_or_default().to_owned()).collect())
    }
}

/// Keeps a file with the evidence of this test.
///
/// # Errors
/// When it cannot be written.
fn keep(name: &str, bytes: &[u8]) -> Result<()> {
    let folder = root().join("target/outside/workroom");
    std::fs::create_dir_all(&folder)?;
    Ok(std::fs::write(folder.join(name), bytes)?)
}

/// `axe-core`, as the package of Python carries it that `cargo xtask setup` installs.
fn axe() -> Result<String> {
    let lib = root().join("target/outside-venv/lib");
    let found = std::fs::read_dir(&lib).with_context(|| format!("no {}", lib.display()))?;
    let file = found
        .filter_map(|entry| {
            Some(entry.ok()?.path().join("site-packages/axe_playwright_python/axe.min.js"))
        })
        .find(|file: &PathBuf| file.is_file())
        .context("axe-core is not installed: cargo xtask setup")?;
    Ok(std::fs::read_to_string(file)?)
}

/// Bytes from the letters in which the protocol sends them (RFC 4648, section 4).
fn from_base64(text: &str) -> Result<Vec<u8>> {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = Vec::with_capacity(text.len() / 4 * 3);
    let (mut bits, mut count) = (0_u32, 0_u32);
    for letter in text.trim_end_matches('=').bytes() {
        let value = LETTERS.iter().position(|it| *it == letter);
        let value = u32::try_from(value.context("no base64")?)?;
        bits = (bits << 6) | value;
        count += 6;
        if count >= 8 {
            count -= 8;
            out.push(u8::try_from((bits >> count) & 0xff)?);
        }
    }
    ensure!(!out.is_empty(), "nothing");
    Ok(out)
}
