"""Torsion: shafts, cones and a grooved shaft against exact solutions, with the twist unknown."""

import numpy as np
import pytest
from helpers.solids import SMALL, STEEL, hold, near, nodal_stress, solve

from colletfea.fea.bodies.stress import cauchy
from colletfea.fea.elements.grids import block, join, mapped, spread
from colletfea.fea.model.drives import ANGLE, Drive, Z

G = 210_000 / 2.6
TORQUE = 1e5


def twisted(mesh, body="shaft", scale=SMALL):
    """One end held, torque on the other whose nodes turn together."""
    drives = [hold(f"{body}.bottom", Z), hold(f"{body}.bottom", ANGLE)]
    return solve(
        mesh,
        STEEL,
        [*drives, Drive("torque", f"{body}.top", ANGLE, force=lambda t: scale * TORQUE * t)],
        twist=True,
    )


@pytest.mark.verification(
    source="Coulomb's torsion of a round bar: T L/(G J), T r/J; any strength of materials text"
)
@pytest.mark.parametrize("bore, angle, shear", [(0, 7.88196e-3, 63.6620), (5, 8.40742e-3, 67.9061)])
@pytest.mark.parametrize("elements", [2, 4])
def test_straight_shaft(bore, angle, shear, elements):
    """d = 20, L = 100, T = 1e5, solid and d_i = 10. phi = theta z/L lies in the quadratic space.

    With the load scaled by 1e-7 the closed form comes out to 1e-10; the targets are given to six digits.
    """
    mesh = join({"shaft": block(bore, 10, spread(0, 100, elements), spread(0, 1, elements))})
    result = twisted(mesh, scale=1e-7)
    inertia = np.pi / 2 * (10**4 - bore**4)
    assert TORQUE * 100 / G / inertia == pytest.approx(
        angle, rel=1e-6
    ) and TORQUE * 10 / inertia == pytest.approx(shear, rel=1e-6)
    np.testing.assert_allclose(
        result.u[:, 2] / 1e-7, TORQUE / G / inertia * mesh.nodes[:, 1], rtol=1e-8, atol=1e-12
    )
    stress = cauchy(result.model.solid, result.state.u)[..., 1, 2] / 1e-7
    np.testing.assert_allclose(stress, TORQUE / inertia * result.model.solid.radius, rtol=1e-8)


@pytest.mark.verification(
    source="Timoshenko & Goodier, Theory of Elasticity, 3rd ed., art. 119, torsion of a cone (from memory)"
)
@pytest.mark.parametrize("elements", [4, 8])
def test_cone(elements):
    """Solid cone of half angle 10 degrees between the spheres 50 and 100 about its apex, T = 1e5.

    Each sphere turns as a whole. C = 6.93076e7: twist between them 2.00222e-3, shear on the surface
    96.2811 and 12.0351. Measured on 4 and 8 elements across: twist 1.3e-6 and below the digits
    given, shear 0.33 and 0.09 %.
    """
    half = np.radians(10)
    across, along = spread(0, half, elements), spread(-100, -50, 4 * elements)
    mesh = join({"shaft": mapped(lambda a, t: (-t * np.sin(a), t * np.cos(a)), across, along)})
    result = twisted(mesh)
    assert result.u[near(mesh, 0, -50), ANGLE] / SMALL == pytest.approx(2.00222e-3, rel=5e-6)
    stress = nodal_stress(result)
    for rho, shear in ((50, 96.2811), (100, 12.0351)):
        s = stress[near(mesh, rho * np.sin(half), -rho * np.cos(half))] / SMALL
        assert np.hypot(s[1, 0], s[1, 2]) == pytest.approx(shear, rel=5e-3)


@pytest.mark.verification(
    source="Neuber, Kerbspannungslehre: deep hyperbolic groove in torsion (from memory)"
)
@pytest.mark.parametrize("sharpness, factor", [(1, 1.141806), (4, 1.435290), (10, 1.830798)])
@pytest.mark.parametrize("elements", [12, 24])
def test_deep_hyperbolic_groove(sharpness, factor, elements):
    """Peak shear over 2T/(pi a^3): K = 3(1+s)^2/(4(1+2s)), s = sqrt(a/rho + 1); a/rho is the sharpness.

    Confocal coordinates r = c cosh(x) sin(y), z = c sinh(x) cos(y); the groove is y = y0 with
    tan(y0) = sqrt(a/rho); one half is meshed to 20 throat radii. Measured at the sharpest groove, on
    12 and 24 elements across: 5.0e-4 and 1.4e-4.
    """
    y0 = np.arctan(np.sqrt(sharpness))
    c = 10 / np.sin(y0)
    reach = np.arcsinh(20 * 10 / c / np.cos(y0))
    across, along = spread(0, y0, elements, 0.1), spread(0, reach, 2 * elements, 40.0)
    mesh = join(
        {
            "shaft": mapped(
                lambda y, x: (c * np.cosh(x) * np.sin(y), c * np.sinh(x) * np.cos(y)), across, along
            )
        }
    )
    shear = nodal_stress(twisted(mesh))[near(mesh, 10, 0), 1, 2] / SMALL
    root = np.sqrt(sharpness + 1)
    assert factor == pytest.approx(3 * (1 + root) ** 2 / 4 / (1 + 2 * root), rel=1e-6)
    assert shear == pytest.approx(factor * 2 * TORQUE / np.pi / 10**3, rel=1e-3)


def shouldered(d, step, root, count):
    """Half the section of a shaft d [mm] that steps up to step d over a fillet of radius root d.

    Grid lines lead from the axis to the outside: up the thin end (t below 0, in mm), round the fillet (0 to 1), out
    along the shoulder (1 to 2) and up the thick end.
    """
    thin, fillet = d / 2, root * d
    shoulder = (step - 1) * d / 2 - fillet

    def place(s, t):
        angle, up = np.clip(t, 0, 1) * np.pi / 2, np.maximum(t - 2, 0)
        r = thin + fillet * (1 - np.cos(angle)) + np.clip(t - 1, 0, 1) * shoulder
        z = fillet * (np.sin(angle) - 1) + np.minimum(t, 0) + up
        return s * r, z + (1 - s) * np.clip(t, 0, 2) * thin / 2

    pieces = ((-3 * d, 0, count, 0.02), (0, 1, count, 1.0), (1, 2, count // 2, 3.0), (2, 2 + 3 * d, count // 2, 3.0))
    along = np.concatenate([[-3 * d], *(spread(*piece)[1:] for piece in pieces)])
    return join({"shaft": mapped(place, spread(0, 1, count, 0.02), along)})


@pytest.mark.verification(
    source="separate finite-element study, converged; Pilkey, Peterson's Stress Concentration Factors, and Roark table 17.1"
    " for orientation (from memory): 1.413 and 1.252, within 3 %"
)
@pytest.mark.parametrize(
    "step, root, factor, handbook",
    [(1.5, 0.1, 1.380, 1.413), (1.5, 0.05, 1.616, None), (2, 0.2, 1.229, 1.252), (2, 0.1, 1.393, None), (2, 0.05, 1.642, None)],
)
@pytest.mark.parametrize("elements", [16, 24])
def test_shoulder_with_a_fillet(step, root, factor, handbook, elements):
    """Peak shear over 16 T/(pi d^3) of the thin end, d = 20: 0.2 %, measured 0.11 % at most."""
    mesh = shouldered(20.0, step, root, elements)
    stress = nodal_stress(twisted(mesh))[mesh.edge_nodes("shaft.outer")] / SMALL
    peak = np.max(np.hypot(stress[:, 1, 0], stress[:, 1, 2])) / (16 * TORQUE / np.pi / 20**3)
    assert peak == pytest.approx(factor, rel=2e-3)
    assert handbook is None or peak == pytest.approx(handbook, rel=0.03)
