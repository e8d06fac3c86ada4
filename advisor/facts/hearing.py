"""How long the loudness that is asked for may be listened to."""

from __future__ import annotations

from advisor import physics
from advisor.facts.reading import Missing, NotDefined
from advisor.facts.registry import fact
from advisor.facts.views import View

NIOSH = "NIOSH, Criteria for a recommended standard: occupational noise exposure, 1998"
HIGHEST_DB = 140.0
"""Above it one moment is too long; the rules of exposure end there."""


@fact("job")
def wants_loudness(job: View) -> bool:
    """Whether the customer said how loud it shall get."""
    return job.customer.get_("loudness_db") is not None


def _limited_db(level_db: float) -> float:
    if level_db < 60:
        raise NotDefined("so soft that no rule limits it")
    return min(level_db, HIGHEST_DB)


@fact("job")
def loudest_is_known(job: View) -> bool:
    """Whether the sheets tell how loud all ways get together, and it is loud enough to matter."""
    if not job.has_chain:
        return False
    try:
        return _limited_db(float(job.loudest_at_seat_db)) > 0
    except (Missing, NotDefined):
        return False


@fact("job", unit="min", source=NIOSH)
def exposure_at_loudest_min(job: View) -> float:
    """Minutes a day at the loudest that all ways reach together at the seat, taken as dB(A)."""
    level = _limited_db(float(job.loudest_at_seat_db))
    return float(physics.hearing.exposure_minutes(level_dba=level, rule="NIOSH"))


@fact("job", unit="min", source=NIOSH)
def exposure_min(job: View) -> float:
    """Minutes a day that the loudness asked for may be listened to, taken as dB(A)."""
    return float(physics.hearing.exposure_minutes(level_dba=_limited_db(float(job.customer.loudness_db)), rule="NIOSH"))


@fact("job", unit="h", source="WHO and ITU-T H.870, safe listening: 80 dB(A) for 40 h a week, 3 dB (from memory)")
def exposure_week_h(job: View) -> float:
    """Hours a week that the loudness asked for may be listened to, taken as dB(A)."""
    return float(physics.hearing.safe_listening_week_h(level_dba=_limited_db(float(job.customer.loudness_db))))
