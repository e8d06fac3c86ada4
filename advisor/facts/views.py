"""Subjects and specs as facts and rules see them: reading an attribute is kept track of.

Names of a view's own end in an underscore, all others are read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.chain.subject import Subject
from advisor.reading.origin import Origin
from advisor.reading.parts import Part
from advisor.reading.spec import Spec

if TYPE_CHECKING:
    from advisor.facts.engine import Engine


_own = object.__getattribute__


class View:
    """A subject; `view.name` reads a fact, a spec, a tie or an own word."""

    __slots__ = ("engine_", "subject_")

    def __init__(self, engine: Engine, subject: Subject) -> None:
        self.engine_, self.subject_ = engine, subject

    def __getattribute__(self, name: str) -> Any:
        # to let Python look for an attribute, fail, and then ask for it would take twice as long
        if name[-1:] == "_":
            return _own(self, name)
        return _own(self, "engine_").read(_own(self, "subject_"), name)

    def has_(self, name: str) -> bool:
        """Tell whether it has a spec or tie of that name."""
        return _own(self, "engine_").has(_own(self, "subject_"), name)  # type: ignore[no-any-return]

    @property
    def place_(self) -> Origin | None:
        """Where it is written, to point at what is missing there."""
        return self.subject_.origin

    def assume_(self, name: str) -> Any:
        """Read a rule of thumb."""
        return _own(self, "engine_").assume(name)

    def __str__(self) -> str:
        return self.subject_.name


class SpecView:
    """A mapping of a file; `view.name` reads what is written there, Missing where it is not."""

    __slots__ = ("engine_", "record_", "spec_", "subject_")

    def __init__(self, engine: Engine, spec: Spec, subject: Subject, record: str) -> None:
        self.engine_, self.spec_, self.subject_, self.record_ = engine, spec, subject, record

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        return self.engine_.read_given(self.spec_, self.subject_, self.record_, name)

    def get_(self, name: str) -> Any:
        """Read a value, None where nobody wrote it."""
        return self.engine_.read_given(self.spec_, self.subject_, self.record_, name, optional=True)

    @property
    def place_(self) -> Origin | None:
        """Where it is written, to point at what is missing there."""
        return self.spec_.origin

    def __str__(self) -> str:
        return self.engine_.called(self.spec_, self.subject_, self.record_)


def spec_name(spec: Spec, subject: Subject, record: str) -> str:
    """Return what a spec is called: a part by its code, all else by whose it is."""
    origin = spec.origin
    if isinstance(spec, Part) and origin is not None and len(origin.path) == 2 and origin.path[0] == "parts":
        return str(origin.path[1])
    if origin is not None and origin.path:
        return origin.dotted
    return f"{subject.name} {record}" if record != "spec" else subject.name
