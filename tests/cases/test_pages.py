"""A page's drawings, shared by the processes of a run: all of them, each once, in their order."""

import pytest

from colletfea.cases import pages
from colletfea.cases.workers import helpers

NAMES = ["section", "force", "pressure", None, "twist"]


class Page:
    """Drawings that are their names, in whatever process."""

    def prepare(self):
        pass

    def drawings(self, result, start=0, step=1):
        return [name and f"{name} of {result}" for name in NAMES[start::step]]


@pytest.mark.parametrize("processes", [1, 2])
def test_every_drawing_comes_once_and_in_order(processes):
    with helpers(processes) as executor, pages.drawn(Page(), "hub", executor, processes) as drawings:
        found = drawings()
    assert [name for name in found if name] == [f"{name} of hub" for name in NAMES if name]
