"""From a file to raw tables: what is no case file is refused in a sentence, and nothing is waited for."""

import codecs
import re
import tomllib
from pathlib import Path
from typing import Any

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.text import quoted
from colletfea.cases.stored import plain

#: [bytes] far over any case file, and little to read
LARGEST = 1_000_000


def read_tables(path: str | Path) -> dict[str, Any]:
    """Raw tables of a case file, as written. Raises CaseError where it can't be read or is no TOML."""
    return tables_of(read_text(path), str(path))


def read_text(path: str | Path) -> str:
    """Text of a case file. Raises CaseError where it can't be read, is too large or not UTF-8."""
    try:
        content = plain.content(path, LARGEST + 1)
    except plain.NoFile as error:
        raise CaseError([f"{_shown(path)}: can't be read: {error.strerror}; give a case file"]) from error
    except OSError as error:
        raise CaseError([f"{_shown(path)}: can't be read: {error.strerror or error}"]) from error
    return text_of(content, str(path))


def tables_of(text: str, name: str) -> dict[str, Any]:
    """Raw tables of a case file's text; name: what the user calls the file. Raises CaseError where it is no TOML."""
    shown = _shown(name)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CaseError([_comma(text, shown, error) or f"{shown}: is not valid TOML: {error}"]) from error
    except RecursionError as error:
        raise CaseError([f"{shown}: is not a case file: its lists or tables are nested too deep"]) from error
    except ValueError as error:  # the parser hands on what int() says
        raise CaseError([f"{shown}: is not a case file: it holds a number of thousands of digits"]) from error


def text_of(content: bytes, name: str) -> str:
    """Text of a case file's bytes, UTF-8 with or without a byte-order mark; name: what the user calls the file.

    Raises CaseError where they are too many or not UTF-8.
    """
    shown = _shown(name)
    if len(content) > LARGEST:
        raise CaseError([f"{shown}: is not a case file: it is larger than {LARGEST // 1000} kB"])
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise CaseError([f"{shown}: is not valid TOML: its text is UTF-16; save it as UTF-8"])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise CaseError([f"{shown}: is not valid TOML: line {line} is not UTF-8; save it as UTF-8"]) from error


def _shown(path: str | Path) -> str:
    """A file's name in one printable line."""
    return quoted(str(path))[1:-1]


def _comma(text: str, shown: str, error: Exception) -> str | None:
    """What to say of a line that holds a decimal comma, None where the fault is another."""
    at = re.search(r"line (\d+)", str(error))
    lines = text.split("\n")  # as the parser counts them
    line = lines[int(at[1]) - 1] if at and int(at[1]) <= len(lines) else ""
    number = re.search(r"=\s*([+-]?\d{1,20}),(\d{1,20})", line.partition("#")[0])
    if number is None:
        return None
    return f"{shown}: line {at[1]}: write {number[1]}.{number[2]} with a point; {number[1]},{number[2]} is no number in TOML"
