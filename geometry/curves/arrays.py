"""What numpy arrays hold, in one spelling; their shapes stand in the docstrings."""
from __future__ import annotations

import numpy as np
import numpy.typing as npt

#: Coordinates, lengths, parameters.
Array = npt.NDArray[np.float64]

#: Which of them.
Flags = npt.NDArray[np.bool_]

#: Their numbers, counted from 0.
Indices = npt.NDArray[np.intp]
