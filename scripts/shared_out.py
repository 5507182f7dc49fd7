"""A pytest plugin: how the tests are shared out among processes. What needs the same costly things stays together.

A session's fixtures are made once in each process that needs them: vans with their parts made, finite elements, a
server with a browser. So a file's tests run in one process, and so do those of the folders and files named here; the
longest go first, so that the end finds every process busy.
"""

from __future__ import annotations

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

TOGETHER = {
    "the vans' parts": (
        "tests/parts/test_strength_of_van.py", "tests/parts/test_files_read_back.py", "tests/parts/test_vans.py",
    ),
    "the page": ("tests/workbench/browser/",),
    "finite elements": ("tests/studies/structure/", "tests/elasticity/"),
    "the scans": ("tests/scans/",),
    "the papers": ("tests/papers/",),
}  # fmt: skip
"""Beginnings of the names of files; in the order in which they are begun."""
BY_TABLE = "tests/demo/test_harbour_mail_van.py"
"""Too long for one process; the same table's numbers lead to the same studies."""
NEXT = (BY_TABLE, "tests/parts/", "tests/cli/", "tests/studies/", "tests/build/test_fuzz.py")


def share_of(nodeid: str) -> str:
    """The name of the tests that this one runs with."""
    file, _, test = nodeid.partition("::")
    for name, beginnings in TOGETHER.items():
        if file.startswith(beginnings):
            return name
    return f"{file} {test.partition('[')[2].partition('.')[0]}".strip() if file == BY_TABLE else file


def turn(nodeid: str) -> int:
    """When it is begun: a small number is early."""
    share, order = share_of(nodeid), (*TOGETHER, *NEXT)
    return next((k for k, begin in enumerate(order) if share.startswith(begin)), len(order))


class InShares(LoadScopeScheduling):
    """Gives out whole shares, in the order of collection."""

    def _split_scope(self, nodeid: str) -> str:
        return share_of(nodeid)


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> InShares:
    """Instead of single tests to whoever is free."""
    config.option.loadscopereorder = False  # by their number says little: one of ours may take a minute
    return InShares(config, log)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Longest first, only where there are several processes: alone, the order of the files is easier to follow."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: turn(item.nodeid))
