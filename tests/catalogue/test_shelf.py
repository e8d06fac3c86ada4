"""What is known of a library is kept: an audit in which nothing is to be judged loads neither rules nor physics."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.store import Store
from tests.catalogue.conftest import TODAY
from tests.catalogue.invented import write_big

PROGRAM = """
import sys
from datetime import date
from pathlib import Path
from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.store import Store
folder, cache = map(Path, sys.argv[1:])
with Store(cache) as store:
    audit = audit_catalogue(open_catalogue(folder, "big"), date(2026, 5, 4), store)
    loaded = [name for name in ("numpy", "advisor.facts.meeting", "advisor.physics.thermal") if name in sys.modules]
    print(audit.judged, len(audit.entries), len(audit.rules), [one.says for one in audit.remarks], loaded, sep="|")
"""


def audited(folder: Path, cache: Path) -> list[str]:
    command = [sys.executable, "-c", PROGRAM, str(folder), str(cache)]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip().split("|")


def test_what_is_known_is_told_again_without_loading_what_judges(tmp_path):
    folder, cache = tmp_path / "big", tmp_path / "cache"
    write_big(folder, 2, 2)
    judged, lines, *told, loaded = audited(folder, cache)
    assert (judged, lines, loaded) == ("4", "4", "['numpy', 'advisor.facts.meeting', 'advisor.physics.thermal']")
    assert audited(folder, cache) == ["0", "4", *told, "[]"]


def test_a_datasheet_that_is_corrected_is_looked_at_again(tmp_path):
    folder = tmp_path / "big"
    write_big(folder, 1, 1)
    sheet = folder / "parts" / "tweeters.yaml"
    written = sheet.read_text(encoding="utf-8")
    told = []
    with Store(tmp_path / "cache") as store:
        for text in (written, written.replace("qts: 0.", "qts: 1.", 1), written):
            sheet.write_text(text, encoding="utf-8")
            audit = audit_catalogue(open_catalogue(folder, "big"), TODAY, store)
            told.append([one.says for one in audit.remarks if one.rule.startswith("datasheet")])
    assert told[0] == told[2]
    assert len(told[1]) > len(told[0])
