"""The whole job end to end: files, names of the contract, exit codes, partial results."""

import csv
import json
import math

import numpy as np
import pytest

from colletfea.cases import cli
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.threads import property_class, screw
from colletfea.cases.hand.tightening import compliance
from colletfea.cases.simulation import push
from colletfea.cases.run import run_case, solve
from colletfea.cases.stored.names import CONTACT_STATES
from colletfea.cases.stored.reading import load
from colletfea.fea.errors import NotConverged
from colletfea.fea.solvers.condensed import Condensed
from helpers.margins import faults
from helpers.push import example_pushed
from test_solvers import example

STATE = {"travel_mm", "push_force_N", "shaft_reaction_N", "sleeve_reaction_N", "bore", "cone", "von_mises_MPa", "nose_drift_mm"}
SEAT = {"normal_force_N", "radial_force_N", "contact_length_mm", "mean_pressure_MPa", "peak_pressure_MPa", "torque_capacity_Nm"}
CLOSING = {"closing_travel_mm", "closing_force_N"}
COLUMN = CLOSING | {
    "grip_mean_pressure_MPa", "grip_force_N", "grip_travel_mm", "clamp_force_N", "clamp_force_sliding_N", "clamp_travel_mm",
    "release_force_N",
}  # fmt: skip
HAND = {"grip_normal_force_N", "self_locking", "hoop_stiffness_ratio", "fill_fraction", "notes", "fit", "slits", "plain", "refined"}
SLITS = {"formula", "scatter_percent", "q_over_p", "cone_peak_factor", "excess_cone_force_relative", "bending_stress_MPa",
         "shuts_at_closing_mm"}
STRESSES = {"ring_hoop", "ring_von_mises", "sleeve_von_mises", "shaft_von_mises"}
SIMULATION = {"completed", "stop_reason", "at_touch", "at_duty", "at_end", "after_release", "twist", "peaks", "balance", "effort"}
RELEASE = {"release_force_N", "self_locking", "cone_normal_force_at_slip_N", "residual_bore_force_N"}
TWIST = {"full_slip_torque_Nm", "capacity_ratio", "first_slip_torque_Nm", "stiffness_Nm_per_rad"}
VERDICT = {"name", "value", "limit", "unit", "margin", "ok", "because", "corner"}
CLAMP = {"needed_N", "least_N", "greatest_N", "scatter", "because"}
CORNER = {"name", "clearance_mm", "pulling", "carrying", "push_force_N", "travel_mm", "stop_reason", "bore", "cone",
          "usable_torque_Nm", "von_mises_MPa", "seconds"}
SCREWS = {"count", "size", "property_class", "preload_least_N", "preload_greatest_N", "tightening_torque_Nm", "utilisation",
          "head_pressure_MPa", "head_pressure_limit_MPa", "circle_mm", "fits", "engagement_mm", "smallest", "jacking",
          "preload_lost_per_um_N"}
ROW = {"stage", "travel_mm", "push_force_N", "shaft_reaction_N", "sleeve_reaction_N", "bore_normal_force_N",
       "bore_contact_length_mm", "bore_mean_pressure_MPa", "torque_capacity_Nm", "cone_normal_force_N", "nose_drift_mm",
       "iterations"}
EFFORT = {"element_size_mm", "unknowns", "increments", "iterations", "cutbacks", "last_residuals", "stage_residuals", "seconds", "mesh_seconds", "total_seconds"}
FILES = {".colletfea.json", "summary.json", "history.csv", "bore.csv", "cone.csv", "stress_lines.csv", "case.toml", "section.npz", "fields", "figures", "report.html"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    out = tmp_path_factory.mktemp("spindle")
    (out / "spindle.toml").write_text(examples.text("spindle"), encoding="utf-8")
    assert cli.main(["run", str(out / "spindle.toml"), "--out", str(out / "r"), "--quick"]) == 0
    return out / "r"


@pytest.fixture(scope="module")
def summary(folder):
    return json.loads((folder / "summary.json").read_text(encoding="utf-8"))


def test_every_file_is_there(folder):
    assert {p.name for p in folder.iterdir()} == FILES
    assert (folder / "fields" / "series.pvd").is_file() and list((folder / "fields").glob("*.vtu"))


def test_names_of_the_contract(summary):
    assert {"schema", "title", "version", "case", "hand", "simulation", "verdicts", "clamp", "corners", "screws", "radial", "service"} <= set(summary)
    assert summary["schema"] == 2 and not {"worst_friction", "unused"} & set(summary)
    simulation = summary["simulation"]
    for name in ("at_touch", "at_duty", "at_end"):
        assert STATE <= set(simulation[name])
        assert set(simulation[name]["bore"]) == set(simulation[name]["cone"]) == SEAT
    assert set(simulation["effort"]) == EFFORT
    assert {"axial_relative", "work_relative", "work_relative_of_stages", "penetration_over_clearance"} == set(simulation["balance"])
    assert simulation["after_release"] is None and simulation["twist"] is None
    assert summary["screws"] is summary["radial"] is summary["service"] is None
    assert {"slip", "yield_shaft", "yield_sleeve", "yield_ring", "self_locking", "neck"} == {v["name"] for v in summary["verdicts"]}


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    """An example with fit, slits, release and twist, hub on the ring."""
    out = tmp_path_factory.mktemp("everything")
    return out, solve(Case.example("bronze_sleeve"), "quick").save(out, fields=False).summary


def test_no_margin_contradicts_its_word(everything):
    assert everything[1]["verdicts"] and not faults(everything[1]["verdicts"])


def test_screws_settle_against_the_coupling_whose_cone_sticks(everything):
    """The stiffness is that of the first way back of the release, which the history has too."""
    summary = everything[1]
    with open(everything[0] / "history.csv", newline="") as file:
        loaded, felt = [r for r in csv.DictReader(file) if r["stage"] == "release"][:2]
    change = [float(loaded[key]) - float(felt[key]) for key in ("push_force_N", "travel_mm")]
    screws, ring = summary["screws"], summary["case"]["ring"]
    s = screw(screws["size"])
    free = ring["length"] + ring["start"] - min(c["travel_mm"] for c in summary["corners"])
    soft = compliance(s.thread, max(free, ring["length"]), property_class(screws["property_class"], s.thread.diameter).young)
    assert screws["preload_lost_per_um_N"] == pytest.approx(1e-3 / (soft + screws["count"] * change[1] / change[0]), rel=1e-3)
    assert screws["preload_lost_per_um_N"] < 0.99e-3 / soft


def test_every_name_of_the_contract_where_everything_exists(everything):
    summary = json.loads((everything[0] / "summary.json").read_text(encoding="utf-8"))
    by_hand, simulation = summary["hand"], summary["simulation"]
    assert HAND <= set(by_hand) and SLITS <= set(by_hand["slits"]) and STRESSES <= set(by_hand["refined"]["stress_MPa"])
    assert COLUMN <= set(by_hand["plain"]) and COLUMN <= set(by_hand["refined"])
    assert set(by_hand["fit"]) == {"tightest", "middle", "loosest"}
    assert all(CLOSING <= set(one[column]) for one in by_hand["fit"].values() for column in ("plain", "refined"))
    assert SIMULATION <= set(simulation) and RELEASE <= set(simulation["after_release"]) and TWIST <= set(simulation["twist"])
    assert all(STATE <= set(simulation[name]) for name in ("at_touch", "at_duty", "at_end"))
    assert all(VERDICT <= set(v) for v in summary["verdicts"]) and "cone_slip" in {v["name"] for v in summary["verdicts"]}
    assert all({"part", "quantity", "value", "unit", "r_mm", "z_mm", "verdict"} <= set(p) for p in simulation["peaks"])
    assert CLAMP <= set(summary["clamp"]) and [c["name"] for c in summary["corners"]] == ["nominal", "grip", "tight", "loose"]
    assert all(CORNER <= set(c) and SEAT <= set(c["bore"]) and SEAT <= set(c["cone"]) for c in summary["corners"])
    assert SCREWS <= set(summary["screws"]) and {"count", "force_each_N", "tightening_torque_Nm"} <= set(summary["screws"]["jacking"])
    assert {"screws", "screw_room", "jacking"} <= {v["name"] for v in summary["verdicts"]}
    material = {"name", "young", "poisson", "yield", "hardening", "expansion", "density"}
    assert set(summary["case"]["shaft"]["material"]) == material


def test_tables_beside_the_summary(everything):
    folder = everything[0]
    with (folder / "history.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert ROW | {"twist_rad", "torque_Nm"} <= set(rows[0])
    assert list(dict.fromkeys(row["stage"] for row in rows)) == ["push", "release", "twist"]
    assert all(bool(row["torque_Nm"]) is (row["stage"] == "twist") for row in rows)
    for pair in ("bore", "cone"):
        with (folder / f"{pair}.csv").open(encoding="utf-8") as stream:
            points = list(csv.DictReader(stream))
        assert {"z_mm", "pressure_MPa", "shear_MPa", "slip_mm", "state"} <= set(points[0])
        assert {point["state"] for point in points} <= {"open", "stick", "slip"}
        assert all((float(point["pressure_MPa"]) == 0) is (point["state"] == "open") for point in points)


def test_report_of_everything_says_what_is_not_in_it(everything, blank_figures):
    from colletfea.cases.report import page as report

    page = report.make(everything[0]).read_text(encoding="utf-8")
    for piece in ("upper bound (slit sleeve)", "Slit law: ", "What would lower the clamp force", "never counted on to carry torque"):
        assert piece in page
    assert "slit sleeve's bending by hand" in page.replace("&#x27;", "'").replace("&#39;", "'")


def test_slit_bending_counts_in_the_sleeves_verdict(everything):
    """The simulated stress away from edges plus E t delta/(2 r^2) at its worst place, by hand; delta is the corner's clearance."""
    summary = everything[1]
    judged = next(v for v in summary["verdicts"] if v["name"] == "yield_sleeve")
    corner = next(c for c in summary["corners"] if c["name"] == judged["corner"])
    simulated = max(p["value"] for p in summary["simulation"]["peaks"] if p["part"] == "sleeve" and "raw" not in p["quantity"])
    assert simulated == corner["von_mises_MPa"]["sleeve"]
    bending = summary["hand"]["slits"]["bending_stress_MPa"] * corner["clearance_mm"] / summary["hand"]["fit"]["middle"]["clearance_mm"]
    assert judged["value"] == pytest.approx(simulated + bending, rel=1e-12)


def test_forces_balance(summary):
    simulation = summary["simulation"]
    assert simulation["balance"]["axial_relative"] < 1e-8 and simulation["balance"]["work_relative"] < 0.01
    assert simulation["balance"]["penetration_over_clearance"] <= 1e-3
    for name in ("at_touch", "at_duty", "at_end"):
        s = simulation[name]
        assert s["push_force_N"] == pytest.approx(s["shaft_reaction_N"] + s["sleeve_reaction_N"], rel=1e-6)


def test_touch_carries_nothing_yet(summary):
    bore = summary["simulation"]["at_touch"]["bore"]
    assert all(bore[name] == 0 for name in SEAT)


def test_history_starts_at_rest_and_ends_at_the_end(folder, summary):
    with (folder / "history.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert rows[0]["stage"] == "push" and float(rows[0]["travel_mm"]) == 0
    assert float(rows[-1]["push_force_N"]) == summary["simulation"]["at_end"]["push_force_N"]
    assert len(rows) == summary["simulation"]["effort"]["increments"] + 1
    balance, case = summary["simulation"]["balance"], summary["case"]
    g0 = max(case["sleeve"]["clearance"] / 2, case["shaft"]["diameter"] / 1e4)
    assert float(rows[-1]["work_relative"]) == pytest.approx(balance["work_relative"], rel=1e-6)
    assert float(rows[-1]["penetration_mm"]) / g0 == pytest.approx(balance["penetration_over_clearance"], rel=1e-6)


def test_the_sliders_states_are_rows_of_the_history_and_end_as_the_pairs_do(folder):
    result = load(folder)
    pushed, arrays = result.stage("push"), result.section
    assert arrays["steps_travel"] == pytest.approx([row["travel_mm"] for row in pushed], rel=1e-6)
    for name, rows in (("bore", result.bore), ("cone", result.cone)):
        assert arrays[f"steps_z_{name}"] == pytest.approx([row["z_mm"] for row in rows], abs=1e-5)
        assert arrays[f"steps_pressure_{name}"][-1] == pytest.approx([row["pressure_MPa"] for row in rows], rel=1e-5, abs=1e-5)
        assert [CONTACT_STATES[code] for code in arrays[f"steps_state_{name}"][-1]] == [row["state"] for row in rows]
    moved = arrays["displacement"][arrays["steps_nodes"]]
    assert np.abs(arrays["steps_displacement"][-1] - moved).max() < 1e-6 and not arrays["steps_displacement"][0].any()
    assert 'id="steps"' in (folder / "report.html").read_text(encoding="utf-8")
    assert sum(a.nbytes for name, a in arrays.items() if name.startswith("steps_")) < 300_000


def test_the_stored_case_runs_again(folder):
    from colletfea.cases.casefile.case import Case

    assert Case.read(folder / "case.toml").tables()["ring"] == example("spindle").tables()["ring"]


def test_report_can_be_made_again(folder):
    before = (folder / "report.html").read_bytes()
    (folder / "report.html").unlink()
    assert cli.main(["report", str(folder)]) == 0
    assert (folder / "report.html").read_bytes() == before


@pytest.mark.parametrize("level, factor", [("quick", 2.0), ("fine", 0.5)])
def test_levels_scale_mesh_and_increments(level, factor):
    from colletfea.cases.hand.calculation import hand
    from colletfea.cases.simulation.plan import plan

    case = example("spindle")
    usual, other = (plan(case, hand(case), name) for name in ("default", level))
    sizes = [push.contact_size(case, way, name) for way, name in ((usual, "default"), (other, level))]
    assert sizes[1] == pytest.approx(factor * sizes[0])
    assert other.steps.first == pytest.approx(factor * usual.steps.first)
    assert other.steps.largest == pytest.approx(factor * usual.steps.largest)
    assert (other.end, other.expected) == (usual.end, usual.expected)


@pytest.mark.parametrize("corner", ["nominal", "grip"])
def test_quick_stays_within_two_percent(corner):
    """Push force at the duty, coarse mesh and large increments against the default; measured 0.2 %."""
    quick, default = (example_pushed("sprocket_hub", level, corner)[1] for level in ("quick", "default"))
    assert quick.reason == default.reason == "duty" and quick.force == pytest.approx(default.force, rel=0.02)


def test_a_run_that_cannot_go_on_keeps_what_it_has(tmp_path, monkeypatch, blank_figures, capsys):
    """Iterations are cut off from the seat's first touch on, as if no balance could be found."""

    class Failing(Condensed):
        def trial(self, u, t, history, flow=None):
            if t > 0.15:
                raise NotConverged("residual still 1 of the force scale after 30 iterations", [2.0, math.inf, 1.0])
            return super().trial(u, t, history, flow)

    monkeypatch.setitem(push.SOLVERS, "condensed", Failing)
    (tmp_path / "s.toml").write_text(examples.text("spindle"), encoding="utf-8")
    assert cli.main(["run", str(tmp_path / "s.toml"), "--out", str(tmp_path / "r"), "--quick"]) == 3
    told = capsys.readouterr().err
    assert "no equilibrium beyond 0.1" in told and "try" in told
    stored = json.loads((tmp_path / "r" / "summary.json").read_text(encoding="utf-8"))
    assert stored["simulation"]["stop_reason"] == "not converged" and not stored["simulation"]["completed"]
    assert stored["simulation"]["at_end"]["travel_mm"] > 0.1 and (tmp_path / "r" / "report.html").is_file()
    assert stored["simulation"]["effort"]["last_residuals"] == [2.0, 1.0]
    ended = {reason: [c for c in stored["corners"] if (c["stop_reason"] == "not converged") == reason] for reason in (True, False)}
    assert ended[True] and all(corner["trail"] is None for corner in ended[False])  # other processes push as ever
    for corner in ended[True]:
        trail = corner["trail"]
        assert trail["last_residuals"] == [2.0, 1.0] and trail["travel_mm"][-1] == corner["travel_mm"] and trail["push_force_N"][-1] == corner["push_force_N"]
        assert {len(column) for name, column in trail.items() if name != "last_residuals"} == {len(trail["travel_mm"])}
        assert max(trail["balance_relative"]) < 1e-6 and trail["touching_points"][0] >= 0
        steps = zip(trail["iterations"][1:], trail["travel_mm"], trail["travel_mm"][1:])
        assert all(n > 0 for n, before, after in steps if after - before > 1e-5 * after)  # the guess of a shorter one may balance


def test_an_interrupted_run_keeps_what_it_has(tmp_path, monkeypatch):
    class Interrupted(Condensed):
        first = math.inf

        def trial(self, u, t, history, flow=None):
            if t > self.first:
                raise KeyboardInterrupt
            self.first = t
            return super().trial(u, t, history, flow)

    monkeypatch.setitem(push.SOLVERS, "condensed", Interrupted)
    outcome = run_case(example("spindle"), tmp_path, level="quick")
    assert outcome.exit_code == 3 and outcome.summary["simulation"]["stop_reason"] == "interrupted"
    assert outcome.summary["simulation"]["effort"]["increments"] == 1


def test_bad_input_leaves_older_results_alone(folder, tmp_path, capsys):
    before = (folder / "summary.json").read_bytes()
    bad = tmp_path / "bad.toml"
    bad.write_text(examples.text("spindle").replace("taper", "tapper", 1), encoding="utf-8")
    assert cli.main(["run", str(bad), "--out", str(folder)]) == 2
    seen = capsys.readouterr()
    assert seen.out == "" and "sleeve.tapper" in seen.err and "taper" in seen.err
    assert (folder / "summary.json").read_bytes() == before


@pytest.mark.parametrize("factor", [0.5, 2.0])
@pytest.mark.parametrize("key", ["shaft.diameter", "sleeve.length", "sleeve.nose_wall", "sleeve.taper", "sleeve.clearance",
                                 "ring.length", "ring.outer_diameter", "push.travel"])
def test_a_doubled_or_halved_parameter_is_computed_or_refused_in_a_sentence(key, factor):
    from colletfea.cases.casefile.faults import CaseError
    from colletfea.cases.hand.calculation import hand
    from colletfea.cases.casefile.case import Case
    from colletfea.cases.simulation.plan import plan

    tables = example("spindle").tables()
    tables["push"] = {**tables["push"], "travel": 0.22, "force": None}
    table, name = key.split(".")
    tables[table][name] *= factor
    tables["ring"].pop("taper")
    tables["shaft"].pop("beyond")
    try:
        case = Case.from_tables(tables, "changed")
    except CaseError as refusal:
        assert all(":" in fault for fault in refusal.faults)
        return
    pushed = push.push(case, plan(case, hand(case), "quick"), "quick", lambda f, t: None)
    assert pushed.reason == "travel" and pushed.states[-1].work.relative_error() < 0.02
