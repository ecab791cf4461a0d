"""Whole numbers in half the memory, where they fit; rows by mask and slice."""

import numpy as np
import pytest

from jointmap.register.columns import narrow
from tests.judging_samples import readings


@pytest.mark.parametrize(
    ("values", "dtype"),
    [
        (np.array([], np.int64), np.int32),
        (np.array([0, 2**31 - 1]), np.int32),
        (np.array([0, 2**31]), np.int64),
        (np.array([-1, 5]), np.int64),
        (np.array([1.5]), np.float64),
        (np.array([3], np.int16), np.int16),
    ],
)
def test_numbers_are_narrowed_only_where_they_fit(values, dtype):
    found = narrow(values)
    assert found.dtype == dtype
    assert found.tolist() == values.tolist()


def test_rows_by_slice_and_mask():
    tests = readings(4)
    assert tests.take(np.ones(4, bool)) is tests
    assert tests.take(slice(1, 3)).test_id.tolist() == [2, 3]
    assert tests.take(tests.test_id > 2).test_id.tolist() == [3, 4]
