"""What an amplifier draws and turns into heat while it plays, by the way its output stage works.

Three things are known of an amplifier: what it draws with no signal, its rated output, and its efficiency there.
How the input grows in between is set by the output stage. In class A/B the current follows the signal but the
rail stays, so the input grows as the root of the output; in class D it grows with the output itself; in class
G/H the rail is low for small signals and high for large ones. Heat is what goes in and does not come out.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.physics.guards import Number, above_zero, not_below_zero, plain, within

Topology = Literal["A/B", "D", "G/H"]
Signal = Literal["sine", "noise"]


def _rail_mean(peak: NDArray[np.float64], signal: Signal, low_rail_share: float) -> NDArray[np.float64]:
    """Rail voltage over the high rail's, averaged over the current, for a sine or noise.

    `peak` is that of a sine of equal power over the high rail. Below the low rail share all comes from it.
    """
    safe = np.maximum(peak, 1e-12)
    if signal == "sine":
        above = np.sqrt(1.0 - np.square(np.minimum(low_rail_share / safe, 1.0)))
    else:
        # Gaussian: the share of the mean current that flows while the signal is above the low rail.
        above = np.exp(-np.square(low_rail_share / safe))
    return np.asarray(low_rail_share + (1.0 - low_rail_share) * above)


def _input_share(
    output_share: NDArray[np.float64], topology: Topology, signal: Signal, low_rail_share: float
) -> NDArray[np.float64]:
    """Input without the idle part, over the same at rated output with a sine."""
    if topology == "D":
        return output_share
    peak = np.sqrt(output_share)
    # At equal power the mean rectified current of noise is 0.886 of a sine's.
    share = peak if signal == "sine" else np.sqrt(np.pi) / 2.0 * peak
    if topology == "G/H":
        full = _rail_mean(np.array(1.0), "sine", low_rail_share)
        share = share * _rail_mean(peak, signal, low_rail_share) / full
    return np.asarray(share)


def highest_efficiency(*, topology: Topology, low_rail_share: float = 0.5) -> float:
    """Efficiency that an output stage cannot pass at its rated power, with a sine.

    Formula: class D 1; class A/B pi/4; class G/H (pi/4) / [r + (1 - r) sqrt(1 - r**2)]

    Parameters
    ----------
    topology : str
        "A/B", "D" or "G/H"
    low_rail_share : float
        Low rail r over the high one, class G/H only [-]

    Returns
    -------
    Efficiency, 0 to 1 [-]

    Validity
    --------
    Lossless devices; two rails in class G/H. Rails that follow the signal closely (class H) do a little better.

    Raises
    ------
    ValueError
        If the topology is unknown, or the low rail share outside 0.2 to 0.9.

    Examples
    --------
    >>> highest_efficiency(topology="A/B")
    0.785
    >>> highest_efficiency(topology="G/H", low_rail_share=0.5)
    0.842

    References
    ----------
    Textbook result for class B (from memory); class G derived from a sine across two rails.

    """
    if topology not in ("A/B", "D", "G/H"):
        raise ValueError(f'topology must be "A/B", "D" or "G/H", but is "{topology}"')
    within(0.2, 0.9, low_rail_share=low_rail_share)
    if topology == "D":
        return 1.0
    rail = 1.0 if topology == "A/B" else float(_rail_mean(np.array(1.0), "sine", low_rail_share))
    return float(np.pi / 4.0 / rail)


def input_power_w(
    *,
    output_w: Number,
    rated_w: Number,
    rated_efficiency: Number,
    idle_w: Number = 0.0,
    topology: Topology,
    signal: Signal = "sine",
    low_rail_share: float = 0.5,
) -> Number:
    """Power that an amplifier takes from the supply for a given output.

    Formula: Pin = P0 + (Pr/eta - P0) s(P/Pr), where s(x) is x in class D, sqrt(x) in class A/B, and
    sqrt(x) w(x)/w(1) in class G/H with w the mean rail over the high rail

    Parameters
    ----------
    output_w : float or array
        Mean output of all channels together [W]
    rated_w : float or array
        Rated output of all channels together, with a sine [W]
    rated_efficiency : float or array
        Efficiency at the rated output, 0 to 1 [-]
    idle_w : float or array
        Power taken without a signal [W]
    topology : str
        "A/B", "D" or "G/H"
    signal : str
        "sine", or "noise" for music and noise: a Gaussian spread of the voltage
    low_rail_share : float
        Low rail over the high one, class G/H only [-]

    Returns
    -------
    Mean input power, broadcast over the arguments [W]

    Validity
    --------
    Rated load, resistive (a reactive one makes class A/B hotter), no clipping; noise therefore up to half the
    rated output. Losses of the supply converter are inside the rated efficiency and grow like the input.

    Raises
    ------
    ValueError
        If the output exceeds the rated one, or idle draw and efficiency together cannot be.

    Examples
    --------
    >>> input_power_w(output_w=50.0, rated_w=400.0, rated_efficiency=0.8, idle_w=20.0, topology="D")
    80.0

    References
    ----------
    Class B supply current of a sine, textbook (from memory); the two-rail and noise cases derived from it.

    """
    not_below_zero(output_w=output_w, idle_w=idle_w)
    above_zero(rated_w=rated_w, rated_efficiency=rated_efficiency)
    if signal not in ("sine", "noise"):
        raise ValueError(f'signal must be "sine" or "noise", but is "{signal}"')
    ceiling = highest_efficiency(topology=topology, low_rail_share=low_rail_share)
    rated = np.asarray(rated_w, dtype=np.float64)
    playing = rated / rated_efficiency - idle_w
    if np.any(playing * (1.0 + 1e-9) < rated / ceiling):
        raise ValueError(
            f"rated_efficiency {rated_efficiency} with idle_w {idle_w} at rated_w {rated_w} leaves the output stage "
            f"more than the {100 * ceiling:.1f} % that class {topology} can reach"
        )
    share = np.asarray(output_w) / rated
    within(0.0, 1.0 if signal == "sine" else 0.5, output_over_rated=plain(share))
    return plain(idle_w + playing * _input_share(share, topology, signal, low_rail_share))


def dissipation_w(
    *,
    output_w: Number,
    rated_w: Number,
    rated_efficiency: Number,
    idle_w: Number = 0.0,
    topology: Topology,
    signal: Signal = "sine",
    low_rail_share: float = 0.5,
) -> Number:
    """Heat that an amplifier gives off at a given output.

    Formula: Q = Pin - P. For music of a crest factor, P is `powers.mean_power_share` of the rated output.

    Parameters
    ----------
    output_w : float or array
        Mean output of all channels together [W]
    rated_w : float or array
        Rated output of all channels together, with a sine [W]
    rated_efficiency : float or array
        Efficiency at the rated output, 0 to 1 [-]
    idle_w : float or array
        Power taken without a signal [W]
    topology : str
        "A/B", "D" or "G/H"
    signal : str
        "sine" or "noise"
    low_rail_share : float
        Low rail over the high one, class G/H only [-]

    Returns
    -------
    Heat, broadcast over the arguments [W]

    Validity
    --------
    As `input_power_w`.

    Raises
    ------
    ValueError
        As `input_power_w`.

    Examples
    --------
    >>> dissipation_w(output_w=50.0, rated_w=400.0, rated_efficiency=0.8, idle_w=20.0, topology="D")
    30.0

    References
    ----------
    Conservation of energy.

    """
    taken = input_power_w(
        output_w=output_w,
        rated_w=rated_w,
        rated_efficiency=rated_efficiency,
        idle_w=idle_w,
        topology=topology,
        signal=signal,
        low_rail_share=low_rail_share,
    )
    return plain(np.asarray(taken) - output_w)
