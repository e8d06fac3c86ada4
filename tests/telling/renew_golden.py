"""Write the golden reports anew: `python -m tests.telling.renew_golden`. Read the difference before it is committed."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.telling.examples import JOBS, markdown

GOLDEN = Path(__file__).parent / "golden"


def main() -> None:
    GOLDEN.mkdir(exist_ok=True)
    for old in set(GOLDEN.glob("*.md")) - {GOLDEN / f"{job}.md" for job in JOBS}:
        old.unlink()
    for job in JOBS:
        path = GOLDEN / f"{job}.md"
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        path.write_text(markdown(job), encoding="utf-8", newline="\n")
        sys.stdout.write(f"{path.name}: {'as it was' if before == markdown(job) else 'changed'}\n")


if __name__ == "__main__":
    main()
