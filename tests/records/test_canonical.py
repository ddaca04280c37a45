"""The quick way to the canonical form gives the very bytes of the careful one."""

import string
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from app.records.canonical import canonical_bytes, quick_canonical_bytes

WHOLE = st.integers(-(2**53 - 1), 2**53 - 1)
TEXT = st.text(st.characters(exclude_categories=["Cs"]))
KEYS = st.text(string.ascii_lowercase + "_", min_size=1)
PLAIN = st.recursive(
    st.none() | st.booleans() | WHOLE | TEXT,
    lambda inner: st.lists(inner) | st.dictionaries(KEYS, inner),
)


@given(PLAIN)
def test_both_ways_give_the_same_bytes(value: Any) -> None:
    quick = quick_canonical_bytes(value)

    assert quick == canonical_bytes(value)


def test_every_letter_below_the_space_and_each_sign_is_written_alike() -> None:
    value = ["".join(map(chr, range(0x20))), '"\\/\x7f\u2028\u2029\ufeff\U0001f600']

    quick = quick_canonical_bytes(value)

    assert quick == canonical_bytes(value)
