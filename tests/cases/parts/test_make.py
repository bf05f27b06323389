"""Parts of whole cases: masses from integrals along the outline, no interference, files written whole or not at all."""

import math
import re

import pytest
from helpers import drawn, results, turned

from colletfea.cases import cli, summary
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.text import dump
from colletfea.cases.drawing.profile import profile
from colletfea.cases.parts.bodies import bodies, to_make
from colletfea.cases.parts.make import lines, make, torque_of, write
from colletfea.meshing import solids

FILES = {"shaft.step", "sleeve.step", "ring.step", "coupling.step", "drawing.svg", ".colletfea.json"}
EXACT = 2e-7
PITCH = {"M5": 0.8}


def expected(case, parts):
    """Volume and inertia per density of shaft, sleeve and ring, worked out from the case's own numbers."""
    whole = {name: turned.along(getattr(parts, name), turned.disc) for name in ("shaft", "sleeve", "ring")}
    slits, nose, back = case.sleeve.slits, case.sleeve.length, -case.sleeve.flange_thickness
    ranges = {
        "none": [],
        "through": [(back if slits.cuts_flange else 0, nose)] * slits.count,
        "fingers": [(nose - slits.depth, nose)] * slits.count,
        "alternating": [(nose - slits.depth, nose), (0, slits.depth)] * slits.count,
    }[slits.pattern]
    for low, high in ranges:
        whole["sleeve"] -= turned.along(parts.sleeve, turned.strip(slits.width), low, high)
    if case.screws:
        circle = case.screws.circle / 2
        jacking, core = case.screws.jacking, 5 - PITCH["M5"]
        whole["ring"] -= case.screws.count * turned.hole(5.5, circle, case.ring.length)
        whole["ring"] -= jacking * turned.hole(core, circle, case.ring.length)
        if case.sleeve.flange_thickness:
            whole["sleeve"] -= case.screws.count * turned.hole(core, circle, case.sleeve.flange_thickness)
    return whole


@pytest.mark.parametrize("name", drawn.CASES)
def test_masses_and_inertia_are_those_of_the_outline(name, tmp_path):
    case = drawn.case(**drawn.CASES[name])
    parts = to_make(case)
    made = make(case, "1")
    for part, (volume, inertia) in zip(made.weighed, expected(case, parts).values()):
        density = getattr(case, part.name).material.density
        assert part.volume == pytest.approx(volume, rel=EXACT), part.name
        assert part.mass == pytest.approx(density * volume * 1e-9, rel=EXACT)
        assert part.inertia == pytest.approx(density * inertia * 1e-9, rel=EXACT)
    assert write(made, tmp_path) == [tmp_path / file for file in made.texts]
    assert {path.name for path in tmp_path.iterdir()} == FILES
    pieces = 2 if name == "two slits" else 1
    assert len(solids.read_back(tmp_path / "coupling.step")) == 2 + pieces
    assert len(solids.read_back(tmp_path / "sleeve.step")) == pieces


@pytest.mark.parametrize("name", ["one slit", "alternating", "rounded, tapers apart", "ring past the nose"])
def test_at_the_start_nothing_interferes_and_a_push_would(name):
    parts = to_make(drawn.case(**drawn.CASES[name]))
    shaft, sleeve, ring = bodies(parts)
    found = solids.shared([shaft, sleeve, ring])
    assert found == pytest.approx({pair: 0 for pair in found}, abs=1e-4)  # of 20 000 mm3
    moved = tuple(corner._replace(z=corner.z - 0.05) for corner in ring.corners)
    assert solids.shared([sleeve, solids.Part("ring", moved)])["sleeve", "ring"] > 1e-3


def test_the_bore_is_nominal_under_a_fit_and_wider_by_a_given_clearance():
    assert to_make(drawn.case()).sizes.wall.bore_radius == 11
    given = drawn.case(sleeve__fit=None, sleeve__clearance=0.03)
    assert to_make(given).sizes.wall.bore_radius == pytest.approx(11.015)


def test_rounded_edges_let_the_ring_sit_deeper():
    """Seen square to the sleeve's flank, an edge of radius rho between faces at beta and 90 deg touches by its arc."""
    case = drawn.case(**drawn.CASES["rounded, tapers apart"])
    rho, alpha, beta = 0.6, math.radians(5), math.radians(5.6)
    sharp, exact = profile(case).ring_bore[1], to_make(case).ring_bore[1]
    # centre of the arc lies rho from the bore's flank and rho from the trailing face; the sleeve's flank is rho from it, too
    centre = rho / math.cos(beta) + rho * math.tan(beta)  # over the unrounded edge, outwards
    touching = rho / math.cos(alpha) + rho * math.tan(alpha)
    assert sharp - exact == pytest.approx(centre - touching, rel=1e-6)


@pytest.mark.parametrize("changes, said", [
    ({"screws__size": "M8"}, "screws.size = M8: 6 holes and 3 jacking threads on a circle of 37.26 mm leave no wall to the ring's bore"),
    ({"screws__size": "M8", "screws__jacking": 1}, "6 holes and 1 jacking thread on a circle"),
    ({"screws__count": 24}, "between holes and jacking threads"),
    ({"ring__outer_diameter": 60}, "between the flange's threads and its edge"),
])  # fmt: skip
def test_screws_that_leave_no_wall_are_refused(changes, said):
    if "ring__outer_diameter" in changes:
        changes = {**changes, "sleeve__flange_diameter": 46}
    with pytest.raises(CaseError) as refusal:
        make(drawn.case(**changes), "1")
    assert len(refusal.value.faults) == 1 and said in refusal.value.faults[0]


def test_the_command_writes_only_its_own_files_and_says_what_they_weigh(tmp_path, capsys):
    path, out = tmp_path / "hub.toml", tmp_path / "made"
    out.mkdir()
    path.write_text(TOML, encoding="utf-8")
    assert cli.main(["parts", str(path), "--out", str(out)]) == 0
    said = capsys.readouterr()
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    assert cli.main(["parts", str(path), "--out", str(out)]) == 0  # it knows its own files
    assert said.err == ""
    assert {file.name for file in out.iterdir()} == FILES | {"notes.txt"}
    assert (out / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert re.search(r"^Shaft piece +17106\.0 mm³ +134\.3 g +8\.12\d kg·mm² about the axis$", said.out, re.M)
    assert "check it before making" in said.out


@pytest.mark.parametrize("out", ["mine", "."])
def test_a_folder_of_the_users_is_refused_and_left_alone(out, tmp_path, monkeypatch, capsys):
    (tmp_path / "mine").mkdir()
    monkeypatch.chdir(tmp_path / "mine")
    (tmp_path / "hub.toml").write_text(TOML, encoding="utf-8")
    (tmp_path / "mine" / "drawing.svg").write_text("mine", encoding="utf-8")
    assert cli.main(["parts", "../hub.toml", "--out", "../mine" if out == "mine" else out]) == 2
    said = capsys.readouterr()
    assert said.out == "" and "holds drawing.svg and is no results folder" in said.err and said.err.count("\n") == 1
    assert (tmp_path / "mine" / "drawing.svg").read_text(encoding="utf-8") == "mine" and len(list((tmp_path / "mine").iterdir())) == 1


def test_a_case_that_cannot_be_made_writes_nothing(tmp_path, capsys):
    path = tmp_path / "hub.toml"
    path.write_text(TOML + '[screws]\ncount = 6\nsize = "M12"\n', encoding="utf-8")
    assert cli.main(["parts", str(path), "--out", str(tmp_path / "made")]) == 2
    said = capsys.readouterr()
    assert said.out == "" and said.err.startswith("screws.size = M12: ") and said.err.count("\n") == 1
    assert not (tmp_path / "made").exists()


def test_a_place_that_cannot_be_written_is_refused(tmp_path, capsys):
    path = tmp_path / "hub.toml"
    path.write_text(TOML, encoding="utf-8")
    assert cli.main(["parts", str(path), "--out", str(path)]) == 2
    assert capsys.readouterr().err.startswith(f"--out {path}: ")


@pytest.mark.parametrize("changes, said", [
    (drawn.CASES["two slits"], "The sleeve is in two halves"),
    ({"sleeve__flange_diameter": 36}, "The screws' circle lies outside the flange"),
    ({}, None),
])  # fmt: skip
def test_what_is_not_plain_is_said(changes, said):
    made = make(drawn.case(**changes), "1")
    assert len(made.notes) == bool(said) and (said or "") in "".join(lines(made))


#: shaft of 22 by 45 mm: pi/4 22^2 45 = 17105.97 mm3, 134.28 g, inertia m d^2 / 8 = 8.124 kg mm2 at 7850 kg/m3
TOML = """
[shaft]
diameter = 22
beyond = [7, 12]
[sleeve]
length = 26
nose_wall = 2.2
taper = 5
fit = "H8/h7"
[ring]
length = 22
outer_diameter = 46
start = 3
[friction]
cone = 0.1
bore = 0.12
[push]
travel = 0.3
"""


#: as the hand calculation gives it for fingers, see `judgement.by_hand`
GUESSED = {"name": "screws", "ok": None, "because": "stress. Not judged by hand: for a sleeve with fingers the formulas miss by more than 10 %"}
TORQUES = {
    "by hand": ({"screws": {"tightening_torque_Nm": 4.159}}, {}, "4.16 N·m by hand, confirm"),
    "simulated": ({"screws": {"tightening_torque_Nm": 4.218}, "simulation": {}}, {}, "4.22 N·m by simulation"),
    "quick": ({"screws": {"tightening_torque_Nm": 4.218}, "simulation": {}, "level": "quick"}, {}, "4.22 N·m by a quick run"),
    "given": ({"screws": {"tightening_torque_Nm": 4.2}}, {"screws__torque": 3.0}, "3 N·m as given"),
    "known to nobody": ({"screws": None}, {}, "________ after the run"),
    "too weak": ({"screws": {"tightening_torque_Nm": 4.159}, "verdicts": [{"name": "screws", "ok": False}]}, {}, "________ after the run"),
    "a guess": ({"screws": {"tightening_torque_Nm": 4.159}, "verdicts": [GUESSED]}, {}, "________ after the run"),
}


def torque_on(drawing):
    texts = re.findall(r">([^<>]+)</text>", drawing)
    return texts[texts.index("Tightening torque") + 1]


@pytest.mark.parametrize("name", TORQUES)
def test_the_drawing_tells_the_torque_and_where_it_comes_from(name):
    found, changes, said = TORQUES[name]
    case = drawn.case(**changes)
    assert case.screws is not None
    assert torque_on(make(case, "1", torque_of({"verdicts": [{"name": "screws", "ok": True}], **found})).texts["drawing.svg"]) == said


def test_no_torque_is_drawn_that_the_hand_calculation_calls_a_guess():
    case = Case.example("sprocket_hub")
    fingers = case.changed({"sleeve.slits.pattern": "fingers", "sleeve.slits.count": 6, "sleeve.slits.depth": 16.0, "sleeve.slits.cuts_flange": None})
    assert torque_of(summary.by_hand(case)) and summary.by_hand(fingers)["screws"]["tightening_torque_Nm"] > 0
    assert torque_of(summary.by_hand(fingers)) is None


def test_the_command_draws_the_torque_of_a_run_of_the_same_case_else_that_by_hand(tmp_path):
    """A stored run stands in for one that was solved: the command only reads its summary."""
    path, out = tmp_path / "case.toml", tmp_path / "p"
    path.write_text(examples.text("sprocket_hub"), encoding="utf-8")
    own = Case.read(path)
    by_hand = summary.by_hand(own)
    results.write(out, results.summary() | {"case": own.tables() | {"mesh": {"size": 0.5}}, "screws": by_hand["screws"] | {"tightening_torque_Nm": 4.218}})

    def drawn_by(file):
        assert cli.main(["parts", str(file), "--out", str(out)]) == 0
        return torque_on((out / "drawing.svg").read_text(encoding="utf-8"))

    assert drawn_by(path) == "4.22 N·m by simulation"
    other = tmp_path / "other.toml"
    other.write_text(dump(own.changed({"duty.torque": 30.0}).tables()), encoding="utf-8")
    torque = summary.by_hand(Case.read(other))["screws"]["tightening_torque_Nm"]
    assert drawn_by(other) == f"{torque:.3g} N·m by hand, confirm"
    assert drawn_by(path) == "4.22 N·m by simulation"
    with (out / "history.csv").open("a", encoding="utf-8") as table:  # no longer what the run wrote
        table.write("x")
    assert drawn_by(path) == f"{by_hand['screws']['tightening_torque_Nm']:.3g} N·m by hand, confirm"
