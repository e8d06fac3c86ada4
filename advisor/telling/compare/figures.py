"""The figures by which options are told apart, each one fact of each option."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.engine import Engine
from advisor.facts.reading import BrokenFact, Missing, NotDefined, Reading
from advisor.judging.formats import with_unit
from advisor.judging.review import Review


@dataclass(frozen=True)
class Figure:
    """A figure that matters. Of several subjects the worst one counts; `more` tells whether more is better."""

    name: str
    kind: str
    fact: str
    more: bool


FIGURES = (
    Figure("bass reaches down to, lifted by the cabin", "job", "extension_in_cabin_hz", more=False),
    Figure("bass reaches down to, without that lift", "job", "extension_6db_hz", more=False),
    Figure("level all ways reach, one side at 1 m", "job", "loudest_db", more=True),
    Figure("widest hole between two ways", "job", "widest_hole_octaves", more=False),
    Figure("deepest fall where two ways hand over", "job", "deepest_handover_db", more=False),
    Figure("stage stands, seen from the first seat's ear", "job", "stage_height_deg", more=True),
    Figure("share of the voice from below the knee", "job", "voice_from_below_percent", more=False),
    Figure("from behind, against the front", "job", "off_stage_share_db", more=False),
    Figure("hottest amplifier stays below its cut-out by", "amplifier", "thermal_margin_k", more=True),
    Figure("left at idle with loud music", "supply", "idle_reserve_a", more=True),
    Figure("costs all together", "job", "total_cost", more=False),
    Figure("stays in the workshop", "job", "booked_days", more=False),
)


@dataclass(frozen=True)
class Value:
    """A figure of one option: the reading behind it, or why there is none."""

    text: str
    reading: Reading | None
    why_not: str = ""


def value_of(review: Review, figure: Figure) -> Value:
    """Return a figure of an option."""
    try:
        reading = worst(review.engine, figure)
    except NotDefined as stop:
        return Value("–", None, str(stop))
    except (Missing, BrokenFact) as stop:
        return Value("not known", None, str(stop))
    return Value(written(reading, review), reading)


def written(reading: Reading, review: Review) -> str:
    """Write a value as reports do, an amount with the shop's currency."""
    text = with_unit(reading.value, reading.unit)
    return f"{text.removesuffix(' money')} {review.system.shop.currency}" if reading.unit == "money" else text


def worst(engine: Engine, figure: Figure) -> Reading:
    """Return the reading of the subject that is worst off.

    Raises Missing where it is not known of one of them, and NotDefined where none has it.
    """
    found, reason = [], f"there is no {figure.kind}"
    for subject in engine.chain.of_kind(figure.kind):
        try:
            found.append(engine.ask(subject, figure.fact))
        except NotDefined as stop:
            reason = str(stop)
    if not found:
        raise NotDefined(reason)
    return (min if figure.more else max)(found, key=lambda reading: float(reading.value))
