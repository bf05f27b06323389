"""The drawing board: the only place that imports matplotlib, and the looks all figures share."""

import io
import re
from dataclasses import dataclass
from html import escape
from typing import Any, Iterable, Mapping

DPI = 110
INK, FAINT, PAPER = "#22303c", "#9aa5ae", "#ffffff"
PART_COLOURS = {"shaft": "#a9b4bf", "sleeve": "#d9a35b", "flange": "#d9a35b", "ring": "#6f9a8d"}
BORE, CONE, PLAIN, REFINED, WARNING = "#2c6e8f", "#b0562b", "#9aa5ae", "#5d8a3a", "#c2185b"
#: face and hatching of each state, apart in grey too: sticking is dark, slipping light and hatched, open nearly white
STATE_LOOKS = {"open": ("#f1f3f4", ""), "stick": ("#1d4b61", ""), "slip": ("#f3c9a6", "//////")}
FIELD_COLOURS = "cividis"


@dataclass(frozen=True)
class Drawing:
    """A finished figure: file name without suffix, title, what can be read off it, PNG bytes, empty where the page's SVG is all; tall: higher than
    wide, or nearly.

    svg: the same figure as an SVG element for the page, with values on hover; empty where pixels say it better.
    """

    name: str
    title: str
    reading: str
    png: bytes
    tall: bool = False
    svg: str = ""


@dataclass(frozen=True)
class Spot:
    """What is shown when the pointer rests on a column of an axes: between two abscissae, over the whole height."""

    ax: Any
    start: float
    end: float
    text: str


def between(values: list[float]) -> list[float]:
    """Bounds of the columns of rising or falling abscissae: half way between them, and the outermost themselves."""
    return [values[0], *((a + b) / 2 for a, b in zip(values, values[1:])), values[-1]]


def prepare() -> None:
    """Load matplotlib with what writes PNG and SVG."""
    import matplotlib.backends.backend_agg
    import matplotlib.backends.backend_svg
    import matplotlib.figure  # noqa: F401


def board(
    width: float, height: float, title: str, *, rows: int = 1, ratios: list[float] | None = None, shared: bool = True
) -> tuple[Any, Any]:
    """A figure of width x height [inch] with its axes (one, or an array of `rows`, which share the abscissa)."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height), dpi=DPI, facecolor=PAPER)
    with rc_context({"axes.titley": 1.0}):  # left to itself an axes measures all of its labels to place its title
        axes = figure.subplots(rows, 1, sharex=shared and rows > 1, gridspec_kw={"height_ratios": ratios or [1] * rows})
    figure.subplots_adjust(
        left=0.85 / width, right=1 - 0.3 / width, bottom=0.55 / height, top=1 - 0.42 / height, hspace=0.12
    )
    figure.suptitle(
        title, x=0.85 / width, y=1 - 0.1 / height, ha="left", va="top", fontsize=11, color=INK, weight="bold"
    )
    for ax in figure.axes:
        _plain_looks(ax)
    return figure, axes


def finish(figure: Any) -> bytes:
    """The figure as PNG bytes, quickly compressed: a fifth larger, and a fifth of a whole quick run saved."""
    stream = io.BytesIO()
    figure.savefig(stream, format="png", pil_kwargs={"compress_level": 1})
    return stream.getvalue()


def vector(figure: Any, name: str, label: str, spots: Iterable[Spot] = (), said: Mapping[str, str] | None = None) -> str:
    """The figure as one SVG element to be set into a page: texts stay texts, nothing in it reaches outside of it.

    name goes into the ids, so that figures on one page keep apart. said: text shown on hover, by the gid of an artist.
    """
    from matplotlib import rc_context

    stream = io.StringIO()
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": name}):
        figure.savefig(stream, format="svg", metadata=dict.fromkeys(("Creator", "Date", "Format", "Type")))
    text = stream.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r"<defs>\s*<style.*?</style>\s*</defs>", "", text, flags=re.DOTALL)  # it would reach into the whole page
    for gid, words in (said or {}).items():
        text = text.replace(f'<g id="{gid}">', f"<g><title>{escape(words)}</title>")
    text = re.sub(r'<g id="[^"]*"', "<g", text)
    text = re.sub(r"<[^>]*>", lambda tag: re.sub(r"-?\d+\.\d{3,}", _rounded, tag[0]), text)  # places, never words
    head = f'<svg role="group" aria-label="{escape(label)}" stroke-linejoin="round" '
    columns = "".join(_column(figure, spot) for spot in spots)
    return text.replace("<svg ", head, 1).replace("</svg>", f"{columns}</svg>").strip()


def _rounded(found: re.Match) -> str:
    return f"{float(found[0]):.2f}"


def _column(figure: Any, spot: Spot) -> str:
    """An invisible area with a text of its own, in the SVG's points: 72 to the inch, downward."""
    inches = spot.ax.transData.transform([(spot.start, 0.0), (spot.end, 0.0)])[:, 0] / figure.dpi
    box = spot.ax.get_window_extent()
    left, right = sorted(72 * inches)
    top = 72 * (figure.get_figheight() - box.y1 / figure.dpi)
    return (
        f'<rect class="spot" x="{left:.2f}" y="{top:.2f}" width="{right - left:.2f}" height="{72 * box.height / figure.dpi:.2f}" '
        f'fill-opacity="0"><title>{escape(spot.text)}</title></rect>\n'
    )


def polygons(ax: Any, corners: Any, **style: Any) -> Any:
    """Add closed polygons, corners (n, k, 2) in axes coordinates, as one collection; returns it."""
    from matplotlib.collections import PolyCollection

    collection = PolyCollection(corners, **style)
    ax.add_collection(collection, autolim=False)
    return collection


def closed(ax: Any, shapes: list[Any], **style: Any) -> None:
    """Closed polygons, arrays (n, k, 2), as one path: much smaller in an SVG than a collection."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    paths = [Path.make_compound_path_from_polys(corners) for corners in shapes if len(corners)]
    ax.add_artist(PathPatch(Path.make_compound_path(*paths), **style))  # a patch would be measured, curve by curve


def segments(ax: Any, ends: Any, **style: Any) -> Any:
    """Add straight segments, ends (n, 2, 2) in axes coordinates, as one collection."""
    from matplotlib.collections import LineCollection

    collection = LineCollection(ends, **style)
    ax.add_collection(collection, autolim=False)
    return collection


def legend(ax: Any, **where: Any) -> None:
    """A quiet legend."""
    ax.legend(fontsize=8, frameon=False, labelcolor=INK, **where)


def _plain_looks(ax: Any) -> None:
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(FAINT)
    ax.tick_params(colors=INK, labelsize=8, length=3)
    ax.grid(True, color="#e6e9ec", linewidth=0.6)
    ax.set_axisbelow(True)
