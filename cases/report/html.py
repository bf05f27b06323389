"""The page around the report's contents: HTML helpers and frame; nothing is loaded from outside."""

import base64
import re
from html import escape
from typing import Iterable, Sequence

from colletfea.cases.report.style import STYLE

WHOLE = 9  # rows of a table that is never broken between two sheets


def page(title: str, body: str) -> str:
    """A whole document."""
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>{escape(title)}</title>\n'
        f"<style>{STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def chapter(title: str, *parts: str) -> str:
    """A heading with its parts; nothing at all where every part is empty."""
    filled = [part for part in parts if part]
    return "\n".join([_lead("h2", title, filled[0], len(filled) > 1), *filled[1:]]) if filled else ""


def part(title: str, *parts: str) -> str:
    """A heading below a chapter's with its parts; nothing at all where every part is empty."""
    filled = [one for one in parts if one]
    return "\n".join([_lead("h3", title, filled[0], len(filled) > 1), *filled[1:]]) if filled else ""


def paragraph(text: str, kind: str = "") -> str:
    """One paragraph of plain text; empty text gives nothing."""
    return f"<p{_class(kind)}>{escape(text)}</p>" if text else ""


def bullets(items: Iterable[str]) -> str:
    """A list of plain sentences; nothing where there are none or all are empty."""
    items = [item for item in items if item]
    lines = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f"<ul>{lines}</ul>" if lines else ""


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], numeric: Iterable[int] = (), kinds: Sequence[str] = (), kind_at: int = -1
) -> str:
    """A table of plain text; columns in `numeric` are set right, `kinds` names a class for each row's cell number kind_at.

    Every cell bears the name of its column, which a narrow screen shows before it.
    """
    right, at = set(numeric), kind_at % max(len(head), 1)
    top = "".join(f"<th{_class('num' if i in right else '')}>{escape(name)}</th>" for i, name in enumerate(head))
    body = "".join(_row(head, row, right, at, kinds[i] if kinds else "") for i, row in enumerate(rows))
    return f"<table{_class('whole' if len(rows) <= WHOLE else '')}><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>" if rows else ""


def cards(items: Iterable[tuple[str, str]]) -> str:
    """Key numbers: (value, what it is)."""
    return (
        '<div class="keys">'
        + "".join(
            f'<div class="key"><b>{escape(value)}</b><span>{escape(what)}</span></div>'
            for value, what in items
        )
        + "</div>"
    )


def box(kind: str, *parts: str) -> str:
    """A framed block; kind is ok, not-ok or not-judged."""
    return f'<div class="box box-{kind}">' + "".join(parts) + "</div>"


def group(kind: str, *parts: str) -> str:
    """Parts in a block of a class; nothing where all are empty."""
    filled = [part for part in parts if part]
    return f'<div class="{kind}">' + "\n".join(filled) + "</div>" if filled else ""


def drawing(svg: str) -> str:
    """A drawing set into the page; the name space of a file of its own is left out."""
    return group("drawing", _inside(svg)) if svg else ""


def _inside(svg: str) -> str:
    return re.sub(r' xmlns(:\w+)?="[^"]*"', "", svg).strip()


def picture(png: bytes, name: str, caption: str, tall: bool = False) -> str:
    """A figure embedded in the page, moved sideways where the screen is narrow; a tall one may take more of a printed sheet."""
    data = base64.b64encode(png).decode("ascii")
    return (
        f'<figure{_class("tall" if tall else "")}><div class="plot"><img alt="{escape(name)}" src="data:image/png;base64,{data}"></div>'
        f"<figcaption>{escape(caption)}</figcaption></figure>"
    )


def plot(svg: str, caption: str, kind: str = "plot") -> str:
    """A figure as an SVG element: a plot, moved sideways where the screen is narrow, so that its texts stay readable; or a view."""
    return f'<figure><div class="{kind}">{_inside(svg)}</div><figcaption>{escape(caption)}</figcaption></figure>'


def listing(text: str) -> str:
    """Preformatted text; empty text gives nothing."""
    return f"<pre>{escape(text)}</pre>" if text else ""


def _lead(level: str, title: str, first: str, more: bool) -> str:
    """A heading kept together with what follows it, where that is nothing long; a first paragraph also with what comes then."""
    heading = f"<{level}>{escape(title)}</{level}>"
    if first.startswith(("<table>", "<pre", "<ul", '<div class="columns"')):
        return f"{heading}\n{first}"
    return f'<div class="lead{" tied" if more and first.startswith("<p") else ""}">{heading}\n{first}</div>'


def _row(head: Sequence[str], cells: Sequence[str], right: set[int], at: int, kind: str) -> str:
    marked = ["num" if i in right else kind if i == at else "" for i in range(len(cells))]
    labels = [f' data-label="{escape(name)}"' if name else "" for name in head]
    return "<tr>" + "".join(f"<td{_class(k)}{n}>{escape(c)}</td>" for c, k, n in zip(cells, marked, labels)) + "</tr>"


def _class(kind: str) -> str:
    return f' class="{kind}"' if kind else ""
