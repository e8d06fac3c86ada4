"""A vehicle, surveyed once with tape and meter and used for many jobs."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from advisor.reading.parts import Basis
from advisor.reading.quantities import Angle, Celsius, NotNegative, Positive, Side
from advisor.reading.spec import Spec


@dataclass(frozen=True, kw_only=True)
class Reach(Spec):
    """How one side of a location stands to the seats' ears."""

    distance_m: dict[str, Positive] = field(default_factory=dict)
    off_axis_deg: dict[str, Angle] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Location(Spec):
    """A place where something can be mounted. With `left` and `right` (or `pair: true`) it stands for both."""

    title: str = ""
    zone: Literal["front", "low", "rear"] | None = None
    """front: before the listener, dash or door top or pillar; low: before the listener, below the knee; rear."""
    pair: bool = False
    left: Reach | None = None
    right: Reach | None = None
    distance_m: dict[str, Positive] = field(default_factory=dict)
    off_axis_deg: dict[str, Angle] = field(default_factory=dict)
    height_m: NotNegative | None = None
    hole_mm: Positive | None = None
    """The largest cut-out the place takes."""
    depth_mm: Positive | None = None
    """Free depth behind the mounting face, with the window down."""
    window_mm: Positive | None = None
    """From the mounting face to the glass on its way down, where a window passes behind it."""
    front_mm: NotNegative | None = None
    """Free room before the mounting face, to the grille or the trim."""
    holds_kg: Positive | None = None
    """What may hang on it, as it is or as it is going to be built."""
    volume_l: Positive | None = None
    space_mm: tuple[Positive, Positive, Positive] | None = None
    behind: Literal["door", "cavity", "cabin", "solid"] | None = None
    """What is behind the mounting face: a door, a closed body cavity, the cabin itself, or solid panel."""
    air: Literal["open", "vented", "closed"] | None = None
    """How air gets to a device mounted here and away from it."""
    hidden: bool = False
    """Behind trim that takes tools to remove."""
    disturbs: tuple[str, ...] = ()
    """What of the vehicle is lost or moved by building here."""
    airbag: Literal["none", "near", "in its path"] | None = None
    hottest_c: Celsius | None = None

    @property
    def sides(self) -> tuple[Side | None, ...]:
        """The sides it stands for; one `None` where it is a single place."""
        if self.pair or (self.left and self.right):
            return ("left", "right")
        return (None,)

    def reach(self, side: Side | None) -> Reach | None:
        """Return how a side stands to the ears."""
        return {"left": self.left, "right": self.right}.get(side) if side else None


@dataclass(frozen=True, kw_only=True)
class Cabin(Spec):
    """The space the listeners sit in."""

    length_m: Positive | None = None
    volume_m3: Positive | None = None
    hottest_c: Celsius | None = None
    """The hottest it gets parked in the sun."""


@dataclass(frozen=True, kw_only=True)
class Electrics(Spec):
    """What the vehicle can feed."""

    nominal_v: Positive = 12.0
    running_v: Positive | None = None
    alternator_a: Positive | None = None
    alternator_idle_a: Positive | None = None
    """What it gives at idle; the first of the two figures on its label."""
    own_draw_a: Positive | None = None
    """What the vehicle itself takes, with lights and blower on."""
    standby_a: Positive | None = None
    """What flows while it is parked, an hour after locking."""
    battery_ah: Positive | None = None
    converter_a: Positive | None = None
    """What the DC-DC converter of an electric vehicle gives at 12 V."""
    smart_charging: bool | None = None
    """Whether the charging voltage is let down while driving, to save fuel."""
    lowest_running_v: Positive | None = None
    """The lowest that was measured on the road."""
    stop_start: bool | None = None
    """Whether the engine stops at the lights."""
    restart_v: Positive | None = None
    """The lowest that was measured while it starts again."""
    engine_space_c: Celsius | None = None
    """The hottest air along the supply cable, where it was measured."""


@dataclass(frozen=True, kw_only=True)
class Seat(Spec):
    """A listener's place."""

    name: str = ""
    side: Side | None = None
    ear_height_m: Positive | None = None


@dataclass(frozen=True, kw_only=True)
class Vehicle(Spec):
    """A surveyed vehicle."""

    advisor: Literal[1] = 1
    vehicle: str = ""
    title: str = ""
    data: Basis = "measured"
    source: str = ""
    cabin: Cabin = Cabin()
    electrics: Electrics = Electrics()
    seats: dict[str, Seat] = field(default_factory=dict)
    locations: dict[str, Location] = field(default_factory=dict)
