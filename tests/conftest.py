"""Shared settings: property tests are repeatable, and the studio's files are found."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from glazecalc import MaterialLibrary, load_materials

settings.register_profile("default", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("default")

STUDIO = Path(__file__).parent.parent / "notebooks" / "studio"


@pytest.fixture(scope="session")
def library() -> MaterialLibrary:
    return load_materials()


@pytest.fixture(scope="session")
def studio_library() -> MaterialLibrary:
    return load_materials(STUDIO / "materials")


@pytest.fixture(scope="session")
def studio() -> Path:
    return STUDIO


def pytest_collection_finish():
    """Leave what was collected out of each later search for garbage: thousands of tests would be gone through each time."""
    gc.collect()
    gc.freeze()
