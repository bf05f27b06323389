"""The drawing board: the only place that imports matplotlib, and the looks all figures share."""

import io
from dataclasses import dataclass
from typing import Any

DPI = 110
INK, FAINT, PAPER = "#22303c", "#9aa5ae", "#ffffff"
PART_COLOURS = {"shaft": "#a9b4bf", "sleeve": "#d9a35b", "flange": "#d9a35b", "ring": "#6f9a8d"}
BORE, CONE, PLAIN, REFINED, WARNING = "#2c6e8f", "#b0562b", "#9aa5ae", "#5d8a3a", "#c2185b"
#: face and hatching of each state, apart in grey too: sticking is dark, slipping light and hatched, open nearly white
STATE_LOOKS = {"open": ("#f1f3f4", ""), "stick": ("#1d4b61", ""), "slip": ("#f3c9a6", "//////")}
FIELD_COLOURS = "cividis"


@dataclass(frozen=True)
class Drawing:
    """A finished figure: file name without suffix, title, what can be read off it, PNG bytes; tall: higher than wide, or nearly."""

    name: str
    title: str
    reading: str
    png: bytes
    tall: bool = False


def board(
    width: float, height: float, title: str, *, rows: int = 1, ratios: list[float] | None = None
) -> tuple[Any, Any]:
    """A figure of width x height [inch] with its axes (one, or an array of `rows` sharing the abscissa)."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height), dpi=DPI, facecolor=PAPER)
    axes = figure.subplots(rows, 1, sharex=rows > 1, gridspec_kw={"height_ratios": ratios or [1] * rows})
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


def polygons(ax: Any, corners: Any, **style: Any) -> Any:
    """Add closed polygons, corners (n, k, 2) in axes coordinates, as one collection; returns it."""
    from matplotlib.collections import PolyCollection

    collection = PolyCollection(corners, **style)
    ax.add_collection(collection, autolim=False)
    return collection


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
