"""The report in a browser: the slider moves through the push without leaving the page, and gives the last state to paper."""

import re

from helpers import results as made
from helpers.browser import CHROMIUM, DRIVER, chromium
from helpers.section import section, steps
import pytest

from colletfea.cases.report import page
from colletfea.cases.report.wording import quantity

STATE = "return [document.querySelector('#steps output').textContent, document.querySelector('[data-path=ring]').getAttribute('d')]"
MOVE = "var i = document.querySelector('#steps input'); i.value = arguments[0]; i.dispatchEvent(new Event('input'));"


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    if not (CHROMIUM and DRIVER):
        pytest.skip("no browser: install Debian's chromium and chromium-driver to run these tests")
    pytest.importorskip("selenium", reason="the extra `test` is not installed")
    folder = tmp_path_factory.mktemp("r")
    result = made.write(folder, arrays={**section(), **steps(made.STEPS)})
    with chromium(folder) as driver:
        driver.get(page.make(folder).as_uri())
        yield result, driver


def test_the_slider_shows_each_stored_state_and_paper_the_last(shown):
    result, driver = shown
    rows, seen = result.stage("push"), set()
    for k, row in enumerate(rows):
        driver.execute_script(MOVE, k)
        words, path = driver.execute_script(STATE)
        assert f"Increment {k} of" in words and quantity(row["push_force_N"], "N") in words
        seen.add(path)
    assert len(seen) == len(rows)
    last = driver.execute_script(STATE)
    driver.execute_script(MOVE, 2)
    driver.execute_script("dispatchEvent(new Event('beforeprint'))")
    assert driver.execute_script(STATE) == last
    driver.execute_script("dispatchEvent(new Event('afterprint'))")
    assert "Increment 2 of" in driver.execute_script(STATE)[0]


def test_the_page_asks_for_nothing_and_says_no_error(shown):
    _, driver = shown
    asked = {url for entry in driver.get_log("performance") for url in re.findall(r'"url":"(\w+:[^"]*)"', entry["message"])}
    assert not [url for url in asked if url.startswith(("http", "ws"))]
    assert not [entry for entry in driver.get_log("browser") if entry["level"] == "SEVERE"]


def test_a_narrow_screen_is_not_wider_than_itself(shown):
    _, driver = shown
    driver.set_window_size(500, 900)
    assert driver.execute_script("return document.documentElement.scrollWidth <= innerWidth")
