"""What is said when a case file can't be used."""

import difflib
from collections.abc import Iterable

from colletfea.cases.casefile.text import LONGEST, shown


class CaseError(Exception):
    """Input that can't be used; `faults` holds a sentence each, opening with the dotted key or the file."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = list(faults)
        super().__init__("\n".join(self.faults))

    def __reduce__(self) -> tuple[type, tuple[list[str]]]:
        return CaseError, (self.faults,)


def fault(key: str, value: object, sentence: str) -> str:
    """One fault as it is shown; a value of None (nothing was given) is left out."""
    return f"{key}: {sentence}" if value is None else f"{key} = {shown(value)}: {sentence}"


def nearest(word: str, options: Iterable[str]) -> str | None:
    """The option spelled most like the word, capitals aside; None where none is close."""
    folded = {option.lower(): option for option in options}
    close = difflib.get_close_matches(word[:LONGEST].lower(), folded, n=1)
    return folded[close[0]] if close else None


def listed(options: Iterable[object], last: str = "or") -> str:
    """Options in words: a, b or c."""
    words = [str(option) for option in options]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
