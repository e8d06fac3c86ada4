"""What is known of a catalogue before any package is: that its library can be read, and what sheets fall short of.

It is kept with the rows, so that an audit in which nothing is to be judged loads neither rules nor physics.
"""

from __future__ import annotations

import json
from dataclasses import astuple, dataclass

from advisor.catalogue.bench import rulebook_of
from advisor.catalogue.remarks import Remark
from advisor.catalogue.sheets import sheet_remarks
from advisor.catalogue.store import Store
from advisor.catalogue.work import Keys
from advisor.errors import Fault


@dataclass(frozen=True)
class Shelf:
    """Every rule's level by its name, in the rulebook's order; what is wrong with files; what sheets fall short of."""

    rules: dict[str, str]
    faults: list[Fault]
    sheets: list[Remark]


def shelf_of(keys: Keys, store: Store) -> Shelf:
    """Return it as it was kept, else look through the library and keep what came of it. Raises InputError."""
    key = keys.of_library()
    kept = store.head(key)
    if kept is not None:
        rules, sheets = json.loads(kept)
        return Shelf(dict(rules), [], [Remark(*one) for one in sheets])
    catalogue = keys.catalogue
    rulebook, faults = rulebook_of(catalogue), catalogue.faults()
    levels = {name: rule.level for name, rule in rulebook.items()}
    found = [] if faults else list(sheet_remarks(catalogue, rulebook, keys.today))
    if not faults:
        store.keep((key, json.dumps([list(levels.items()), [astuple(one) for one in found]], ensure_ascii=False)), ())
    return Shelf(levels, faults, found)
