"""Odd words for every option and argument of every command: exit 0, 1 or 2, never a traceback, and no output but on 0."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from importlib import import_module
from itertools import cycle
from pathlib import Path

import click
import pytest

import glazecalc as gc
from glazecalc.cli.verbs import VERBS
from tests.cli.run import run

CORPUS = Path(__file__).parents[1] / "fuzz" / "corpus"
RECIPE, OTHER = (str(CORPUS / "recipe" / name) for name in ("ford-clear.txt", "weir-celadon.txt"))
CALLS = {  # a right call of each command: its arguments, then its options
    "check": ([RECIPE], []),
    "compare": ([RECIPE, OTHER], []),
    "materials": (["kaolin"], []),
    "scale": ([RECIPE], ["--base", "300g"]),
    "slurry": ([], ["--sg-now", "1.38", "--volume", "9l", "--solids-density", "2.6"]),
    "mend": ([RECIPE], ["--weighed", RECIPE]),
    "cost": ([RECIPE], ["--base", "5kg", "--prices", str(CORPUS / "shelf" / "prices.csv")]),
    "size": ([], ["--shrinkage", "12%", "--want", "9in"]),
    "substitute": ([RECIPE], ["--without", "whiting", "--only", "wollastonite", "--time-limit", "0.2"]),
    "match": ([str(CORPUS / "target" / "satin.yaml")], ["--only", "whiting", "--time-limit", "0.2"]),
    "calibrate": (["firings.csv"], []),
    "nudge": ([RECIPE, "alumina +0.05"], []),
    "blend": ([RECIPE, OTHER], []),
    "cone": (["6"], []),
    "lab": ([str(CORPUS / "release" / "plate.csv")], ["--ware", "plate"]),
}
WORDS = (
    "", " ", "-", "--", "-1", "0", "-3%", "5000%", "1.2.3 4", "6" * 5000, "n" * 300, "n" * 300 + ".txt", "loop", "loop.txt", "nan", "inf",
    "1e308g", "1e-320l", "alumina\t+0.05", "a=b=c", "kaolin=1..0", "=", "..", "\udcff", "\x1b[31m", ".", "/dev/full", "1/0", "0g", "kaolin -5 g",
    "SiO2:", "é\u0301\u202e", "0x10", "½", "--json", "expansion to 1e9", "kaolin 1e308 g", "1,5", "99999999999999999999",
)  # fmt: skip
WORDS_AN_OPTION = 3


def test_every_command_is_called_here():
    assert set(CALLS) == set(VERBS) - {"open"}  # it serves until it is stopped: tests/workbench/test_open.py


def odd_calls(verb: str) -> Iterator[list[str]]:
    """Yield calls of a command with one odd word each; the words go round."""
    arguments, options = CALLS[verb]
    command: click.Command = import_module(f"glazecalc.cli.{verb}").command
    words = cycle(WORDS)
    for param in command.params:
        if isinstance(param, click.Option) and param.is_flag:
            yield [verb, *arguments, *options, param.opts[0]]
        elif isinstance(param, click.Option):
            for _ in range(WORDS_AN_OPTION):
                yield [verb, *arguments, *options, param.opts[0], next(words)]
    for at in range(len(arguments)):
        for word in WORDS:
            yield [verb, *arguments[:at], word, *arguments[at + 1 :], *options]


@pytest.mark.parametrize("verb", CALLS)
def test_odd_words_are_answered_or_refused(
    verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.chdir(tmp_path)
    for loop in ("loop", "loop.txt"):
        (tmp_path / loop).symlink_to(tmp_path / loop)
    shutil.copytree(CORPUS / "recipe", tmp_path, dirs_exist_ok=True)
    (tmp_path / "firings.csv").write_text("recipe,body,cone,result\nford-clear.txt,Slate,6,crazed\n")
    assert run(capsys, verb, *CALLS[verb][0], *CALLS[verb][1]).code == 0
    for words in odd_calls(verb):
        said = " ".join(word[:40] for word in words)
        try:
            ran = run(capsys, *words)
        except Exception as error:  # noqa: BLE001 - what the user would see as a traceback
            pytest.fail(f"{said}: {type(error).__name__}: {error}")
        assert ran.code in (0, 1, 2), said
        assert "Traceback" not in ran.err, said
        assert ran.code == 0 or (ran.out == "" and ran.err), said


def started(*words: str, **kwargs: object) -> subprocess.Popen[bytes]:
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)} | kwargs.pop("env", {})  # type: ignore[operator, call-overload]
    return subprocess.Popen([sys.executable, "-m", "glazecalc", *words], env=environment, **kwargs)  # type: ignore[call-overload, no-any-return]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full disk at hand")
@pytest.mark.parametrize("words", [("check", RECIPE), ("check", RECIPE, "--json"), ("materials",), ("--help",)])
def test_a_full_disk_under_standard_output_is_one_line(words: tuple[str, ...]):
    with open("/dev/full", "wb") as full:
        child = started(*words, stdout=full, stderr=subprocess.PIPE)
        _, told = child.communicate(timeout=60)
    assert child.returncode == 1
    assert told.decode().splitlines() == ["glazecalc: standard output: No space left on device."]


@pytest.mark.parametrize("words", [("check", RECIPE), ("materials", "--json"), ("--help",)])
def test_a_closed_pipe_ends_it_quietly(words: tuple[str, ...]):
    reads, writes = os.pipe()
    child = started(*words, stdout=writes, stderr=subprocess.PIPE)
    os.close(reads)
    os.close(writes)
    _, told = child.communicate(timeout=60)
    assert (child.returncode, told) == (0, b"")


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent as a signal")
@pytest.mark.parametrize("module", ["glazecalc.cli.verbs", "click", "glazecalc.files.materials"])
def test_ctrl_c_while_loading_is_one_line(module: str, tmp_path: Path):
    # the import of `module` waits, and the signal comes then
    waits = (
        "import sys, time\n"
        "class Waits:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        f"        if name == {module!r}: print('loading', flush=True); time.sleep(60)\n"
        "sys.meta_path.insert(0, Waits())\n"
        "from glazecalc.cli.main import main\n"
        "sys.argv = ['glazecalc', *sys.argv[1:]]\n"
        "main()\n"
    )
    (tmp_path / "waits.py").write_text(waits)
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)}
    child = subprocess.Popen(
        [sys.executable, "waits.py", "check", RECIPE],
        cwd=tmp_path, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert child.stdout is not None
    assert child.stdout.readline() == "loading\n"
    time.sleep(0.05)
    child.send_signal(signal.SIGINT)
    out, told = child.communicate(timeout=60)
    assert (child.returncode, out, told.strip()) == (1, "", "stopped.")


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252", "cp437", "ascii", "utf-8"])
def test_json_is_utf_8_in_every_code_page(encoding: str, tmp_path: Path):
    (tmp_path / "r.txt").write_text("Grün – 焼\nkaolin 50\nsilica 50\nwhiting 20\n", encoding="utf-8")
    child = started(
        "check",
        str(tmp_path / "r.txt"),
        "--json",
        stdout=subprocess.PIPE,
        env={"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
    )
    out, _ = child.communicate(timeout=60)
    assert json.loads(out.decode("utf-8"))["recipe"]["name"] == "Grün – 焼"
