"""What the customer will hear: how deep, how loud, from where, and why it cannot be otherwise."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.reading import Reading
from advisor.judging.review import Review
from advisor.telling.brief.numbers import Numbers
from advisor.telling.brief.roles import Role, is_behind

DEPTHS = (
    (31.0, "Hardly any music goes deeper"),
    (42.0, "The lowest string of a bass guitar is there"),
    (65.0, "A kick drum has its weight, but the lowest string of a bass guitar is faint"),
    (90.0, "Drums are there, but they lack weight"),
)
"""Down to which frequency [Hz] the bass has to reach for what: the lowest strings of a bass guitar are 30.9 Hz (with
five strings) and 41.2 Hz, equal temperament from 440 Hz; the rest is common practice."""

DEEPEST_HEARD_HZ = 20.0
NO_DEPTH = "Bass guitar and kick drum are faint"
HZ_MEANS = "Hz tells how deep a note is: the lower the number, the deeper the note."
DB_MEANS = "dB tells how loud a sound is: ten more sound about twice as loud."
SPARE_DB = 2.0
"""So many decibels more than was asked for are called room to spare, and so many less falling short; a smaller
difference is hardly heard."""
MOST_VOICE, LEAST_VOICE = 65.0, 35.0
"""Share of the voice from below the knee [%] above which it comes from there, and under which from up front."""


def depth(numbers: Numbers) -> Iterator[str]:
    """Say how deep the bass goes."""
    lifted = numbers.job("extension_in_cabin_hz")
    reading = lifted or numbers.job("extension_6db_hz")
    if reading is None:
        yield "How deep the bass goes cannot be told yet."
        return
    words = next((said for most, said in DEPTHS if float(reading.value) <= most), NO_DEPTH)
    if beyond_hearing(reading):
        yield "The bass goes down as far as an ear can follow."
    else:
        yield f"The bass goes down to {numbers.write(reading)}. {words}. {HZ_MEANS}"
    if lifted:
        yield "Your vehicle itself helps with the deepest notes. How much it helps we only know when we measure it."


def beyond_hearing(reading: Reading) -> bool:
    """Tell whether bass goes deeper than an ear: a number says nothing then."""
    return float(reading.value) < DEEPEST_HEARD_HZ


def loudness(numbers: Numbers) -> Iterator[str]:
    """Say how loud it gets, against what was asked for."""
    wanted, reached = numbers.job("wanted_db"), numbers.job("loudest_at_seat_db")
    if reached is None:
        if wanted:
            asked = f"You asked for {numbers.write(wanted)}. {DB_MEANS}"
            yield f"{asked} Whether the plan gets there cannot be told yet."
        return
    said = f"Played loud, it reaches {numbers.write(reached)} at your seat before the first speaker is at its end."
    if wanted:
        more = float(reached.value) - float(wanted.value)
        said += f" You asked for {numbers.write(wanted)}, {_loud_enough(more)}."
    yield f"{said} {DB_MEANS}"


def _loud_enough(more: float) -> str:
    """Say whether it gets as loud as was asked."""
    if more >= SPARE_DB:
        return "so there is room to spare"
    if more >= 0:
        return "so it gets there"
    return "so it just about gets there" if more > -SPARE_DB else "so it falls short of that"


def stage(numbers: Numbers, found: list[Role]) -> Iterator[str]:
    """Say where voices and bass come from."""
    share = numbers.job("voice_from_below_percent")
    if share is not None:
        yield voice_words(float(share.value))
    rear = [role for role in found if is_behind(numbers, role)]
    short = {finding.rule.name for finding in numbers.review.of("falls short")}
    if any(role.looks == "bass" for role in rear) and "bass-that-tells-where-it-comes-from-stays-in-front" not in short:
        yield (
            "The bass speaker sits behind you, but you hear the bass in front. The deepest notes do not tell the ear "
            "where they come from, so the ear puts them with the band."
        )
    if any(role.looks == "soft" for role in rear) and "music-stays-in-front" not in short:
        yield "The speakers behind you play along softly. The band stays in front of you."


def middle(numbers: Numbers) -> Iterator[str]:
    """Say for whom the stage stands in the middle, where it does not for every seat that was asked for."""
    found = [
        (numbers.of(seat, "side_sooner_ms"), numbers.of(seat, "ear_to_ear_ms"))
        for seat in numbers.review.chain.of_kind("seat")
    ]
    first, *others = [sooner and most and float(sooner.value) <= float(most.value) for sooner, most in found] or [None]
    if first and False in others:
        where = "On the other one" if len(others) == 1 else "On the others"
        yield (
            f"The stage is set for the first seat you named. {where} the music comes from the nearer side, as it does "
            "wherever one speaker stands left and one right."
        )


def voice_words(percent: float) -> str:
    """Say from how high voices come."""
    why = "The ear finds a voice where its speaker sits."
    if percent > MOST_VOICE:
        return f"Voices come from low down, below your knees, not from up in front of you. {why}"
    if percent >= LEAST_VOICE:
        return f"Voices come partly from up in front of you and partly from below your knees. {why}"
    return f"Voices come from up in front of you, as if the singer stood before the windscreen. {why}"


def kept(review: Review) -> list[str]:
    """Return what stays as it is, as the customer asked."""
    short = {finding.rule.name for finding in review.of("falls short")}
    keep = review.system.job.customer.keep
    return [] if "what-the-customer-keeps-stays" in short else list(keep)
