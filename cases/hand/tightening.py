"""One screw: preload and torque, what it may get, how it gives, what presses under its head, how deep its thread must go.

Lengths in mm, forces in N, torques in N mm, stresses in MPa. Formulas of VDI 2230-1 (from memory), held in the tests to its
printed torque tables in the edition of 2003; tables of 1986 print 6 to 8 % less. Its factors stand as it prints them: 0.159
for 1/(2 pi), 0.577 for 1/(2 cos 30 deg), 1.155 for 1/cos 30 deg; exact ones change a torque by 0.04 %.
"""

import math
from dataclasses import dataclass

from colletfea.cases.hand.threads import PropertyClass, Screw, Thread

USED = 0.9  # share of R_p0.2 that tension and torsion may reach together in tightening (VDI 2230-1)
SHEAR = 0.6  # shear strength over tensile strength of steel (VDI 2230-1 lists 0.6 to 0.7)
DILATION = 0.897  # of threads that bend and widen, the least value of the factors C2 and C3 (VDI 2230-1)


@dataclass(frozen=True)
class Friction:
    """Friction in the thread and under the head."""

    thread: float
    head: float


def stress_over_preload(thread: Thread, thread_friction: float) -> float:
    """Equivalent stress in tightening over the preload [1/mm^2]: tension F/A_s with the torsion of the thread's torque.

    Torsion at the onset of yield across the whole section, tau = 12 M_G/(pi d0^3). Range: friction 0 to 0.3.

    >>> round(18627 * stress_over_preload(Thread(8, 1.25), 0.12), 1)
    576.0
    """
    slope = thread.pitch / (math.pi * thread.pitch_diameter) + 1.155 * thread_friction
    twist = 1.5 * thread.pitch_diameter / thread.stress_diameter * slope
    return math.sqrt(1 + 3 * twist**2) / thread.stress_area


def greatest_preload(thread: Thread, yield_strength: float, thread_friction: float) -> float:
    """Preload [N] at which the equivalent stress in tightening is 0.9 R_p0.2.

    >>> round(greatest_preload(Thread(8, 1.25), 640, 0.12))
    18627
    """
    return USED * yield_strength / stress_over_preload(thread, thread_friction)


def torque_over_preload(thread: Thread, mean_head_diameter: float, friction: Friction) -> float:
    """Tightening torque over preload [mm], friction at the head acting at D_Km [mm].

    >>> round(18627 * torque_over_preload(Thread(8, 1.25), 10.665, Friction(0.12, 0.12)) / 1000, 2)
    24.89
    """
    return _thread_lever(thread, friction.thread) + friction.head * mean_head_diameter / 2


def preload(torque: float, thread: Thread, mean_head_diameter: float, friction: Friction) -> float:
    """Preload [N] that a torque [N mm] brings; less friction than stated brings more.

    >>> round(preload(25000, Thread(8, 1.25), 10.665, Friction(0.12, 0.12)), 1)
    18707.6
    """
    return torque / torque_over_preload(thread, mean_head_diameter, friction)


def jacking_lever(thread: Thread, friction: Friction) -> float:
    """Torque over force [mm] of a screw that pushes with its tip: friction there as at the head, uniform pressure over
    the core, so at the radius d3/3 (statics, derived here).

    >>> round(jacking_lever(Thread(6, 1), Friction(0.12, 0.12)), 4)
    0.7204
    """
    return _thread_lever(thread, friction.thread) + friction.head * thread.root_diameter / 3


def _thread_lever(thread: Thread, thread_friction: float) -> float:
    return 0.159 * thread.pitch + 0.577 * thread.pitch_diameter * thread_friction


def compliance(thread: Thread, length: float, young: float) -> float:
    """Lengthening over preload [mm/N] of a socket head screw in a tapped hole, threaded over its whole length.

    VDI 2230-1: head 0.4 d and tapped hole 0.33 d on the nominal section, engaged thread 0.5 d and the free length on the
    core. length: from under the head to the first thread in the hole [mm]. A plain shank gives less.

    >>> round(compliance(Thread(6, 1), 26, 205000) * 1e6, 3)
    8.661
    """
    d = thread.diameter
    nominal = math.pi / 4 * d * d
    return ((0.4 + 0.33) * d / nominal + (0.5 * d + length) / thread.root_area) / young


def lost_per_micrometre(screw_compliance: float, count: int, stiffness: float | None) -> float:
    """Preload [N] each screw loses per micrometre of settling: 0.001/(delta_S + n/k_c).

    screw_compliance [mm/N]; stiffness k_c [N/mm] of the whole coupling while its cone sticks. None: taken as rigid, the
    upper bound of the loss.

    >>> round(lost_per_micrometre(compliance(Thread(6, 1), 26, 205000), 6, 5.57e6), 1)
    102.7
    """
    return 1e-3 / (screw_compliance + (count / stiffness if stiffness else 0.0))


def head_pressure(force: float, screw: Screw) -> float:
    """Mean pressure [MPa] under the head, between bearing diameter and clearance hole; a chamfer is left out."""
    return force / (math.pi / 4 * (screw.bearing**2 - screw.hole**2))


def engagement(thread: Thread, grade: PropertyClass, strength: float, force: float | None = None) -> float:
    """Least depth of thread [mm] at which neither thread strips under a force [N]; None: the screw's breaking load
    R_m A_s, so that it breaks before its thread strips (VDI 2230-1, tapped hole in a wide part, nominal sizes; 0.8 P for the ends).

    strength [MPa] of the tapped part: its R_m, or its yield to be on the safe side.

    >>> from colletfea.cases.hand.threads import property_class
    >>> round(engagement(Thread(6, 1), property_class("8.8", 6), 400), 2)
    5.33
    """
    d, pitch = thread.diameter, thread.pitch
    tan30 = 1 / math.sqrt(3)
    nut = math.pi * d / pitch * (pitch / 2 + (d - thread.pitch_diameter) * tan30)  # mm^2 of sheared area per mm of depth
    minor = thread.minor_diameter
    bolt = math.pi * minor / pitch * (pitch / 2 + (thread.pitch_diameter - minor) * tan30)
    weaker = DILATION * SHEAR * min(strength * nut, grade.tensile * bolt)
    return (grade.tensile * thread.stress_area if force is None else force) / weaker + 0.8 * pitch
