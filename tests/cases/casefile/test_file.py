"""What a path may be and what its bytes may say."""

import os

import pytest

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.file import LARGEST, read_tables

TEXT = examples.text("spindle")


def refusal(path):
    with pytest.raises(CaseError) as error:
        Case.read(path)
    assert len(error.value.faults) == 1
    return error.value.faults[0]


@pytest.mark.parametrize("content", [b"[shaft", b"a = 1\na = 2", b"title = '\xff'", b"[shaft]\n[shaft]"])
def test_a_file_that_is_no_toml_is_refused(tmp_path, content):
    path = tmp_path / "bad.toml"
    path.write_bytes(content)
    assert "is not valid TOML" in refusal(path)


def test_a_byte_that_is_not_utf_8_is_told_with_its_line(tmp_path):
    path = tmp_path / "bad.toml"
    path.write_bytes(b"a = 1\nb = '\xe4'\n")
    assert refusal(path).endswith("line 2 is not UTF-8; save it as UTF-8")


def test_a_file_that_is_not_there_is_refused(tmp_path):
    assert "can't be read: No such file" in refusal(tmp_path / "none.toml")


def test_a_folder_a_pipe_and_a_device_are_refused_without_waiting(tmp_path):
    assert refusal(tmp_path).endswith("can't be read: it is a folder; give a case file")
    os.mkfifo(tmp_path / "pipe.toml")
    for path in (tmp_path / "pipe.toml", "/dev/zero", "/dev/null"):
        assert refusal(path).endswith("can't be read: it is a pipe or a device; give a case file")


def test_a_path_is_shown_in_one_printable_line(tmp_path):
    assert refusal(tmp_path / "two\nlines.toml").isprintable()


def test_a_file_far_too_large_is_refused(tmp_path):
    path = tmp_path / "large.toml"
    path.write_text("#" * (LARGEST + 1))
    assert refusal(path).endswith("larger than 1000 kB")


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 5000 + "]" * 5000], ids=["digits", "lists"])
def test_numbers_and_lists_that_the_parser_can_t_take_are_refused(tmp_path, value):
    path = tmp_path / "large.toml"
    path.write_text(f"x = {value}")
    assert "is not a case file: it" in refusal(path)


def test_a_byte_order_mark_is_taken_for_what_it_is(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(TEXT, encoding="utf-8-sig")
    assert Case.read(path) == Case.example("spindle")
    path.write_text(TEXT, encoding="utf-16")
    assert refusal(path).endswith("its text is UTF-16; save it as UTF-8")


@pytest.mark.parametrize(("line", "wanted"), [
    ("x = 0,5", "write 0.5 with a point; 0,5 is no number in TOML"),
    ("x = -10,25   # mm", "write -10.25 with a point; -10,25 is no number in TOML"),
    ("x = {y = 1,5}", "write 1.5 with a point; 1,5 is no number in TOML"),
    ("x = [1,5", "is not valid TOML"),
    ("x = 1 # = 0,5\ny = ", "is not valid TOML"),
    ("# \u2028\nx = 0,5", "line 3: write 0.5 with a point"),
])
def test_a_decimal_comma_has_a_sentence_of_its_own(tmp_path, line, wanted):
    path = tmp_path / "case.toml"
    path.write_text(f"a = 1\n{line}\n", encoding="utf-8")
    assert wanted in refusal(path)


def test_tables_are_those_written(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text("a = [1, 2]\n[b]\nc = 'ä'\n", encoding="utf-8")
    assert read_tables(path) == {"a": [1, 2], "b": {"c": "ä"}}


@pytest.mark.parametrize("stem", ["two\nlines", " ", "\x1b[31m"])
def test_a_title_from_the_file_s_name_is_checked_as_any_other(tmp_path, stem):
    tables = {key: value for key, value in Case.example("spindle").given.items() if key != "title"}
    with pytest.raises(CaseError, match="^title = .*: the file's name can't serve as a title"):
        Case.from_tables(tables, stem)
    assert Case.from_tables(tables, "hub 7").title == "hub 7"
