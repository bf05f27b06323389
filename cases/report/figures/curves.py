"""Curves over the run: force against travel with the hand stages, service, release, torque against twist."""

import math
from typing import Any, Mapping

from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import BORE, CONE, FAINT, INK, PLAIN, REFINED, Drawing, Spot
from colletfea.cases.stored.result import Result
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.store import Row
from colletfea.cases.report.wording import deviation, number, percent, quantity

TWIST_AXIS = "turn of the shaft's end [mrad]"
#: what is shown on hover: label, column of the history, unit
FORCES = (("travel", "travel_mm", "mm"), ("push", "push_force_N", "N"), ("sleeve", "sleeve_reaction_N", "N"), ("shaft", "shaft_reaction_N", "N"))
SERVED = (("bore", "bore_normal_force_N", "N"), ("cone", "cone_normal_force_N", "N"), ("force on the ring", "push_force_N", "N"))
TWISTS = (("turn", "twist_rad", "rad"), ("torque", "torque_Nm", "N·m"))


def force(result: Result) -> Drawing | None:
    """Push force against travel: simulation, hand stages, first touch and duty, reactions thinner."""
    rows = result.stage("push")
    if len(rows) < 2:
        return None
    figure, ax = canvas.board(8.6, 4.4, "Push force against ring travel")
    travel = _column(rows, "travel_mm")
    ax.plot(travel, _kilo(rows, "push_force_N"), color=INK, linewidth=2, label="push, simulated")
    ax.plot(travel, _kilo(rows, "sleeve_reaction_N"), color=CONE, linewidth=1, label="taken by the sleeve")
    ax.plot(travel, _kilo(rows, "shaft_reaction_N"), color=BORE, linewidth=1, label="taken by the shaft")
    _hand_stages(ax, result.summary["hand"])
    for name, text in (("at_touch", "first touch"), ("at_duty", "duty")):
        _mark(ax, dig(result.summary, f"simulation.{name}"), text)
    _label(ax, "ring travel [mm]", "force [kN]")
    canvas.legend(ax, loc="upper left")
    return _drawn("force_travel", "Force against travel", _force_said(result.summary, rows), figure, _spots(ax, rows, "travel_mm", 1, FORCES))


def service(result: Result) -> Drawing | None:
    """What the seats and the ring bear while the coupling turns and warms up after the nominal push, increment by increment."""
    rows = result.stage("service")
    if len(rows) < 2:
        return None
    figure, ax = canvas.board(8.6, 3.4, "Forces in service, after the nominal push")
    rows = [{**row, "place": float(k)} for k, row in enumerate(rows)]
    for (words, key, _), colour in zip(SERVED, (BORE, CONE, INK)):
        words = words if key == "push_force_N" else f"normal force of the {words}"
        ax.plot(_column(rows, "place"), _kilo(rows, key), color=colour, linewidth=2, marker="o", markersize=3, label=words)
    ax.set_xticks(range(len(rows)), [_served_label(row, last) for row, last in zip(rows, [None, *rows])], fontsize=8)
    ax.set_ylim(bottom=min(0.0, *_kilo(rows, "push_force_N")))
    _label(ax, "", "force [kN]")
    canvas.legend(ax, loc="best")
    return _drawn("service", "Service", _service_said(rows), figure, _spots(ax, rows, "place", 1, SERVED))


def _served_label(row: Row, last: Row | None) -> str:
    if last is None:
        return "pushed"
    turns = f"{number(row['speed_per_min'], 3)}/min" if row["speed_per_min"] else "at rest"
    return f"{turns}\n{percent(row['warm_share'])} warm" if row["warm_share"] else f"{turns}\ncold"


def release(result: Result) -> Drawing | None:
    """Force on the ring while it is moved back; negative is a pull."""
    rows = result.stage("release")
    if not rows:
        return None
    rows = result.stage("push")[-1:] + rows
    figure, ax = canvas.board(8.6, 3.4, "Force on the ring while it is moved back")
    ax.plot(
        _column(rows, "travel_mm"),
        _kilo(rows, "push_force_N"),
        color=INK,
        linewidth=2,
        marker="o",
        markersize=3,
    )
    ax.axhline(0, color=FAINT, linewidth=1)
    ax.invert_xaxis()
    _label(ax, "ring travel, going back to the right [mm]", "push (+), pull (−) [kN]")
    said = _release_said(result.summary)
    return _drawn("release", "Release", said, figure, _spots(ax, rows, "travel_mm", 1, FORCES[:2]))


def twist(result: Result) -> Drawing | None:
    """Torque against the turn of the shaft's end, with the hand limit, and the state along the seat."""
    rows = [row for row in result.stage("twist") if row.get("torque_Nm") is not None]
    if not rows:
        return None
    share = [row.get("slipping_fraction") for row in rows]
    figure, ax, strip = _twist_board(None not in share)
    angle = [1000 * row["twist_rad"] for row in rows]
    ax.plot(angle, _column(rows, "torque_Nm"), color=INK, linewidth=2, label="simulated")
    limit = dig(result.summary, "simulation.at_end.bore.torque_capacity_Nm")
    if limit:
        ax.axhline(
            limit,
            color=REFINED,
            linewidth=1.2,
            linestyle="--",
            label="all touching points at μ p (end of the push)",
        )
    first = dig(result.summary, "simulation.twist.first_slip_torque_Nm")
    if first is not None:
        ax.axhline(
            first, color=CONE, linewidth=1, linestyle=":", label="first slip (2 % of the area at nine tenths of its friction)"
        )
    ax.set_ylim(bottom=0)
    _label(ax, "" if strip else TWIST_AXIS, "torque [N·m]")
    if strip:
        strip.fill_between(angle, [100 * value for value in share], color=CONE, alpha=0.5, linewidth=0)
        strip.set_ylim(0, 100)
        _label(strip, TWIST_AXIS, "sliding\nround [%]")
    canvas.legend(ax, loc="lower right")
    spots = _spots(ax, rows, "twist_rad", 1000, TWISTS)
    return _drawn("torque_twist", "Torque against twist", _twist_said(result.summary), figure, spots)


def _drawn(name: str, title: str, reading: str, figure: Any, spots: list[Spot]) -> Drawing:
    return Drawing(name, title, reading, canvas.finish(figure), svg=canvas.vector(figure, name, title, spots))


def _spots(ax: Any, rows: list[Row], abscissa: str, factor: float, shown: tuple[tuple[str, str, str], ...]) -> list[Spot]:
    """One column a stored row, with the row's own values."""
    bounds = canvas.between([factor * row[abscissa] for row in rows])
    texts = [", ".join(f"{label} {quantity(row.get(key), unit)}" for label, key, unit in shown) for row in rows]
    return [Spot(ax, start, end, text) for start, end, text in zip(bounds, bounds[1:], texts)]


def _twist_board(with_share: bool) -> tuple[Any, Any, Any]:
    """Board with the torque's axes and, where the run stored it, those of the share that slides round."""
    title = "Torque against twist of the shaft's end"
    if not with_share:
        return *canvas.board(8.6, 4.0, title), None
    figure, (ax, strip) = canvas.board(8.6, 4.8, title, rows=2, ratios=[5, 1])
    return figure, ax, strip


def _hand_stages(ax: Any, hand: Mapping[str, Any]) -> None:
    """Closing stage, then the grip; the plain sheet has no grip travel, so its grip is drawn upright."""
    for name, colour in (("plain", PLAIN), ("refined", REFINED)):
        column = hand[name]
        travel, closing, clamp = (
            column[key] for key in ("closing_travel_mm", "closing_force_N", "clamp_force_N")
        )
        if travel is None or closing is None:
            continue
        x, y = [0.0, travel], [0.0, closing / 1000]
        if clamp is not None:
            x.append(travel if column["clamp_travel_mm"] is None else column["clamp_travel_mm"])
            y.append(clamp / 1000)
        ax.plot(
            x, y, color=colour, linewidth=1.4, linestyle="--", marker="s", markersize=3, label=f"hand, {name}"
        )


def _mark(ax: Any, state: Mapping[str, Any] | None, text: str) -> None:
    if state is not None:
        x, y = state["travel_mm"], state["push_force_N"] / 1000
        ax.plot([x], [y], "o", color=INK, markersize=5)
        ax.annotate(
            text, (x, y), textcoords="offset points", xytext=(-7, 6), ha="right", fontsize=8, color=INK
        )


def _label(ax: Any, x: str, y: str) -> None:
    ax.set_xlabel(x, fontsize=9, color=INK)
    ax.set_ylabel(y, fontsize=9, color=INK)


def _column(rows: list[Row], name: str) -> list[float]:
    return [math.nan if row.get(name) is None else row[name] for row in rows]


def _kilo(rows: list[Row], name: str) -> list[float]:
    return [value / 1000 for value in _column(rows, name)]


def _force_said(summary: Mapping[str, Any], rows: list[Row]) -> str:
    touch, duty = dig(summary, "simulation.at_touch"), dig(summary, "simulation.at_duty")
    last = rows[-1]
    said = f"The run ends at {quantity(last['travel_mm'], 'mm')} and {quantity(last['push_force_N'], 'N')}."
    if touch is None:
        return f"The bore has not met the shaft. {said}"
    said = f"The bore meets the shaft at {quantity(touch['travel_mm'], 'mm')}. {said}"
    if duty is None:
        return said
    refined = dig(summary, "hand.refined.clamp_force_N")
    against = f", {deviation(duty['push_force_N'], refined)} from the refined hand value" if refined else ""
    return (
        f"The duty is reached at {quantity(duty['travel_mm'], 'mm')} and "
        f"{quantity(duty['push_force_N'], 'N')}{against}; "
        f"{percent(touch['push_force_N'] / duty['push_force_N'])} of that force only closes the clearance."
    )


def _service_said(rows: list[Row]) -> str:
    key = "bore_normal_force_N"
    least = min(rows, key=lambda row: row[key])
    if least is rows[0]:
        return f"The bore is nowhere pressed less than the {quantity(rows[0][key], 'N')} at the end of the push."
    place = _served_label(least, rows[0]).replace("\n", ", ")
    return f"The bore is pressed least, by {quantity(least[key], 'N')}, at: {place}; at the end of the push it was {quantity(rows[0][key], 'N')}."


def _release_said(summary: Mapping[str, Any]) -> str:
    after = dig(summary, "simulation.after_release")
    if after is None:
        return "The release was not followed to its end."
    if not after["self_locking"]:
        return "The ring lets go by itself when the push force is removed."
    return (
        "The ring stays when the push force is removed, with "
        f"{quantity(after['residual_bore_force_N'], 'N')} left on the bore, and comes off at a pull of "
        f"{quantity(after['release_force_N'], 'N')}."
    )


def _twist_said(summary: Mapping[str, Any]) -> str:
    done = dig(summary, "simulation.twist")
    if done is None:
        return "The twist was not followed to full slip."
    return (
        f"The seat slides round as a whole at {quantity(done['full_slip_torque_Nm'], 'N·m')}, "
        f"{number(done['capacity_ratio'], 4)} of the sum of μ p r over the touching area."
    )
