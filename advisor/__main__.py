"""`python -m advisor` is `advisor`."""

from advisor.cli import main

main(prog_name="advisor")
