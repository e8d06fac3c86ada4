"""The written report: one Markdown text, with pictures beside it, or as a page that holds all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.facts.reading import Reading
from advisor.judging.finding import Finding
from advisor.judging.formats import with_unit
from advisor.judging.review import Review
from advisor.telling.figures import tables
from advisor.telling.groups import WORDS, sections, tell, verdict
from advisor.telling.pages import Page, code
from advisor.telling.ways_out import tell_way_out

if TYPE_CHECKING:
    from advisor.judging.remedies import Place, WayOut
    from advisor.telling.pictures.canvas import Picture

    Ways = Mapping[Place, WayOut]


def write_reports(review: Review, paths: tuple[Path, ...], ways: Ways | None = None) -> list[Path]:
    """Write the report, with the ways out found, to each path, and return what was written.

    .md has SVG files beside it, .html holds all. Raises NotWritten; a file that was there before is replaced whole or
    not at all.
    """
    return _page(review, draw_pictures(review), ways).write(paths)


def draw_pictures(review: Review) -> list[Picture]:
    """Draw the pictures of a review; this loads the drawing library."""
    from advisor.telling.pictures.amplifier_heat import amplifier_heat
    from advisor.telling.pictures.bands import bands
    from advisor.telling.pictures.chain_picture import chain_picture
    from advisor.telling.pictures.excursion import excursion
    from advisor.telling.pictures.gain_structure import gain_structure
    from advisor.telling.pictures.impedance import impedance
    from advisor.telling.pictures.level import level
    from advisor.telling.pictures.loudness import loudness
    from advisor.telling.pictures.money import money
    from advisor.telling.pictures.network_response import network_response
    from advisor.telling.pictures.supply_budget import supply_budget

    charts = [chart(review.engine) for chart in (loudness, impedance, network_response, excursion)]
    drawn = [chain_picture(review.chain), bands(review.engine), level(review.engine), *charts]
    drawn += [picture(review.engine) for picture in (supply_budget, amplifier_heat, gain_structure, money)]
    return [picture for picture in drawn if picture is not None]


def markdown_report(review: Review, pictures: list[Picture], stem: str, ways: Ways | None = None) -> str:
    """Return the report as Markdown that refers to `stem-name.svg` for each picture."""
    return _page(review, pictures, ways).markdown(stem)


def html_report(review: Review, pictures: list[Picture], ways: Ways | None = None) -> str:
    """Return the report as one page that needs no network."""
    return _page(review, pictures, ways).html()


def _page(review: Review, pictures: list[Picture], ways: Ways | None) -> Page:
    shown_tables = tables(review)
    return Page(
        "review.md.j2",
        f"Review: {review.system.job.job}",
        pictures,
        review=review,
        job=review.system.job,
        verdict=verdict(review),
        sections=sections(review),
        way_out=lambda told: tell_way_out(told.first, ways or {}, review),
        held=_held(review),
        tables=shown_tables,
        name=review.system.name,
        example=f"{shown_tables[0].rows[0][0]}.{shown_tables[0].names[0]}" if shown_tables else "job.total_cost",
        code=code,
        assumed=_assumed(review),
        cautions=_cautions(review),
        changed=_changed_by_shop(review),
    )


@dataclass(frozen=True)
class Held:
    """A rule that held, with where and by what numbers."""

    rule: str
    wheres: str


def _held(review: Review) -> list[Held]:
    by_rule: dict[str, list[str]] = {}
    for told in tell(review, "holds", by_numbers=True):
        by_rule.setdefault(told.first.rule.name, []).append(f"{told.where}{_numbers(told.first)}")
    return [Held(name, "; ".join(wheres)) for name, wheres in sorted(by_rule.items())]


def _numbers(finding: Finding) -> str:
    measured = finding.measured
    if measured is None or not isinstance(measured.left, float):  # counts and words say nothing more by being told
        return ""
    left, right = with_unit(measured.left, measured.unit), with_unit(measured.right, measured.unit)
    return f" ({left}, {WORDS[measured.op]} {right})"


def _assumed(review: Review) -> list[Reading]:
    """Every rule of thumb that a finding rests on."""
    found: dict[tuple[str, ...], Reading] = {}
    for finding in review.findings:
        for reading in finding.readings:
            found |= {below.key: below for below in reading.assumptions()}
    for table in tables(review):
        for _, cells in table.rows:
            for cell in cells:
                found |= {below.key: below for below in (cell.reading.assumptions() if cell.reading else [])}
    return sorted(found.values(), key=lambda reading: reading.name)


def _cautions(review: Review) -> list[str]:
    """Cautions of the rules that were judged on this job at all, whatever they found."""
    judged = [finding.rule for finding in review.findings if finding.outcome != "does not apply"]
    return list(dict.fromkeys(caution for rule in judged for caution in rule.cautions))


def _changed_by_shop(review: Review) -> list[str]:
    changed = [f"{rule.name}: {rule.level_by_shop}" for rule in review.rules.values() if rule.level_by_shop]
    for rule in review.rules.values():
        changed += [f"{rule.name}: {name} {limit.by_shop}" for name, limit in rule.limits.items() if limit.by_shop]
    return changed
