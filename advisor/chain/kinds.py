"""What each kind of subject has: specs from files, ties to other subjects, and words of its own.

Facts come on top of these; together they are all the names a rule may use.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.reading import job, parts, shop, vehicle
from advisor.reading.spec import Spec


@dataclass(frozen=True)
class Kind:
    """One kind of subject.

    `specs` names what of it was written in files, `ties` the kind of subject at the other end (in a list where
    there may be several), `own` the words that follow from where it stands in the chain.
    """

    name: str
    specs: dict[str, type[Spec]] = field(default_factory=dict)
    ties: dict[str, str | list[str]] = field(default_factory=dict)
    own: tuple[str, ...] = ()


_DEVICE = {"spec": job.Device}

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            "job",
            {
                "spec": job.Job,
                "customer": job.Customer,
                "shop": shop.Shop,
                "vehicle": vehicle.Vehicle,
                "cabin": vehicle.Cabin,
                "electrics": vehicle.Electrics,
            },
            {
                "sources": ["source"],
                "interfaces": ["interface"],
                "processors": ["processor"],
                "amplifiers": ["amplifier"],
                "networks": ["network"],
                "drivers": ["driver"],
                "crossings": ["crossing"],
                "extras": ["extra"],
                "supplies": ["supply"],
                "cabins": ["cabin"],
                "seats": ["seat"],
                "items": ["item"],
                "tasks": ["task"],
            },
            ("has_chain",),
        ),
        Kind("source", {**_DEVICE, "part": parts.Source}, {"location": "location", "job": "job"}),
        Kind(
            "interface",
            {**_DEVICE, "part": parts.Interface},
            {"location": "location", "links": ["link"], "job": "job"},
        ),
        Kind(
            "processor",
            {**_DEVICE, "part": parts.Processor},
            {"location": "location", "links": ["link"], "job": "job"},
            ("taken",),
        ),
        Kind(
            "amplifier",
            {**_DEVICE, "part": parts.Amplifier},
            {"location": "location", "channels": ["channel"], "links": ["link"], "job": "job"},
        ),
        Kind(
            "channel",
            {"bank": parts.Bank},
            {"amplifier": "amplifier", "drivers": ["driver"], "job": "job"},
            ("number", "channels_there", "bridged", "ways", "makers"),
        ),
        Kind(
            "network",
            {**_DEVICE, "part": parts.Network},
            {"location": "location", "channel": "channel", "drivers": ["driver"]},
            ("side", "sides_fed", "sides_served"),
        ),
        Kind(
            "link",
            {"offer": parts.Signal, "take": parts.Signal},
            {"job": "job"},
            ("kind", "offered", "taken", "sender", "receiver", "places_apart"),
        ),
        Kind("way", {"spec": job.Way, "part": parts.Driver}, {"drivers": ["driver"]}),
        Kind(
            "driver",
            {"way": job.Way, "part": parts.Driver, "box": parts.Box, "reach": vehicle.Reach},
            {
                "location": "location",
                "channel": "channel",
                "network": "network",
                "amplifier": "amplifier",
                "cable": "cable",
                "job": "job",
            },
            ("side", "is_fed", "low_edge_maker", "high_edge_maker", "first_seat"),
        ),
        Kind("crossing", {}, {"lower": "driver", "upper": "driver", "job": "job"}, ("side", "passive", "one_channel")),
        Kind("location", {"spec": vehicle.Location}, {"job": "job"}, ("side", "holds")),
        Kind("cable", {"spec": job.Run, "part": parts.Cable}, {"driver": "driver", "job": "job"}),
        Kind("supply", {"spec": job.Supply, "part": parts.Cable}, {"job": "job"}),
        Kind("cabin", {"spec": vehicle.Cabin}, {"job": "job"}),
        Kind("seat", {"spec": vehicle.Seat}, {"job": "job"}, ("called", "is_first")),
        Kind("extra", {"part": parts.Part}, {}, ("count",)),
        Kind(
            "item",
            {"part": parts.Part},
            {
                "job": "job",
                "drivers": ["driver"],
                "cables": ["cable"],
                "supplies": ["supply"],
                "extras": ["extra"],
            },
            ("devices", "boxed", "kind", "code"),
        ),
        Kind("task", {"operation": shop.Operation}, {"job": "job", "drivers": ["driver"]}, ("code",)),
        Kind("waiver", {"spec": job.Waiver}, {}, ("findings_met", "today")),
    )
}
