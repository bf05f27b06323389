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
    name = quoted(str(path))[1:-1]
    try:
        return tomllib.loads(_text(path, name))
    except tomllib.TOMLDecodeError as error:
        raise CaseError([_comma(path, name, error) or f"{name}: is not valid TOML: {error}"]) from error
    except RecursionError as error:
        raise CaseError([f"{name}: is not a case file: its lists or tables are nested too deep"]) from error
    except ValueError as error:  # the parser hands on what int() says
        raise CaseError([f"{name}: is not a case file: it holds a number of thousands of digits"]) from error


def read_text(path: str | Path) -> str:
    """Text of a case file. Raises CaseError where it can't be read, is too large or not UTF-8."""
    return _text(path, quoted(str(path))[1:-1])


def _text(path: str | Path, name: str) -> str:
    try:
        return _decoded(_content(path, name), name)
    except plain.NoFile as error:
        raise CaseError([f"{name}: can't be read: {error.strerror}; give a case file"]) from error
    except OSError as error:
        raise CaseError([f"{name}: can't be read: {error.strerror or error}"]) from error


def _content(path: str | Path, name: str) -> bytes:
    content = plain.content(path, LARGEST + 1)
    if len(content) > LARGEST:
        raise CaseError([f"{name}: is not a case file: it is larger than {LARGEST // 1000} kB"])
    return content


def _decoded(content: bytes, name: str) -> str:
    """Text of UTF-8, with or without a byte-order mark."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise CaseError([f"{name}: is not valid TOML: its text is UTF-16; save it as UTF-8"])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise CaseError([f"{name}: is not valid TOML: line {line} is not UTF-8; save it as UTF-8"]) from error


def _comma(path: str | Path, name: str, error: Exception) -> str | None:
    """What to say of a line that holds a decimal comma, None where the fault is another."""
    at = re.search(r"line (\d+)", str(error))
    lines = _text(path, name).splitlines()
    line = lines[int(at[1]) - 1] if at and int(at[1]) <= len(lines) else ""
    number = re.search(r"=\s*([+-]?\d{1,20}),(\d{1,20})", line.partition("#")[0])
    if number is None:
        return None
    return f"{name}: line {at[1]}: write {number[1]}.{number[2]} with a point; {number[1]},{number[2]} is no number in TOML"
