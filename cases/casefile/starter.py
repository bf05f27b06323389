"""A case file to start from."""

from pathlib import Path

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.stored import store


def write(path: str | Path, example: str | None = None) -> None:
    """Write a commented case, the text of an example (the main one by default), to a new file.

    Raises CaseError for an unknown example, an existing file or a place that can't be written.
    """
    text = examples.text(examples.names()[0] if example is None else example)
    if Path(path).exists():
        raise CaseError([f"{path}: exists already; give the name of a new file"])
    try:
        store.write_text(Path(path), text)
    except OSError as error:
        raise CaseError([f"{path}: can't be written: {error.strerror or error}"]) from error
