"""The slider through the push: a state for each row of the history, drawn from what is stored, the last one without a script."""

import json
import re
import xml.etree.ElementTree as ET

from helpers import results as made
from helpers.section import section, steps
import numpy as np
import pytest

from colletfea.cases.report import page
from colletfea.cases.report.slider import BAND, LEFT, RIGHT, SCRIPT, WIDE, slider
from colletfea.cases.report.wording import quantity
from colletfea.cases.stored import store


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    result = made.write(tmp_path_factory.mktemp("r"), arrays={**section(), **steps(made.STEPS)})
    return result, slider(result)


def states(text):
    return json.loads(re.search(r'<script type="application/json">(.*?)</script>', text)[1])


def drawn(text):
    root = ET.fromstring(re.search(r"<svg.*</svg>", text, re.S)[0])
    return {e.get("data-path"): e.get("d") for e in root.iter("path") if e.get("data-path")}


def test_every_row_of_the_push_has_its_state(shown):
    result, text = shown
    rows, said = result.stage("push"), states(text)["said"]
    assert len(said) == len(rows) and all(len(paths) == len(rows) for paths in states(text)["paths"].values())
    for row, words in zip(rows, said):
        assert quantity(row["travel_mm"], "mm") in words and quantity(row["push_force_N"], "N") in words
        assert quantity(row["torque_capacity_Nm"], "N·m") in words


def test_without_a_script_the_last_state_stands_there(shown):
    data, paths = states(shown[1]), drawn(shown[1])
    assert paths == {name: of[-1] for name, of in data["paths"].items()}
    assert f"<output>{data['said'][-1]}</output>" in shown[1] and "<label hidden>" in shown[1]


def test_the_axis_is_named_clear_of_its_places(shown):
    """The name at the left, the leftmost place round its point: figures of DejaVu Sans have 0.64 of the size, its minus 0.84."""
    texts = [e for e in ET.fromstring(re.search(r"<svg.*</svg>", shown[1], re.S)[0]).iter("text")]
    name = next(e for e in texts if e.text == "z [mm]")
    places = [e for e in texts if e.get("y") == name.get("y") and e is not name]
    assert name.get("text-anchor") is None and places
    ends = float(name.get("x")) + 0.6 * 25 * len(name.text)
    assert ends < LEFT - (0.84 + 3 * 0.64) * 25 / 2  # a place of −100 at the very left
    assert all(float(e.get("x")) >= LEFT and e.get("text-anchor") == "middle" for e in places)


def test_bars_are_as_high_as_the_stored_pressure(shown):
    result, text = shown
    for pair in ("bore", "cone"):
        stored = result.section[f"steps_pressure_{pair}"]
        for row, path in zip(stored, states(text)["paths"][pair]):
            heights = [int(h) for h in re.findall(r"v-(\d+)", path)]
            assert heights == pytest.approx(BAND * row[row > 0] / (1.05 * stored.max()), abs=1)


def test_states_of_the_elements_are_the_stored_ones(shown):
    result, text = shown
    for pair in ("bore", "cone"):
        for code, name in enumerate(("open", "stick", "slip")):
            counts = [path.count("M") for path in states(text)["paths"][f"{pair}-{name}"]]
            assert counts == np.sum(result.section[f"steps_state_{pair}"] == code, axis=1).tolist()


def test_the_ring_is_drawn_where_its_magnified_travel_brings_it(shown):
    result, text = shown
    factor = int(re.search(r"drawn (\d+) times as large", text)[1])
    lefts = [min(int(x) for x in re.findall(r"(\d+) \d+", path)) for path in states(text)["paths"]["ring"]]
    scale = (WIDE - LEFT - RIGHT) / 48
    assert np.array(lefts[0]) - lefts == pytest.approx(scale * factor * result.section["steps_travel"], abs=1.5)
    assert factor * result.section["steps_travel"].max() <= 3.0  # it does not seem to meet the flange


def test_the_script_is_small_and_loads_nothing(shown):
    assert len(SCRIPT) < 3000 and not re.search(r"fetch|XMLHttp|import|https?:|src", SCRIPT)
    assert len(shown[1]) < 400_000


@pytest.mark.usefixtures("blank_figures")
def test_results_without_increments_show_none(tmp_path):
    made.write(tmp_path, arrays=section())
    assert 'id="steps"' not in page.make(tmp_path).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "name, change",
    [
        ("steps_nodes", lambda a: a + 10**6), ("steps_state_bore", lambda a: a + 2), ("steps_travel", lambda a: a[:-1]),
        ("steps_displacement", lambda a: a[:, :-1]), ("steps_pressure_cone", lambda a: a * np.nan), ("steps_z_bore", lambda a: a[None]),
        ("steps_z_cone", None),
    ],
)  # fmt: skip
def test_damaged_increments_are_refused(tmp_path, name, change):
    arrays = {**section(), **steps(made.STEPS)}
    if change is None:
        del arrays[name]
    else:
        arrays[name] = change(arrays[name])
    with pytest.raises(store.ResultsError, match="not readable as stored fields"):
        made.write(tmp_path, arrays=arrays)
