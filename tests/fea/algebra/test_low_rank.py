"""Low rank found where a matrix is smooth, and left alone where it is not."""

import numpy as np

from colletfea.fea.algebra.low_rank import shortened


def test_smooth_stiffness_between_faces_is_kept_by_its_rank():
    """A smooth kernel of 200 unknowns needs 9 fields for a ten-thousandth, symmetric to the other side; noise stays whole."""
    x = np.linspace(0, 1, 200)
    one = np.ones(200)
    kernel = 1 / (0.2 + (x[:, None] - x[None, :] ** 1.5) ** 2)
    there, back = shortened(kernel, one, one)
    assert there.left.shape[1] < 12
    assert np.linalg.norm(there.left @ there.right - kernel, 2) < 1.1e-4 * np.linalg.norm(kernel, 2)
    np.testing.assert_array_equal(back.left @ back.right, (there.left @ there.right).T)
    noise = np.random.default_rng(1).standard_normal((200, 200))
    there, back = shortened(noise, one, one)
    np.testing.assert_array_equal(there, noise)
    np.testing.assert_array_equal(back, noise.T)


def test_angles_are_weighed_like_lengths():
    """Every second unknown in units a thousand times smaller: the same fields are kept, near enough in both units."""
    x = np.linspace(0, 1, 200)
    kernel = 1 / (0.2 + (x[:, None] - x[None, :] ** 1.5) ** 2)
    weight = np.where(np.arange(200) % 2, 1.0, 1e-3)
    there, _ = shortened(kernel / weight[:, None] / weight, weight, weight)
    alike, _ = shortened(kernel, np.ones(200), np.ones(200))
    assert there.left.shape == alike.left.shape
    error = weight[:, None] * (there.left @ there.right) * weight - kernel
    assert np.linalg.norm(error, 2) < 1.1e-4 * np.linalg.norm(kernel, 2)
