"""A number of any length is read or refused; none is too long to be judged."""

import pytest

from app.domain.quantities import Length, QuantityError, read_quantity


@pytest.mark.parametrize("number", ["9" * 400, "9" * 400 + "/3", "1 " + "9" * 400 + "/1", "1e999"])
def test_a_number_beyond_all_measure_is_refused(number: str) -> None:
    with pytest.raises(QuantityError, match="larger than anything on a rig"):
        read_quantity(f"{number} ft", Length)


def test_a_fraction_whose_parts_are_long_but_whose_value_is_small_is_read() -> None:
    value = read_quantity("9" * 400 + "/" + "3" * 400 + " m", Length)

    assert value.si == pytest.approx(3.0)
