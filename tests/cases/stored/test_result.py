"""A result as an object: what it says of itself, copied to another process, read back."""

import pickle
from dataclasses import replace

from helpers import results as made
from helpers.section import section as section_arrays
import numpy as np
import pytest

from colletfea.cases.stored.reading import load


def series(folder):
    folder.mkdir()
    (folder / "state_000.vtu").write_text("made up")


def test_verdicts_and_exit_code():
    result = made.result()
    assert [v.name for v in result.verdicts] == [v["name"] for v in made.summary()["verdicts"]]
    assert result.verdicts[0].ok == made.summary()["verdicts"][0]["ok"] and result.exit_code == 0
    assert made.result(made.stopped_summary()).exit_code == made.result(made.bare_summary()).exit_code == 3


def test_it_cannot_be_changed_and_goes_to_another_process_without_its_model():
    result = replace(made.result(arrays=section_arrays()), fields=lambda folder: None)
    with pytest.raises(AttributeError):
        result.summary = {}
    copy = pickle.loads(pickle.dumps(result))
    assert copy.fields is None and copy.summary == result.summary and copy.history == result.history
    assert np.array_equal(copy.section["nodes"], result.section["nodes"])


def test_fields_are_written_where_they_are_wanted_and_none_are_left_where_not(tmp_path):
    result = replace(made.result(), fields=series)
    result.save(tmp_path / "r")
    assert (tmp_path / "r" / "fields" / "state_000.vtu").is_file()
    load(tmp_path / "r").save(tmp_path / "copy")  # fields and all
    assert (tmp_path / "copy" / "fields" / "state_000.vtu").read_text() == "made up"
    result.save(tmp_path / "r", fields=False)
    assert not (tmp_path / "r" / "fields").exists()


def test_read_back_and_stored_again_in_place_it_is_the_same(tmp_path):
    result = replace(made.result(arrays=section_arrays(), along=made.lines()), fields=series)
    result.save(tmp_path / "r")
    first = load(tmp_path / "r")
    first.save(tmp_path / "r")
    again = load(tmp_path / "r")
    assert again.summary == made.summary() and again.lines == first.lines == made.lines() and again.history == first.history and again.fields is not None
