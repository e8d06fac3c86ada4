import pytest

from advisor.physics import bands
from tests.printed import printed

QUOTED = "SS-05, IEC 61260 as quoted in alt.sci.physics.acoustics and by sonavyx.com"


@pytest.mark.parametrize(
    ("nominal", "exact"),
    [
        (31.5, "31.62"),
        (63, "63.10"),
        (80, "79.43"),
        (125, "125.89"),
        (630, "630.96"),
        (800, "794.33"),
        (1250, "1258.9"),
        (1600, "1584.9"),
    ],
)
def test_exact_middle_of_a_named_band(nominal, exact):
    band = bands.NOMINAL_HZ.index(nominal) + bands.LOWEST_BAND
    assert printed(exact, source=QUOTED) == bands.exact_hz(band=band)
    assert bands.nominal_hz(band=band) == nominal


def test_names_are_those_of_the_table():
    """SS-07, ISO 266:1997 as tabled by kennisbank.crow.nl: 31 bands, ten names repeating each decade."""
    first = [20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200]
    assert list(bands.NOMINAL_HZ[:11]) == first
    assert len(bands.NOMINAL_HZ) == 31
    assert bands.NOMINAL_HZ[-1] == 20000
    for low, high in zip(bands.NOMINAL_HZ, bands.NOMINAL_HZ[10:], strict=False):
        assert high == pytest.approx(10 * low)


def test_names_are_near_their_bands():
    for band in range(bands.LOWEST_BAND, bands.HIGHEST_BAND + 1):
        assert bands.nominal_hz(band=band) == pytest.approx(bands.exact_hz(band=band), rel=0.015)


def test_bands_join_without_gaps():
    for band in range(bands.LOWEST_BAND, bands.HIGHEST_BAND):
        assert bands.limits_hz(band=band)[1] == pytest.approx(bands.limits_hz(band=band + 1)[0], rel=1e-12)


@pytest.mark.parametrize("band", [-18, 14])
def test_there_are_no_bands_outside_hearing(band):
    with pytest.raises(ValueError, match="band must lie between -17 and 13"):
        bands.exact_hz(band=band)
