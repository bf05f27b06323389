"""Values of a case under dotted keys, and the type of checks on them."""

from collections.abc import Callable, Iterator

from colletfea.cases.casefile.schema import ALL_KEYS


class Unread(Exception):
    """A value was asked for that could not be read; its own fault has been noted."""


class Values(dict):
    """Dotted key to value; asking for a key of the case file that has a fault raises Unread."""

    def __missing__(self, key: str) -> None:
        if key in ALL_KEYS:
            raise Unread(key)
        raise KeyError(key)


# A check takes the values and yields (key, sentence) for each fault; the sentence says what is allowed.
Found = Iterator[tuple[str, str]]
Check = Callable[[Values], Found]
