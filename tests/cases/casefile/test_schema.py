"""What every key says of itself."""

import pytest

from colletfea.cases.casefile.schema import ALL_KEYS


@pytest.mark.parametrize("key", ALL_KEYS)
def test_a_key_has_a_short_label_and_one_sentence(key):
    entry = ALL_KEYS[key]
    assert 0 < len(entry.label) <= 30 and not entry.label.endswith(".")
    assert entry.help[0].isupper() and entry.help.endswith(".") and ". " not in entry.help and 10 < len(entry.help) <= 130
