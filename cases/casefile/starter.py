"""A case file to start from."""

from pathlib import Path

from colletfea.cases.casefile import examples
from colletfea.cases.stored import store
from colletfea.cases.casefile.faults import CaseError, listed, nearest


def write(path: str | Path, example: str | None = None) -> None:
    """Write a commented case, the text of an example (the main one by default), to a new file.

    Raises CaseError for an unknown example, an existing file or a place that can't be written.
    """
    text = examples.text(_known(example or examples.names()[0]))
    if Path(path).exists():
        raise CaseError([f"{path}: exists already; give the name of a new file"])
    try:
        store.write_text(Path(path), text)
    except OSError as error:
        raise CaseError([f"{path}: can't be written: {error.strerror or error}"]) from error


def _known(name: str) -> str:
    if name in examples.names():
        return name
    close = nearest(name, examples.names())
    hint = f"did you mean {close}?" if close else f"there are {listed(examples.names(), 'and')}"
    raise CaseError([f"--from {name}: no such example; {hint}"])
