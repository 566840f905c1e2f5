"""The command: its first line, its end, and what it says where it cannot begin."""

from __future__ import annotations

import http.client
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

import pytest

import glazecalc as gc
from tests.cli.run import run
from tests.workbench.bench import copy_of_the_studio  # skips this file where starlette is missing


def asked(address: str, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
    parts = urlsplit(address)
    connection = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=20)
    connection.request("GET", path, headers=headers)
    answer = connection.getresponse()
    return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()


def look_at(address: str, path: str) -> None:
    status, headers, _ = asked(address, path)
    assert status == 303
    cookie = headers["set-cookie"].partition(";")[0]
    status, headers, page = asked(address, headers["location"], Cookie=cookie)
    assert status == 200
    assert b"Harbour Black" in page
    assert "unsafe" not in headers["content-security-policy"]
    assert asked(address, "/")[0] == 403
    assert asked(address, "/", Cookie=cookie, Host="elsewhere.example")[0] == 403
    for nonsense in (
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
        b"\x16\x03\x01\r\n\r\n",
        b"GET /\x00 HTTP/1.1\r\n\r\n",
    ):
        with socket.create_connection(("127.0.0.1", urlsplit(address).port), timeout=20) as raw:
            raw.sendall(nonsense)
            told = raw.makefile("rb").read()
        assert told.startswith(b"HTTP/1.1 400 ")
        assert b"default-src 'none'" in told


@pytest.mark.skipif(sys.platform == "win32", reason="signals as a shell sends them")
@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_it_says_its_address_serves_and_ends_well(tmp_path: Path, end: signal.Signals):
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)}
    words = [sys.executable, "-m", "glazecalc", "open", str(copy_of_the_studio(tmp_path)), "--no-browser"]
    with subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as child:
        try:
            assert child.stdout is not None
            address = child.stdout.readline().decode().strip()
            assert address.startswith("http://127.0.0.1:")
            path = address.partition(f":{urlsplit(address).port}")[2]
            assert path.startswith("/?token=")
            if end is signal.SIGINT:  # the other comes as soon as the address is out
                look_at(address, path)
            child.send_signal(end)
            rest, told = child.communicate(timeout=20)
        finally:
            child.kill()
    assert child.returncode == 0
    assert (rest, told) == (b"", b"")


def test_a_port_that_is_taken_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        ran = run(capsys, "open", str(tmp_path), "--no-browser", "--port", str(other.getsockname()[1]))
    assert (ran.code, ran.out) == (1, "")
    assert "cannot be used" in ran.err
    assert ran.err.count("\n") == 1


@pytest.mark.parametrize("folder", ["none", "file.txt", "", "a\tb", "\udcff", "x" * 5000])
def test_no_folder_is_one_line(
    tmp_path: Path, folder: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "file.txt").write_text("")
    ran = run(capsys, "open", folder, "--no-browser")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.count("\n") == 1


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    from glazecalc.workbench import command

    monkeypatch.setattr(command, "find_spec", lambda name: None if name == "uvicorn" else name)
    ran = run(capsys, "open", str(tmp_path))
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == 'glazecalc: the pages in the browser need uvicorn. Install them: pip install "glazecalc[web]".\n'
