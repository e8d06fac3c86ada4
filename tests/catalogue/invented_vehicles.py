"""Eight invented vehicles with places of the same names, and any number more like them."""

# ruff: noqa: E501 - tables read better in long lines

from __future__ import annotations

import copy
import random
from typing import Any


def _pair(zone: str, height: float, near: float, far: float, **more: Any) -> dict[str, Any]:
    """A place on both sides: how far it is from the near and the far ear, and how far off its axis they are."""
    axis_near, axis_far = more.pop("axis")
    return {
        "zone": zone,
        "height_m": height,
        "left": {"distance_m": {"driver": near, "passenger": far}, "off_axis_deg": {"driver": axis_near, "passenger": axis_far}},
        "right": {"distance_m": {"driver": far, "passenger": near}, "off_axis_deg": {"driver": axis_far, "passenger": axis_near}},
        **more,
    }  # fmt: skip


def _one(zone: str, height: float, distance: float, **more: Any) -> dict[str, Any]:
    return {"zone": zone, "height_m": height, "distance_m": {"driver": distance, "passenger": distance}, **more}


def vehicle(
    title: str,
    *,
    size: float,
    cabin: tuple[float, float],
    door: tuple[int, int, int, int],
    dash: tuple[int, int],
    boot: tuple[int, int, int],
    rear: bool = True,
    electrics: dict[str, Any] | None = None,
    hottest: int = 64,
) -> dict[str, Any]:
    """Return a vehicle; door is hole, depth, window and litres, dash hole and depth, boot hole, depth and litres."""
    hole, depth, window, litres = door
    places = {
        "mirror-triangle": _pair(
            "front", round(1.0 * size, 2), round(0.74 * size, 2), round(1.27 * size, 2), axis=(26, 12),
            title="Mirror triangle of the front door", hole_mm=52, depth_mm=29, behind="cavity", airbag="none",
        ),
        "dash-corner": _pair(
            "front", round(0.95 * size, 2), round(0.87 * size, 2), round(1.36 * size, 2), axis=(28, 20),
            title="Corner of the dash under the windscreen", hole_mm=dash[0], depth_mm=dash[1], volume_l=1.6,
            behind="cavity", airbag="none",
        ),
        "a-pillar": _pair(
            "front", round(1.15 * size, 2), round(0.7 * size, 2), round(1.28 * size, 2), axis=(15, 9),
            title="Windscreen pillar, with the curtain airbag behind its trim", hole_mm=54, depth_mm=30,
            behind="cavity", airbag="in its path",
        ),
        "door-low": _pair(
            "low", round(0.36 * size, 2), round(0.97 * size, 2), round(1.39 * size, 2), axis=(53, 29),
            title="Factory place low in the front door", hole_mm=hole, depth_mm=depth, window_mm=window, front_mm=32,
            volume_l=litres, behind="door", airbag="none",
        ),
        "dash-end": {
            "title": "Behind the end cap of the dash", "pair": True, "height_m": round(0.75 * size, 2),
            "space_mm": [165, 125, 75], "air": "vented", "hidden": True, "airbag": "none",
        },
        "glovebox-back": {
            "title": "Behind the glovebox", "height_m": round(0.6 * size, 2), "space_mm": [230, 165, 70],
            "air": "vented", "airbag": "none",
        },
        "seat-base": _one(
            "low", 0.1, round(1.15 * size, 2), title="Floor under the front passenger's seat",
            space_mm=[370, 300, 110], air="open", airbag="none",
        ),
        "boot-side": _one(
            "rear", 0.4, round(1.85 * size, 2), title="Side of the boot behind the trim, left", hole_mm=boot[0],
            off_axis_deg={"driver": 35, "passenger": 40}, depth_mm=boot[1], volume_l=boot[2], holds_kg=55,
            space_mm=[560, 420, 340], behind="cavity", air="closed", airbag="none",
        ),
        "boot-wall": {
            "title": "Against the wall of the boot, right", "zone": "rear", "height_m": 0.35,
            "space_mm": [430, 300, 160], "holds_kg": 20, "air": "open", "disturbs": ["tool kit"], "airbag": "none",
        },
        "boot-floor": _one(
            "rear", 0.1, round(2.0 * size, 2), title="On the boot floor", hole_mm=300, depth_mm=330, volume_l=95,
            off_axis_deg={"driver": 40, "passenger": 40}, space_mm=[820, 560, 400], behind="cabin", air="open",
            disturbs=["load floor"], airbag="none",
        ),
    }  # fmt: skip
    seats = {"driver": {"side": "left", "ear_height_m": round(1.1 * size, 2)}}
    seats["passenger"] = {"side": "right", "ear_height_m": round(1.1 * size, 2)}
    if rear:
        places["rear-door"] = _pair(
            "rear",
            0.45,
            round(1.1 * size, 2),
            round(1.52 * size, 2),
            axis=(74, 60),
            title="Rear door",
            hole_mm=146,
            depth_mm=62,
            volume_l=16,
            behind="door",
            airbag="none",
        )
    return {
        "title": title,
        "data": "measured",
        "source": "taped by the shop (invented)",
        "cabin": {"length_m": cabin[0], "volume_m3": cabin[1], "hottest_c": hottest},
        "electrics": electrics
        or {"nominal_v": 12, "running_v": 14.2, "alternator_a": 150, "alternator_idle_a": 85, "battery_ah": 80},
        "seats": seats,
        "locations": places,
    }


def _electrics(alternator: int, idle: int, battery: int) -> dict[str, Any]:
    return {
        "nominal_v": 12,
        "running_v": 14.2,
        "alternator_a": alternator,
        "alternator_idle_a": idle,
        "battery_ah": battery,
    }


VEHICLES: dict[str, dict[str, Any]] = {
    "town-hatch": vehicle(
        "Small town car, five doors", size=0.96, cabin=(2.3, 2.7), door=(150, 70, 84, 24), dash=(98, 55),
        boot=(240, 200, 40), electrics=_electrics(130, 78, 60),
    ),
    "family-estate": vehicle(
        "Estate car of the middle class", size=1.0, cabin=(2.8, 3.7), door=(152, 74, 88, 30), dash=(100, 58),
        boot=(292, 240, 62), electrics=_electrics(170, 95, 80),
    ),
    "crew-pickup": vehicle(
        "Crew-cab pick-up", size=1.08, cabin=(2.2, 3.9), door=(170, 84, 96, 36), dash=(104, 62),
        boot=(240, 210, 42), electrics=_electrics(180, 100, 95), hottest=66,
    ),
    "panel-camper": vehicle(
        "Camper on a panel van", size=1.1, cabin=(3.9, 10.4), door=(168, 80, 92, 34), dash=(100, 58),
        boot=(292, 260, 70), rear=False, electrics=_electrics(180, 98, 95),
    ),
    "open-two-seater": vehicle(
        "Open two-seater", size=0.92, cabin=(1.6, 1.7), door=(150, 70, 82, 19), dash=(94, 50),
        boot=(238, 180, 38), rear=False, electrics=_electrics(120, 70, 60), hottest=70,
    ),
    "electric-hatch": vehicle(
        "Electric hatchback", size=0.98, cabin=(2.5, 3.1), door=(150, 70, 82, 27), dash=(98, 54),
        boot=(240, 190, 38), electrics={"nominal_v": 12, "running_v": 14.0, "battery_ah": 50, "converter_a": 150},
    ),
    "high-van": vehicle(
        "Delivery van with a bulkhead", size=1.12, cabin=(1.9, 4.4), door=(118, 52, 70, 30), dash=(86, 48),
        boot=(236, 200, 40), rear=False, electrics=_electrics(150, 82, 90),
    ),
    "compact-off-roader": vehicle(
        "Compact off-roader", size=1.03, cabin=(2.5, 3.3), door=(154, 73, 88, 28), dash=(100, 57),
        boot=(288, 230, 52), electrics=_electrics(160, 90, 75),
    ),
}  # fmt: skip


def more_vehicles(count: int, dice: random.Random) -> dict[str, dict[str, Any]]:
    """Return so many vehicles, each like one of the eight with its own dimensions."""
    kinds = [code for code in VEHICLES if code != "high-van"]
    found = {}
    for number in range(1, count + 1):
        like = kinds[number % len(kinds)]
        new = copy.deepcopy(VEHICLES[like])
        new["title"] = f"{new['title']}, body {number}"
        cabin = new["cabin"]
        cabin |= {key: round(cabin[key] * dice.uniform(0.96, 1.04), 2) for key in ("length_m", "volume_m3")}
        cabin["hottest_c"] += dice.randint(-2, 2)  # read off to the degree
        for place in new["locations"].values():
            _vary(place, dice)
        found[f"{like}-{number:02d}"] = new
    return found


def _vary(place: dict[str, Any], dice: random.Random) -> None:
    for key in ("hole_mm", "depth_mm", "window_mm", "volume_l"):
        if key in place:
            place[key] = round(place[key] * dice.uniform(0.97, 1.06))
    for side in (place, place.get("left", {}), place.get("right", {})):
        for ear, distance in side.get("distance_m", {}).items():
            side["distance_m"][ear] = round(distance * dice.uniform(0.97, 1.03), 2)
