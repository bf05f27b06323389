"""The page in a real browser: typed into, simulated, stopped, kept beside, opened, saved; and who may reach it."""

import http.client
import io
import json
import signal
import sys
import time
import tomllib
import zipfile
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from colletfea.cases import cli
from colletfea.cases.browser import numbers
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.run import solve
from colletfea.cases.summary import by_hand
from helpers.browser import PATIENCE, View, chromium, needed, served
from helpers.push import coarsest

pytestmark = pytest.mark.slow
SPROCKET, SPROCKET_FILE = Case.example("sprocket_hub"), Path(examples.__file__).with_name("sprocket_hub.toml")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    needed()
    return tmp_path_factory.mktemp("page")


@pytest.fixture(scope="module")
def address(folder):
    with served(folder / "server") as (address, _):
        yield address
    assert [p.name for p in (folder / "server").iterdir()] == ["tmp"] and list((folder / "server/tmp").iterdir()) == []


@pytest.fixture(scope="module")
def browser(folder):
    with chromium(folder) as driver:
        yield View(driver, folder)


@pytest.fixture
def page(browser, address):
    yield browser.go(address)
    away = [url for url in browser.requests() if urlsplit(url).hostname not in ("127.0.0.1", None) and not url.startswith(("chrome:", "devtools:"))]
    assert away == []
    assert [entry["message"] for entry in browser.driver.get_log("browser") if entry["level"] == "SEVERE"] == []


def expected(data):
    """Numbers of results under the paths that the page shows, those that are there."""
    found = {row.path: numbers.value(data, row.path) for row in (*numbers.CLAMP, *(numbers.SCREWS if data["screws"] else ()))}
    return {path: value for path, value in found.items() if value is not None}


def test_it_opens_with_a_control_for_every_key_and_the_numbers_of_hand(page, capsys):
    assert set(page.js("[...document.querySelectorAll('[data-field]')].map((f) => f.dataset.field)")) >= set(ALL_KEYS)
    assert page.js("[...document.querySelectorAll('[data-field]')].every((f) => f.labels.length === 1)")
    capsys.readouterr()
    assert cli.main(["hand", str(SPROCKET_FILE), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert page.numbers() == expected(printed)
    assert page.verdicts() == {v["name"]: str(v["ok"]) for v in printed["verdicts"]}


def test_every_example_shows_its_own_numbers(page):
    for name in examples.names()[1:]:
        page.example(name)
        assert page.numbers() == expected(by_hand(Case.example(name)))


def test_typing_redraws_and_works_out_anew(page):
    page.type("sleeve.taper", "4.5")
    assert page.numbers() == expected(by_hand(SPROCKET.changed({"sleeve.taper": 4.5})))
    assert "Cone 4.5° half angle" in page.js("document.getElementById('drawing').textContent")
    assert page.field("ring.taper").get_attribute("placeholder") == "4.5"


def test_a_fault_stands_at_its_field_and_no_number_beside_it(page):
    page.type("sleeve.taper", "5,5")
    assert "write 5.5, with a point" in page.fault("sleeve.taper")
    assert page.field("sleeve.taper").get_attribute("aria-invalid") == "true"
    assert page.numbers() == {} and "undrawn" in page.js("document.body.className")
    page.type("solver.penalty", "0")
    assert page.fault("solver.penalty").startswith("Must be a number") and page.fault("sleeve.taper")
    page.type("solver.penalty", "")
    page.type("sleeve.taper", "5")
    assert not page.fault("sleeve.taper") and page.numbers() == expected(by_hand(SPROCKET))


def test_an_own_material_has_fields_of_its_own(page):
    page.choose("sleeve.material", "own")
    assert page.fault("sleeve.material.young").startswith("Missing") and page.field("sleeve.material.young").is_displayed()
    page.type("sleeve.material.young", "110000")
    page.type("sleeve.material.poisson", "0.34")
    own = {"young": 110000, "poisson": 0.34}
    assert page.numbers() == expected(by_hand(SPROCKET.changed({"sleeve.material": own})))


def test_a_size_in_the_drawing_leads_to_its_field_and_is_marked(page):
    page.js("document.querySelector('#drawing [data-key=\"ring.start\"]').dispatchEvent(new MouseEvent('click', {bubbles: true}))")
    assert page.js("document.activeElement.id") == "f-ring.start"
    marked = "getComputedStyle(document.querySelector('#drawing [data-key=\"{}\"]')).fill"
    assert page.js(marked.format("ring.start")) != page.js(marked.format("ring.length"))
    page.js("document.querySelector('#drawing [data-key=\"sleeve.length\"]').focus()")
    page.driver.switch_to.active_element.send_keys("\ue007")
    assert page.js("document.activeElement.id") == "f-sleeve.length"


def test_designs_stand_beside_one_another_with_what_differs(page):
    page.press("keep")
    page.until("document.querySelector('.variants')")
    page.type("ring.outer_diameter", "48")
    rows = page.js("[...document.querySelectorAll('.variants tr')].map((r) => [...r.children].map((c) => c.innerText.trim()))")
    assert ["Outer diameter (ring.outer_diameter)", "48", "46"] in rows
    assert not any("sleeve.taper" in row[0] for row in rows)
    page.press("take")
    page.until("document.getElementById('f-ring.outer_diameter').value === '46'")
    assert page.numbers() == expected(by_hand(SPROCKET))


def test_a_file_is_opened_and_handed_back_with_its_comments(page, folder):
    text = "# mine, é\n" + examples.text("spindle")
    (folder / "a b$(x).toml").write_text(text, encoding="utf-8")
    page.driver.find_element("css selector", "input[type=file]").send_keys(str(folder / "a b$(x).toml"))
    page.said("Opened a b_x.")
    page.type("push.scatter", "1.4")
    page.press("copy")
    back = page.downloaded("a b_x.toml").decode()
    assert back.startswith("# mine, é\n") and back.count("#") == text.count("#")
    assert Case.from_tables(tomllib.loads(back), "x") == Case.example("spindle").changed({"push.scatter": 1.4})


def test_what_is_no_case_file_is_refused_in_words(page, folder):
    for number, (content, words) in enumerate([(b"\xff", "not UTF-8"), (b"a = 1", "no such"), (b"[shaft\n", "bad2.toml: is not valid TOML")]):
        (folder / f"bad{number}.toml").write_bytes(content)
        page.driver.find_element("css selector", "input[type=file]").send_keys(str(folder / f"bad{number}.toml"))
        page.said(words)
    assert page.numbers() == expected(by_hand(SPROCKET))


def test_text_never_becomes_markup(page):
    nasty = "<img src=x onerror=document.title='caught'></svg><script>1</script>"
    page.type("title", nasty)
    page.type("sleeve.fit", nasty)
    assert page.fault("sleeve.fit")
    page.press("copy")
    assert tomllib.loads(page.downloaded("sprocket_hub.toml").decode())["title"] == nasty
    assert page.js("document.querySelectorAll('#app img, #app script').length") == 0 and page.js("document.title") != "caught"


def test_it_simulates_refuses_a_second_run_and_makes_the_report_and_parts(page, address):
    coarse = coarsest(SPROCKET)
    page.type("mesh.size", f"{coarse.mesh.size:g}")
    page.js("document.getElementById('level').value = 'quick'")
    page.js("['simulate', 'parts'].forEach((what) => document.querySelector(`[data-do=${what}]`).click())")
    page.said("Not started: a simulation is under way.")
    page.until("!document.getElementById('bar').hidden && document.getElementById('progress').value > 0")
    page.said("Simulated")
    result = solve(coarse, "quick")
    shown = page.numbers("simulated")
    assert shown == pytest.approx(expected(result.summary), rel=1e-9) and shown != page.numbers()
    assert page.verdicts(1) == {v.name: str(v.ok) for v in result.verdicts}
    page.press("parts")
    assert "ring.step" in zipfile.ZipFile(io.BytesIO(page.downloaded("sprocket_hub-parts.zip"))).namelist()
    page.type("duty.torque", "61")
    assert page.numbers("simulated") == {} and not page.driver.find_element("css selector", "[data-do=report]").is_enabled()
    page.type("duty.torque", "60")
    assert page.numbers("simulated") == shown
    page.press("report")
    assert b"Chain sprocket hub" in page.downloaded("sprocket_hub-report.html")


def test_a_run_is_stopped_and_another_tab_is_told(page, address):
    page.type("solver.increments", "5000")  # a run that lasts until it is stopped
    page.press("simulate")
    page.until("document.getElementById('progress').value > 0.01")
    first = page.driver.current_window_handle
    page.driver.switch_to.new_window("tab")
    page.go(address)
    assert page.field("sleeve.taper").get_attribute("value") == "5"
    page.type("sleeve.taper", "6")
    page.press("simulate")
    page.said("a simulation is under way in another tab")
    page.driver.close()
    page.driver.switch_to.window(first)
    assert page.field("sleeve.taper").get_attribute("value") == "5" and page.numbers() == expected(by_hand(SPROCKET))
    page.press("stop")
    page.until("document.getElementById('bar').hidden")
    page.until("/[Ss]topped|[Ii]nterrupted/.test(document.getElementById('said').textContent)")


def test_it_fits_a_narrow_screen_and_is_used_by_keys_alone(page):
    from selenium.webdriver import ActionChains

    page.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": 400, "height": 800, "deviceScaleFactor": 1, "mobile": True})
    try:
        assert page.js("document.documentElement.scrollWidth") <= 400
        outside = "[...document.querySelectorAll('button, .field input, .field select')].filter((e) => e.getBoundingClientRect().right > 400).length"
        assert page.js(outside) == 0
        page.js("document.getElementById('level').focus()")
        page.js("(window.seen = [], document.addEventListener('focusin', (e) => window.seen.push(e.target.dataset.do ?? e.target.id)))")
        ActionChains(page.driver, duration=0).send_keys("\ue004" * 60).perform()
        seen = page.js("window.seen")
        assert "simulate" in seen and {"f-title", "f-shaft.diameter", "f-sleeve.taper", "f-friction.bore"} <= set(seen)
    finally:
        page.driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


def status(address, path=None, method="GET", **headers):
    """Status of one request, its headers as they are given."""
    at = urlsplit(address)
    link = http.client.HTTPConnection(at.hostname, at.port, timeout=PATIENCE)
    link.request(method, at.path if path is None else path, headers={name.replace("_", "-"): value for name, value in headers.items()})
    return link.getresponse().status


def test_strangers_are_refused(address):
    socket = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
    upgrade = {"Connection": "Upgrade", "Upgrade": "websocket", "Sec_WebSocket_Version": "13", "Sec_WebSocket_Key": "AAAAAAAAAAAAAAAAAAAAAA=="}
    own = f"http://{urlsplit(address).netloc}"
    assert status(address) == 200 and status(address, "/") == 404 and status(address, urlsplit(address).path[:-1]) == 404
    assert status(address, Host="evil.example") == 403 and status(address, Origin="http://evil.example") == 403
    assert status(address, socket, **upgrade, Origin="http://evil.example") == 403 and status(address, socket, **upgrade) == 403
    assert status(address, socket, **upgrade, Origin=own) == 101
    assert status(address, method="POST", Content_Length="9999999") == 413


def alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGKILL])
def test_a_server_that_ends_leaves_nothing_and_the_page_notices(browser, folder, number):
    place = folder / f"ends-{int(number)}"
    with served(place, SPROCKET_FILE) as (address, process):
        page = browser.go(address)
        page.press("simulate")
        page.until("document.getElementById('progress').value > 0.01")
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        assert children and list((place / "tmp").iterdir())
        process.send_signal(number)
        assert process.wait(PATIENCE) == (-number if number == signal.SIGKILL else 0)
        page.until("document.getElementById('gone').textContent.includes('nothing on this page is worked out any more')")
        assert not page.driver.find_element("id", "results").is_displayed()
        limit = time.monotonic() + PATIENCE
        while any(map(alive, children)) or list((place / "tmp").iterdir()):
            assert time.monotonic() < limit, "something is left"
            time.sleep(0.05)
    browser.driver.get("about:blank")


def test_a_given_file_is_saved_in_place_unless_another_has_changed_it(browser, folder):
    path = folder / "own.toml"
    path.write_text(examples.text("sprocket_hub"))
    with served(folder / "saves", path) as (address, _):
        page = browser.go(address)
        page.type("ring.start", "3.25")
        page.press("save")
        page.said("Saved own.toml.")
        assert path.read_text() == examples.text("sprocket_hub").replace("start = 3      ", "start = 3.25   ")
        path.write_text(path.read_text() + "# another hand\n")
        page.press("save")
        page.said("was changed by another program")
        assert path.read_text().endswith("# another hand\n")
    browser.driver.get("about:blank")


def refused(capsys, *arguments):
    """The one sentence with which the command refuses; it does so before a server is begun, so that this process can ask."""
    capsys.readouterr()
    try:
        code = cli.main(["page", *arguments])
    except SystemExit as end:  # what is no argument at all
        code = end.code
    said = capsys.readouterr()
    assert code == 2
    assert said.err.count("\n") == 1 and not said.out
    return said.err


@pytest.mark.parametrize(
    ("arguments", "words"), [(["--port", "0"], "from 1 to 65535"), (["none.toml"], "can't be read"), (["--port", "x"], "--port")],
)
def test_what_cannot_be_served_is_said_in_one_sentence(tmp_path, monkeypatch, capsys, arguments, words):
    monkeypatch.chdir(tmp_path)
    assert words in refused(capsys, "--no-browser", *arguments)


def test_a_port_in_use_is_said_in_one_sentence(address, capsys):
    assert "give another port" in refused(capsys, "--no-browser", "--port", str(urlsplit(address).port))


def test_without_a_browser_the_sentence_says_what_to_do(tmp_path, monkeypatch, capsys):
    needed()
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert "--no-browser" in refused(capsys)


def test_without_the_extra_the_sentence_says_how_to_install_it(monkeypatch, capsys):
    monkeypatch.setitem(sys.modules, "nicegui", None)
    assert "pip install 'colletfea[page]'" in refused(capsys, "--no-browser")
