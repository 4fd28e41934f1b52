"""One store of packets for all test processes of a session."""

from __future__ import annotations

import pytest

from tests.acceptance.packets import Packet, Store


@pytest.fixture(scope="session")
def store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    base = tmp_path_factory.getbasetemp()
    # with several processes each has a folder of its own below the session's
    return Store((base.parent if base.name.startswith("popen-") else base) / "acceptance")


@pytest.fixture(scope="session")
def packets(request: pytest.FixtureRequest, store: Store) -> tuple[Packet, ...]:
    """The packet of an example, or those of the random plans."""
    name: str = request.param
    return store.get(name)
