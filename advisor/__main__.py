"""`python -m advisor` is `advisor`."""

from advisor.cli import run

run()
