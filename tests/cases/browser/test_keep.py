import tomllib

import pytest

from colletfea.cases.browser import form
from colletfea.cases.browser.keep import kept
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case


def changed(name, changes):
    text = examples.text(name)
    given = {**form.values(tomllib.loads(text)), **changes}
    return text, form.tables(given)


@pytest.mark.parametrize("name", examples.names())
def test_an_unchanged_example_keeps_its_text(name):
    text, tables = changed(name, {})
    assert kept(text, tables) == (text, True)


def test_comments_stay_where_keys_change_in_place():
    text, tables = changed("sprocket_hub", {"sleeve.taper": "4.25", "ring.start": "3.5", "friction.cone": "0.08"})
    found, whole = kept(text, tables)
    lines = dict(zip(text.splitlines(), found.splitlines()))
    assert whole and {old: new for old, new in lines.items() if old != new} == {
        "taper = 5                       # half angle; it locks against sliding back while tan(taper) is below cone friction":
        "taper = 4.25                    # half angle; it locks against sliding back while tan(taper) is below cone friction",
        "start = 3                       # gap from the ring to the flange: travel left before it bottoms":
        "start = 3.5                     # gap from the ring to the flange: travel left before it bottoms",
        "cone = [0.07, 0.10, 0.13]       # greased": "cone = 0.08                     # greased",
    }


@pytest.mark.parametrize(
    "changes",
    [
        {"sleeve.fit": "", "sleeve.clearance": "0.05"},
        {"screws": ""},
        {"duty": "", "push.travel": "0.3"},
        {"service": "yes", "service.speed": "1450"},
        {"service": "yes"},
        {"sleeve.slits.pattern": "", "sleeve.slits.count": "", "sleeve.slits.width": "", "sleeve.slits.cuts_flange": ""},
        {"title": 'a "quoted" # title'},
        {"ring.material": "own", "ring.material.young": "1e5", "ring.material.poisson": "0.3"},
        {"mesh.size": "0.4", "solver.augment": "false"},
    ],
)
def test_keys_and_tables_come_and_go_with_the_comments_kept(changes):
    text, tables = changed("sprocket_hub", changes)
    found, whole = kept(text, tables)
    assert whole and "# Chain sprocket of a bottle-crate conveyor" in found and "# through" not in found
    assert Case.from_tables(tomllib.loads(found), "x") == Case.from_tables(tables, "x")


def test_lines_that_end_as_on_another_system_stay_so():
    """A key changed, one that comes, a table that comes."""
    changes = {"ring.start": "2.125", "mesh.size": "0.4", "service": "yes", "service.speed": "1450"}
    text, tables = changed("spindle", changes)
    assert kept(text.replace("\n", "\r\n"), changed("spindle", {})[1]) == (text.replace("\n", "\r\n"), True)
    found, whole = kept(text.replace("\n", "\r\n"), tables)
    assert whole and found == kept(text, tables)[0].replace("\n", "\r\n")
    assert kept(text.rstrip("\n").replace("\n", "\r\n"), tables) == (found, True)


@pytest.mark.parametrize("mark", ["\u2028", "\u2029", "\x85"])
def test_what_ends_no_line_in_a_case_file_ends_none_here(mark):
    text, tables = changed("spindle", {"ring.start": "2.125"})
    split = text.replace("#", f"# one{mark}ring = 2", 1)
    assert kept(split, tables) == (kept(text, tables)[0].replace("#", f"# one{mark}ring = 2", 1), True)


@pytest.mark.parametrize("text", [None, "[friction]\ncone = [\n 0.1,\n 0.2, 0.3]\n", "[ring.material]\nyoung = 2e5\npoisson = 0.3\n", "no toml"])
def test_what_cannot_be_followed_is_written_anew(text):
    _, tables = changed("spindle", {"ring.start": "2.125"})
    found, whole = kept(text, tables)
    assert not whole and Case.from_tables(tomllib.loads(found), "x") == Case.from_tables(tables, "x")


def test_an_empty_table_that_means_something_is_written():
    tables = {**changed("spindle", {})[1], "service": {}}
    assert tomllib.loads(kept(None, tables)[0])["service"] == {}
