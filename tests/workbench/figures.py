"""``python -m tests.workbench.figures``: how long the workbench takes, how large its pages are, and what it holds after an hour of typing."""

from __future__ import annotations

import http.client
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter
from urllib.parse import quote, urlencode, urlsplit

import glazecalc as gc

STUDIO = Path(__file__).parents[2] / "notebooks" / "studio"
KEYSTROKES = 5000  # an hour of one in 0.7 s


def resident_mb(process: int) -> float:
    """Return what a process holds in memory, where the system tells it in /proc."""
    try:
        pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    except OSError:
        return float("nan")
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def main() -> None:
    """Start a workbench over the invented studio, and measure."""
    folder = Path(tempfile.mkdtemp())
    shutil.copytree(STUDIO, folder, dirs_exist_ok=True)
    environment = os.environ | {"PYTHONPATH": str(Path(gc.__file__).parent.parent)}
    start = perf_counter()
    words = [sys.executable, "-m", "glazecalc", "open", str(folder), "--no-browser"]
    child = subprocess.Popen(words, env=environment, stdout=subprocess.PIPE)
    assert child.stdout is not None
    address = urlsplit(child.stdout.readline().decode().strip())
    said = perf_counter()
    line = http.client.HTTPConnection(address.hostname or "", address.port)
    origin = f"http://{address.hostname}:{address.port}"
    cookie = ""

    def ask(method: str, path: str, form: dict[str, str] | None = None) -> tuple[int, http.client.HTTPMessage]:
        headers = {"Cookie": cookie, "Origin": origin, "Content-Type": "application/x-www-form-urlencoded"}
        line.request(method, path, urlencode(form) if form is not None else None, headers)
        answer = line.getresponse()
        return len(answer.read()), answer.headers

    try:
        _, headers = ask("GET", f"/?{address.query}")
        cookie = headers["set-cookie"].partition(";")[0]
        size, _ = ask("GET", "/")
        print(f"address after {1000 * (said - start):.0f} ms, first page {1000 * (perf_counter() - said):.0f} ms later")
        card = "harbour-black.txt"
        sizes = {"shelf": size, "one glaze": ask("GET", f"/glaze/{quote(card)}")[0], "new glaze": ask("GET", "/new")[0]}
        for name in ("page.css", "workbench.css", "workbench.js"):
            sizes[name] = ask("GET", f"/static/{name}")[0]
        print("sizes, kB: " + ", ".join(f"{name} {size / 1000:.1f}" for name, size in sizes.items()))
        text = (folder / "recipes" / card).read_text()
        before, took = resident_mb(child.pid), []
        for number in range(KEYSTROKES):
            began = perf_counter()
            size, _ = ask("POST", "/work-out", {"name": card, "text": text.replace("22", f"{22 + number / 1000:.3f}")})
            took.append(1000 * (perf_counter() - began))
        tail = sorted(took)[int(0.95 * len(took))]
        print(
            f"a keystroke is answered in {statistics.median(took):.0f} ms (19 of 20 in {tail:.0f} ms), {size / 1000:.1f} kB"
        )
        print(f"memory {before:.0f} MB, after {KEYSTROKES} keystrokes {resident_mb(child.pid):.0f} MB")
    finally:
        child.terminate()
        child.wait()
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
