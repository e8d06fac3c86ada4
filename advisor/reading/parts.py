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
    lead_days: NotNegative | None = None
    """Working days from order to delivery; 0 where it lies on the shelf."""
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
    balanced: bool = False
    """Line: a difference between two wires, so that what lies between two grounds is not heard."""
    watts: dict[Positive, Positive] | None = None
    """Speaker-level output: watts by load in ohms."""
    min_ohm: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Source(Part):
    """A screen, radio or player."""

    factory: bool = False
    """Already in the vehicle, and staying there."""

    outputs: dict[LinkKind, Signal]
    remote_out_ma: NotNegative | None = None
    """What its switching lead (remote) gives at most."""


@dataclass(frozen=True, kw_only=True)
class Interface(Part):
    """Something between source and processor: digital extraction or a level converter."""

    inputs: dict[LinkKind, Signal]
    outputs: dict[LinkKind, Signal]
    setup_port: str | None = None
    """The connector a fitter needs to reach for settings and updates."""
    remote_out_ma: NotNegative | None = None
    remote_ma: NotNegative | None = None
    """What its own switching input draws."""


@dataclass(frozen=True, kw_only=True)
class Processor(Part):
    """A signal processor: crossovers, delays, equalisation."""

    inputs: dict[LinkKind, Signal]
    outputs: dict[LinkKind, Signal]
    setup_port: str | None = None
    steepest_db_per_octave: Positive | None = None
    longest_delay_ms: Positive | None = None
    sample_rate_hz: Positive | None = None
    """The rate it works at inside: what its delays are counted in."""
    noise_distance_db: Positive | None = None
    """How far its noise lies below its full output: signal to noise."""
    idle_a: NotNegative | None = None
    remote_out_ma: NotNegative | None = None
    remote_ma: NotNegative | None = None


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
    rated: Literal["CTA-2006", "continuous", "peak"] | None = None
    """How its watts were counted: by that standard, as a continuous sine by its maker's word, or as a peak."""
    fuses_a: Positive | None = None
    """What the fuses in it add up to."""
    cuts_out_below_v: Positive | None = None
    """Supply voltage below which it switches itself off."""
    remote_ma: NotNegative | None = None
    """What its switching input (remote) draws."""
    noise_distance_db: Positive | None = None
    """How far its noise lies below its output: signal to noise."""
    noise_distance_at: Literal["rated", "1 W"] = "rated"
    """The output that is counted from: rated power, or 1 W."""
    sink_k_per_w: Positive | None = None
    heat_j_per_k: Positive | None = None
    cut_out_c: Celsius | None = None
    setup_port: str | None = None


@dataclass(frozen=True, kw_only=True)
class LegPart(Spec):
    """One part of a network's leg: in series with the driver, or across it as a shunt. Several values are in a row."""

    series_uf: Positive | None = None
    series_mh: Positive | None = None
    series_ohm: Positive | None = None
    """A resistor; beside `series_mh` the wire of that coil."""
    shunt_uf: Positive | None = None
    shunt_mh: Positive | None = None
    shunt_ohm: Positive | None = None

    def __post_init__(self) -> None:
        """Refuse what is neither in series nor across, or both."""
        series, shunt = (
            (self.series_uf, self.series_mh, self.series_ohm),
            (self.shunt_uf, self.shunt_mh, self.shunt_ohm),
        )
        if any(series) and any(shunt):
            raise ValueError("is in series and across at once; write two parts, {series_uf: 4.7}, {shunt_mh: 0.33}")
        if not any(series) and not any(shunt):
            raise ValueError("holds no part; write for example {series_uf: 4.7}")


@dataclass(frozen=True, kw_only=True)
class Network(Part):
    """A passive crossover network for one side, ready made."""

    outputs: tuple[str, ...] = ("low", "high")
    """From the lowest band up."""
    edges_hz: tuple[Positive, ...] = ()
    """One fewer than outputs."""
    slopes_db_per_octave: tuple[Positive, ...] = ()
    legs: dict[str, tuple[LegPart, ...]] = field(default_factory=dict)
    """What stands between its input and each output, from the input on; sheets seldom say, a meter does."""
    power_w: Positive | None = None

    def __post_init__(self) -> None:
        """Refuse a leg of an output it has not."""
        for leg in self.legs:
            if leg not in self.outputs:
                raise ValueError(f"has a leg '{leg}' but no such output; its outputs are {', '.join(self.outputs)}")


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
    stands_out_mm: NotNegative | None = None
    """How far it comes out before its mounting face at full travel: frame, surround and cone."""
    vented_pole: bool = False
    """Breathes through a hole at the back of its magnet."""


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
    """In free air, as its sheet says; grilles and trim take about half."""
    draws_a: Positive | None = None
    noise_db: NotNegative | None = None
    """dB(A) at 1 m, as its sheet says."""


@dataclass(frozen=True, kw_only=True)
class Battery(Part):
    """A second battery near the amplifiers."""

    capacity_ah: Positive
    resistance_mohm: Positive | None = None
    """Inner resistance, charged and warm."""


@dataclass(frozen=True, kw_only=True)
class Capacitor(Part):
    """A capacitor across the supply, near the amplifiers."""

    capacity_f: Positive
    resistance_mohm: Positive | None = None
    """Equivalent series resistance, with its leads."""


@dataclass(frozen=True, kw_only=True)
class Box(Part):
    """An enclosure, ready made or drawn: net volume, and tuning where it has a port."""

    closed_l: Positive | None = None
    vented_l: Positive | None = None
    tuned_hz: Positive | None = None
    port_mm: Positive | None = None
    """Inner diameter of a round port."""
    ports: Count = 1
    wall_mm: Positive | None = None
    """Thickness of its walls."""
    fill: Literal["none", "lined", "filled"] = "none"
    """What damping is in it: walls lined, or loosely filled throughout."""


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
    "battery": Battery,
    "capacitor": Capacitor,
    "box": Box,
}
"""Every kind of part, by the word a file says it with."""
