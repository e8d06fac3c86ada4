"""The report as a page: well made, readable, closed in itself, and never taken in by what a user wrote."""

from __future__ import annotations

import json
import re
from datetime import date
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest

from advisor.judging.review import review_job
from advisor.telling.report import draw_pictures, html_report, markdown_report
from tests.printed import printed
from tests.telling.examples import JOBS, page

VOID = {"meta", "br", "hr", "img", "link", "input"}
WCAG = "WCAG 2.1 (W3C, 2018), definitions of relative luminance and contrast ratio"


class Page(HTMLParser):
    """What stands in a page, and whether every tag that opens is closed in turn."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.rows: list[list[int]] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(text)
        self.close()
        assert not self.open, self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self.rows.append([])
        elif tag == "tr":
            self.rows[-1].append(0)
        elif tag in ("td", "th"):
            self.rows[-1][-1] += 1

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open.pop() == tag, tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts.append((self.open[-1], data))

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.tags if name == tag]

    def words(self) -> str:
        return " ".join(data for tag, data in self.texts if tag not in ("style", "code"))


# -- every example -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("job", JOBS)
def test_page_is_well_made(job: str) -> None:
    found = Page(page(job))
    assert page(job).startswith("<!DOCTYPE html>")
    assert [html["lang"] for html in found.all("html")] == ["en"]
    assert len(found.all("h1")) == len(found.all("title")) - len(found.all("svg")) == len(found.all("main")) == 1
    levels = [int(tag[1]) for tag, _ in found.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in pairwise(levels))
    ids = [attributes["id"] for _, attributes in found.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    assert any(meta.get("name") == "viewport" for meta in found.all("meta"))


@pytest.mark.parametrize("job", JOBS)
def test_pictures_say_themselves_in_words(job: str) -> None:
    pictures = [attributes for tag, attributes in Page(page(job)).tags if tag == "svg"]
    assert len(pictures) >= (2 if job == "quick" else 3)  # chain and bands; charts where enough is known
    for attributes in pictures:
        assert attributes["role"] == "img" and len(attributes["aria-label"]) > 40


@pytest.mark.parametrize("job", JOBS)
def test_page_needs_nothing_from_outside(job: str) -> None:
    found = Page(page(job))
    for tag, attributes in found.tags:
        for key in ("src", "href", "xlink:href", "srcset", "action", "data"):
            assert attributes.get(key, "#").startswith("#"), (tag, attributes)
        assert not any(key.startswith("on") for key in attributes)
    assert not {tag for tag, _ in found.tags} & {"script", "link", "iframe", "object", "embed", "img", "form", "base"}
    text = re.sub(r' xmlns(:\w+)?="[^"]*"', "", page(job))  # names of formats are no addresses
    assert not re.search(r"https?://|//[a-z]|@import|url\((?!#)", text)


@pytest.mark.parametrize("job", JOBS)
def test_no_markdown_is_left(job: str) -> None:
    found = Page(page(job))
    assert not re.search(r"\*\*|\]\(|^#+ |goes-here|\|---", found.words(), re.MULTILINE)
    assert "\\" not in found.words()
    assert "{{" not in page(job) and "{%" not in page(job)


@pytest.mark.parametrize("job", JOBS)
def test_rows_of_a_table_are_as_wide_as_its_head(job: str) -> None:
    tables = Page(page(job)).rows
    assert len(tables) >= 2
    for rows in tables:
        assert len(rows) >= 3 and len(set(rows)) == 1


# -- colours -----------------------------------------------------------------------------------------------------


def luminance(colour: str) -> float:
    if len(colour) == 4:
        colour = "#" + "".join(2 * digit for digit in colour[1:])
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_the_standard() -> None:
    assert contrast("#000", "#ffffff") == printed("21", source=f"{WCAG}: ratios range from 1 to 21")
    assert contrast("#333", "#333333") == printed("1", source=f"{WCAG}: ratios range from 1 to 21")
    assert contrast("#767676", "#fff") == printed("4.54", source="from memory: the lightest grey that passes 4.5:1")


@pytest.mark.parametrize("job", JOBS)
def test_text_stands_out_from_its_ground(job: str) -> None:
    style = re.search(r"<style>(.*?)</style>", page(job), re.DOTALL)
    assert style
    colours = set(re.findall(r"(?<![-\w])color: (#\w+)", style[1]))
    grounds = set(re.findall(r"background: (#\w+)", style[1]))
    assert colours and grounds
    for colour in colours:
        for ground in grounds:
            assert contrast(colour, ground) >= 4.5, (colour, ground)


@pytest.mark.parametrize("job", JOBS)
def test_text_in_pictures_stands_out_from_paper_and_boxes(job: str) -> None:
    from advisor.telling.pictures.canvas import FILL, PAPER

    written = set(re.findall(r"<text[^>]*?fill: (#\w+)", page(job)))
    assert written
    for colour in written:
        assert min(contrast(colour, PAPER), contrast(colour, FILL)) >= 4.5, colour


# -- a job that tries ----------------------------------------------------------------------------------------------

EVIL = """<script>alert(1)</script> | `tick` [x](javascript:alert(2)) *star* **bold** <img src=x onerror=alert(3)>
 # head ![pic](http://outside.example/p.png) &lt;b&gt; "quoted" 'single' \\ ~~gone~~ {{ job }} {% if %}
 \x1b[31m \u202e \x07"""
QUOTED = json.dumps(EVIL)  # YAML reads the same escapes
HOSTILE = """\
advisor: 1
job: EVIL
shop: shop.yaml
vehicle:
  title: EVIL
  seats: {driver: {side: left}}
  locations:
    dash: {title: EVIL, zone: front, behind: cavity, hole_mm: 60, airbag: in its path, disturbs: [EVIL],
           distance_m: {driver: 1}}
customer: {budget: 1, seats: [driver], keep: [EVIL]}
chain:
  screen: {source: {title: EVIL, price: 5, fit_h: 0, outputs: {line: {channels: 2, max_v: 2}}}}
  amp: {amplifier: {title: EVIL, price: 7, fit_h: 1, inputs: {line: {channels: 2, max_v: 1}},
        banks: [{channels: 2, watts: {4: 50}, min_ohm: 4}]}, from: screen, over: line}
ways:
  tweeter: {driver: {title: EVIL, size_mm: 25, fs_hz: 2000, impedance_ohm: 2, price: 3}, at: dash, from: amp.1,
            plays: [2200 LR12, open]}
  mid: {driver: {title: EVIL, size_in: 3, impedance_ohm: 4}, at: {title: EVIL, behind: cavity}, from: amp.2,
        plays: [60 LR24, 900 LR12]}
waive:
  - {rule: lowest-way-reaches-what-it-is-asked, at: mid, reason: EVIL, until: 2031-01-01, by: EVIL}
"""


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    folder = tmp_path_factory.mktemp("hostile")
    path = folder / "a`b|c<i>.yaml"
    path.write_text(HOSTILE.replace("EVIL", QUOTED), encoding="utf-8")
    (folder / "shop.yaml").write_text('advisor: 1\ncurrency: "<u>|*E*`"\nrate_per_h: 70\nday_h: 8\n', encoding="utf-8")
    review = review_job(Path(path), "a`b|c<i>.yaml", date(2026, 11, 25))
    assert review.of("falls short") and review.of("waived")
    drawn = draw_pictures(review)
    return markdown_report(review, drawn, "hostile"), html_report(review, drawn)


def test_nothing_a_user_wrote_becomes_part_of_the_page(hostile: tuple[str, str]) -> None:
    found = Page(hostile[1])
    tags = {tag for tag, _ in found.tags}
    assert not tags & {"script", "img", "u", "i", "a", "em", "b", "del", "iframe"}
    assert not [attributes for _, attributes in found.tags if any(key.startswith("on") for key in attributes)]
    assert len(found.all("h1")) == 1
    for said in (
        "<script>alert(1)</script> | `tick` [x](javascript:alert(2)) *star*",
        "{{ job }} {% if %}",
        "&lt;b&gt;",
    ):
        assert found.words().count(said) >= 3, said


def test_nothing_a_user_wrote_becomes_markdown(hostile: tuple[str, str]) -> None:
    from markdown_it import MarkdownIt

    rendered = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"]).render(hostile[0])
    tags = set(re.findall(r"<(\w+)", rendered))
    assert tags <= {
        "h1",
        "h2",
        "h3",
        "p",
        "strong",
        "code",
        "ul",
        "li",
        "img",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
    }
    assert set(re.findall(r'src="([^"]*)"', rendered)) == {"hostile-chain.svg", "hostile-bands.svg", "hostile-gain.svg"}
    assert len(re.findall("<h1", rendered)) == 1


def test_tables_keep_their_columns_whatever_stands_in_them(hostile: tuple[str, str]) -> None:
    for rows in Page(hostile[1]).rows:
        assert len(set(rows)) == 1
    widths: list[set[int]] = []
    for before, line in pairwise(["", *hostile[0].splitlines()]):
        if line.startswith("|"):
            if not before.startswith("|"):
                widths.append(set())
            widths[-1].add(len(re.findall(r"(?<!\\)(?:\\\\)*\|", line)))
    assert widths and all(len(found) == 1 for found in widths)
