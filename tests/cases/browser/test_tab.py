import webbrowser

import pytest

from colletfea.cases import cli
from colletfea.cases.stored.result import Result
from colletfea.cases.browser import form, markup, numbers, serve
from colletfea.cases.browser.serve import NotServed, Slot
from colletfea.cases.browser.tab import MOST_VARIANTS, Tab, plain_name
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.file import LARGEST
from colletfea.cases.report import force_words
from colletfea.cases.report.wording import NOTHING
from colletfea.cases.summary import by_hand

NASTY = "<img src=x onerror=alert(1)>&\"'"


@pytest.fixture
def tab():
    made = Tab()
    made.example("sprocket_hub")
    return made


def test_the_numbers_are_those_of_the_hand_calculation(tab):
    assert tab.shown.hand == by_hand(Case.example("sprocket_hub")) and tab.shown.faults == ()
    tab.type("sleeve.taper", "4")
    assert tab.compute().hand == by_hand(Case.example("sprocket_hub").changed({"sleeve.taper": 4}))


def test_with_a_fault_there_are_no_numbers_and_no_drawing(tab):
    tab.type("sleeve.taper", "80")
    shown = tab.compute()
    assert shown.hand is None and shown.drawing is None and [f.key for f in shown.faults] == ["sleeve.taper"]
    assert markup.results(shown, None) == "" and "No numbers" in markup.decision(shown, None)
    assert tab.keep() and tab.variants == []


def test_what_nobody_foresaw_leaves_no_number_either(tab, monkeypatch):
    monkeypatch.setattr("colletfea.cases.browser.tab.section_svg", lambda case: 1 / 0)
    shown = tab.compute()
    assert shown.hand is None and "ZeroDivisionError" in shown.faults[0].sentence and shown.faults[0].key == ""


def test_a_key_that_no_control_has_is_let_go(tab):
    before = dict(tab.values)
    tab.type("sleeve.colour", "red")
    tab.type("__class__", "x")
    assert tab.values == before


def test_two_tabs_do_not_share(tab):
    other = Tab()
    other.example("sprocket_hub")
    other.type("sleeve.taper", "3")
    assert tab.values["sleeve.taper"] == "5"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"x" * (LARGEST + 1), "^x.toml: .* larger"), (b"\xff", "^x.toml: .* UTF-8"), (b"[shaft", "^x.toml: is not valid TOML"),
        (b"[shaft]\ncolour = 1", "shaft.colour"), (b"duty = 3", "duty"), (b"a = " + b"[" * 5000, "^x.toml: is not a case file"),
        (b"diameter = 14,5", "^x.toml: line 1: write 14.5 with a point"), (b"a = " + b"9" * 5000, "^x.toml: .* thousands of digits"),
    ],
)
def test_what_the_form_cannot_hold_is_refused_and_nothing_changes(tab, content, words):
    before = dict(tab.values), tab.text, tab.name
    with pytest.raises(CaseError, match=words):
        tab.open(content, "x.toml")
    assert (tab.values, tab.text, tab.name) == before


def test_a_file_with_values_out_of_range_is_opened_with_its_faults(tab):
    tab.open(examples.text("spindle").replace("taper = ", "taper = 9").encode(), "x.toml")
    assert "sleeve.taper" in [fault.key for fault in tab.shown.faults]


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ("hub.toml", "hub"), ("../../etc/passwd", "passwd"), ("C:\\a\\b.toml", "b"), ("/", "case"), ("", "case"), ("..", "case"), (".toml", "case"),
        ("a\x00b\n.toml", "a_b"), ("x" * 900, "x" * 60), ("Nabe Größe 2.toml", "Nabe Größe 2"),
    ],
)
def test_a_files_name_never_becomes_a_path(given, name):
    assert plain_name(given) == name


def test_designs_are_kept_taken_back_and_dropped(tab):
    for number in range(MOST_VARIANTS):
        tab.type("ring.outer_diameter", str(46 + number))
        tab.compute()
        assert tab.keep() is None
    assert "drop one" in tab.keep() and [v.name for v in tab.variants] == list("ABCDEFGH")
    tab.take("B")
    assert tab.values["ring.outer_diameter"] == "47" and tab.shown.case == tab.variants[1].case
    tab.drop("A")
    assert [v.name for v in tab.variants] == list("BCDEFGH")


def test_every_text_is_escaped(tab):
    tab.type("title", NASTY)
    tab.compute()
    tab.keep()
    tab.type("title", "other")
    shown = tab.compute()
    html = markup.variants(tab.variants, shown, tab.values, None)
    assert "<img" not in html and "&lt;img" in html
    assert "<img" not in markup.form_html()


def test_a_simulation_is_shown_beside_its_own_input_only(tab):
    result = Result(tab.shown.hand, [], [], [], "")
    tab.solve(result, tab.shown.case)
    assert tab.simulated is result.summary
    tab.type("duty.torque", "61")
    tab.compute()
    assert tab.simulated is None


def test_a_title_moves_no_number_and_goes_into_the_results(tab):
    tab.solve(Result(tab.shown.hand, [], [], [], "title = 'old'"), tab.shown.case)
    before = tab.simulated
    tab.type("title", "Another name")
    tab.compute()
    assert tab.simulated["title"] == tab.simulated["case"]["title"] == "Another name" and "Another name" in tab.current.case_text
    assert {**tab.simulated, "title": 0, "case": 0} == {**before, "title": 0, "case": 0}
    tab.type("duty.torque", "61")
    tab.compute()
    assert tab.current is None


def test_numbers_stand_where_the_results_have_them(tab):
    hand = tab.shown.hand
    assert numbers.value(hand, "corners.grip.usable_torque_Nm") == next(c for c in hand["corners"] if c["name"] == "grip")["usable_torque_Nm"]
    assert numbers.value(hand, "corners.none.travel_mm") is None and numbers.value(None, "clamp.least_N") is None
    for row in (*numbers.CLAMP, *numbers.SCREWS):
        assert isinstance(numbers.value(hand, row.path), (int, float)), row


def test_the_force_needed_is_the_one_that_the_sentences_tell():
    row = next(row for row in numbers.CLAMP if row.path == "clamp.needed_N")
    data = {"clamp": {"needed_N": 10161.2}}
    assert numbers.written(row, data) == force_words.needed(data) == "10.17 kN"  # to the nearest: 10.16
    assert [numbers.written(row, none) for none in (None, {}, {"clamp": {"needed_N": None}})] == [NOTHING] * 3


def test_every_control_has_a_label_and_says_what_it_is():
    html = markup.form_html()
    for control in form.controls():
        assert f'<label for="f-{control.key}">' in html and f'aria-describedby="h-{control.key} e-{control.key}"' in html


class Done:
    outcome = ("done", 1)

    def poll(self):
        return True

    def end(self):
        self.ended = True


def test_one_piece_of_work_at_a_time():
    slot, mine, other = Slot(), object(), object()
    assert slot.refusal(mine) == "" and slot.finished(mine) is None
    slot.job, slot.what, slot.owner = Done(), "a simulation", mine
    assert "under way." in slot.refusal(mine) and "in another tab" in slot.refusal(other)
    assert slot.finished(other) is None and slot.finished(mine) == ("done", 1) and slot.refusal(other) == ""


def test_work_ends_with_its_owner():
    slot, mine, job = Slot(), object(), Done()
    slot.job, slot.owner = job, mine
    slot.end(object())
    assert slot.job is job
    slot.end(mine)
    assert slot.job is None and job.ended


def test_a_port_is_taken_once():
    with serve.bound(None) as sock:
        assert sock.getsockname()[0] == "127.0.0.1"
        with pytest.raises(NotServed, match="give another port"):
            serve.bound(sock.getsockname()[1])
    with pytest.raises(NotServed, match="1 to 65535"):
        serve.bound(70000)
    assert len({serve.new_key() for _ in range(20)}) == 20 and len(serve.new_key()) >= 32


def test_a_wrong_port_is_refused_before_a_browser_is_looked_for(monkeypatch, capsys):
    """On a machine without one: the port is the user's slip, the browser is not. A port that can be served comes to the browser."""
    def none():
        raise webbrowser.Error("could not locate runnable browser")

    monkeypatch.setattr(webbrowser, "get", none)
    said = []
    for port in (["--port", "70000"], []):
        assert cli.main(["page", *port]) == 2
        said.append(capsys.readouterr().err)
    assert said[0].strip() == "--port 70000: must be a whole number from 1 to 65535."
    assert said[1].startswith("No browser was found")
