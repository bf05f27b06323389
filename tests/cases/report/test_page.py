"""The report is one self-contained page made from stored results alone."""

import re
import subprocess
import sys

from helpers import results as made
import pytest
from helpers.section import section as section_arrays

from colletfea.cases.report import decision, page
from colletfea.cases.stored import store
from colletfea.cases.report.assumed import at_default, shown

CHAPTERS = [
    "Key numbers",
    "Hand calculation and simulation",
    "Figures",
    "Stresses, and which peaks can be believed",
    "Balance checks and effort",
    "What was assumed",
    "What the model cannot see",
    "Cautions",
    "Case file as run",
]


@pytest.mark.parametrize("name, data, more", made.variants(), ids=[name for name, *_ in made.variants()])
def test_every_kind_of_result_gives_a_page(tmp_path, name, data, more):
    made.write(tmp_path, data, **more)
    text = page.make(tmp_path).read_text(encoding="utf-8")
    words = re.sub(r"<img[^>]*>|<style>.*?</style>", "", text, flags=re.S)
    assert not re.search(r"\bNone\b|\bnan\b|\binf\b|Traceback", words)
    assert not re.search(r"(src|href)=\"(?!data:)|https?://|@import|<script", text)
    found = re.findall(r"<h2>(.*?)</h2>", text)
    assert found == [title for title in CHAPTERS if title in found] and len(found) >= len(CHAPTERS) - 1


def test_page_shows_verdicts_and_the_case(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    text = page.make(tmp_path).read_text(encoding="utf-8")
    assert "It holds at nominal friction, not at the low end." in text
    for piece in (
        "67.50 N·m",
        "90.00 N·m",
        "0.750",
        "not judged",
        "bending round the slit is not in the model",
        "grows with the mesh: not a stress",
        "18.48 kN",
        "diameter = 22.0",
        "sleeve.held",
    ):
        assert piece in text


def test_report_can_be_made_again_and_drops_stale_figures(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    first = page.make(tmp_path).read_bytes()
    assert page.make(tmp_path).read_bytes() == first
    made.write(tmp_path, made.stopped_summary(), rows=[], bore=[], cone=[])
    page.make(tmp_path)
    assert list((tmp_path / "figures").iterdir()) == []


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


@pytest.mark.parametrize(
    "oks, stop, standing, words",
    [
        ([True, True], "duty", True, "It holds, within what this model sees."),
        ([True, None], "duty", None, "Not judged"),
        ([True, False, None], "duty", False, "It holds at nominal friction, not at the low end."),
        ([], "travel", None, "Nothing was judged"),
        ([True], "interrupted", False, "No decision"),
    ],
)
def test_decision_follows_from_the_verdicts(oks, stop, standing, words):
    data = made.summary(
        verdicts=[
            {
                "name": "slip",
                "value": 1.0,
                "limit": 1.0,
                "unit": "N·m",
                "margin": 1.0,
                "ok": ok,
                "because": "",
            }
            for ok in oks
        ]
    )
    data["simulation"]["stop_reason"] = stop
    assert decision.standing(data) is standing and words in decision.answer(data)


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
