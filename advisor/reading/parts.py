"""The kinds of part a library holds. Units are in the names; see DEVELOPERS.md for how to add a kind."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from advisor.reading.quantities import Celsius, Count, LinkKind, NotNegative, Positive, Share
from advisor.reading.spec import Spec

Basis = Literal["measured", "datasheet", "estimated"]


@dataclass(frozen=True, kw_only=True)
class Part(Spec):
    """What every part has: what it is called, costs, weighs, how long it takes to fit, and who says so."""

    title: str = ""
    data: Basis = "datasheet"
    """Where the numbers come from: measured by the shop, the maker's datasheet, or estimated."""
    source: str = ""
    price: NotNegative | None = None
    """To the customer, each."""
    fit_h: NotNegative | None = None
    """Labour hours to fit one, without work on the body (that is listed as work on the way)."""
    weight_kg: Positive | None = None
    outer_mm: tuple[Positive, Positive, Positive] | None = None
    """Length, width, height."""
    discontinued: bool = False


@dataclass(frozen=True, kw_only=True)
class Signal(Spec):
    """One kind of connection of a device: how many channels it carries and at what level."""

    channels: Count = 2
    min_v: Positive | None = None
    """Input: the voltage that drives it fully at the most sensitive setting."""
    max_v: Positive | None = None
    """Input: the voltage it clips at. Output: the most it gives."""
    sample_rate_hz: Positive | None = None
    watts: dict[Positive, Positive] | None = None
    """Speaker-level output: watts by load in ohms."""
    min_ohm: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Source(Part):
    """A screen, radio or player."""

    factory: bool = False
    """Already in the vehicle, and staying there."""

    outputs: dict[LinkKind, Signal]


@dataclass(frozen=True, kw_only=True)
class Interface(Part):
    """Something between source and processor: digital extraction or a level converter."""

    inputs: dict[LinkKind, Signal]
    outputs: dict[LinkKind, Signal]
    setup_port: str | None = None
    """The connector a fitter needs to reach for settings and updates."""


@dataclass(frozen=True, kw_only=True)
class Processor(Part):
    """A signal processor: crossovers, delays, equalisation."""

    inputs: dict[LinkKind, Signal]
    outputs: dict[LinkKind, Signal]
    setup_port: str | None = None
    steepest_db_per_octave: Positive | None = None
    longest_delay_ms: Positive | None = None
    noise_distance_db: Positive | None = None
    """How far its noise lies below its full output: signal to noise."""
    idle_a: NotNegative | None = None


@dataclass(frozen=True, kw_only=True)
class Bank(Spec):
    """Channels of an amplifier that are alike."""

    channels: Count
    watts: dict[Positive, Positive]
    """Continuous watts per channel by load in ohms, as rated."""
    min_ohm: Positive
    bridged_watts: dict[Positive, Positive] = field(default_factory=dict)
    bridged_min_ohm: Positive | None = None
    filters: tuple[Literal["high-pass", "low-pass"], ...] = ()
    """Crossover filters the channels have of their own."""


@dataclass(frozen=True, kw_only=True)
class Amplifier(Part):
    """An amplifier: banks of channels in order, one set of inputs."""

    banks: tuple[Bank, ...]
    inputs: dict[LinkKind, Signal]
    class_: Literal["A/B", "D", "G/H"] | None = None
    efficiency: Share | None = None
    """At rated power."""
    idle_a: NotNegative | None = None
    power_supply: Literal["regulated", "unregulated", "none"] = "regulated"
    """What its converter does as the battery sags: holds its rails, lets them sag too; none as in most radios."""
    rated_at_v: Positive | None = None
    noise_distance_db: Positive | None = None
    """How far its noise lies below its output: signal to noise."""
    noise_distance_at: Literal["rated", "1 W"] = "rated"
    """The output that is counted from: rated power, or 1 W."""
    sink_k_per_w: Positive | None = None
    heat_j_per_k: Positive | None = None
    cut_out_c: Celsius | None = None
    setup_port: str | None = None


@dataclass(frozen=True, kw_only=True)
class Network(Part):
    """A passive crossover network for one side, ready made."""

    outputs: tuple[str, ...] = ("low", "high")
    """From the lowest band up."""
    edges_hz: tuple[Positive, ...] = ()
    """One fewer than outputs."""
    slopes_db_per_octave: tuple[Positive, ...] = ()
    power_w: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Driver(Part):
    """A loudspeaker driver. With two coils, ohms and force factor are of one, the Q of both driven together."""

    type: Literal["tweeter", "mid", "midwoof", "woofer", "sub", "coaxial", "full-range"] | None = None
    size_mm: Positive | None = None
    """Nominal size; or as the trade often says it, `size_in`."""
    size_in: Positive | None = None
    impedance_ohm: Positive | None = None
    """Rated impedance, of one coil."""
    min_ohm: Positive | None = None
    coils: Count = 1
    re_ohm: Positive | None = None
    le_mh: NotNegative | None = None
    fs_hz: Positive | None = None
    qts: Positive | None = None
    qes: Positive | None = None
    qms: Positive | None = None
    vas_l: Positive | None = None
    sd_cm2: Positive | None = None
    mms_g: Positive | None = None
    bl_tm: Positive | None = None
    xmax_mm: Positive | None = None
    sensitivity_db: Positive | None = None
    sensitivity_at: Literal["1 W", "2.83 V"] = "2.83 V"
    power_w: Positive | None = None
    """Rated (long-term) power handling."""
    crossed_from_hz: Positive | None = None
    """The lowest crossover frequency its maker allows."""
    breaks_up_hz: Positive | None = None
    frame_mm: Positive | None = None
    cutout_mm: Positive | None = None
    depth_mm: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Cable(Part):
    """Cable by the metre; `price` is of one metre."""

    use: Literal["power", "speaker", "signal"] = "power"
    mm2: Positive | None = None
    awg: int | None = None
    insulation_c: Celsius | None = None


@dataclass(frozen=True, kw_only=True)
class Fuse(Part):
    """A fuse with its holder."""

    rating_a: Positive


@dataclass(frozen=True, kw_only=True)
class Fan(Part):
    """A fan for an amplifier's place."""

    flow_m3_h: Positive | None = None
    draws_a: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Box(Part):
    """An enclosure, ready made or drawn: net volume, and tuning where it has a port."""

    closed_l: Positive | None = None
    vented_l: Positive | None = None
    tuned_hz: Positive | None = None
    port_mm: Positive | None = None
    """Inner diameter of a round port."""
    ports: Count = 1


KINDS: dict[str, type[Part]] = {
    "source": Source,
    "interface": Interface,
    "processor": Processor,
    "amplifier": Amplifier,
    "network": Network,
    "driver": Driver,
    "cable": Cable,
    "fuse": Fuse,
    "fan": Fan,
    "box": Box,
}
"""Every kind of part, by the word a file says it with."""
