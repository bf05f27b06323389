"""What every key says of itself."""

import pytest

from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.hand.threads import property_class, screw


@pytest.mark.parametrize("key", ALL_KEYS)
def test_a_key_has_a_short_label_and_one_sentence(key):
    entry = ALL_KEYS[key]
    assert 0 < len(entry.label) <= 30 and not entry.label.endswith(".")
    assert entry.help[0].isupper() and entry.help.endswith(".") and ". " not in entry.help and 10 < len(entry.help) <= 130


def test_screws_may_be_of_every_size_and_class_of_the_tables():
    """ISO 4762 with M18 and M22 of the older DIN 912; ISO 898-1, and stainless of EN ISO 3506-1."""
    sizes, classes = (ALL_KEYS[f"screws.{key}"].kind for key in ("size", "property_class"))
    assert [screw(size).thread.diameter for size in sizes.options] == [3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24]
    assert [property_class(name, 8).yield_strength for name in classes.options] == [640, 940, 1100, 450, 600]
