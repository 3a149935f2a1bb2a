"""Opens handouts in a real browser, as a student would, and checks what a program can check.

Usage: handout_check.py FOLDER..., each written by `bagwright make`.

Chromium is driven through the WebDriver protocol (W3C recommendation, 2018) with Python's standard
library. Accessibility is judged by axe-core (rules of WCAG 2.2, levels A and AA) in light and dark;
pictures of the page at three widths stay in `target/outside/handouts` for people to look at.
"""

import base64
import importlib.util
import json
import pathlib
import subprocess
import sys
import time
import urllib.error
import urllib.request

PORT = 9517
WIDTHS = {"phone": 360, "tablet": 820, "desktop": 1280}
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"


class Browser:
    """A session of the WebDriver protocol."""

    def __init__(self, dark):
        arguments = ["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]
        if dark:
            arguments.append("--force-dark-mode")
        options = {"browserName": "chrome", "goog:chromeOptions": {"args": arguments}}
        made = call("POST", "/session", {"capabilities": {"alwaysMatch": options}})
        self.path = f"/session/{made['sessionId']}"
        if dark:
            media = {"features": [{"name": "prefers-color-scheme", "value": "dark"}]}
            self.cdp("Emulation.setEmulatedMedia", media)

    def do(self, method, path, body=None):
        return call(method, self.path + path, body)

    def cdp(self, command, parameters):
        return self.do("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def run(self, script, *arguments):
        return self.do("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def wait(self, script, *arguments):
        return self.do("POST", "/execute/async", {"script": script, "args": list(arguments)})

    def type(self, keys):
        actions = [
            {"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")
        ]
        keyboard = {"type": "key", "id": "keys", "actions": actions}
        self.do("POST", "/actions", {"actions": [keyboard]})

    def picture(self, file, width):
        size = {"width": width, "height": 1000, "deviceScaleFactor": 1, "mobile": False}
        self.cdp("Emulation.setDeviceMetricsOverride", size)
        file.write_bytes(base64.b64decode(self.do("GET", "/screenshot")))

    def close(self):
        self.do("DELETE", "")


def call(method, path, body=None):
    data = None if body is None and method != "POST" else json.dumps(body or {}).encode()
    request = urllib.request.Request(
        f"http://127.0.0.1:{PORT}{path}",
        data=data,
        method=method,
        headers={"Content-Type": "application/json"},
    )
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.load(answer)["value"]
    except urllib.error.HTTPError as error:
        raise RuntimeError(error.read().decode()) from error


def axe_source():
    """axe-core as a package of its own carries it."""
    found = importlib.util.find_spec("axe_playwright_python")
    return (pathlib.Path(found.submodule_search_locations[0]) / "axe.min.js").read_text()


def violations(browser, axe):
    browser.run(axe)
    script = """
        const done = arguments[arguments.length - 1];
        axe.run({ runOnly: arguments[0] }).then(
            (found) => done(found.violations.map((v) =>
                v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 90)).join(" | "))),
            (error) => done([String(error)]));
    """
    return browser.wait(script, RULES)


def ticked(browser):
    return browser.run("return document.querySelectorAll('.step input:checked').length")


def check_use(browser, name, faults):
    """Ticks stay through a reload, the ruler changes, and keys alone do it."""
    if ticked(browser) != 0:
        faults.append(f"{name}: steps are ticked at first")
    browser.run("document.getElementById('next').focus()")
    # Enter: the next step's box gets the focus; space: it is ticked.
    browser.type(["\ue007"])
    time.sleep(0.3)
    browser.type([" "])
    if ticked(browser) != 1:
        faults.append(f"{name}: enter and space do not tick the first step")
    browser.do("POST", "/refresh")
    if ticked(browser) != 1:
        faults.append(f"{name}: the tick is gone after a reload")
    shown = "return [...document.querySelectorAll('.step [data-for]')].filter(e => e.offsetParent).map(e => e.dataset.for)"
    before = set(browser.run(shown))
    browser.run("document.querySelector('[name=ruler]:not(:checked)').click()")
    after = set(browser.run(shown))
    if len(before) != 1 or len(after) != 1 or before == after:
        faults.append(f"{name}: the ruler does not change: {before} {after}")
    browser.do("POST", "/refresh")
    if set(browser.run(shown)) != after:
        faults.append(f"{name}: the ruler is forgotten after a reload")
    loaded = browser.run("return performance.getEntriesByType('resource').map(e => e.name)")
    if loaded:
        faults.append(f"{name}: asks for {loaded}")


def main():
    driver = subprocess.Popen(
        ["chromedriver", f"--port={PORT}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    faults, looked = [], 0
    try:
        for _ in range(100):
            try:
                call("GET", "/status")
                break
            except OSError:
                time.sleep(0.1)
        axe = axe_source()
        pictures = pathlib.Path("target/outside/handouts")
        pictures.mkdir(parents=True, exist_ok=True)
        for folder in map(pathlib.Path, sys.argv[1:]):
            for scheme in ("light", "dark"):
                browser = Browser(scheme == "dark")
                name = f"{folder.name}, {scheme}"
                browser.do("POST", "/url", {"url": (folder / "handout.html").resolve().as_uri()})
                faults += [f"{name}: {found}" for found in violations(browser, axe)]
                for device, width in WIDTHS.items():
                    browser.picture(pictures / f"{folder.name}-{scheme}-{device}.png", width)
                    wide = browser.run(
                        "return document.documentElement.scrollWidth - document.documentElement.clientWidth"
                    )
                    if wide > 0:
                        faults.append(f"{name}: {wide} px too wide on a {device}")
                    looked += 1
                if scheme == "light":
                    check_use(browser, name, faults)
                browser.close()
    finally:
        driver.terminate()
    print(f"handouts: {looked} looks, {len(faults)} faults")
    for fault in faults[:20]:
        print(f"  {fault}")
    return 1 if faults or not looked else 0


if __name__ == "__main__":
    sys.exit(main())
