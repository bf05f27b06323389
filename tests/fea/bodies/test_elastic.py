"""The hoop-softened St Venant-Kirchhoff law, held to the compliance it stands for."""

import numpy as np
import pytest

from colletfea.fea.bodies.elastic import Elastic

RR, ZZ, TT = 0, 1, 2
ETAS = [1.0, 0.6, 0.05, 1e-4]


def compliance(young, poisson, eta):
    """Isotropic compliance with the hoop entry 1/(eta E); shear entries 1/G on engineering strains."""
    c = np.diag([1 / young] * 3 + [2 * (1 + poisson) / young] * 3)
    c[:3, :3] -= poisson / young * (1 - np.eye(3))
    c[TT, TT] = 1 / (eta * young)
    return c


@pytest.mark.parametrize("poisson", [0.0, 0.3, 0.49])
def test_closed_ring_is_isotropic_hooke(poisson):
    lame, shear = 200e3 * poisson / (1 + poisson) / (1 - 2 * poisson), 200e3 / 2 / (1 + poisson)
    expected = np.diag([2 * shear] * 3 + [shear] * 3)
    expected[:3, :3] += lame
    np.testing.assert_allclose(Elastic(200e3, poisson).moduli(), expected, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize("eta", ETAS)
@pytest.mark.parametrize("poisson", [0.0, 0.3, 0.45])
def test_moduli_invert_the_softened_compliance(eta, poisson):
    product = Elastic(210e3, poisson).moduli(eta) @ compliance(210e3, poisson, eta)
    np.testing.assert_allclose(product, np.eye(6), atol=1e-12)


def test_without_hoop_stiffness_there_is_no_hoop_stress_and_the_rest_is_plane_stress():
    d = Elastic(210e3, 0.3).moduli(0.0)
    assert np.all(d[TT] == 0) and np.all(d[:, TT] == 0)
    plane = 210e3 / (1 - 0.3**2) * np.array([[1, 0.3], [0.3, 1]])
    np.testing.assert_allclose(d[:2, :2], plane, rtol=1e-12)


@pytest.mark.parametrize("eta", ETAS)
def test_moduli_are_symmetric_and_positive(eta):
    d = Elastic(70e3, 0.33).moduli(eta)
    np.testing.assert_array_equal(d, d.T)
    assert np.all(np.linalg.eigvalsh(d) > 0)


def test_field_of_ratios_gives_one_matrix_each():
    law, eta = Elastic(210e3, 0.3), np.array([[1.0, 0.5], [0.1, 0.0]])
    field = law.moduli(eta)
    assert field.shape == (2, 2, 6, 6)
    for place in np.ndindex(eta.shape):
        np.testing.assert_allclose(field[place], law.moduli(eta[place]), rtol=1e-14)
