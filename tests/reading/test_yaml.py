"""YAML's traps: what a person would not expect is either read as a person expects, or refused where it stands."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest

from advisor.errors import Fault, InputError
from advisor.reading.source import MAX_BYTES, MAX_FAULTS, read_source


def read(folder: Path, text: str | bytes) -> Any:
    path = folder / "x.yaml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_source(path, "x.yaml").data


def refused(folder: Path, text: str | bytes) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return caught.value.faults


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("4:1", "4:1"),
        ("12:30:45", "12:30:45"),
        ("010", 10),
        ("0x1F", "0x1F"),
        ("0o17", "0o17"),
        ("1_000", "1_000"),
        ("on", "on"),
        ("off", "off"),
        ("yes", "yes"),
        ("No", "No"),
        ("y", "y"),
        ("true", True),
        ("False", False),
        ("1e-3", 0.001),
        ("1e3", 1000.0),
        ("2.5E+2", 250.0),
        (".5", 0.5),
        ("-7", -7),
        ("+7", 7),
        ("5.", 5.0),
        ("2027-03-01", "2027-03-01"),
        ("~", None),
        ("", None),
        ("null", None),
        ("'null'", "null"),
        ('"10"', "10"),
        ("1.2.3", "1.2.3"),
        ("350 LR24", "350 LR24"),
        ("=", "="),
        ("٣", "٣"),
    ],
)
def test_a_plain_value_is_what_a_person_reads(tmp_path, written, meant):
    value = read(tmp_path, f"a: {written}\n")["a"]
    assert (value, type(value)) == (meant, type(meant))


def test_the_key_on_is_a_word(tmp_path):
    assert read(tmp_path, "on: 1\nno: 2\n") == {"on": 1, "no": 2}


@pytest.mark.parametrize("number", [".inf", "-.inf", "+.INF", ".nan", ".NaN"])
def test_a_number_that_is_none_is_refused(tmp_path, number):
    (fault,) = refused(tmp_path, f"a: 1\nb: [2, {number}]\n")
    assert (fault.line, fault.column, fault.where) == (2, 8, "b.2")
    assert "is not a number that can be measured" in fault.what


@pytest.mark.parametrize("number", ["1e400", "1e16", "9" * 20, "9" * 5000, "-" + "9" * 17])
def test_a_giant_number_is_refused(tmp_path, number):
    (fault,) = refused(tmp_path, f"a: {number}\n")
    assert (fault.line, fault.column) == (1, 4)
    assert "too large to be meant" in fault.what
    assert len(fault.what) < 80


def test_a_key_that_stands_twice_is_told_with_both_lines(tmp_path):
    (fault,) = refused(tmp_path, "ways:\n  mid: {a: 1}\n  sub: 3\n  mid: {a: 2}\n")
    assert (fault.line, fault.column, fault.where) == (4, 3, "ways.mid")
    assert "twice (first in line 2)" in fault.what


def test_numbers_that_are_the_same_key_are_seen(tmp_path):
    (fault,) = refused(tmp_path, "watts: {4: 75, 4.0: 80}\n")
    assert (fault.line, fault.column) == (1, 16)


@pytest.mark.parametrize(("text", "column"), [("a: {true: 1}", 5), ("a: {~: 1}", 5), ("a: {[b]: 1}", 5)])
def test_what_is_no_key_is_refused_where_it_stands(tmp_path, text, column):
    (fault,) = refused(tmp_path, text)
    assert fault.column == column
    assert "key" in fault.what


@pytest.mark.parametrize("tag", ["!!python/object/apply:os.system", "!mine", "!!set", "!!binary"])
def test_a_tag_is_refused(tmp_path, tag):
    (fault,) = refused(tmp_path, f"a: 1\nb: {tag} [x]\n")
    assert (fault.line, fault.column) == (2, 4)
    assert "tag" in fault.what


def test_an_alias_is_read_as_what_it_repeats(tmp_path):
    assert read(tmp_path, "a: &one {x: 1}\nb: *one\n") == {"a": {"x": 1}, "b": {"x": 1}}


def test_aliases_that_grow_without_end_are_refused_soon(tmp_path):
    bomb = "a: &a [1, 1, 1, 1, 1, 1, 1, 1, 1]\n"
    for one, two in zip("abcdefgh", "bcdefghi", strict=True):
        bomb += f"{two}: &{two} [{', '.join(['*' + one] * 9)}]\n"
    began = time.perf_counter()
    (fault,) = refused(tmp_path, bomb)
    assert "aliases counted" in fault.what
    assert time.perf_counter() - began < 5


def test_an_alias_within_itself_is_refused(tmp_path):
    faults = refused(tmp_path, "a: &a [*a, *a]\n")
    assert "nested more than" in faults[0].what
    assert len(faults) <= 2


def test_deep_nesting_is_refused(tmp_path):
    (fault,) = refused(tmp_path, "a: " + "[" * 60 + "]" * 60)
    assert fault.what == "nested more than 24 levels deep"
    assert (fault.line, fault.column) == (1, 28)


@pytest.mark.parametrize(
    "text", ["[" * 200_000, "{a: " * 200_000, "- " * 200_000, "\n".join(" " * i + "a:" for i in range(2000))]
)
def test_nesting_that_would_break_a_stack_is_refused(tmp_path, text):
    (fault,) = refused(tmp_path, text)
    assert "nesting" in fault.what


def test_a_tab_gets_the_advice_to_use_spaces(tmp_path):
    (fault,) = refused(tmp_path, "a:\n\tb: 1\n")
    assert (fault.line, fault.column) == (2, 1)
    assert fault.way_out == "indent with spaces, not tabs"


@pytest.mark.parametrize("text", ["", "\n\n", "# only words\n", "---\n", "--- # words\n...\n", b"\xef\xbb\xbf"])
def test_an_empty_file_is_told_so(tmp_path, text):
    (fault,) = refused(tmp_path, text)
    assert fault.what == "the file is empty"


def test_a_second_document_is_refused_where_it_begins(tmp_path):
    (fault,) = refused(tmp_path, "a: 1\n---\nb: 2\n")
    assert (fault.line, fault.column) == (2, 1)
    assert fault.what == "a second document begins here"


def test_a_file_of_bytes_is_refused(tmp_path):
    (fault,) = refused(tmp_path, bytes(range(256)))
    assert "is not UTF-8 text" in fault.what


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_byte_that_is_no_text_is_found_by_line_and_character(tmp_path, mark):
    (fault,) = refused(tmp_path, mark + "a: 1\nb: éé ".encode() + b"\xff\n")
    assert (fault.line, fault.column) == (2, 7)
    assert fault.what == "byte 0xff is not UTF-8 text"


def test_a_character_that_no_text_has_is_found_by_line_and_character(tmp_path):
    (fault,) = refused(tmp_path, "a: é\nb: é\x1b[31m\n")
    assert (fault.line, fault.column) == (2, 5)
    assert "U+001B" in fault.what


def test_a_byte_order_mark_changes_nothing(tmp_path):
    assert read(tmp_path, b"\xef\xbb\xbfa: 1\n") == {"a": 1}
    (fault,) = refused(tmp_path, b"\xef\xbb\xbfa: .nan\n")
    assert (fault.line, fault.column) == (1, 4)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r", "\u2028"])
def test_lines_end_as_they_like(tmp_path, ending):
    (fault,) = refused(tmp_path, ending.join(["a: 1", "b: [x]", "c: .inf"]))
    assert (fault.line, fault.column, fault.source_line) == (3, 4, "c: .inf")


def test_a_huge_file_is_refused_unread(tmp_path):
    (fault,) = refused(tmp_path, b"a: " + b"x" * MAX_BYTES)
    assert "more than a file of this kind may hold" in fault.what


def test_a_flood_of_faults_is_cut(tmp_path):
    assert len(refused(tmp_path, "".join(f"a{n}: .inf\n" for n in range(MAX_FAULTS * 3)))) == MAX_FAULTS


def test_what_is_no_file_is_refused(tmp_path):
    os.mkfifo(tmp_path / "pipe.yaml")
    for name, words in (
        ("gone.yaml", "no such file"),
        (".", "a folder"),
        ("pipe.yaml", "not an ordinary file"),
        ("\0", "cannot be read"),
        ("x" * 500, "cannot be read"),
    ):
        with pytest.raises(InputError) as caught:
            read_source(tmp_path / name, "shown.yaml")
        (fault,) = caught.value.faults
        assert words in fault.what
        assert str(fault).startswith("shown.yaml:1:1: ")


def test_the_caret_stands_under_the_fault(tmp_path):
    (fault,) = refused(tmp_path, "a: 1\nlist: [1, .nan]\n")
    head, line, caret = str(fault).split("\n")
    assert head.startswith("x.yaml:2:11: list.2: ")
    assert line.strip() == "list: [1, .nan]"
    assert line[caret.index("^") :].startswith(".nan")


def test_the_caret_finds_its_place_in_a_very_long_line(tmp_path):
    (fault,) = refused(tmp_path, "a: [" + "1, " * 2000 + ".nan]\n")
    _, line, caret = str(fault).split("\n")
    assert line[caret.index("^") :].startswith(".nan")
    assert len(line) < 120


def test_the_caret_counts_a_tab_as_one(tmp_path):
    (fault,) = refused(tmp_path, "a:\t\t.nan\n")
    _, line, caret = str(fault).split("\n")
    assert line[caret.index("^") :].startswith(".nan")


def test_a_message_cannot_write_on_the_terminal(tmp_path):
    (fault,) = refused(tmp_path, '"\\e[31mred\\n": .inf\n')
    assert str(fault).replace("\n", "").isprintable()
    assert len(str(fault).split("\n")) == 3
