"""The commands: options in, one call, text out."""

from __future__ import annotations

import functools
import gc
import math
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

import advisor
from advisor.errors import AdvisorError, NameUnknown, NoValue

if TYPE_CHECKING:
    from advisor.facts.engine import Engine
    from advisor.facts.reading import Reading


def run() -> None:
    """Run the commands as a process of their own."""
    gc.disable()  # it lives for a second: looking for circles of objects would be a tenth of that
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # nothing is large enough for more, and starting them takes time
    try:
        main(prog_name="advisor")
    finally:
        gc.freeze()  # what is there goes with the process: to look through it once more would be a tenth, too


class _Commands(click.Group):
    """Tells what the user can mend in a sentence, never in a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except AdvisorError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)


@click.group(cls=_Commands)
@click.version_option(advisor.__version__, prog_name="advisor")
def main() -> None:
    """Check the design of an audio system in a vehicle before parts are ordered, and say why."""


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), multiple=True, help="Write the report: .md or .html.")
@click.option("--json", "as_json", is_flag=True, help="Print the review as JSON.")
@click.option(
    "--fail-on",
    type=click.Choice(["must", "trade-off", "tip", "cannot tell", "never"]),
    default="must",
    show_default=True,
    help="The mildest level that makes the exit code 1.",
)
@click.option("--watch", is_flag=True, help="Stay, and on every save tell what changed, until Ctrl-C.")
def review(job: Path, output: tuple[Path, ...], as_json: bool, fail_on: str, watch: bool) -> None:
    """Review a job file: what must be fixed, what is a trade-off, what cannot be told, and why.

    Exit code 0: nothing at or above --fail-on (never: whatever is found); 1: findings; 2: a file cannot be used.
    With --watch it is that of the job as it stands when Ctrl-C ends it; ways out are told without --watch.
    """
    if watch:
        sys.exit(_watch(job, output, as_json, fail_on))
    from datetime import date

    from advisor.judging.review import review_system
    from advisor.judging.trials import Trials
    from advisor.reading.reader import OpenJob
    from advisor.telling.ways_out import find_ways_out

    _only_pages(output)
    opened, today = OpenJob(job), date.today()
    found = review_system(opened.system, today)
    trials = Trials(found, opened, today)
    # in a terminal one mends what must be mended; what is kept or read by a program says all that was found
    ways = find_ways_out(trials) if output or as_json else find_ways_out(trials, ["must"])
    if as_json:
        from advisor.telling.data import review_data

        _print_json(review_data(found, ways))
    else:
        from advisor.telling.terminal import review_text

        click.echo(review_text(found, ways), nl=False)
    if output:
        from advisor.telling.report import write_reports

        for written in write_reports(found, output, ways):
            click.echo(f"wrote {written}", err=True)
    sys.exit(1 if fail_on != "never" and found.fails(fail_on) else 0)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("address", metavar="SUBJECT.FACT")
@click.option("--full", is_flag=True, help="Show all that is below it, down to the line of each value given.")
@click.option("--how-to", type=float, metavar="VALUE", help="Show what would have to change for it to be VALUE.")
@click.option("--json", "as_json", is_flag=True, help="Print value, unit, basis, doubt and derivation as JSON.")
def why(job: Path, address: str, full: bool, how_to: float | None, as_json: bool) -> None:
    """Show what a number was made of and how sure it is, on one screen; or what would make it another.

    SUBJECT.FACT is for example "midwoof left.plays_down_to_hz", front.1.load_ohm or job.total_cost.
    """
    from advisor.chain.build import build_chain
    from advisor.facts.engine import Engine
    from advisor.facts.reading import BrokenFact, Missing, NotDefined
    from advisor.reading.reader import read_job

    engine = Engine(build_chain(read_job(job)))
    subject, name = engine.find(address)
    try:
        reading = engine.ask(subject, name)
    except Missing as missing:
        raise NoValue(f"{address} cannot be told: {missing}") from None
    except NotDefined as reason:
        raise NoValue(f"{address} is not defined here: {reason}") from None
    except BrokenFact as broken:
        raise NoValue(f"{address} could not be worked out, which is our fault; please report it: {broken}") from None
    if how_to is not None:
        _how_to(engine, reading, how_to, as_json)
    elif as_json:
        from advisor.facts.doubts import Doubts
        from advisor.telling.data import reading_data
        from advisor.telling.doubt import doubt_data

        doubt = Doubts(engine).of_reading(reading)
        _print_json(reading_data(reading) | ({"doubt": doubt_data(doubt)} if doubt else {}))
    elif full:
        from advisor.telling.why import why_text

        click.echo(why_text(reading), nl=False)
    else:
        from advisor.facts.doubts import Doubts
        from advisor.telling.why import short_text

        click.echo(short_text(reading, Doubts(engine).of_reading(reading)), nl=False)


def _how_to(engine: Engine, reading: Reading, value: float, as_json: bool) -> None:
    from advisor.facts.how_to import ways_to
    from advisor.facts.numbers import is_number
    from advisor.telling.how_to import how_to_data, how_to_text

    if reading.kind != "fact" or not is_number(reading.value):
        raise NoValue(f"{reading.name} is no number that could be brought to {value:g}")
    if not math.isfinite(value):
        raise click.BadParameter(f"'{value}' is not a number that can be reached", param_hint="--how-to")
    ways = ways_to(engine, reading, value)
    if as_json:
        _print_json(how_to_data(reading, value, ways))
    else:
        click.echo(how_to_text(reading, value, ways), nl=False)


@main.command()
@click.argument("jobs", metavar="JOB JOB ...", type=click.Path(path_type=Path), nargs=-1)
@click.option("-o", "--output", type=click.Path(path_type=Path), multiple=True, help="Write the page: .md or .html.")
@click.option("--json", "as_json", is_flag=True, help="Print the comparison as JSON.")
def compare(jobs: tuple[Path, ...], output: tuple[Path, ...], as_json: bool) -> None:
    """Set two to six jobs side by side: figures, findings gained and lost against the first, and why.

    Exit code 0, whatever is found; 2: a file cannot be used.
    """
    from advisor.judging.review import review_job

    if not 2 <= len(jobs) <= 6:
        raise click.UsageError(f"compare takes two to six jobs, not {len(jobs)}")
    _only_pages(output)
    from advisor.telling.compare.compared import compare as compared

    comparison = compared([review_job(job) for job in jobs])
    if as_json:
        from advisor.telling.compare.data import comparison_data

        _print_json(comparison_data(comparison))
    else:
        from advisor.telling.compare.text import comparison_text

        click.echo(comparison_text(comparison), nl=False)
    if output:
        from advisor.telling.compare.page import write_comparison

        for written in write_comparison(comparison, output):
            click.echo(f"wrote {written}", err=True)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--against", type=click.Path(path_type=Path), help="Another list: what it would take away, and why.")
@click.option("-o", "--output", type=click.Path(path_type=Path), multiple=True, help="Write the brief: .md or .html.")
def brief(job: Path, against: Path | None, output: tuple[Path, ...]) -> None:
    """Tell the customer what they will hear, what they give up and why, what it costs and how long it takes.

    Exit code 0, whatever is found; 2: a file cannot be used.
    """
    from advisor.judging.review import review_job

    _only_pages(output)
    found, other = review_job(job), review_job(against) if against else None
    from advisor.telling.brief.brief import brief as told
    from advisor.telling.brief.text import brief_text

    click.echo(brief_text(told(found, other)), nl=False)
    if output:
        from advisor.telling.brief.page import write_brief

        for written in write_brief(found, other, output):
            click.echo(f"wrote {written}", err=True)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), multiple=True, help="Write the sheet: .md, .html or .csv."
)
def sheet(job: Path, output: tuple[Path, ...]) -> None:
    """Write the bench sheet of a job: holes, leads and labels, fuses, settings, measurements, parts, work, money.

    Without -o it is shown here. Every number on it can be asked for by `advisor why`.
    """
    from advisor.judging.review import review_job
    from advisor.telling.sheet.write import SUFFIXES, write_sheets

    for path in output:
        if path.suffix not in SUFFIXES:
            raise click.BadParameter(f"'{path}' is none of .md, .html and .csv", param_hint="--output")
    found = review_job(job)
    if not output:
        from advisor.telling.sheet.build import build_sheet
        from advisor.telling.sheet.text import sheet_text

        click.echo(sheet_text(build_sheet(found)), nl=False)
    for written in write_sheets(found, output) if output else ():
        click.echo(f"wrote {written}", err=True)


@main.command()
@click.argument("catalogue", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    multiple=True,
    help="Write the audit: .md, .html, .json, .csv, .sarif, or .xml (JUnit).",
)
@click.option("--changed-since", metavar="FOLDER|REVISION", help="Tell what a change of data did to which package.")
@click.option("--baseline", type=click.Path(path_type=Path), help="Findings that are known and do not count.")
@click.option("--write-baseline", type=click.Path(path_type=Path), help="Write all findings there are as known.")
@click.option("--workers", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes that judge.")
@click.option("--cluster", metavar="ADDRESS", help="Judge on the cluster whose scheduler has this address.")
@click.option("--fresh", is_flag=True, help="Judge all anew, and keep nothing for the next time.")
@click.option(
    "--fail-on",
    type=click.Choice(["must", "trade-off", "tip", "cannot tell", "never"]),
    default="must",
    show_default=True,
    help="The mildest level that makes the exit code 1.",
)
def audit(catalogue: Path, output: tuple[Path, ...], fail_on: str, **options: Any) -> None:
    """Audit a folder of standard packages: each in every vehicle it claims, with every choice it leaves open.

    Exit code 0: nothing at or above --fail-on (never: whatever is found); 1: findings; 2: a file cannot be used.
    """
    from advisor.telling.audit.command import Asked, run_audit

    done = run_audit(Asked(catalogue, output, **options))
    click.echo(done.text, nl=False)
    for written in done.written:
        click.echo(f"wrote {written}", err=True)
    sys.exit(1 if done.fails(fail_on) else 0)


@main.command()
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the rule as JSON.")
def rule(name: str | None, as_json: bool) -> None:
    """Show what a rule asks, why, and where its limits come from; without NAME, list all rules."""
    from advisor.judging.rulebook import load_rulebook
    from advisor.telling.data import rule_data
    from advisor.telling.rule_page import rule_list, rule_text

    rules = load_rulebook()
    if name is not None and name not in rules:
        raise NameUnknown("rule", name, rules)
    if as_json:
        _print_json(rule_data(rules[name]) if name else [rule_data(one) for one in rules.values()])
    else:
        click.echo(rule_text(rules[name]) if name else rule_list(rules), nl=False)


@main.command()
@click.argument("kind", type=click.Choice(["job", "part", "vehicle", "package", "rule"]))
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write to a file that is not there yet.")
def new(kind: str, output: Path | None) -> None:
    """Write a starter file, with comments that say what goes where."""
    text = (Path(advisor.__file__).parent / "starters" / f"{kind}.yaml").read_text(encoding="utf-8")
    if output is None:
        click.echo(text, nl=False)
        return
    from advisor.telling.files import write_whole

    if output.exists():
        raise click.BadParameter(f"'{output}' is there already and stays as it is", param_hint="--output")
    write_whole(output, text)
    click.echo(f"wrote {output}", err=True)


def _only_pages(paths: tuple[Path, ...]) -> None:
    for path in paths:
        if path.suffix not in (".md", ".html"):
            raise click.BadParameter(f"'{path}' is neither .md nor .html", param_hint="--output")


def _watch(job: Path, output: tuple[Path, ...], as_json: bool, fail_on: str) -> int:
    if output or as_json:
        raise click.UsageError("--watch tells what changed as text; write reports and JSON without it")
    from advisor.telling.watching import Watch

    watch = Watch(job, click.echo, functools.partial(click.echo, err=True))
    watch.run()
    return watch.exit_code(fail_on)


def _print_json(data: Any) -> None:
    import json

    click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
