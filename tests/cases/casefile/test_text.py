"""How values are written for a case file and shown in a sentence."""

import math
import tomllib

import pytest

from colletfea.cases.casefile.text import LONGEST, dump, name_shown, quoted, shown, written

VALUES = [1, -3, 2.5, 1e-300, 0.1, True, False, "plain", 'with "quotes" and \\', "line\nbreak", "\x7f\u202e\x1b", [1, [2.5, "a"]], "😀"]


@pytest.mark.parametrize("value", VALUES, ids=repr)
def test_what_is_written_reads_back(value):
    assert tomllib.loads(f"x = {written(value)}")["x"] == value
    assert written(value).isprintable()


@pytest.mark.parametrize("value", [None, {"a": 1}, pytest.param(object(), id="object")], ids=repr)
def test_other_values_have_no_place(value):
    with pytest.raises(TypeError, match="no place in a case file"):
        written(value)


def test_digits_are_significant_ones():
    assert written([1 / 3, 10, True, "a"], 6) == '[0.333333, 10, true, "a"]'


@pytest.mark.parametrize(("value", "text"), [
    (88, "88"), (0.1, "0.1"), (1 / 3, "0.333333333333"), (True, "true"), ([], "[]"), ([1, 2], "[1, 2]"),
    (math.inf, "inf"), ("a\nb", '"a\\nb"'), ({"young": 2e5}, "{ young = 200000 }"),
    (10**4000, "a whole number of some 4000 digits"), ([[[[[1]]]]], "[[[[...]]]]"),
])
def test_a_value_is_shown_as_the_case_file_has_it(value, text):
    assert shown(value) == text


@pytest.mark.parametrize("value", ["x" * 10**6, [1] * 10**6, {str(k): k for k in range(1000)}, ["\u202e"] * 99])
def test_what_is_shown_is_short_and_printable(value):
    assert len(shown(value)) == LONGEST and shown(value).endswith("...") and shown(value).isprintable()


def test_a_list_without_end_of_depth_is_shown():
    deep = []
    for _ in range(100_000):
        deep = [deep]
    assert shown(deep) == "[[[[...]]]]"


def test_names_are_bare_where_they_may_be():
    assert name_shown("outer_diameter") == "outer_diameter"
    assert name_shown("a.b") == '"a.b"' and name_shown("a b") == '"a b"' and name_shown("") == '""'
    assert name_shown("\x1b") == '"\\u001b"'
    assert len(name_shown("x" * 1000)) == LONGEST


def test_quotes_escape_what_can_t_be_printed():
    assert quoted("ø\u202e") == '"ø\\u202E"' and quoted("\U000e0001") == '"\\U000E0001"'


def test_tables_are_dumped_without_what_is_none():
    tables = {"title": "a", "b": {"c": 1, "d": None, "e": {"f": [1, 2]}}, "g": None}
    assert dump(tables) == 'title = "a"\n\n[b]\nc = 1\n\n[b.e]\nf = [1, 2]\n'
