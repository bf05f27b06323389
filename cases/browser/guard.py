"""What may reach the page: requests of this machine's own browser to its own address, none that are large."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

Scope = dict[str, Any]
Receive = Callable[[], Awaitable[dict[str, Any]]]
Send = Callable[[dict[str, Any]], Awaitable[None]]

LARGEST = 1_100_000  # bytes of one request: a case file with what a form puts around it


class Guard:
    """ASGI application around another: refuses foreign hosts and origins, a websocket without origin, and large requests.

    A page of another site can send requests to this machine's address; the browser then names the site as origin. A name
    that leads to this machine (DNS rebinding) shows as a foreign host. What is answered may load nothing from elsewhere.
    """

    def __init__(self, app: Callable[[Scope, Receive, Send], Awaitable[None]], port: int) -> None:
        self.app = app
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self._origins = {f"http://{host}" for host in self._hosts}
        links = " ".join(f"ws://{host}" for host in sorted(self._hosts))
        self._headers = [
            (b"content-security-policy", _policy(links).encode()),
            (b"referrer-policy", b"no-referrer"),
            (b"x-content-type-options", b"nosniff"),
            (b"x-frame-options", b"DENY"),
        ]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            return await self.app(scope, receive, send)
        refused = self._refusal(scope)
        if refused and scope["type"] == "websocket":
            return await send({"type": "websocket.close", "code": 1008})
        if refused:
            return await _answer(send, *refused)
        await self.app(scope, receive, self._marked(send))

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Status and sentence where a request is refused."""
        given = [(name.decode("latin-1").lower(), value.decode("latin-1")) for name, value in scope["headers"]]
        hosts, origins = ([value for name, value in given if name == wanted] for wanted in ("host", "origin"))
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            return 403, "This address is not the page's."
        if any(origin.lower() not in self._origins for origin in origins) or (scope["type"] == "websocket" and not origins):
            return 403, "Requests of other pages are refused."
        if scope["type"] == "http" and scope["method"] not in ("GET", "HEAD"):
            lengths = [value for name, value in given if name == "content-length"]
            if len(lengths) != 1 or not lengths[0].isdigit():
                return 411, "The length of a request must be given."
            if int(lengths[0]) > LARGEST:
                return 413, f"A case file is smaller than {LARGEST // 1000} kB."
        return None

    def _marked(self, send: Send) -> Send:
        async def marked(message: dict[str, Any]) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message.get("headers", []), *self._headers]}
            await send(message)

        return marked


def _policy(links: str) -> str:
    """Scripts and styles of the page itself; nothing from another machine."""
    own = "'self' 'unsafe-inline' data: blob:"
    return (
        f"default-src 'self'; script-src {own} 'unsafe-eval'; style-src {own}; img-src {own}; font-src 'self' data:; "
        f"connect-src 'self' {links}; object-src 'none'; base-uri 'self'; form-action 'none'; frame-ancestors 'none'"
    )


async def _answer(send: Send, status: int, sentence: str) -> None:
    text = sentence.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(text)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": text})
