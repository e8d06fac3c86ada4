"""How long a level may be listened to before it harms the ear.

Two rules allow 85 dB(A) for eight hours and halve the time for every 3 dB more, which is the rule of equal
energy. An older one starts at 90 and halves every 5; it is here for contrast, since it is often quoted.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, plain, within

Rule = Literal["NIOSH", "HSE", "OSHA"]

# Level for a full shift [dB(A)] and the step that halves the time [dB].
START_AND_STEP: dict[Rule, tuple[float, float]] = {"NIOSH": (85.0, 3.0), "HSE": (85.0, 3.0), "OSHA": (90.0, 5.0)}
SHIFT_MINUTES = 480.0


def exposure_minutes(*, level_dba: Number, rule: Rule = "NIOSH") -> Number:
    """Time a day that a level may be listened to.

    Formula: t = 480 / 2**((L - L0)/q); L0 = 85, q = 3 (NIOSH, HSE); L0 = 90, q = 5 (OSHA)

    Parameters
    ----------
    level_dba : float or array
        A-weighted level at the ear, mean over the time of listening [dB]
    rule : str
        "NIOSH", "HSE" or "OSHA"

    Returns
    -------
    Time a day, same shape [min]

    Validity
    --------
    Rules for work, where the rest of the day is quiet. 60 to 140 dB; above that one impulse can harm. Below the
    starting level the time passes a day's shift: there is no limit. Bass counts little in dB(A).

    Raises
    ------
    ValueError
        Outside 60 to 140 dB, or if the rule is unknown.

    Examples
    --------
    >>> exposure_minutes(level_dba=94.0)
    60.0
    >>> exposure_minutes(level_dba=100.0, rule="OSHA")
    120.0

    References
    ----------
    NIOSH, Criteria for a recommended standard: occupational noise exposure, 1998; HSE, Sound advice; OSHA 29 CFR
    1910.95 (all as quoted elsewhere).

    """
    if rule not in START_AND_STEP:
        raise ValueError(f'rule must be one of {", ".join(START_AND_STEP)}, but is "{rule}"')
    within(60.0, 140.0, level_dba=level_dba)
    start, step = START_AND_STEP[rule]
    return plain(SHIFT_MINUTES / 2.0 ** ((np.asarray(level_dba) - start) / step))


def safe_listening_week_h(*, level_dba: Number) -> Number:
    """Time a week that a level may be listened to for pleasure.

    Formula: t = 40 h / 2**((L - 80)/3)

    Parameters
    ----------
    level_dba : float or array
        A-weighted level at the ear [dB]

    Returns
    -------
    Time a week, same shape [h]

    Validity
    --------
    Adults, on top of a quiet rest of the week; 60 to 140 dB. For children it is 75 dB instead of 80.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> safe_listening_week_h(level_dba=89.0)
    5.00

    References
    ----------
    WHO and ITU-T H.870, Guidelines for safe listening devices and systems (from memory).

    """
    within(60.0, 140.0, level_dba=level_dba)
    return plain(40.0 / 2.0 ** ((np.asarray(level_dba) - 80.0) / 3.0))
