import asyncio

import pytest

from colletfea.cases.browser.guard import LARGEST, Guard


def answer(kind="http", method="GET", **headers):
    """Messages that a request to the guarded application gives; `passed` where it came through."""
    sent = []

    async def app(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "passed"})

    async def send(message):
        sent.append(message)

    given = {"host": "127.0.0.1:8123", **{name.replace("_", "-"): value for name, value in headers.items()}}
    scope = {"type": kind, "method": method, "path": "/x", "headers": [(k.encode(), v.encode()) for k, v in given.items() if v is not None]}
    asyncio.run(Guard(app, 8123)(scope, None, send))
    return sent


def passes(*given, **headers):
    return answer(*given, **headers)[-1]["type"] == "passed"


def test_own_requests_pass_and_may_load_nothing_from_elsewhere():
    assert passes() and passes(host="localhost:8123") and passes("websocket", origin="http://127.0.0.1:8123")
    headers = dict(answer()[0]["headers"])
    assert headers[b"referrer-policy"] == b"no-referrer"
    assert b"default-src 'self'" in headers[b"content-security-policy"] and b"ws://127.0.0.1:8123" in headers[b"content-security-policy"]


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:9999", "evil.example:8123", None])
def test_a_foreign_host_is_refused(host):
    assert answer(host=host)[0]["status"] == 403
    assert answer("websocket", host=host, origin="http://127.0.0.1:8123") == [{"type": "websocket.close", "code": 1008}]


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:8123", "http://127.0.0.1:9999"])
def test_a_foreign_origin_is_refused(origin):
    assert answer(origin=origin)[0]["status"] == 403
    assert not passes("websocket", origin=origin)


def test_a_websocket_names_its_origin():
    assert not passes("websocket")


@pytest.mark.parametrize(("length", "status"), [(str(LARGEST), 200), (str(LARGEST + 1), 413), (None, 411), ("-1", 411), ("1e3", 411)])
def test_the_size_of_a_request_is_limited(length, status):
    assert answer("http", "POST", content_length=length)[0]["status"] == status
