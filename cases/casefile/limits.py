"""Limits that are computed from other keys: the limit that a sentence states is itself allowed.

Rounding may leave a computed limit a last digit past the number that is meant (2.2 / 100 is above 0.022), and a sentence shows
fewer digits than it has. So values are compared with room for rounding, and limits are stated rounded to the side that is allowed.
"""

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal

_ROUNDING = 1e-12  # relative; a limit is a few operations away from keys, each of which rounds by 1e-16
_MEANT, _SHOWN = 12, 6  # digits of a limit: those that rounding leaves alone, those that a sentence shows


def over(value: float, limit: float) -> bool:
    """Whether a value is above a limit by more than rounding.

    >>> over(0.1 * 3, 0.3), over(0.30001, 0.3)
    (False, True)
    """
    return value - limit > _ROUNDING * max(abs(value), abs(limit))


def under(value: float, limit: float) -> bool:
    """Whether a value is below a limit by more than rounding.

    >>> under(0.022, 2.2 / 100), under(0.02199, 2.2 / 100)
    (False, True)
    """
    return over(limit, value)


def down(limit: float) -> str:
    """An upper limit as it is stated: six digits, rounded down.

    >>> down(1.2345678), down(0.1 * 3), down(-1.2345678)
    ('1.23456', '0.3', '-1.23457')
    """
    return _stated(limit, ROUND_FLOOR)


def up(limit: float) -> str:
    """A lower limit as it is stated: six digits, rounded up.

    >>> up(1.2345612), up(2.2 / 100)
    ('1.23457', '0.022')
    """
    return _stated(limit, ROUND_CEILING)


def _stated(limit: float, side: str) -> str:
    meant = Decimal(f"{limit:.{_MEANT}g}")
    return f"{float(Context(prec=_SHOWN, rounding=side).plus(meant)):g}"
