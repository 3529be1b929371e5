"""Serves the page to this machine only, and prints the link that opens it."""

import asyncio
import io
import secrets
import socket
import zipfile
from collections.abc import AsyncGenerator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import uvicorn
from fastapi import FastAPI, Response
from nicegui import ui

from tractwright.packet.colours import COPPER, TEAL
from tractwright.page.drawn import SHADES, described_picture, old_part_picture, pieces_picture
from tractwright.page.guard import Application, Guard
from tractwright.page.view.tab import Tab
from tractwright.page.workroom import Workroom

_POLL_S = 1.0
_STYLE = Path(__file__).parent / "parts" / "page.css"
_GLB = "model/gltf-binary"


def serve(folder: Path, port: int, say: Callable[[str], None]) -> None:
    """Serve a job folder until stopped. port : 0 for any free one. say : told the link. Raises SheetError."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.bind(("127.0.0.1", port))
    door.listen()
    taken = int(door.getsockname()[1])
    token = secrets.token_urlsafe(24)
    application = page(folder, token, taken)
    server = uvicorn.Server(uvicorn.Config(application, log_level="warning", ws_max_size=1_000_000))
    say(f"http://127.0.0.1:{taken}/?key={token}")
    asyncio.run(server.serve(sockets=[door]))


def page(folder: Path, token: str, port: int) -> Application:
    """The whole application, its guard before it. Raises SheetError where the folder's job cannot be taken up."""
    rooms: list[Workroom] = []

    @asynccontextmanager
    async def opened(_application: FastAPI) -> AsyncGenerator[None, None]:
        room = Workroom(folder, asyncio.get_running_loop())
        rooms.append(room)
        room.changed()
        watching = asyncio.create_task(_watch(room))
        yield
        watching.cancel()
        room.close()

    inner = FastAPI(lifespan=opened, docs_url=None, redoc_url=None, openapi_url=None)
    _drawings(inner, rooms)

    def root() -> None:
        ui.add_css(_STYLE.read_text(encoding="utf-8"))
        ui.colors(primary=TEAL, secondary=COPPER, accent=COPPER)
        tab = Tab(rooms[0])
        ui.context.client.on_disconnect(rooms[0].listen(tab.refresh))

    ui.run_with(inner, root=root, title="tractwright", show_welcome_message=False, reconnect_timeout=20.0)
    return Guard(inner, token, port)


async def _watch(room: Workroom) -> None:
    """Notice what other programs write into the folder."""
    while True:
        await asyncio.sleep(_POLL_S)
        room.look_outside()


def _drawings(application: FastAPI, rooms: list[Workroom]) -> None:
    """What the browser fetches beside the page itself."""

    @application.get("/drawn/{what}/{revision}.glb")
    async def drawn(what: str, revision: int) -> Response:
        answers = rooms[0].answers
        look = answers.look
        if look is None or look.design is None:
            return Response(status_code=404)
        content = b""
        if what in SHADES:
            content = await asyncio.to_thread(described_picture, look.design, look.strips, what)
        elif what == "pieces" and answers.whole is not None:
            kinds = {piece.name: piece.kind for piece in look.design.pieces}
            content = await asyncio.to_thread(pieces_picture, answers.whole.meshes, kinds)
        elif what == "old" and look.old_part is not None:
            content = await asyncio.to_thread(old_part_picture, look.old_part)
        return Response(content, media_type=_GLB) if content else Response(status_code=404)

    @application.get("/packet.zip")
    async def packet() -> Response:
        whole = rooms[0].answers.whole
        if whole is None:
            return Response("make the pieces first", status_code=404, media_type="text/plain")
        headers = {"content-disposition": f'attachment; filename="{rooms[0].desk.folder.name}-packet.zip"'}
        return Response(await asyncio.to_thread(_zip, whole.packet), media_type="application/zip", headers=headers)


def _zip(folder: Path) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                archive.write(path, path.relative_to(folder.parent))
    return out.getvalue()
