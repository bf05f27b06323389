"""Geometric and mechanical sense between the values of a case."""

import math

from colletfea.cases.casefile.fits import clearances
from colletfea.cases.casefile.limits import down, over, under, up
from colletfea.cases.casefile.slit_checks import SLIT_CHECKS
from colletfea.cases.casefile.schema import Faults, Rule, Values
from colletfea.cases.hand.geometry import LEAST_OVERLAP, Sizes, largest_fillet, sizes_under

# Margins that keep a drawing buildable and a mesh possible; they are wide of anything one would make.
LEAST_WALL = 0.02  # wall of ring and flange's rim over the radius inside it
LEAST_THRUST = 1e-3  # [N]; less is none
TAPER_DIFFERENCE = 2.0  # [deg] between ring and sleeve: beyond it the cone touches at one edge only


def clearance_or_fit(v: Values) -> Faults:
    """One of clearance and fit, and a fit that always leaves clearance."""
    fit, clearance = v["sleeve.fit"], v["sleeve.clearance"]
    if fit is None and clearance is None:
        yield "sleeve.clearance", "missing; give it in mm on diameter, or give sleeve.fit, such as H8/h7"
    elif fit is not None and clearance is not None:
        yield "sleeve.fit", f"must not stand beside sleeve.clearance = {clearance:g}; give one of the two"
    elif fit is not None:
        try:
            tightest = clearances(fit, v["shaft.diameter"]).tightest
        except ValueError as refusal:
            yield "sleeve.fit", str(refusal)
        else:
            if tightest < 0:
                overlap = f"it overlaps by {-tightest:.3f} mm"
                yield "sleeve.fit", f"must be a fit that never overlaps; at its tightest {overlap}"


def shaft_wall(v: Values) -> Faults:
    """A hollow shaft keeps a wall."""
    most = 0.96 * v["shaft.diameter"]
    if over(v["shaft.bore"], most):
        yield "shaft.bore", f"must be at most {down(most)} mm, 0.96 of shaft.diameter"


def small_clearance(v: Values) -> Faults:
    """The bore can be closed at small strain."""
    most = v["shaft.diameter"] / 20
    if over(v["sleeve.clearance"], most):
        yield "sleeve.clearance", f"must be at most {down(most)} mm, a twentieth of shaft.diameter"


def nose_corners(v: Values) -> Faults:
    """Two rounded corners find room on the nose."""
    size = drawn(v)
    most = largest_fillet(size.wall.nose_wall, size.wall.length, (math.pi / 2, math.pi / 2 + size.taper))
    if over(v["sleeve.nose_radius"], most):
        yield "sleeve.nose_radius", f"must be at most {down(most)} mm, for two corners to fit the nose"


def flange(v: Values) -> Faults:
    """Both sizes of a flange or neither; its rim stands out over the cone and over the ring's bore."""
    thickness, diameter = v["sleeve.flange_thickness"], v["sleeve.flange_diameter"]
    if diameter and not thickness:
        yield "sleeve.flange_thickness", "must be above 0 where sleeve.flange_diameter is given"
    if thickness and not diameter:
        yield "sleeve.flange_diameter", "must be given where sleeve.flange_thickness is"
    if not (thickness and diameter):
        return
    least = v["sleeve.nose_wall"] / 4
    if under(thickness, least):
        yield "sleeve.flange_thickness", f"must be at least {up(least)} mm, a quarter of sleeve.nose_wall"
    size = drawn(v)
    inside = size.wall.outside(0)
    if size.overlap > 0:
        inside = max(inside, size.ring_bore(size.ring.start))
    least = 2 * (1 + LEAST_WALL) * inside
    if under(diameter, least):
        reason = "to stand out over the cone and the ring's bore"
        yield "sleeve.flange_diameter", f"must be at least {up(least)} mm, {reason}"


def ring_meets_cone(v: Values) -> Faults:
    """Ring and cone overlap at travel 0, and the ring's leading face lies in front of a flange."""
    backmost, foremost = _starts(v)
    if over(v["ring.start"], foremost):
        yield "ring.start", f"must be at most {down(foremost)} mm, or the ring misses the cone"
    elif v["ring.start"] <= 0 and v["sleeve.flange_thickness"]:
        yield "ring.start", "must be above 0: there is a flange at z = 0"
    elif under(v["ring.start"], backmost):
        yield "ring.start", f"must be at least {up(backmost)} mm, or the ring lies behind the back face"


def start_tolerance(v: Values) -> Faults:
    """A start that is off still leaves the ring on the cone and off the flange."""
    start, (backmost, foremost) = v["ring.start"], _starts(v)
    ways = [
        (v["sleeve.length"] / 4, "a quarter of sleeve.length"),
        (foremost - start, "or the ring can miss the cone"),
        (start - backmost, "or the ring can lie behind the back face"),
    ]
    if v["sleeve.flange_thickness"]:
        ways.append((start, "ring.start, or the ring can lie in the flange"))
    most, why = min(ways)
    if over(v["ring.start_tolerance"], max(most, 0.0)):
        yield "ring.start_tolerance", f"must be at most {down(max(most, 0.0))} mm, {why}"


def _starts(v: Values) -> tuple[float, float]:
    """The least and the greatest ring.start [mm] at which ring and cone overlap."""
    least = LEAST_OVERLAP * v["sleeve.length"]
    return least - v["ring.length"], v["sleeve.length"] - least


def ring_taper(v: Values) -> Faults:
    """The ring's cone nearly follows the sleeve's."""
    if over(abs(v["ring.taper"] - v["sleeve.taper"]), TAPER_DIFFERENCE):
        yield "ring.taper", f"must be within {TAPER_DIFFERENCE:g} deg of sleeve.taper = {v['sleeve.taper']:.12g}"


def ring_walls(v: Values) -> Faults:
    """The ring has a wall round its wide end, and its narrow end passes over the shaft."""
    size = drawn(v)
    if size.overlap <= 0:
        return
    inside = size.ring_bore(size.ring.start)
    least = 2 * (1 + LEAST_WALL) * inside
    if under(v["ring.outer_diameter"], least):
        reason = f"the ring's bore opens to {2 * inside:.3f} mm"
        yield "ring.outer_diameter", f"must be at least {up(least)} mm; {reason}"
        return
    narrow = size.ring_bore(size.ring.end)
    if narrow <= size.shaft_radius:
        reason = f"the ring's bore narrows to {2 * narrow:.3f} mm and meets the shaft"
        yield "ring.length", f"must be shorter: {reason}"
    most = min(0.3 * (v["ring.outer_diameter"] / 2 - inside), v["ring.length"] / 4)
    if over(v["ring.edge_radius"], most):
        reason = "0.3 of the ring's least wall and a quarter of its length"
        yield "ring.edge_radius", f"must be at most {down(most)} mm, {reason}"


def edges_off_the_cone(v: Values) -> Faults:
    """Some of the ring's cone between its rounded edges faces the sleeve's; on the rounding alone it would never press."""
    size, radius = drawn(v), v["ring.edge_radius"]
    if size.overlap <= 0 or not radius:
        return
    taper, (start, end) = size.ring.taper, (size.ring.start, size.ring.end)
    front, back = (math.cos(taper) / math.tan((math.pi / 2 + turn) / 2) for turn in (taper, -taper))  # z that a rounding takes, over its radius
    most = min((size.wall.length - start) / front, end / back, (end - start) / (front + back))
    if not under(radius, most):
        yield "ring.edge_radius", f"must be below {down(most)} mm: where ring and sleeve overlap, {size.overlap:.3g} mm, no cone is left between the roundings"


def one_drive(v: Values) -> Faults:
    """The push has one end to go to."""
    if v["push.travel"] is not None and v["push.force"] is not None:
        yield "push.force", f"must not stand beside push.travel = {v['push.travel']:g}; give one of the two"
    elif v["push.travel"] is None and v["push.force"] is None and v.absent("duty.torque"):
        yield "push.travel", "missing; without a [duty] give it in mm, or give push.force in N"


def travel_before_flange(v: Values) -> Faults:
    """A given travel ends at the flange at the latest."""
    travel, start = v["push.travel"], v["ring.start"]
    if travel is not None and v["sleeve.flange_thickness"] and travel > start:
        yield "push.travel", f"must be at most ring.start = {start:.12g} mm, where the ring meets the flange"


def travel_on_cone(v: Values) -> Faults:
    """A given travel leaves the ring on the cone."""
    if v["push.travel"] is None or v["sleeve.flange_thickness"]:
        return
    most = drawn(v).travel_limit
    if over(v["push.travel"], most):
        yield "push.travel", f"must be at most {down(most)} mm, or the ring leaves the cone at the back"


def some_duty(v: Values) -> Faults:
    """A duty asks for a torque or a thrust."""
    if not v.absent("duty.torque") and not v["duty.torque"] and abs(v["duty.thrust"]) < LEAST_THRUST:
        yield "duty.torque", f"must be above 0 N·m, or duty.thrust at least {LEAST_THRUST:g} N one way or the other, where there is a [duty]"


def pull_near_the_seat(v: Values) -> Faults:
    """A radial pull acts within three lengths of the seat."""
    if v["duty.radial_at"] is None:
        return
    at, least, most = v["duty.radial_at"], -3 * v["sleeve.length"], 4 * v["sleeve.length"]
    if under(at, least) or over(at, most):
        yield "duty.radial_at", f"must be from {up(least)} to {down(most)} mm, within three lengths of the seat"


def screw_places(v: Values) -> Faults:
    """Screws stand in the ring, and no more threads push it off than screws pull it on."""
    if v.absent("screws.count"):
        return
    if v["screws.jacking"] > v["screws.count"]:
        yield "screws.jacking", f"must be at most screws.count = {v['screws.count']}"
    size = drawn(v)
    if size.overlap <= 0:
        return
    circle, least, most = v["screws.circle"], 2 * size.ring_bore(size.ring.end), v["ring.outer_diameter"]
    if most <= least:  # the ring's own fault, told elsewhere
        return
    if not over(circle, least) or circle >= most:
        yield "screws.circle", f"must be above {up(least)} mm, the ring's bore at its trailing face, and below ring.outer_diameter = {most:.12g} mm"


def friction_for_duty(v: Values) -> Faults:
    """What friction must carry, friction can carry at its low end: there it is judged."""
    if v.absent("duty.torque"):
        return
    if v["friction.bore"][0] == 0:
        yield "friction.bore", "must be above 0, at its low end too, where there is a [duty]"
    if v["duty.carried_by"] == "ring" and v["duty.torque"] > 0 and v["friction.cone"][0] == 0:
        yield "friction.cone", 'must be above 0, at its low end too, where duty.carried_by = "ring"'


def friction_for_twist(v: Values) -> Faults:
    """A twisted seat resists."""
    if v["after.twist"] and v["friction.bore"][1] == 0:
        yield "after.twist", "must be false where friction.bore is 0: the shaft would turn freely"


def mesh_size(v: Values) -> Faults:
    """Elements fit the wall and the contact, and their number stays within reason."""
    if v["mesh.size"] is None:
        return
    most = min(v["sleeve.nose_wall"], v["sleeve.length"] / 4, v["ring.length"] / 4)
    least = v["sleeve.nose_wall"] / 100
    if under(v["mesh.size"], least) or over(v["mesh.size"], most):
        yield "mesh.size", f"must be from {up(least)} mm, a hundredth of sleeve.nose_wall, to {down(most)} mm"


def some_yield(v: Values) -> Faults:
    """Where yield matters, some part has a yield stress."""
    if any(v[f"{part}.material"].yield_stress is not None for part in ("shaft", "sleeve", "ring")):
        return
    for key in ("solver.plastic", "solver.stop_at_yield"):
        if v[key]:
            yield key, "must be false: no material has a yield stress"


def drawn(v: Values) -> Sizes:
    """Sizes of the case, once defaults are filled in."""
    return sizes_under(v.__getitem__)


# Run on the values as given, before defaults that depend on other keys are filled in.
AS_GIVEN: tuple[Rule, ...] = (clearance_or_fit, one_drive)

RESOLVED: tuple[Rule, ...] = (
    shaft_wall, small_clearance, nose_corners, flange, *SLIT_CHECKS,
    ring_meets_cone, start_tolerance, ring_taper, ring_walls, edges_off_the_cone, screw_places,
    travel_before_flange, travel_on_cone, some_duty, pull_near_the_seat, friction_for_duty, friction_for_twist, mesh_size, some_yield,
)
