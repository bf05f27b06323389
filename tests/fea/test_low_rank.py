"""Low rank found where a matrix is smooth, and left alone where it is not."""

import numpy as np

from fea.low_rank import shortened


def test_smooth_stiffness_between_faces_is_kept_by_its_rank():
    """A smooth kernel of 200 unknowns needs 7 fields for a thousandth, symmetric to the other side; noise stays whole."""
    x = np.linspace(0, 1, 200)
    kernel = 1 / (0.2 + (x[:, None] - x[None, :] ** 1.5) ** 2)
    there, back = shortened(kernel)
    assert there.left.shape[1] < 12
    assert np.linalg.norm(there.left @ there.right - kernel, 2) < 1.1e-3 * np.linalg.norm(kernel, 2)
    np.testing.assert_array_equal(back.left @ back.right, (there.left @ there.right).T)
    noise = np.random.default_rng(1).standard_normal((200, 200))
    there, back = shortened(noise)
    np.testing.assert_array_equal(there, noise)
    np.testing.assert_array_equal(back, noise.T)
