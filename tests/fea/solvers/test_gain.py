"""What rounds of correction gain decides how they go on."""

import pytest

from colletfea.fea.solvers.gain import short, worth


def rounds(gain, start=0.05, count=8):
    return [start * gain**k for k in range(count)]


def test_rounds_that_would_not_suffice_are_given_up_early():
    """Gains of 0.6 a round from 1e-2 need 36 more; of 0.1 six; a plateau never ends, and a loss far off does still less."""
    assert short(rounds(0.6), 1e-9) and short(rounds(1.0), 1e-9)
    assert not short(rounds(0.1), 1e-9) and not short(rounds(0.6, count=4), 1e-9)
    assert short(rounds(1.3, start=3.0), 1e-9) and not short(rounds(0.1, start=3.0), 1e-9)


@pytest.mark.parametrize("gain, count, said", [(0.3, 3, True), (0.3, 2, False), (0.01, 3, False), (1.2, 3, True), (0.3, 12, False)])
def test_bodies_are_condensed_anew_where_more_than_five_rounds_are_left(gain, count, said):
    """At 0.3 a round 1e-9 is 13 rounds away from 5e-3, and 4 from 9e-8; at 0.01 three; two rounds show no gain."""
    assert worth(rounds(gain, count=count), 1e-9) is said
