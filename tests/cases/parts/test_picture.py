"""README's picture is the one that the command makes, and stands where README looks for it."""

import re
from pathlib import Path

from colletfea.cases.parts import picture

ROOT = Path(__file__).parents[3]


def test_the_picture_is_what_the_command_makes(tmp_path):
    picture.main(tmp_path / "new.svg")
    assert (tmp_path / "new.svg").read_text(encoding="utf-8") == picture.PLACE.read_text(encoding="utf-8")


def test_readme_shows_it_on_the_first_screen():
    (shown,) = re.findall(r'<img src="([^"]*)"', "\n".join((ROOT / "README.md").read_text(encoding="utf-8").splitlines()[:20]))
    assert (ROOT / shown).resolve() == picture.PLACE.resolve()


def test_the_command_is_documented():
    assert f"-m colletfea.{picture.__name__.removeprefix('colletfea.')}" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
