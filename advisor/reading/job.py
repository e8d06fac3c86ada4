"""A job: one vehicle, one customer, and the chain that is proposed for them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Any, Literal

from annotated_types import MinLen

from advisor.reading.quantities import Celsius, CodeOr, Count, Day, LinkKind, NotNegative, Positive
from advisor.reading.shorthand import Edge, Feed
from advisor.reading.sides import Delay, Polarity, Trim
from advisor.reading.spec import Spec

Joined = Literal["series", "parallel"]

DEVICES = ("source", "interface", "processor", "amplifier", "network")
"""The keys of which a device of the chain has exactly one."""

BANDS = ("low", "mid", "high")
"""The outputs of a passive network made for the job, from the lowest band up."""


@dataclass(frozen=True, kw_only=True)
class Device(Spec):
    """A device of the chain: what it is, what feeds it, where it sits."""

    source: Annotated[Any, CodeOr("Source")] = None
    interface: Annotated[Any, CodeOr("Interface")] = None
    processor: Annotated[Any, CodeOr("Processor")] = None
    amplifier: Annotated[Any, CodeOr("Amplifier")] = None
    network: Annotated[Any, CodeOr("Network")] = None
    """A passive crossover; `auto` for one designed for the job."""
    pad_db: dict[str, NotNegative] = field(default_factory=dict)
    """Of a network designed for the job: how much an output is turned down, as `{high: 3}`; 0 for no pad."""
    from_: Feed | None = None
    over: LinkKind | None = None
    at: Annotated[Any, CodeOr("Location")] = None
    fan: Literal["none", "always on", "switched", "thermostatic"] = "none"
    woken_by: str | None = None
    """What switches it on: a device of the chain, `ignition`, or `signal` where it listens for music itself."""
    relay: bool = False
    """Whether its switching lead works a relay, which then feeds what it wakes."""
    service_lead: str | None = None
    """Where the lead to its set-up connector comes out."""

    @property
    def kind(self) -> str:
        """Which of the device keys was written."""
        return next(kind for kind in DEVICES if getattr(self, kind) is not None)


@dataclass(frozen=True, kw_only=True)
class Run(Spec):
    """A length of two-core cable: its section by code, mm² or AWG, and the way from end to end."""

    cable: Annotated[Any, CodeOr("Cable")] = None
    cable_mm2: Positive | None = None
    cable_awg: Annotated[int | None, "1/0 is 0, 2/0 is -1"] = None
    run_m: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Way(Spec):
    """One band of the system: a driver (or one on each side), where it sits, what feeds it, what it plays."""

    driver: Annotated[Any, CodeOr("Driver")]
    at: Annotated[Any, CodeOr("Location")] = None
    from_: Feed | None = None
    plays: tuple[Edge, Edge] | None = None
    """Low edge, high edge."""
    box: Annotated[Any, CodeOr("Box")] = None
    count: Count = 1
    """Drivers on each side."""
    joined: Joined | None = None
    """How several drivers are wired to one channel."""
    coils: Joined | None = None
    """How the coils of a driver with more than one are wired."""
    trim_db: Trim | None = None
    """Level set in the processor; worked out where it is not given. May differ by side: {left: -3, right: -1.5}."""
    polarity: Polarity | None = None
    """normal or inverted, in the processor or by the leads; worked out where it is not given. May differ by side."""
    delay_ms: Delay | None = None
    """Delay set in the processor; worked out where it is not given. May differ by side."""
    ring_mm: Positive | None = None
    """Thickness of the ring it is mounted on, which brings it so much forward."""
    speaker_cable: Run | None = None
    work: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Branch(Spec):
    """The cable from the distribution to one amplifier, two-core, with its fuse."""

    cable_mm2: Positive | None = None
    cable_awg: int | None = None
    insulation_c: Celsius | None = None
    run_m: Positive | None = None
    fuse_a: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Supply(Run):
    """The cable from the battery to the amplifiers and its fuse."""

    fuse_a: Positive | None = None
    fuse_from_battery_m: NotNegative | None = None
    branches: dict[str, Branch] = field(default_factory=dict)
    """Where more than one amplifier is fed: what leads from the distribution to each, by the amplifier's name."""
    ground: Literal["cable", "body"] | None = None
    """The way back: a second cable to the battery, or the body beside the amplifiers."""
    ground_m: Positive | None = None
    """Length of the lead to the body."""
    joints: Count | None = None
    """Lugs, clamps and terminals in both legs, a fuse with its holder as two."""
    capacitor_f: Positive | None = None
    """A capacitor across the supply beside the amplifiers; a listed part of that kind says its resistance."""
    second_battery_ah: Positive | None = None
    """A second battery beside the amplifiers; a listed part of that kind says its resistance."""


@dataclass(frozen=True, kw_only=True)
class Customer(Spec):
    """What the customer wants, can spend and will not give up."""

    budget: Positive | None = None
    loudness_db: Positive | None = None
    deepest_hz: Positive | None = None
    """How deep the bass is to go."""
    ready_in_days: Positive | None = None
    """Working days from the order until the customer wants the vehicle back."""
    seats: tuple[Annotated[Any, CodeOr("Seat")], ...] = ()
    """Listeners' seats, the most important first."""
    keep: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Waiver(Spec):
    """A finding that somebody answers for: which rule, where, why, until when, who."""

    rule: str
    at: str
    reason: Annotated[str, MinLen(3)]
    until: Annotated[date, Day()]
    by: Annotated[str, MinLen(1)]


@dataclass(frozen=True, kw_only=True)
class Job(Spec):
    """A job file."""

    advisor: Literal[1] = 1
    job: str
    library: tuple[str, ...] = ()
    shop: str | None = None
    """A shop file, beside the job."""
    vehicle: Annotated[Any, CodeOr("Vehicle")] = None
    air_c: Celsius | None = None
    """Air in the cabin when the system is listened to."""
    customer: Customer = Customer()
    chain: dict[str, Device] = field(default_factory=dict)
    ways: Annotated[dict[str, Way], MinLen(1)]
    supply: Supply | None = None
    work: tuple[str, ...] = ()
    extras: dict[str, Positive] = field(default_factory=dict)
    """Other parts of the library and how many (or how many metres)."""
    waive: tuple[Waiver, ...] = ()
