"""Who plays what: each way in the words of someone who listens, and where in the vehicle it sits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.chain.subject import Subject
from advisor.facts.reading import Reading
from advisor.telling.brief.numbers import Numbers
from advisor.telling.compare.leaves import bare

BASS_TOP_HZ, LOW_VOICE_HZ, HIGH_VOICE_HZ, CYMBALS_HZ = 160.0, 250.0, 700.0, 8000.0
"""Common practice: a way that ends below the first plays bass alone; voices begin near the second and have their
body below the third; cymbals reach past the last."""


@dataclass(frozen=True)
class Role:
    """One way as the customer hears it. `short` stands in pictures, `plays` in sentences.

    `band` is what it plays and can [Hz]; `looks` is high, voice, bass or soft.
    """

    way: str
    drivers: tuple[Subject, ...]
    short: str
    plays: str
    looks: str
    band: tuple[float, float] | None

    @property
    def place(self) -> str:
        """Where it sits, in words, and on which sides."""
        return f"{self.title}, left and right" if self.title and len(self.drivers) > 1 else self.title

    @property
    def title(self) -> str:
        """Where it sits, in words; empty where that is not said."""
        location = self.drivers[0].ties.get("location")
        if not isinstance(location, Subject):
            return ""
        return str(getattr(location.specs["spec"], "title", "")) or bare(location.name).replace("-", " ")


_WORDS = {
    "high": ("high notes", "the high notes (cymbals, strings, the breath in a voice)"),
    "middle": ("voices", "voices and guitars"),
    "low": ("drums, low voices", "drums, and the low notes of voices and guitars"),
    "wide": ("voices, drums", "voices, guitars and drums"),
    "full": ("all but the bass", "all but the bass (drums, guitars, voices, cymbals)"),
    "bass": ("bass", "the bass (bass guitar, kick drum, thunder)"),
    "soft": ("soft music", "soft music for those in the back"),
}
_LOOKS = {
    "high": "high",
    "middle": "voice",
    "wide": "voice",
    "full": "voice",
    "low": "voice",
    "bass": "bass",
    "soft": "soft",
}


def roles(numbers: Numbers) -> list[Role]:
    """Return the ways of a job, the deepest first."""
    found = list(_roles(numbers))
    return sorted(found, key=lambda role: role.band[0] if role.band else math.inf)


def _roles(numbers: Numbers) -> Iterator[Role]:
    for way in numbers.review.chain.of_kind("way"):
        tied = way.ties["drivers"]
        drivers = tied if isinstance(tied, tuple) else (tied,)
        band = _band(numbers, drivers[0])
        kind = _kind(numbers, drivers[0], band)
        short, plays = _WORDS[kind]
        yield Role(way.name, drivers, short, plays, _LOOKS[kind], band)


def _band(numbers: Numbers, driver: Subject) -> tuple[float, float] | None:
    low, top = numbers.of(driver, "covers_from_hz"), numbers.of(driver, "plays_up_to_hz")
    if low is None or top is None:
        return None
    high = numbers.of(driver, "high_edge_hz")
    return float(low.value), min(float(top.value), float(high.value)) if high else float(top.value)


def _kind(numbers: Numbers, driver: Subject, band: tuple[float, float] | None) -> str:
    if _true(numbers.of(driver, "is_tweeter")):
        return "high"
    if _true(numbers.of(driver, "is_behind")) and not _true(numbers.of(driver, "carries_bass_behind")):
        return "soft"
    if band is None:
        return "wide"
    low, high = band
    if high <= BASS_TOP_HZ:
        return "bass"
    if high >= CYMBALS_HZ and low < LOW_VOICE_HZ:
        return "full"
    if low >= LOW_VOICE_HZ:
        return "middle"
    return "low" if high <= HIGH_VOICE_HZ else "wide"


def placed(said: Iterable[tuple[str, str]], found: Iterable[Role]) -> tuple[str, ...]:
    """Return sentences, each once; one about `this speaker` ends with where those speakers sit, or what they play.

    Each sentence comes with the name of what it is about.
    """
    titles = {role.way: role.title or f"the one for {role.plays.partition(' (')[0]}" for role in found}
    ask = "Where" if any(role.title for role in found) else "Which"
    places: dict[str, dict[str, None]] = {}
    for sentence, name in said:
        where = places.setdefault(sentence, {})
        if "this speaker" in sentence.lower() and name in titles:
            where[titles[name]] = None
    return tuple(f"{one} {ask}: {'; '.join(where)}." if where else one for one, where in places.items())


def _true(reading: Reading | None) -> bool:
    return reading is not None and bool(reading.value)


def is_behind(numbers: Numbers, role: Role) -> bool:
    """Tell whether a way plays from behind the listeners."""
    return _true(numbers.of(role.drivers[0], "is_behind"))
