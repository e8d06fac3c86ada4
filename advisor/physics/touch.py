"""How hot a surface may be that somebody can touch.

Two tables that must not be mixed: where a burn sets in after a time of contact, and the limits that a product
standard sets, which are lower than the first because people differ. Metal gives its heat to the skin fastest,
so it has the lowest temperatures. The limits hold as measured at 25 C around; they do not rise with it.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from advisor.physics.guards import Number, plain, within

Material = Literal["metal", "glass", "plastic"]
Contact = Literal["worn", "held", "touched briefly", "not to be touched"]

CONTACT_S = (1.0, 5.0, 10.0, 300.0)
BURN_C: dict[Material, tuple[float, ...]] = {
    "metal": (68.0, 60.0, 57.0, 49.0),
    "glass": (78.0, 70.0, 67.0, 59.0),
    "plastic": (93.0, 85.0, 82.0, 74.0),
}

# That of plastic was read, those of metal are quoted from memory.
PRODUCT_LIMIT_C: dict[tuple[Material, Contact], float] = {
    ("metal", "worn"): 48.0,
    ("metal", "held"): 51.0,
    ("metal", "touched briefly"): 60.0,
    ("metal", "not to be touched"): 70.0,
    ("plastic", "touched briefly"): 77.0,
}


def burn_onset_c(*, material: Material, contact_s: Number) -> Number:
    """Surface temperature from which a contact of some length burns the skin.

    Formula: the table, interpolated over the logarithm of the time

    Parameters
    ----------
    material : str
        "metal", "glass" or "plastic"
    contact_s : float or array
        Time of contact [s]

    Returns
    -------
    Temperature, same shape [C]

    Validity
    --------
    1 s to 5 min, smooth bare surfaces. Above 5 min the value of 5 min holds.

    Raises
    ------
    ValueError
        Below 1 s, or if the material is unknown.

    Examples
    --------
    >>> burn_onset_c(material="metal", contact_s=5.0)
    60.0

    References
    ----------
    Burn data of a children's burn institute, as quoted in the emc-pstc archive, message 05244.

    """
    within(1.0, float("inf"), contact_s=plain(np.minimum(contact_s, CONTACT_S[-1])))
    if material not in BURN_C:
        raise ValueError(f'material must be one of {", ".join(BURN_C)}, but is "{material}"')
    return plain(np.interp(np.log(contact_s), np.log(CONTACT_S), BURN_C[material]))


def product_limit_c(*, material: Material, contact: Contact) -> float:
    """Limit for a surface that people touch, by the product safety standard.

    Formula: table

    Parameters
    ----------
    material : str
        "metal" or "plastic"
    contact : str
        "worn" (a minute or more), "held" (10 s to a minute), "touched briefly" (1 to 10 s) or "not to be touched"

    Returns
    -------
    Limit at 25 C around [C]

    Validity
    --------
    Ordinary persons, normal operation. Only one row for plastic is known here.

    Raises
    ------
    ValueError
        If the table has no such row.

    Examples
    --------
    >>> product_limit_c(material="metal", contact="touched briefly")
    60.0

    References
    ----------
    IEC 62368-1, Table 38, TS1 (plastic as quoted in the emc-pstc archive, message 77021; metal from memory).

    """
    if (material, contact) not in PRODUCT_LIMIT_C:
        known = "; ".join(f"{of}, {how}" for of, how in PRODUCT_LIMIT_C)
        raise ValueError(f'there is no limit for "{material}, {contact}"; there is for {known}')
    return PRODUCT_LIMIT_C[material, contact]
