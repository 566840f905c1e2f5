from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture
def bench(tmp_path: Path):
    from tests.workbench.bench import copy_of_the_studio, opened

    return opened(copy_of_the_studio(tmp_path))
