"""Values of a case under dotted keys."""

from cases.schema import ALL_KEYS


class Unread(Exception):
    """A value was asked for that could not be read; its own fault has been noted."""


class Values(dict):
    """Dotted key to value; asking for a key of the case file that has a fault raises Unread."""

    def __missing__(self, key: str) -> None:
        if key in ALL_KEYS:
            raise Unread(key)
        raise KeyError(key)
