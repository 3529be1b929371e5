"""Who may come in: only this machine, only with the link's token, only from the page itself, nothing over size.

The token stands in the link that the program prints. The first visit turns it into a cookie that scripts cannot read and
other sites do not get sent; the link is then left without it.
"""

import hmac
from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qs, urlsplit

MOST_BYTES = 150_000_000
COOKIE = "tractwright"
_LOOPBACK = ("127.0.0.1", "localhost", "[::1]")

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]


class TooLargeError(Exception):
    """More was sent than the page takes."""


class Guard:
    """Stands before an application. token : what the link carries; port : the one the page is served at."""

    def __init__(self, application: Application, token: str, port: int) -> None:
        self._application, self._token = application, token
        self._hosts = {f"{name}:{port}" for name in _LOOPBACK}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let it through, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self._application(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refusal = self._refusal(scope, headers)
        if refusal:
            await _refuse(scope, receive, send, *refusal)
        elif scope["type"] == "http" and self._given(scope):
            await _welcome(scope, send, self._token)
        elif scope["type"] == "http":
            await self._measured(scope, receive, send)
        else:
            await self._application(scope, receive, send)

    def _refusal(self, scope: Scope, headers: Mapping[str, str]) -> tuple[int, str] | None:
        """Status and words, or None where it may come in."""
        if headers.get("host", "") not in self._hosts:
            return 421, "This page answers on this machine only."
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc not in self._hosts:
            return 403, "Another site may not use this page."
        if not self._given(scope) and not self._known(headers):
            return 403, "This page opens with the link that the program printed."
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            return 413, f"Too large: at most {MOST_BYTES // 1_000_000} MB."
        return None

    def _given(self, scope: Scope) -> bool:
        query = parse_qs(scope.get("query_string", b"").decode("latin-1"))
        return scope["path"] == "/" and hmac.compare_digest(query.get("key", [""])[0].encode(), self._token.encode())

    def _known(self, headers: Mapping[str, str]) -> bool:
        try:
            cookies = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return False
        return COOKIE in cookies and hmac.compare_digest(cookies[COOKIE].value.encode(), self._token.encode())

    async def _measured(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Count what really arrives: a length that was not told, or told wrong, ends at the same limit."""
        arrived = 0
        started = False

        async def counted() -> Message:
            nonlocal arrived
            message = await receive()
            arrived += len(message.get("body", b""))
            if arrived > MOST_BYTES:
                raise TooLargeError
            return message

        async def noted(message: Message) -> None:
            nonlocal started
            started = True
            await send(message)

        try:
            await self._application(scope, counted, noted)
        except TooLargeError:
            if not started:
                await _refuse(scope, receive, send, 413, f"Too large: at most {MOST_BYTES // 1_000_000} MB.")


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, words: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008})
        return
    await _send_plain(send, status, words, [])


async def _welcome(scope: Scope, send: Send, token: str) -> None:
    """The cookie, and on to the page without the token in its address."""
    cookie = f"{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict"
    await _send_plain(send, 303, "", [(b"location", scope["path"].encode()), (b"set-cookie", cookie.encode())])


async def _send_plain(send: Send, status: int, words: str, headers: list[tuple[bytes, bytes]]) -> None:
    plain = [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store")]
    await send({"type": "http.response.start", "status": status, "headers": [*plain, *headers]})
    await send({"type": "http.response.body", "body": words.encode()})
