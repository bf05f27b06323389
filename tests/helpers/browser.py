"""A served page and a browser without a window, for tests; what needs them is skipped where no browser is installed."""

import json
import os
import re
import shutil
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

CHROMIUM, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
ARGUMENTS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--window-size=1200,900",
)  # fmt: skip
PATIENCE = 60.0  # seconds, for a busy machine


def needed():
    """Skip where there is no browser, or the extras `page` and `test` are not installed."""
    if not (CHROMIUM and DRIVER):
        pytest.skip("no browser: install Debian's chromium and chromium-driver to run these tests")
    pytest.importorskip("nicegui", reason="the extra `page` is not installed")
    pytest.importorskip("selenium", reason="the extra `test` is not installed")


@contextmanager
def served(folder, *arguments):
    """The page's address and process, served from a folder of its own that temporary files go to as well."""
    (folder / "tmp").mkdir(parents=True)
    command = [sys.executable, "-m", "colletfea", "page", "--no-browser", *map(str, arguments)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=folder, env={**os.environ, "TMPDIR": str(folder / "tmp")})
    try:
        line = process.stdout.readline()
        yield re.search(r"http\S+", line)[0], process
    finally:
        process.terminate()
        process.wait(PATIENCE)
        process.stdout.close()


@contextmanager
def chromium(downloads):
    """A browser that keeps a log of every request and puts downloads into a folder."""
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    for argument in ARGUMENTS:
        options.add_argument(argument)
    options.add_experimental_option("prefs", {"download.default_directory": str(downloads), "download.prompt_for_download": False})
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(DRIVER))
    driver.set_script_timeout(PATIENCE)
    try:
        yield driver
    finally:
        driver.quit()


class View:
    """The page as a user handles it."""

    def __init__(self, driver, downloads):
        self.driver, self.downloads = driver, downloads

    def go(self, address):
        self.driver.get(address)
        self.until("document.body.dataset.ready && document.querySelector('#results td')")
        return self

    def js(self, expression, *arguments):
        return self.driver.execute_script(f"return {expression}", *arguments)

    def until(self, expression, *arguments):
        """Wait for a condition, and give its value."""
        limit = time.monotonic() + PATIENCE
        while not (value := self.js(expression, *arguments)):
            assert time.monotonic() < limit, f"never: {expression}; the page says {self.js('document.body.innerText')[:600]!r}"
            time.sleep(0.02)
        return value

    def field(self, key):
        return self.driver.find_element("id", f"f-{key}")

    def type(self, key, text):
        """Type a text into a field, as by keys, and wait for the answer."""
        field = self.field(key)
        self.js("arguments[0].closest('details').open = true", field)
        field.clear()
        if text:
            field.send_keys(text)
        self.answered()

    def choose(self, key, text):
        self.js("((f, v) => { f.closest('details').open = true; f.value = v; f.dispatchEvent(new Event('input', {bubbles: true})); })(...arguments)", self.field(key), text)
        self.answered()

    def answered(self):
        self.until("!document.body.classList.contains('waiting')")

    def press(self, what):
        self.driver.find_element("css selector", f"[data-do='{what}']").click()

    def example(self, name):
        self.js("((f, v) => { f.value = v; f.dispatchEvent(new Event('change', {bubbles: true})); })(...arguments)", self.driver.find_element("id", "example"), name)
        self.until(f"document.getElementById('said').textContent === 'Opened {name}.'")
        self.answered()

    def said(self, part):
        return self.until("document.getElementById('said').textContent.includes(arguments[0])", part)

    def numbers(self, by="hand"):
        cells = self.js("[...document.querySelectorAll('#results td[data-path]')].map((c) => [c.dataset.by, c.dataset.path, c.dataset.value])")
        return {path: float(value) if value else None for who, path, value in cells if who == by}

    def verdicts(self, column=0):
        rows = self.js("[...document.querySelectorAll('#results tr[data-verdict]')].map((r) => [r.dataset.verdict, [...r.querySelectorAll('td[data-ok]')].map((c) => c.dataset.ok)])")
        return {name: words[column] for name, words in rows}

    def fault(self, key):
        return self.js("document.getElementById('e-' + arguments[0]).textContent", key)

    def downloaded(self, name):
        path, limit = Path(self.downloads) / name, time.monotonic() + PATIENCE
        while not path.exists():
            assert time.monotonic() < limit, f"{name} was not downloaded; the page says {self.js('document.body.innerText')[:200]!r}"
            time.sleep(0.05)
        content = path.read_bytes()
        path.unlink()
        return content

    def requests(self):
        """Addresses of every request since the last call."""
        messages = [json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance")]
        sent = [m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"]
        return sent + [m["params"]["url"] for m in messages if m["method"] == "Network.webSocketCreated"]
