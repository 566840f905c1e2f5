"""Another page in the same browser wants in: it reads nothing, changes nothing, and cannot put the workbench into a frame of its own."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from tests.browser.server import Served
from tests.browser.watch import Watched


@contextmanager
def elsewhere(page: str) -> Iterator[int]:
    """Serve one page from another port of this machine: another origin, but to a browser the same site."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html; charset=utf-8")
            self.end_headers()
            self.wfile.write(f'<!doctype html><link rel="icon" href="data:,">{page}'.encode())

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield server.server_port
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@pytest.fixture(params=["127.0.0.1", "localhost"])
def name(request: pytest.FixtureRequest) -> str:
    """The same site, whose cookie a browser sends along, and another one, whose it does not."""
    return request.param


def test_a_form_of_another_page_changes_nothing(name: str, workbench: Served, let_in: Callable, watched: Watched):
    before = {place: place.read_bytes() for place in workbench.folder.rglob("*") if place.is_file()}
    page = let_in(workbench)
    watched.awaited = ("403", "400")
    seen = page.goto(workbench.home + "/glaze/harbour-black.txt") and page.locator("[name=seen]").get_attribute("value")
    for path in ("/glaze/harbour-black.txt", "/new", "/start"):
        form = f"""<form method="post" action="{workbench.home}{path}">
            <input name="text" value="gone"><input name="seen" value="{seen}"><input name="as" value="theirs"><input name="with" value="studio">
            <button name="do" value="save">x</button></form><script>document.querySelector("button").click()</script>"""
        with elsewhere(form) as port:
            page.goto(f"http://{name}:{port}/", wait_until="commit")
            page.wait_for_url(workbench.home + path)
            assert page.locator("h1").inner_text() in (
                "Not from a page of the workbench",
                "This address is not complete",
            )
    assert {place: place.read_bytes() for place in workbench.folder.rglob("*") if place.is_file()} == before


def test_a_script_of_another_page_reads_nothing(name: str, workbench: Served, let_in: Callable, watched: Watched):
    page = let_in(workbench)
    script = f"""<pre id="told"></pre><script>
        const home = "{workbench.home}";
        const tries = [
            () => fetch(home + "/", {{credentials: "include"}}).then((r) => r.text()),
            () => fetch(home + "/", {{credentials: "include", mode: "no-cors"}}).then((r) => r.text()),
            () => fetch(home + "/work-out", {{method: "POST", credentials: "include", body: new URLSearchParams({{text: "x"}})}}).then((r) => r.text()),
            () => fetch(home + "/glaze/harbour-black.txt", {{method: "PUT", credentials: "include", body: "x"}}).then((r) => r.text()),
        ];
        Promise.all(tries.map((one) => one().catch((error) => "refused " + error.name))).then((all) => {{
            document.getElementById("told").textContent = JSON.stringify(all);
            document.title = "done";
        }});
    </script>"""
    with elsewhere(script) as port:
        page.goto(f"http://{name}:{port}/")
        page.locator("#told:not(:empty)").wait_for()
        told = page.locator("#told").inner_text()
    assert told == '["refused TypeError","refused TypeError","refused TypeError","refused TypeError"]'
    assert all("CORS policy" in fault or "Failed to load resource" in fault for fault in watched.faults)
    watched.faults.clear()


def test_no_frame_holds_the_workbench(name: str, workbench: Served, let_in: Callable, watched: Watched):
    page = let_in(workbench)
    with elsewhere(f'<iframe src="{workbench.home}/glaze/harbour-black.txt"></iframe>') as port:
        page.goto(f"http://{name}:{port}/", wait_until="load")
        inside = page.frames[1]
        assert inside.evaluate("document.body ? document.body.innerText : ''").find("Harbour") == -1
    assert any("frame-ancestors" in fault or "refused to connect" in fault for fault in watched.faults)
    watched.faults.clear()


def test_a_link_from_elsewhere_shows_no_more_than_the_cookie_allows(
    workbench: Served, let_in: Callable, watched: Watched
):
    """From another site the strict cookie stays at home: the page is refused, until one opens the printed address again."""
    page = let_in(workbench)
    watched.awaited = ("403",)
    with elsewhere(f'<a href="{workbench.home}/">look</a>') as port:
        page.goto(f"http://localhost:{port}/")
        page.get_by_text("look").click()
        page.get_by_role("heading", name="This address is not complete").wait_for()
    page.goto(workbench.address)
    assert page.locator("ul.shelf").is_visible()


def test_another_browser_is_not_let_in(workbench: Served, let_in: Callable, new_window: Callable, watched: Watched):
    let_in(workbench)
    watched.awaited = ("403",)
    page = new_window()
    for path in ("/", "/glaze/harbour-black.txt", "/static/workbench.js", "/?token=guess"):
        assert page.goto(workbench.home + path).status == 403
        assert "Harbour" not in page.content()
    assert page.context.cookies() == []
