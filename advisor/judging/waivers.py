"""Waivers: findings somebody answers for. One that has run out, or that meets nothing, is a finding itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from advisor.chain.subject import Subject
from advisor.errors import Fault, RulebookError, did_you_mean
from advisor.judging.finding import Finding
from advisor.judging.rule import Rule
from advisor.reading.job import Waiver


def check_waivers(waivers: list[Subject], rules: dict[str, Rule], places: list[str]) -> None:
    """Refuse waivers that name no rule, or no place, of this job.

    Raises RulebookError.
    """
    faults: list[Fault] = []
    for subject in waivers:
        spec = _spec(subject)
        assert spec.origin is not None
        for key, word, known in (("rule", spec.rule, list(rules)), ("at", spec.at, places)):
            if word not in known:
                place = spec.origin.child(key) or spec.origin
                what = f"there is no rule '{word}'" if key == "rule" else f"nothing in this job is called '{word}'"
                faults.append(place.fault(what, did_you_mean(word, known)))
    if faults:
        raise RulebookError(faults)


def waive(findings: list[Finding], waivers: list[Subject], today: date) -> list[Finding]:
    """Return the findings with those waived marked so, and note on each waiver what it met."""
    if not waivers:
        return findings
    met = dict.fromkeys(waivers, 0)
    result = []
    for finding in findings:
        waiver = next((subject for subject in waivers if _meets(_spec(subject), finding)), None)
        if waiver is not None:
            met[waiver] += 1
            if _spec(waiver).until >= today:
                finding = replace(finding, outcome="waived", waiver=waiver)
        result.append(finding)
    for subject, count in met.items():
        subject.own["findings_met"] = count
    return result


def _meets(waiver: Waiver, finding: Finding) -> bool:
    open_ = finding.outcome in ("falls short", "too close to call", "cannot tell")
    return open_ and waiver.rule == finding.rule.name and waiver.at == finding.subject.name


def _spec(subject: Subject) -> Waiver:
    spec = subject.specs["spec"]
    assert isinstance(spec, Waiver)
    return spec
