"""Complex quantities over frequency: responses, impedances, velocities; amplitude and phase in one number."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Phasor = complex | NDArray[np.complex128]


def plain_phasor(value: object) -> Phasor:
    """Return a complex number for a single value and an array for several.

    >>> plain_phasor(np.complex128(1 + 2j))
    (1+2j)
    """
    array = np.asarray(value, dtype=np.complex128)
    return complex(array) if array.ndim == 0 else array
