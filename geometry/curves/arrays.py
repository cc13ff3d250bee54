"""What numpy arrays hold, in one spelling; their shapes stand in the docstrings."""
from __future__ import annotations

from typing import Any

import numpy as np

# Written out instead of numpy.typing.NDArray, which says the same: every run waits for every import.

#: Coordinates, lengths, parameters.
Array = np.ndarray[Any, np.dtype[np.float64]]

#: Which of them.
Flags = np.ndarray[Any, np.dtype[np.bool_]]

#: Their numbers, counted from 0.
Indices = np.ndarray[Any, np.dtype[np.intp]]
