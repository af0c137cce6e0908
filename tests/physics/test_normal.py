"""The normal distribution against scipy, which is a general-purpose reference."""

from __future__ import annotations

import numpy as np
from scipy.stats import norm

from loomwright.physics.normal import normal_share


def test_shares_are_the_library_s() -> None:
    x = np.linspace(-9.0, 9.0, 181)
    np.testing.assert_allclose(normal_share(x), norm.cdf(x), rtol=1e-12)
