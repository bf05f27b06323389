"""The report is one self-contained page made from stored results alone."""

import re
import subprocess
import sys

from helpers import decided
from helpers import results as made
import pytest
from helpers.section import section as section_arrays

from colletfea.cases.report import chapters, figures, html, page
from colletfea.cases.stored import store
from colletfea.cases.report.assumed import at_default, shown

CHAPTERS = [
    "Clamp force and corners",
    "Why the verdicts are what they are",
    "Screws",
    "Speed and temperature",
    "Radial pull",
    "What helps",
    "The push",
    "The push at middle fit, nominal friction",
    "Hand calculation and simulation",
    "Figures",
    "Stresses, and which peaks can be believed",
    "Balance checks and effort",
    "What was assumed",
    "What the model cannot see",
    "Case file as run",
]


@pytest.mark.parametrize("name, data, more", made.variants(), ids=[name for name, *_ in made.variants()])
def test_every_kind_of_result_gives_a_page(tmp_path, name, data, more):
    made.write(tmp_path, data, **more)
    text = page.make(tmp_path).read_text(encoding="utf-8")
    words = re.sub(r"<img[^>]*>|<style>.*?</style>", "", text, flags=re.S)
    assert not re.search(r"\bNone\b|\bnan\b|\binf\b|Traceback", words)
    assert not re.search(r"(src|href)=\"(?!data:|#)|https?://|@import|<script [^>]*src", text)
    found = re.findall(r"<h2>(.*?)</h2>", text)
    assert found == [title for title in CHAPTERS if title in found] and len(found) >= 8


@pytest.mark.usefixtures("blank_figures")
def test_page_shows_verdicts_and_the_case(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    text = page.make(tmp_path).read_text(encoding="utf-8")
    for piece in (
        "Does not hold",
        "The bore carries 67.50 of 90.00 N·m (loosest fit, worst friction)",
        "Clamp force needed: 22.98 kN at least",
        "0.750",
        "not judged",
        "bending round the slit is not in the model",
        "grows with the mesh: not a stress",
        "23.0 to 36.8 kN",
        "diameter = 22.0",
        "sleeve.held",
    ):
        assert piece in text


@pytest.mark.usefixtures("blank_figures")
def test_the_first_page_holds_what_is_signed(tmp_path):
    """Decision, screws and torque, clamp force, travel, worst corners, a section with its sizes, cautions; then a new sheet."""
    made.write(tmp_path, decided.holding(made.summary()), arrays=section_arrays())
    text = page.make(tmp_path).read_text(encoding="utf-8")
    first = text[text.index('<div class="front">') : text.index("<h2>")]
    for piece in (
        "Six M5 8.8 at 5.17 N·m: clamp force 23.0 to 36.8 kN, ring travel 0.31 to 0.62 mm",
        "tightest fit, greatest force",
        'data-key="shaft.diameter"',
        "Section through the coupling, sizes in mm",
        "licensed engineer",
    ):
        assert piece in first
    assert ".front { break-after: page" in text


@pytest.mark.usefixtures("blank_figures")
def test_a_narrow_screen_shows_the_word_of_a_verdict_beside_its_name(tmp_path):
    made.write(tmp_path, decided.holding(made.summary()))
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert '<td data-label="Verdict">Ring does not yield away from edges</td><td class="ok">ok</td>' in text
    assert "white-space: pre-wrap" in text and "overflow-x" not in text
    assert '<div class="plot"><img alt="stress" ' in html.picture(b"", "stress", "") and ".plot img { width: 640px" in text


@pytest.mark.usefixtures("blank_figures")
def test_service_and_radial_pull_have_their_chapters(tmp_path):
    service = {"grip_lost_N": 1200.0, "by_temperature_N": 1000.0, "by_speed_N": 200.0, "seat_stiffness_N_per_um": 2310.0}
    radial = {"pressure_amplitude_MPa": 4.2, "least_pressure_MPa": 31.0, "bending_MPa": 55.0}
    made.write(tmp_path, made.summary(service=service, radial=radial))
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert "2 310 N per µm".replace(" ", "\u202f", 1) in text and "1.20 kN" in text and "55.0 MPa" in text
    assert "By ring formulas" in text and "by formulas</th>" not in text


@pytest.mark.usefixtures("blank_figures")
def test_missing_work_of_stages_that_were_run_stands_beside_that_of_the_push(tmp_path):
    """Results of a run before that was stored have none."""
    summary = made.summary()
    made.write(tmp_path, summary)
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert "Work of the release less stored" in text and "Work of the twist less" not in text and "Work of the service less" not in text
    del summary["simulation"]["balance"]["work_relative_of_stages"]
    made.write(tmp_path, summary)
    assert "Work of the release less" not in page.make(tmp_path).read_text(encoding="utf-8")


@pytest.mark.usefixtures("blank_figures")
def test_simulated_service_stands_beside_the_formulas(tmp_path):
    """And what it does to the force on the ring."""
    by_hand = {"grip_lost_N": 1300.0, "by_temperature_N": 1080.0, "by_speed_N": 220.0}
    service = {
        "grip_lost_N": 1200.0, "by_temperature_N": 1000.0, "by_speed_N": 200.0, "seat_stiffness_N_per_um": 2310.0, "by": "simulation", "because": "",
        "corner": "grip", "by_hand": by_hand, "push_force_N": -400.0, "push_force_change_N": -9400.0,
    }  # fmt: skip
    made.write(tmp_path, made.summary(service=service))
    text = page.make(tmp_path).read_text(encoding="utf-8")
    for piece in ("1.20 kN", "1.30 kN", "by formulas</th>", "after the push of corner grip", "−9.40 kN", "the screws go slack"):
        assert piece in text
    failed = {**by_hand, "by": "formulas", "because": "it found no equilibrium", "corner": "grip", "by_hand": by_hand}
    made.write(tmp_path, made.summary(service=failed))
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert "It could not be simulated: it found no equilibrium." in text and "1.30 kN" in text


@pytest.mark.parametrize("words, value", [
    ("over the largest force: largest of all accepted increments", "3.1·10⁻⁹"), ("lost energy, over that work, at the end", "0.0022"), ("and d/10 000, at the end", "6.0·10⁻⁴"),
])  # fmt: skip
def test_balances_say_which_state_of_the_push_they_are_of(words, value):
    """As they are stored: forces of every increment, work and overlap of the last one."""
    assert re.search(f"{words}</td><td[^>]*>{value}</td>", chapters.checks(made.summary()))


@pytest.mark.usefixtures("blank_figures")
def test_report_can_be_made_again_and_drops_stale_figures(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    first = page.make(tmp_path).read_bytes()
    assert page.make(tmp_path).read_bytes() == first
    made.write(tmp_path, made.stopped_summary(), rows=[], bore=[], cone=[])
    page.make(tmp_path)
    assert list(tmp_path.glob("figures/*")) == []


@pytest.mark.parametrize("name, data, more", made.variants(), ids=[name for name, *_ in made.variants()])
def test_figures_of_a_fresh_result_are_those_of_the_stored_one(tmp_path, name, data, more):
    """They are drawn while the files are being written; a page that is made again must not change."""
    stored = made.write(tmp_path, data, **more)
    assert [d for d in page.drawings(made.result(data, **more)) if d] == figures.draw(stored)


@pytest.mark.usefixtures("blank_figures")
@pytest.mark.parametrize(("table", "changes", "drawn"), [("mesh", {"size": 9.0}, True), ("ring", {"length": -1.0}, False)])
def test_a_stored_case_is_drawn_whatever_its_mesh_and_else_the_report_says_so(tmp_path, table, changes, drawn):
    """The default size beside a thin nose is one that a case file may not ask for."""
    data = made.summary()
    data["case"][table].update(changes)
    made.write(tmp_path, data)
    text = page.make(tmp_path).read_text(encoding="utf-8")
    pieces = 'data-key="shaft.diameter"', "The coupling before the push, a quarter"
    assert [piece in text for piece in pieces] == [drawn, drawn]
    assert ("The coupling is not drawn: this version can't build the stored case again." in text.replace("&#x27;", "'")) is not drawn


@pytest.mark.usefixtures("blank_figures")
def test_titles_are_not_markup(tmp_path):
    made.write(tmp_path, made.summary(title="<b>hub & ring</b>"))
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert "<b>hub" not in text and "&lt;b&gt;hub &amp; ring" in text


def test_no_results_no_page(tmp_path):
    with pytest.raises(store.ResultsError):
        page.make(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_report_never_loads_the_solver_or_the_mesher(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    code = (
        f"import sys; from colletfea.cases.report import page; page.make({str(tmp_path)!r}); "
        "sys.exit(any(name.split('.')[0] in ('gmsh', 'scipy') or name.startswith('colletfea.fea') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_values_at_their_default_are_found_and_given_ones_are_not():
    found = at_default(made.CASE)
    assert (
        found["sleeve.held"] == "axially"
        and found["ring.taper"] == 5.0
        and found["shaft.beyond"] == [11.0, 11.0]
    )
    assert (
        "sleeve.flange_thickness" not in found
        and "screws.size" not in found
        and "shaft.diameter" not in found
    )
    assert shown("shaft.beyond", [11.0, 11.0]) == "[11, 11] mm" and shown("solver.plastic", False) == "false"
    assert shown("sleeve.taper", 5.0) == "5 deg" and shown("ring.material", made.STEEL) == "C45+QT"
    assert not [key for key in at_default(made.bare_summary()["case"]) if key.startswith(("duty", "screws"))]
