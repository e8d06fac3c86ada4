"""Where the data lies that is shipped with the program."""

from __future__ import annotations

from pathlib import Path


def rules_folder() -> Path:
    """Return the folder of the trade's rules: inside the installed package, or beside it in a checkout."""
    here = Path(__file__).parent
    inside = here / "rules"
    return inside if inside.is_dir() else here.parent / "rules"
