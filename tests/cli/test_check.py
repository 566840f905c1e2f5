"""``glazecalc check``: the contract of its JSON, the page, and that nothing on it is a verdict."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.run import run

RECIPES = sorted((Path(__file__).parents[2] / "notebooks" / "studio" / "recipes").glob("*.txt"))
KEYS = {
    "recipe", "convention", "unity", "mole_percent", "silica_alumina_ratio", "r2o", "ro", "fired_analysis_percent", "base_total", "additions_total",
    "all_in_total", "loi_percent_base", "loi_percent_all_in", "raw_clay_percent", "soluble_percent", "estimates", "cautions", "notices",
}  # fmt: skip
ESTIMATE_KEYS = {
    "model",
    "value",
    "low",
    "high",
    "level",
    "unit",
    "temperature_range_c",
    "in_window",
    "outside",
    "note",
}
CAUTION_KEYS = {"code", "title", "about", "severity", "message", "why", "do", "evidence", "source"}


def test_json_contract(capsys: pytest.CaptureFixture[str], studio: Path):
    ran = run(
        capsys, "check", str(studio / "recipes/harbour-black.txt"), "--materials", str(studio / "materials"), "--json"
    )
    assert ran.code == 0
    page = ran.json
    assert page.keys() >= KEYS
    assert page["recipe"] | {"name": "Harbour Black", "cone": "6", "atmosphere": "oxidation"} == page["recipe"]
    assert page["recipe"]["lines"][0]["material"] == "potash_feldspar"
    assert all(e.keys() >= ESTIMATE_KEYS for e in page["estimates"])
    assert all(c.keys() == CAUTION_KEYS for c in page["cautions"])
    assert (page["base_total"], page["additions_total"], page["all_in_total"]) == (100, 9, 109)
    assert page["raw_clay_percent"] == pytest.approx(100 * 13 / 109)
    assert page["r2o"] + page["ro"] == pytest.approx(1)
    assert page["silica_alumina_ratio"] == pytest.approx(page["unity"]["SiO2"] / page["unity"]["Al2O3"])
    assert "carbonate-form" in {notice["code"] for notice in page["notices"]}
    assert ran.err == ""


def test_an_iron_black_lies_outside_the_window_and_the_page_says_so(capsys: pytest.CaptureFixture[str], studio: Path):
    ran = run(capsys, "check", str(studio / "recipes/harbour-black.txt"), "--materials", str(studio / "materials"))
    assert "outside the tested range: Fe2O3" in ran.out
    assert "90 %" in ran.out


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
@pytest.mark.parametrize("more", [[], ["--full"], ["--working"]], ids=["page", "full", "working"])
def test_pages_are_100_columns_and_hold_no_verdict(capsys: pytest.CaptureFixture[str], path: Path, more: list[str]):
    ran = run(capsys, "check", str(path), "--materials", str(path.parents[1] / "materials"), *more)
    assert ran.code == 0
    assert max(map(len, ran.out.splitlines())) <= 100
    assert not re.search(r"\bsafe\b|\bpass(es|ed)?\b|\bnan\b|\binf\b|\bcertified food", ran.out, re.IGNORECASE)


def test_convention_is_named_and_changes_the_sum(capsys: pytest.CaptureFixture[str], studio: Path):
    words = ["check", str(studio / "recipes/harbour-black.txt"), "--materials", str(studio / "materials")]
    default = run(capsys, *words, "--json").json
    other = run(capsys, *words, "--json", "--convention", "colourants-as-flux", "--convention", "iron-as-feo").json
    assert other["convention"]["names"] == ["colourants-as-flux", "iron-as-feo"]
    assert other["unity"]["SiO2"] < default["unity"]["SiO2"]
    page = run(capsys, *words, "--convention", "colourants-as-flux").out
    assert "MnO CoO NiO CuO" in page


def test_lead_is_never_folded_away(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    path = tmp_path / "old.txt"
    path.write_text("Old Honey\nlead bisilicate 60\nkaolin 15\nsilica 25\n")
    for use in ("plate", "not-for-food"):
        ran = run(capsys, "check", str(path), "--use", use)
        lead = [line for line in ran.out.splitlines() if re.search(r"\blead\b", line, re.IGNORECASE)]
        assert lead, use
        block = ran.out[ran.out.index("LOOK AT") :]
        assert "stop" in block
        first = block.splitlines()[2] if block.splitlines()[1].startswith("  stop") else block
        assert not first.endswith("...")


def test_a_batch_without_flux_gets_a_page_without_unity(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    path = tmp_path / "r.txt"
    path.write_text("Wash\nkaolin 50\nsilica 50\n")
    ran = run(capsys, "check", str(path), "--json")
    assert ran.code == 0
    assert ran.json["unity"] == {}
    assert "no-unity-formula" in [n["code"] for n in ran.json["notices"]]
    assert "none: the batch has no flux" in run(capsys, "check", str(path)).out


def test_json_numbers_are_finite_for_odd_batches(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    path = tmp_path / "r.txt"
    for text in (
        "T\nwhiting 100\n",
        "T\nsoda ash 1\n",
        "T\nborax 5\nsilica 0\n",
        "T\nred iron oxide 5\nwhiting 1\n",
        "T\nwhiting 1e-9\n".replace("1e-9", "0.000001"),
    ):
        path.write_text(text)
        ran = run(capsys, "check", str(path), "--json")
        assert ran.code == 0, ran.err
        assert "NaN" not in ran.out
        assert "Infinity" not in ran.out


def test_as_a_process_with_streams_apart(studio: Path):
    words = [
        sys.executable,
        "-m",
        "glazecalc",
        "check",
        str(studio / "recipes/rill-clear.txt"),
        "--materials",
        str(studio / "materials"),
    ]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert done.stdout.startswith("Rill Clear")
    assert done.stderr == ""
    assert "note: " in done.stdout


def test_importing_the_package_is_light():
    code = "import glazecalc, sys; print([m for m in ('numpy', 'pandas', 'highspy', 'scipy', 'matplotlib', 'yaml', 'click', 'periodictable', 'jinja2', 'markupsafe') if m in sys.modules])"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )
    code = "import sys; from glazecalc.cli import check; import glazecalc.check_report; print([m for m in ('pandas', 'highspy', 'scipy', 'matplotlib', 'jinja2') if m in sys.modules])"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )


def test_a_measured_glaze_on_a_measured_body(capsys: pytest.CaptureFixture[str], studio: Path, tmp_path: Path):
    body = tmp_path / "body.yaml"
    body.write_text("name: Slate\nexpansion_1e6_per_k: 6.5\nexpansion_range_c: [20, 500]\n")
    words = ["check", str(studio / "recipes/weir-celadon.txt"), "--body", str(body)]
    ran = run(capsys, *words, "--glaze-expansion", "6.0", "--glaze-range", "20-500", "--set-point", "520C", "--json")
    assert ran.code == 0, ran.err
    assert ran.json["fit"]["stress_mpa"] == pytest.approx(-22.4, abs=0.05)  # 0.5 at E 70 GPa, nu 0.22, 500 K
    fit = ran.json["readings"][3]
    assert (fit["code"], fit["evidence"]["state"]) == ("fit-among", "compression")
    assert fit["says"].startswith("Both measured: -22 MPa in the glaze, compression.")
    assert "different scales" not in ran.out
    assert "not on the same scale" in " ".join(run(capsys, *words).out.split())
    tense = run(capsys, *words, "--glaze-expansion", "7.0", "--glaze-range", "20-500", "--json").json["readings"][3]
    assert tense["code"] == "fit-crazing-side"
    assert "+22 MPa in the glaze, tension: crazing side." in tense["says"]
    ran = run(capsys, *words, "--glaze-expansion", "6.0", "--glaze-range", "20-300")
    assert (ran.code, ran.out) == (1, "")
    assert "both on one range" in ran.err
    assert run(capsys, *words[:2], "--glaze-expansion", "6.0", "--glaze-range", "20-500").code == 2
    assert run(capsys, *words, "--glaze-expansion", "6.0", "--glaze-range", "warm").code == 2


def test_spread_on_the_page_and_in_json(capsys: pytest.CaptureFixture[str], studio: Path):
    words = ["check", str(studio / "recipes/weir-celadon.txt"), "--spread", "5000"]
    page = run(capsys, *words, "--json").json
    low, high = page["spread"]["unity"]["SiO2"]
    assert low < page["unity"]["SiO2"] < high
    assert set(page["spread"]["estimates"]) >= {"expansion, fitted", "viscosity at 1285 C, fitted"}
    (estimate,) = (e for e in page["estimates"] if (e["quantity"], e["model"]) == ("expansion", "fitted"))
    apart, both = (page["spread"][key]["expansion, fitted"] for key in ("estimates", "estimates_with_model_error"))
    up = math.hypot(apart[1] - estimate["value"], estimate["high"] - estimate["value"])  # two independent errors
    assert both[1] - estimate["value"] == pytest.approx(up)
    assert both[0] < min(apart[0], estimate["low"])
    assert "expansion, appen" not in page["spread"]["estimates_with_model_error"]  # has no error of its own
    shown = run(capsys, *words)
    assert "SPREAD" in shown.out
    assert "model's own error is not in low and high" in shown.out
    assert max(map(len, shown.out.splitlines())) <= 100
    assert run(capsys, *words[:2], "--step", "1g").code == 2
    assert run(capsys, *words, "--step", "1 cup").code == 2
    assert run(capsys, *words, "--step", "1g").code == 1  # parts without a batch size


def test_a_plan_of_tests_for_the_use_and_the_body(capsys: pytest.CaptureFixture[str], studio: Path):
    words = ["check", str(studio / "recipes/harbour-black.txt"), "--materials", str(studio / "materials"), "--tests"]
    shown = run(capsys, *words)
    assert shown.code == 0
    assert max(map(len, shown.out.splitlines())) <= 100
    for standard in ("ASTM C738", "ASTM C554", "ASTM C424", "ASTM C373", "EN 12875"):
        assert standard in shown.out
    assert not re.search(r"\bsafe\b|\bpass(es|ed)?\b", shown.out, re.IGNORECASE)
    names = [t["name"] for t in run(capsys, *words, "--body", str(studio / "body-slate.yaml"), "--json").json["tests"]]
    assert any("C554" in name for name in names)


def test_a_surface_that_is_stated(capsys: pytest.CaptureFixture[str], studio: Path):
    words = ["check", str(studio / "recipes/rill-clear.txt"), "--materials", str(studio / "materials"), "--json"]
    codes = {c["code"] for c in run(capsys, *words, "--surface", "crazed").json["cautions"]}
    assert codes - {c["code"] for c in run(capsys, *words).json["cautions"]} == {"crazed-on-food"}
    assert run(capsys, *words, "--surface", "crased").code == 2
