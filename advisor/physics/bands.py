"""One-third-octave bands: the names the trade gives them, and the frequencies they really have.

Bands are ten to a decade, not three to an octave; the rounded names (31.5, 63, 125 ...) are a convention. Compute with
the exact frequencies, print the nominal ones.
"""

from __future__ import annotations

from advisor.physics.guards import within

NOMINAL_HZ: tuple[float, ...] = (
    20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500,
    3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000,
)  # fmt: skip
"""ISO 266:1997, 20 Hz to 20 kHz."""

LOWEST_BAND = -17
HIGHEST_BAND = 13


def exact_hz(*, band: int) -> float:
    """Middle frequency of a one-third-octave band.

    Formula: f = 1000 * 10^(n/10)

    Parameters
    ----------
    band : int
        Number of the band, 0 at 1 kHz, -17 (20 Hz) to 13 (20 kHz) [-]

    Returns
    -------
    Frequency [Hz]

    Validity
    --------
    Base-ten bands.

    Raises
    ------
    ValueError
        For a band outside -17 to 13.

    Examples
    --------
    >>> round(exact_hz(band=-15), 2)
    31.62

    References
    ----------
    IEC 61260-1, one-third-octave band filters.

    """
    within(LOWEST_BAND, HIGHEST_BAND, band=band)
    return float(1000.0 * 10 ** (band / 10))


def nominal_hz(*, band: int) -> float:
    """Name of a one-third-octave band.

    Formula: from the list

    Parameters
    ----------
    band : int
        Number of the band, 0 at 1 kHz, -17 (20 Hz) to 13 (20 kHz) [-]

    Returns
    -------
    Nominal frequency [Hz]

    Validity
    --------
    Base-ten bands.

    Raises
    ------
    ValueError
        For a band outside -17 to 13.

    Examples
    --------
    >>> nominal_hz(band=-15)
    31.5

    References
    ----------
    ISO 266:1997, Preferred frequencies.

    """
    within(LOWEST_BAND, HIGHEST_BAND, band=band)
    return float(NOMINAL_HZ[band - LOWEST_BAND])


def limits_hz(*, band: int) -> tuple[float, float]:
    """Lower and upper limit of a one-third-octave band.

    Formula: f * 10^(-1/20), f * 10^(1/20)

    Parameters
    ----------
    band : int
        Number of the band, 0 at 1 kHz, -17 (20 Hz) to 13 (20 kHz) [-]

    Returns
    -------
    Lower and upper limit [Hz]

    Validity
    --------
    Base-ten bands.

    Raises
    ------
    ValueError
        For a band outside -17 to 13.

    Examples
    --------
    >>> [round(limit, 1) for limit in limits_hz(band=0)]
    [891.3, 1122.0]

    References
    ----------
    IEC 61260-1, one-third-octave band filters.

    """
    middle = exact_hz(band=band)
    half = 10**0.05
    return middle / half, middle * half
