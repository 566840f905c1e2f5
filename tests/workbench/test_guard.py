"""Nobody is let in but who has the word; nothing is changed but by a page of this workbench."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.workbench.bench import HOME, PORT, Workbench, copy_of_the_studio, opened

PAGES = ["/", "/new", "/glaze/harbour-black.txt", "/static/workbench.css", "/static/workbench.js", "/nowhere", "/start"]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Workbench:
    """One for all tests of this file: none of them may change anything."""
    return opened(copy_of_the_studio(tmp_path_factory.mktemp("guard")))


@pytest.fixture
def outside(tmp_path: Path) -> Workbench:
    return opened(copy_of_the_studio(tmp_path), let_in=False)


def assert_safe_headers(answer) -> None:
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "base-uri 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cache-control"] == "no-store"
    assert "traceback" not in answer.text.lower()


@pytest.mark.parametrize("path", PAGES)
def test_without_cookie_or_word_every_page_is_refused(outside: Workbench, path: str):
    for answer in (
        outside.get(path),
        outside.get(f"{path}?token=wrong"),
        outside.get(f"{path}?token="),
        outside.post(path, text="x"),
    ):
        assert answer.status == 403
        assert_safe_headers(answer)
        assert "Harbour" not in answer.text


def test_the_word_becomes_a_strict_cookie_and_leaves_the_address(outside: Workbench):
    answer = outside.get(f"/glaze/harbour-black.txt?token={outside.passes.word}&body=body-slate.yaml")
    assert answer.status == 303
    assert answer.headers["location"] == "/glaze/harbour-black.txt?body=body-slate.yaml"
    cookie = answer.headers["set-cookie"]
    assert "SameSite=Strict" in cookie
    assert "HttpOnly" in cookie
    assert outside.passes.word not in cookie
    assert f"glazecalc-{PORT}=" in cookie
    assert outside.get("/").status == 200


def test_from_another_site_the_way_on_is_a_page_of_ours(outside: Workbench):
    answer = outside.get(f"/?token={outside.passes.word}", headers={"sec-fetch-site": "cross-site"})
    assert answer.status == 200
    assert 'content="0; url=/"' in answer.text
    assert "set-cookie" in answer.headers
    assert_safe_headers(answer)


def test_a_word_for_once_opens_once(outside: Workbench):
    word = outside.passes.word_for_once()
    assert outside.get(f"/?token={word}").status == 303
    outside.client.cookies.clear()
    assert outside.get(f"/?token={word}").status == 403


def test_the_way_on_stays_here(outside: Workbench):
    for path in ("//elsewhere.example/", "/\\elsewhere.example/", "///elsewhere.example"):
        answer = outside.get(f"{path}?token={outside.passes.word}")
        assert answer.status == 303
        assert answer.headers["location"].startswith("/")
        assert not answer.headers["location"].startswith(("//", "/\\"))


@pytest.mark.parametrize("path", PAGES)
def test_every_answer_has_the_headers(bench: Workbench, path: str):
    for answer in (
        bench.get(path),
        bench.post(path, text="x"),
        bench.client.send("PUT", path),
        bench.client.send("HEAD", path),
    ):
        assert_safe_headers(answer)


@pytest.mark.parametrize(
    "host",
    ["elsewhere.example", f"elsewhere.example:{PORT}", "127.0.0.1", "127.0.0.1:1", f"127.0.0.1.elsewhere.example:{PORT}", "", f"[::1]:{PORT}", f"0.0.0.0:{PORT}"],
)  # fmt: skip
def test_a_foreign_host_is_refused_with_the_right_cookie_too(bench: Workbench, host: str):
    answer = bench.get("/", headers={"host": host})
    assert answer.status in (400, 403)
    assert_safe_headers(answer)
    assert bench.get("/", headers={"host": f"localhost:{PORT}"}).status in (200, 403)  # cookies are of one name
    assert bench.get("/").status == 200


@pytest.mark.parametrize(
    "origin",
    [None, "null", "http://elsewhere.example", "http://127.0.0.1", f"http://127.0.0.1:{PORT + 1}", f"https://127.0.0.1:{PORT}", f"http://localhost:{PORT}", f"{HOME}.example", f"{HOME}, {HOME}"],
)  # fmt: skip
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS"])
def test_a_change_from_elsewhere_is_refused(bench: Workbench, origin: str | None, method: str):
    before = bench.card("harbour-black.txt").read_bytes()
    headers = {} if origin is None else {"origin": origin}
    form = {"text": "gone", "do": "save", "seen": bench.seen("/glaze/harbour-black.txt")}
    answer = bench.client.send(method, "/glaze/harbour-black.txt", form=form, headers=headers)
    assert answer.status == 403
    assert_safe_headers(answer)
    assert bench.card("harbour-black.txt").read_bytes() == before


def test_a_form_of_ours_is_known_though_its_page_names_no_referrer(bench: Workbench):
    """A browser sends `Origin: null` for it, and says itself that it comes from the same origin."""
    for site, expected in (("same-origin", 200), ("same-site", 403), ("cross-site", 403), ("none", 403)):
        answer = bench.client.send(
            "POST", "/new", form={"text": "x"}, headers={"origin": "null", "sec-fetch-site": site}
        )
        assert answer.status == expected


@pytest.mark.parametrize("path", [*PAGES, "/materials/new", "/do/cone?asked=1&what=6"])
def test_head_is_answered_as_get_is(bench: Workbench, path: str):
    assert bench.client.send("HEAD", path).status == bench.get(path).status


def test_sizes_are_bounded(bench: Workbench):
    assert bench.post("/new", text="x" * 1_300_000).status == 413
    assert bench.client.send("POST", "/new", body=iter([b"x" * 700_000] * 3), headers={"origin": HOME}).status == 413
    assert bench.get("/?q=" + "x" * 5000).status == 414
    assert bench.get("/", headers={"x-long": "x" * 17_000}).status == 431
    assert bench.get("/?" + "a=1&" * 200).status == 400
    many = "&".join(f"f{n}=1" for n in range(500))
    answer = bench.client.send(
        "POST",
        "/new",
        body=many.encode(),
        headers={"origin": HOME, "content-type": "application/x-www-form-urlencoded"},
    )
    assert answer.status == 400
    answer = bench.client.send("POST", "/new", body=b"{}", headers={"origin": HOME, "content-type": "application/json"})
    assert answer.status == 415
    assert bench.client.send("POST", "/new", body=b"", headers={"origin": HOME, "content-length": "x"}).status == 413


def test_what_goes_wrong_inside_is_told_without_its_inside(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    from glazecalc.workbench import routes_glaze

    def broken(*_given: object, **_named: object) -> None:
        raise RuntimeError("the secret of the house")

    monkeypatch.setattr(routes_glaze, "work_out", broken)
    answer = bench.post("/new", text="whiting 1")
    assert answer.status == 500
    assert_safe_headers(answer)
    assert "secret" not in answer.text
    told = capsys.readouterr().err
    assert told.startswith("glazecalc open: RuntimeError: the secret of the house")
    assert told.count("\n") == 1


def test_a_cookie_that_is_none_is_refused(outside: Workbench):
    for cookie in (
        f"glazecalc-{PORT}=",
        f"glazecalc-{PORT}=x",
        "; ; =",
        "\x7f",
        f"glazecalc-{PORT}={outside.passes.word}",
        f'glazecalc-{PORT}="\\"',
    ):
        assert outside.get("/", headers={"cookie": cookie}).status == 403


def test_odd_cookies_of_other_servers_lock_nobody_out(bench: Workbench):
    own = "; ".join(f"{name}={value}" for name, value in bench.client.cookies.items())
    for odd in ('theme={"dark": "yes"}', "=;;", "a b=c d", '"', f"glazecalc-{PORT}=old", "x=\xff"):
        for cookie in (f"{odd}; {own}", f"{own}; {odd}"):
            assert bench.get("/new", headers={"cookie": cookie}).status == 200
