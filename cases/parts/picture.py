"""The README's picture, made anew: `python -m colletfea.cases.parts.picture`."""

import tomllib
from pathlib import Path

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.drawing.profile import profile
from colletfea.cases.drawing.solid_view import solid_svg
from colletfea.cases.stored.store import write_text

EXAMPLE = "sprocket_hub"
PLACE = Path(__file__).parents[1] / "casefile" / "examples" / f"{EXAMPLE}.svg"


def picture() -> str:
    """The main example cut open, as SVG."""
    return solid_svg(profile(Case.from_tables(tomllib.loads(examples.text(EXAMPLE)), EXAMPLE)))


def main(place: Path = PLACE) -> None:
    """Write the picture beside the bundled examples."""
    write_text(place, picture())


if __name__ == "__main__":
    main()
