"""Who is let in, and what is turned away: nothing of it needs a photo to be looked at."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from idkit.show.web import uploads
from idkit.show.web.security import Rules, named_right

KEY = "a-key-of-the-test"


def test_without_a_key_this_machine_gets_in_and_other_names_do_not(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        assert "Which metal is it?" in phone.get("/").text
        refused = phone.get("/", headers={"host": "elsewhere.example:8640"})
        assert refused.status_code == 421
        assert "Which metal" not in refused.text


@pytest.mark.parametrize(
    ("host", "right"),
    [
        ("127.0.0.1:8640", True),
        ("BENCH.test:8640", True),
        ("bench.test.:8640", True),
        ("bench.test", False),
        ("bench.test:80", False),
        ("me@bench.test:8640", False),
        ("bench.test:x", False),
        ("[::1", False),
        ("", False),
    ],
)
def test_a_host_is_a_name_of_this_machine_and_its_port(host: str, right: bool) -> None:
    """RFC 9110, 7.2: a Host header is a name and, where it is not the scheme's own, a port."""
    assert named_right(host, Rules(frozenset({"127.0.0.1", "bench.test"}), 8640)) is right


def test_the_right_key_becomes_a_cookie_that_no_script_reads_and_leaves_the_address(opened: Callable[..., Any]) -> None:
    with opened(key=KEY) as phone:
        answer = phone.get(f"/?key={KEY}", follow_redirects=False)
        cookie = answer.headers["set-cookie"].lower()
        assert (answer.status_code, answer.headers["location"]) == (303, "/")
        assert "httponly" in cookie
        assert "samesite=lax" in cookie
        assert KEY not in cookie
        assert phone.get("/").status_code == 200


def test_a_right_key_leads_nowhere_but_here(opened: Callable[..., Any]) -> None:
    """A path of two slashes is another machine's name to a browser (RFC 3986, section 4.2)."""
    with opened(key=KEY) as phone:
        answer = phone.get(f"{phone.base_url}//elsewhere.example/a?key={KEY}", follow_redirects=False)
        assert answer.headers["location"] == "/elsewhere.example/a"


def test_wrong_keys_wait_longer_each_time_and_no_key_says_what_to_do(
    opened: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    waited: list[float] = []

    async def slept(seconds: float) -> None:
        waited.append(seconds)

    with opened(key=KEY) as phone:
        monkeypatch.setattr(asyncio, "sleep", slept)
        assert [phone.get(f"/?key={guess}").status_code for guess in ("a", KEY[:-1], "ä" * 9)] == [403] * 3
        assert waited == sorted(waited)
        assert waited[-1] > waited[0] > 0
        assert "Scan the square code" in phone.get("/records").text


def test_a_stranger_sees_no_records_photos_or_parts(opened: Callable[..., Any]) -> None:
    with opened(key=KEY) as phone:
        pages = ["/", "/records", "/records/1", "/records/1/photo", "/part/x", "/part/x/photo/0", "/phones/code.svg"]
        assert {phone.get(page).status_code for page in pages} == {403}
        assert phone.get("/static/page.css").status_code == 200


def test_what_another_page_writes_is_refused(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        fields = {"token": phone.token}
        for header in ({"origin": "http://elsewhere.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}):
            assert phone.post("/part", data=fields, headers=header).status_code == 403
        assert phone.post("/part", data={"token": "guessed"}).status_code == 403
        assert phone.post("/part", data={}).status_code == 403
        assert "On the bench" not in phone.get("/").text


def test_a_token_of_one_phone_is_worth_nothing_on_another(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        mine = phone.token
        phone.cookies.clear()
        assert phone.token != mine
        assert phone.post("/part", data={"token": mine}).status_code == 403


def test_every_answer_forbids_what_is_not_of_this_page(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        for page in ("/", "/nowhere", "/static/page.js", "/records"):
            headers = phone.get(page).headers
            assert "default-src 'none'" in headers["content-security-policy"]
            assert "unsafe" not in headers["content-security-policy"]
            assert headers["x-content-type-options"] == "nosniff"
        assert "http" not in phone.get("/").text.replace('http-equiv="refresh"', "")


def _endless(size: int) -> Iterator[bytes]:
    yield b'--x\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
    for _ in range(0, size, 1 << 20):
        yield bytes(1 << 20)


def test_an_upload_is_counted_as_it_comes_whatever_it_says_of_itself(
    opened: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(uploads, "LIMIT", 3 << 20)
    form = {"content-type": "multipart/form-data; boundary=x"}
    with opened() as phone:
        phone.get("/")
        for size in (4 << 20, 40 << 20):
            answer = phone.post("/part", content=_endless(size), headers=form)
            assert answer.status_code == 413
            assert "larger than 3 MB" in answer.text
        declared = phone.post("/part", content=bytes(4 << 20), headers=form)
        assert declared.status_code == 413


def test_a_form_that_is_none_is_said_to_be_so(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        phone.get("/")
        answer = phone.post("/part", content=b"junk", headers={"content-type": "multipart/form-data; boundary=x"})
        assert answer.status_code == 400
        assert "Traceback" not in answer.text


def test_methods_and_addresses_that_are_not_there(opened: Callable[..., Any]) -> None:
    with opened() as phone:
        fields = {"token": phone.token}
        assert phone.get("/static/../app.py").status_code == 404
        assert phone.get("/static/%2e%2e/app.py").status_code == 404
        assert phone.post("/records", data=fields).status_code == 405
        assert phone.get("/part/not-there").status_code == 404
