"""The tables past one process: under dask on a cluster of worker processes each row is, to the last bit, what the plain call gives.

``pip install -e ".[scale]"`` brings dask; ``pytest -m scale`` runs these.
"""

from __future__ import annotations

from functools import partial

import numpy as np
import pandas as pd
import pytest

import glazecalc as gc

pytestmark = pytest.mark.scale
LACKING = "dask is not installed: pip install 'glazecalc[scale]'"
dataframe = pytest.importorskip("dask.dataframe", reason=LACKING)
array = pytest.importorskip("dask.array", reason=LACKING)
distributed = pytest.importorskip("dask.distributed", reason=LACKING)

LIBRARY = gc.load_materials()
WIDE = sorted((m.id for m in LIBRARY.values() if m.analysis), key=lambda m: (-len(LIBRARY[m].analysis), m))[:40]
TOGETHER = gc.Convention(alkalis_together=True, colourants_as_flux=True)
TABLES = {
    "unity_table": gc.unity_table,
    "fired_table": gc.fired_table,
    "mole_percent_table": gc.mole_percent_table,
    "estimate_table": gc.estimate_table,
    "unity_table by another convention": partial(gc.unity_table, convention=TOGETHER),
    "estimate_table at a cone": partial(gc.estimate_table, cone="6"),
}


def recipes(columns: list[str], count: int = 3000) -> pd.DataFrame:
    parts = pd.DataFrame(np.random.default_rng(5).uniform(0, 40, (count, len(columns))), columns=columns)
    parts.iloc[17] = 0.0  # a recipe of nothing is a row of nothing
    return parts.set_index(pd.Index([f"tile {place}" for place in range(count)], name="tile"))


@pytest.fixture(scope="module")
def cluster():
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as workers,
        distributed.Client(workers) as client,
    ):
        yield client


@pytest.mark.parametrize("columns", [WIDE[:6], WIDE], ids=["6 materials", "40 materials"])
@pytest.mark.parametrize("name", TABLES)
def test_a_table_in_partitions_is_the_plain_table(cluster, name, columns):
    table, parts = TABLES[name], recipes(columns)
    divided = dataframe.from_pandas(parts, npartitions=4, sort=False)
    made = divided.map_partitions(table, LIBRARY, meta=table(parts.iloc[:0], LIBRARY)).compute()
    plain = table(parts, LIBRARY)
    assert made.index.equals(plain.index)
    assert made.dtypes.equals(plain.dtypes)
    for column in plain.columns:
        assert made[column].to_numpy().tobytes() == plain[column].to_numpy().tobytes(), column


def test_cautions_in_partitions_are_those_of_the_plain_table(cluster):
    parts = recipes(WIDE[:6], 20).drop(index="tile 17")
    divided = dataframe.from_pandas(parts, npartitions=2, sort=False)
    made = divided.map_partitions(gc.caution_table, LIBRARY, cone="6", meta=gc.caution_table(parts.iloc[:0], LIBRARY, cone="6")).compute()  # fmt: skip
    plain = gc.caution_table(parts, LIBRARY, cone="6")
    assert made.astype(str).to_dict() == plain.astype(str).to_dict()  # dask keeps texts in a kind of column of its own


def test_an_array_in_blocks_is_the_plain_array(cluster):
    matrix, parts = gc.unity_matrix([LIBRARY[name] for name in WIDE]), recipes(WIDE).to_numpy()
    blocks = array.from_array(parts, chunks=(700, len(WIDE)))
    widths = (blocks.chunks[0], (len(matrix.oxides),))
    made = blocks.map_blocks(gc.unity_array, matrix, dtype=np.float64, chunks=widths)
    assert made.shape == (3000, len(matrix.oxides))
    assert made.compute().tobytes() == gc.unity_array(parts, matrix).tobytes()


def test_a_bad_amount_in_a_worker_is_told_as_it_is_here(cluster):
    parts = recipes(WIDE[:6])
    parts.loc["tile 2500", "kaolin" if "kaolin" in parts else WIDE[0]] = -1.0
    divided = dataframe.from_pandas(parts, npartitions=4, sort=False)
    lazy = divided.map_partitions(gc.unity_table, LIBRARY, meta=gc.unity_table(parts.iloc[:0], LIBRARY))
    with pytest.raises(gc.CompositionError, match="row 'tile 2500'"):
        lazy.compute()
