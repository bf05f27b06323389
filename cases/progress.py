"""How far a run has come, shown on a stream: a bar on a terminal, plain lines otherwise."""

import time
from contextlib import suppress
from typing import TextIO

WIDTH = 30  # characters of the bar
PAUSE = 0.1  # seconds between two drawings of the bar
STEP = 0.1  # share of the run between two plain lines


class Progress:
    """Callable (fraction, text); fraction 0 to 1, text says what is being done."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._bar = stream.isatty()
        self._drawn, self._told, self._text = 0.0, -1.0, ""

    def __call__(self, fraction: float, text: str) -> None:
        fraction = min(max(fraction, 0.0), 1.0)
        if self._bar:
            self._draw(fraction, text)
        elif fraction - self._told >= STEP or (fraction == 1.0 and self._told < 1.0):
            self._told = fraction
            self._write(f"{100 * fraction:3.0f} % {text}\n")

    def close(self) -> None:
        """Leave the bar's line."""
        if self._bar and self._text:
            self._write("\n")

    def _draw(self, fraction: float, text: str) -> None:
        now = time.monotonic()
        if now - self._drawn < PAUSE and fraction < 1.0:
            return
        self._drawn = now
        filled = round(WIDTH * fraction)
        line = f"[{'#' * filled}{'.' * (WIDTH - filled)}] {100 * fraction:3.0f} % {text}"
        self._write("\r" + line.ljust(len(self._text)))
        self._text = line

    def _write(self, text: str) -> None:
        with suppress(OSError):  # nobody reads it any more: no reason to end a run
            self._stream.write(text)
            self._stream.flush()
