"""Who judges: this process alone, several of its kind, or a cluster."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from advisor.catalogue.catalogue import Catalogue
from advisor.catalogue.work import Done
from advisor.catalogue.workers import Task, judged


@dataclass(frozen=True)
class Team:
    """So many workers on this machine, or the cluster at an address."""

    workers: int = 1
    cluster: str | None = None

    def judged(
        self, catalogue: Catalogue, program: str, today: date, tasks: Sequence[Task]
    ) -> Iterator[tuple[Task, Done]]:
        """Yield each task with what came of it, as they are done."""
        if self.cluster is None:
            return judged(catalogue, program, today, tasks, self.workers)
        from advisor.catalogue.cluster import judged_on_cluster

        return judged_on_cluster(catalogue, program, today, tasks, self.cluster)
