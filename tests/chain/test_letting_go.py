"""A chain that is let go is gone at once: nothing has to look for circles of objects first."""

from __future__ import annotations

import gc
import weakref

from tests.facts.jobs import chain, changed


def test_it_is_gone_when_nobody_holds_it(tmp_path):
    made = chain(tmp_path, changed())
    subjects = [weakref.ref(subject) for subject in made.subjects]
    gc.collect()
    gc.disable()
    try:
        made.let_go()
        del made
        assert [there.name for subject in subjects if (there := subject())] == []
    finally:
        gc.enable()
