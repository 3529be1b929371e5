"""Only this machine, only with the token, only from the page itself, nothing over size."""

import asyncio

import pytest

from tractwright.page.guard import COOKIE, MOST_BYTES, Guard

TOKEN, PORT = "invented-token", 8642
HOST = (b"host", b"127.0.0.1:8642")
KNOWN = (b"cookie", f"{COOKIE}={TOKEN}".encode())


def ask(headers=(HOST,), path="/", query=b"", kind="http", body=(b"",)):
    """What the guard sends back: (status, headers), or the words of the application behind it."""
    sent, chunks = [], list(body)

    async def behind(scope, receive, send):
        while True:
            message = await receive()
            if not message.get("more_body"):
                break
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"behind"})

    async def receive():
        chunk = chunks.pop(0) if chunks else b""
        return {"type": "http.request", "body": chunk, "more_body": bool(chunks)}

    async def send(message):
        sent.append(message)

    scope = {"type": kind, "path": path, "query_string": query, "headers": list(headers)}
    asyncio.run(Guard(behind, TOKEN, PORT)(scope, receive, send))
    return sent


def status(**asked):
    return ask(**asked)[0]["status"]


def test_the_link_gives_a_cookie_and_leaves_the_token_behind():
    start = ask(query=f"key={TOKEN}".encode())[0]
    headers = dict(start["headers"])
    assert (start["status"], headers[b"location"]) == (303, b"/")
    assert b"HttpOnly; SameSite=Strict" in headers[b"set-cookie"]


def test_with_the_cookie_the_page_answers():
    assert status(headers=(HOST, KNOWN)) == 200


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"headers": (HOST,)}, 403),
        ({"query": b"key=wrong"}, 403),
        ({"headers": (HOST, (b"cookie", f"{COOKIE}=wrong".encode()))}, 403),
        ({"headers": (HOST, (b"cookie", b'"=;;'))}, 403),
        ({"headers": (KNOWN, (b"host", b"evil.example:8642"))}, 421),
        ({"headers": (KNOWN,)}, 421),
        ({"headers": (HOST, KNOWN, (b"origin", b"http://evil.example"))}, 403),
        ({"headers": (HOST, KNOWN, (b"origin", b"null"))}, 403),
        ({"headers": (HOST, KNOWN, (b"origin", b"http://127.0.0.1:8642"))}, 200),
        ({"headers": (HOST, KNOWN, (b"content-length", str(MOST_BYTES + 1).encode()))}, 413),
        ({"headers": (HOST, KNOWN, (b"content-length", b"many"))}, 413),
        ({"path": "/packet.zip", "query": f"key={TOKEN}".encode()}, 403),
    ],
)
def test_what_comes_in_and_what_does_not(asked, expected):
    assert status(**asked) == expected


def test_a_length_that_was_not_told_ends_at_the_same_limit():
    chunk = bytes(10_000_000)
    assert status(headers=(HOST, KNOWN), body=[chunk] * (MOST_BYTES // len(chunk) + 2)) == 413


def test_a_socket_from_another_site_is_closed():
    sent = ask(kind="websocket", headers=(HOST, KNOWN, (b"origin", b"http://evil.example")))
    assert sent == [{"type": "websocket.close", "code": 1008}]
