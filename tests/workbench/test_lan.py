"""A phone on the network: a code typed once lets it read and tick; nothing else, and nobody else, gets in."""

from __future__ import annotations

from pathlib import Path

import pytest

from glazecalc.errors import GlazeError
from glazecalc.workbench import lan
from glazecalc.workbench.app import workbench
from glazecalc.workbench.bench import Bench
from glazecalc.workbench.folder import Studio
from glazecalc.workbench.guard import Passes
from glazecalc.workbench.lan import CODE_MINUTES, CODE_TRIES, Phones
from tests.cli.run import run
from tests.workbench.bench import HOME, PORT, copy_of_the_studio, shown
from tests.workbench.client import Client

ADDRESS = "192.168.7.7"
URL = f"http://{ADDRESS}:{PORT}"


class Network:
    """One workbench with `--lan`: what comes over the network, and what comes from the machine itself."""

    def __init__(self, folder: Path) -> None:
        self.now = 0.0
        self.folder, self.passes = folder, Passes(PORT)
        self.phones = Phones(ADDRESS, PORT, clock=lambda: self.now)
        self.app = workbench(Bench(Studio.at(folder), self.phones), self.passes)

    def phone(self, host: str = f"{ADDRESS}:{PORT}") -> Client:
        async def arriving(scope, receive, send):
            await self.app({**scope, "server": (ADDRESS, PORT)}, receive, send)

        return Client(arriving, host)

    def machine(self) -> Client:
        client = Client(self.app, f"127.0.0.1:{PORT}")
        assert client.send("GET", f"/?token={self.passes.word}").status == 303
        return client


@pytest.fixture
def network(tmp_path: Path) -> Network:
    return Network(copy_of_the_studio(tmp_path))


def code_of(network: Network) -> str:
    return network.phones.new_code().replace(" ", "")


def let_in(network: Network) -> Client:
    phone = network.phone()
    answer = phone.send("GET", f"/?code={code_of(network)}")
    assert (answer.status, answer.headers["location"]) == (303, "/")
    assert "HttpOnly; SameSite=Strict" in answer.headers["set-cookie"]
    return phone


def test_nothing_is_shown_before_the_code(network: Network):
    code_of(network)
    for path in ("/", "/glaze/harbour-black.txt", "/static/page.css", "/materials", f"/?token={network.passes.word}"):
        answer = network.phone().send("GET", path)
        assert answer.status == 403
        assert "Which code?" in answer.text
        assert "Harbour" not in answer.text
        assert "set-cookie" not in answer.headers
        assert "unsafe" not in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"


def test_the_code_lets_one_phone_in_to_read_and_to_tick(network: Network):
    phone = let_in(network)
    for path in (
        "/",
        "/glaze/harbour-black.txt",
        "/glaze/harbour-black.txt/do/scale?asked=1&base=300g",
        "/materials",
        "/static/ticks.js",
    ):
        assert phone.send("GET", path).status == 200
    page = phone.send("GET", "/glaze/harbour-black.txt").text
    assert '<body class="bench reading">' in page
    assert "readonly" in page
    assert 'href="/new"' not in page
    assert 'class="bench reading"' not in network.machine().send("GET", "/").text


@pytest.mark.parametrize(
    "path", ["/new", "/glaze/harbour-black.txt", "/materials/new", "/start", "/phone", "/work-out", "/?code=1"]
)
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_no_changing_request_comes_through(network: Network, method: str, path: str):
    before = {file: file.read_bytes() for file in network.folder.rglob("*") if file.is_file()}
    phone = let_in(network)
    for headers in ({"origin": URL}, {"origin": HOME}, {"origin": "null", "sec-fetch-site": "same-origin"}):
        form = {"text": "x", "do": "save", "as": "x", "name": "x"}
        answer = phone.send(method, path, form=form, headers=headers)
        assert answer.status == 403
        assert "Only to read and to tick" in answer.text
    assert {file: file.read_bytes() for file in network.folder.rglob("*") if file.is_file()} == before


def test_a_code_holds_once_a_short_while_and_for_few_tries(network: Network):
    code = code_of(network)
    assert network.phone().send("GET", f"/?code={code}").status == 303
    assert network.phone().send("GET", f"/?code={code}").status == 403  # once
    code = code_of(network)
    network.now += CODE_MINUTES * 60 + 1
    assert network.phone().send("GET", f"/?code={code}").status == 403  # a short while
    code = code_of(network)
    wrong = f"{(int(code) + 1) % 10**6:06d}"
    for _ in range(CODE_TRIES):
        answer = network.phone().send("GET", f"/?code={wrong}")
        assert answer.status == 403
        assert "That is not the code" in shown(answer.text)
    assert network.phone().send("GET", f"/?code={code}").status == 403  # few tries
    old, new = code_of(network), code_of(network)
    if old != new:
        assert network.phone().send("GET", f"/?code={old}").status == 403  # the last one alone
    assert network.phone().send("GET", f"/?code={new[:3]}+{new[3:]}").status == 303  # as it is shown
    for typed in ("", "%00", "%F0%9F%98%80", "1" * 3000, "٠٠٠٠٠٠"):
        assert network.phone().send("GET", f"/?code={typed}").status == 403
    assert network.phone().send("HEAD", f"/?code={code_of(network)}").status == 403


def test_before_a_code_is_made_none_lets_in(network: Network):
    for typed in ("", "000000", "None"):
        assert network.phone().send("GET", f"/?code={typed}").status == 403


def test_each_side_has_its_own_cookie(network: Network):
    phone, machine = let_in(network), network.machine()
    full, reading = dict(machine.cookies), dict(phone.cookies)
    over = network.phone()
    over.cookies = full
    assert over.send("GET", "/").status == 403  # the full cookie opens nothing over the network
    there = Client(network.app, f"127.0.0.1:{PORT}")
    there.cookies = reading
    assert there.send("GET", "/").status == 403
    forged = network.phone()
    forged.cookies = dict.fromkeys(reading, "")
    assert forged.send("GET", "/").status == 403


def test_the_network_answers_to_its_own_address_alone(network: Network):
    phone = let_in(network)
    for host in ("127.0.0.1:5150", "localhost:5150", "evil.example:5150", ADDRESS, f"{ADDRESS}:80", ""):
        other = network.phone(host)
        other.cookies = phone.cookies
        assert other.send("GET", "/").status == 403
    machine = network.machine()
    machine.host = f"{ADDRESS}:{PORT}"
    assert machine.send("GET", "/").status == 403


def test_a_code_is_made_at_the_machine(network: Network):
    machine = network.machine()
    page = machine.send("POST", "/phone", form={}, headers={"origin": HOME}).text
    assert f"{URL}/" in page
    code = shown(page).partition("phone in. ")[2][:7]
    assert network.phone().send("GET", f"/?code={code.replace(' ', '+')}").status == 303
    assert machine.send("POST", "/phone", form={}, headers={"origin": URL}).status == 403
    assert let_in(network).send("GET", "/phone").status == 404


def test_without_lan_there_is_no_such_page(bench):
    assert bench.get("/phone").status == 404
    assert "A phone" not in bench.get("/").text


class Waiting:
    def __init__(self, _port: int = 0, host: str = "127.0.0.1") -> None:
        self.host = host

    def getsockname(self) -> tuple[str, int]:
        return self.host, PORT


def test_the_command_says_address_code_and_warning(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    served: list[Waiting] = []

    def serve(_app: object, *waiting: Waiting, **_: object) -> None:
        served.extend(waiting)

    monkeypatch.setattr(lan, "own_address", lambda: ADDRESS)
    monkeypatch.setattr("glazecalc.workbench.server.listening", Waiting)
    monkeypatch.setattr("glazecalc.workbench.server.serve", serve)
    result = run(capsys, "open", str(copy_of_the_studio(tmp_path)), "--no-browser", "--lan")
    first, second = result.out.splitlines()
    assert first.startswith("http://127.0.0.1:5150/?token=")
    assert second.startswith(f"{URL}/ for a phone; its code, for 10 minutes: ")
    assert "unencrypted" in result.err
    assert [one.host for one in served] == ["127.0.0.1", ADDRESS]
    served.clear()
    assert len(run(capsys, "open", str(tmp_path / "studio"), "--no-browser").out.splitlines()) == 1
    assert [one.host for one in served] == ["127.0.0.1"]


@pytest.mark.parametrize("found", ["127.0.0.1", "0.0.0.0", "8.8.8.8", None])
def test_no_network_or_a_public_address_is_refused(monkeypatch: pytest.MonkeyPatch, found: str | None):
    import ipaddress

    monkeypatch.setattr(lan, "_address", lambda: None if found is None else ipaddress.IPv4Address(found))
    with pytest.raises(GlazeError):
        lan.own_address()
