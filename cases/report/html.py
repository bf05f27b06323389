"""The page around the report's contents: HTML helpers, style and frame; nothing is loaded from outside."""

import base64
from html import escape
from typing import Iterable, Sequence

STYLE = """
:root { --ink: #22303c; --soft: #5d6b76; --line: #d6dce1; --good: #2f7d4f; --bad: #b3261e; --open: #8a6d1d; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 960px; padding: 28px 24px 60px; color: var(--ink); background: #fff;
       font: 15px/1.5 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
h1 { font-size: 25px; margin: 0 0 2px; } h2 { font-size: 18px; margin: 34px 0 8px; padding-bottom: 4px;
       border-bottom: 1px solid var(--line); } h3 { font-size: 15px; margin: 18px 0 6px; }
p { margin: 6px 0; } .soft { color: var(--soft); font-size: 13px; }
table { border-collapse: collapse; width: 100%; font-size: 14px; margin: 8px 0; }
th { text-align: left; font-weight: 600; color: var(--soft); border-bottom: 1px solid var(--ink); }
th, td { padding: 4px 10px 4px 0; vertical-align: top; } td { border-bottom: 1px solid var(--line); }
.num { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
.box { border: 1px solid var(--line); border-left: 6px solid var(--soft); padding: 12px 18px; margin: 14px 0; }
.box.ok { border-left-color: var(--good); } .box.not-ok { border-left-color: var(--bad); }
.box.not-judged { border-left-color: var(--open); } .box .answer { font-size: 19px; font-weight: 600; }
.ok-text, .not-ok-text, .not-judged-text { white-space: nowrap; font-weight: 600; }
.ok-text { color: var(--good); } .not-ok-text { color: var(--bad); } .not-judged-text { color: var(--open); }
.keys { display: grid; grid-template-columns: repeat(auto-fill, minmax(200px, 1fr)); gap: 10px; margin: 10px 0; }
.key { border: 1px solid var(--line); padding: 8px 12px; } .key b { display: block; font-size: 19px; font-weight: 600; }
.key span { color: var(--soft); font-size: 13px; }
figure { margin: 16px 0 22px; } figure img { width: 100%; height: auto; display: block; }
figcaption { font-size: 14px; } pre { background: #f5f7f8; padding: 12px; overflow-x: auto; font-size: 12.5px; }
ul { margin: 6px 0; padding-left: 20px; } li { margin: 4px 0; }
.caution { border: 1px solid var(--bad); padding: 4px 16px; }
@media print { body { max-width: none; padding: 0; font-size: 10.5pt; } h2 { break-after: avoid; }
  figure, tr, .box, .caution { break-inside: avoid; } pre { white-space: pre-wrap; } }
"""


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
    return "\n".join([f"<h2>{escape(title)}</h2>", *filled]) if filled else ""


def paragraph(text: str, kind: str = "") -> str:
    """One paragraph of plain text; empty text gives nothing."""
    return f"<p{_class(kind)}>{escape(text)}</p>" if text else ""


def bullets(items: Iterable[str]) -> str:
    """A list of plain sentences; nothing where there are none."""
    lines = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f"<ul>{lines}</ul>" if lines else ""


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], numeric: Iterable[int] = (), kinds: Sequence[str] = ()
) -> str:
    """A table of plain text; columns in `numeric` are set right, `kinds` names a class for each row's last cell."""
    right = set(numeric)
    top = "".join(
        f"<th{_class('num' if i in right else '')}>{escape(name)}</th>" for i, name in enumerate(head)
    )
    body = "".join(_row(row, right, kinds[i] if kinds else "") for i, row in enumerate(rows))
    return f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>" if rows else ""


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
    return f'<div class="box {kind}">' + "".join(parts) + "</div>"


def picture(png: bytes, name: str, caption: str) -> str:
    """A figure embedded in the page."""
    data = base64.b64encode(png).decode("ascii")
    return (
        f'<figure><img alt="{escape(name)}" src="data:image/png;base64,{data}">'
        f"<figcaption>{escape(caption)}</figcaption></figure>"
    )


def listing(text: str) -> str:
    """Preformatted text; empty text gives nothing."""
    return f"<pre>{escape(text)}</pre>" if text else ""


def _row(cells: Sequence[str], right: set[int], kind: str) -> str:
    last = len(cells) - 1
    marked = ["num" if i in right else kind if i == last else "" for i in range(len(cells))]
    return "<tr>" + "".join(f"<td{_class(k)}>{escape(cell)}</td>" for cell, k in zip(cells, marked)) + "</tr>"


def _class(kind: str) -> str:
    return f' class="{kind}"' if kind else ""
