"""Stored results come back as they were written, and a file is there whole or not at all."""

import json

from helpers import results as made
import numpy as np
import pytest
from helpers.section import section as section_arrays

from colletfea.cases.stored import store
from colletfea.cases.stored.reading import load


def test_everything_written_comes_back(tmp_path):
    arrays = section_arrays()
    result = made.write(tmp_path / "run", arrays=arrays)
    assert result.summary == json.loads(json.dumps(made.summary()))
    assert [row["stage"] for row in result.history].count("push") == made.STEPS
    assert result.history[3]["push_force_N"] == made.history()[3]["push_force_N"]  # all digits, not rounded
    assert result.bore[0]["state"] == "open" and result.cone[-1]["state"] == "slip"
    assert set(result.section) == set(arrays) and np.array_equal(result.section["nodes"], arrays["nodes"])
    assert result.stage("twist")[0]["twist_rad"] == 0.0 and result.stage("push")[0]["twist_rad"] is None


def test_a_second_run_leaves_nothing_of_the_first(tmp_path):
    made.write(tmp_path, arrays=section_arrays())
    assert made.write(tmp_path, made.bare_summary(), rows=[]).section is None
    assert not [path for path in tmp_path.iterdir() if path.suffix == ".part"]


def test_a_failing_writer_keeps_the_old_file_and_leaves_no_scrap(tmp_path):
    target = tmp_path / "history.csv"
    store.write_rows(target, [{"a": 1.0}])
    with pytest.raises(ValueError, match="finite"):
        store.write_rows(target, [{"a": 2.0}, {"a": float("nan")}])
    assert target.read_text() == "a\n1.0\n"
    assert [path.name for path in tmp_path.iterdir()] == ["history.csv"]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), np.float64("nan")])
def test_not_a_number_never_reaches_the_summary(tmp_path, value):
    with pytest.raises(ValueError):
        made.write(tmp_path / "r", made.summary(screws={"x": value}))
    assert list(tmp_path.iterdir()) == []


def test_numpy_numbers_are_stored_as_plain_ones():
    text = store.to_json({"a": np.float64(0.25), "b": np.arange(2), "c": np.bool_(True)})
    assert json.loads(text) == {"a": 0.25, "b": [0, 1], "c": True}


@pytest.mark.parametrize(
    "content, word", [(None, "no results"), ("{", "not readable"), ('{"schema": 99}', "99"), ("[]", "schema")]
)
def test_a_folder_without_usable_results_says_so(tmp_path, content, word):
    if content is not None:
        (tmp_path / "summary.json").write_text(content)
    with pytest.raises(store.ResultsError, match=word) as caught:
        load(tmp_path)
    assert str(tmp_path) in str(caught.value) and "\n" not in str(caught.value)


def test_broken_fields_are_named(tmp_path):
    made.write(tmp_path)
    (tmp_path / "section.npz").write_bytes(b"nothing")
    with pytest.raises(store.ResultsError, match="section.npz"):
        load(tmp_path)


def test_files_get_the_usual_permissions(tmp_path):
    store.write_text(tmp_path / "a", "x")
    (tmp_path / "b").write_text("x")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode
