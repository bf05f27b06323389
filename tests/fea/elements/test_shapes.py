"""Shape functions and quadrature, held to their defining properties and to central differences."""

import numpy as np
import pytest

from colletfea.fea.elements import shapes

POINTS = np.random.default_rng(1).uniform(-1, 1, (20, 2))
LINE = np.linspace(-1, 1, 9)


def test_shape_functions_sum_to_one_and_gradients_to_zero():
    value, grad = shapes.quad8(POINTS)
    np.testing.assert_allclose(value.sum(axis=1), 1, rtol=1e-14)
    np.testing.assert_allclose(grad.sum(axis=2), 0, atol=1e-14)
    value, slope, curvature = shapes.line3(LINE)
    np.testing.assert_allclose(value.sum(axis=-1), 1, rtol=1e-14)
    np.testing.assert_allclose(slope.sum(axis=-1), 0, atol=1e-14)
    np.testing.assert_allclose(curvature.sum(axis=-1), 0, atol=1e-14)


def test_shape_functions_are_one_at_their_own_node_and_zero_at_the_others():
    np.testing.assert_allclose(shapes.quad8(shapes.NODES)[0], np.eye(8), atol=1e-15)
    np.testing.assert_allclose(shapes.line3(np.array([-1.0, 1.0, 0.0]))[0], np.eye(3), atol=1e-15)


@pytest.mark.parametrize("i, j", [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (2, 1), (1, 2)])
def test_serendipity_space_holds_the_monomial(i, j):
    at_nodes = shapes.NODES[:, 0] ** i * shapes.NODES[:, 1] ** j
    np.testing.assert_allclose(
        shapes.quad8(POINTS)[0] @ at_nodes, POINTS[:, 0] ** i * POINTS[:, 1] ** j, atol=1e-14
    )


def test_serendipity_space_lacks_the_ninth_monomial():
    at_nodes = shapes.NODES[:, 0] ** 2 * shapes.NODES[:, 1] ** 2
    assert abs((shapes.quad8(np.zeros((1, 2)))[0] @ at_nodes)[0]) > 0.5


def test_gradients_match_central_differences():
    """Cubic functions: the difference quotient itself is off by h^2/6 times 6; h = 1e-5 gives 1e-10."""
    step = 1e-5
    for k, h in enumerate(np.eye(2) * step):
        quotient = (shapes.quad8(POINTS + h)[0] - shapes.quad8(POINTS - h)[0]) / (2 * step)
        np.testing.assert_allclose(shapes.quad8(POINTS)[1][:, k], quotient, atol=1e-9)
    value, slope, curvature = shapes.line3(LINE)
    up, down = shapes.line3(LINE + step), shapes.line3(LINE - step)
    np.testing.assert_allclose(slope, (up[0] - down[0]) / (2 * step), atol=1e-9)
    np.testing.assert_allclose(curvature, (up[1] - down[1]) / (2 * step), atol=1e-9)


def test_edge_line_is_the_quadrilateral_restricted_to_its_side():
    for side in shapes.SIDES:
        first, last = shapes.NODES[side[:2]]
        points = first + (LINE[:, None] + 1) / 2 * (last - first)
        value = shapes.quad8(points)[0]
        np.testing.assert_allclose(value[:, side], shapes.line3(LINE)[0], atol=1e-14)
        np.testing.assert_allclose(np.delete(value, side, axis=1), 0, atol=1e-14)


@pytest.mark.parametrize("order", [1, 2, 3, 4])
def test_gauss_rule_has_exactly_degree_two_n_minus_one(order):
    """Degree demanded neither lower nor higher, in each direction of the product rule."""
    points, weight = shapes.gauss_quad(order)

    def error(i, j):
        exact = (1 + (-1) ** i) / (i + 1) * (1 + (-1) ** j) / (j + 1)
        return abs(weight @ (points[:, 0] ** i * points[:, 1] ** j) - exact)

    degree = 2 * order - 1
    assert max(error(i, j) for i in range(degree + 1) for j in range(degree + 1)) < 1e-14
    assert error(degree + 1, 0) > 1e-3 and error(0, degree + 1) > 1e-3
    line, line_weight = shapes.gauss_line(order)
    assert abs(line_weight @ line ** (degree + 1) - 2 / (degree + 2)) > 1e-3


def test_eight_points_are_exact_like_four_and_see_what_four_leave_unstrained():
    """x (3 y^2 - 1), y (1 - 3 x^2) on the square: no strain at the four Gauss points, some at the eight."""
    points, weight = shapes.cell_rule()
    assert len(points) == 8 and np.all(weight > 0)
    for i in range(4):
        for j in range(4):
            exact = (1 + (-1) ** i) / (i + 1) * (1 + (-1) ** j) / (j + 1)
            assert weight @ (points[:, 0] ** i * points[:, 1] ** j) == pytest.approx(exact, abs=1e-14)
    assert abs(weight @ points[:, 0] ** 4 - 4 / 5) > 1e-3
    x, y = shapes.NODES.T
    motion = np.column_stack([x * (3 * y**2 - 1), y * (1 - 3 * x**2)])
    strains = []
    for order in (2, None):
        slope = shapes.quad8(shapes.cell_rule(order)[0])[1] @ motion  # (q, 2, 2), d(motion)/d(local)
        strains.append(np.max(np.abs(slope + np.swapaxes(slope, 1, 2))))
    assert strains[0] < 1e-14 and strains[1] > 1
