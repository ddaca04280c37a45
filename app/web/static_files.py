"""Static files, read once and compressed when first asked for: each address changes with its content."""

import asyncio
import gzip
import hashlib
import mimetypes
from dataclasses import dataclass
from pathlib import Path

from fastapi import Request
from fastapi.responses import PlainTextResponse, Response

FOREVER = "public, max-age=31536000, immutable"
SERVED = frozenset({".css", ".js", ".svg", ".wasm", ".webmanifest"})


@dataclass(frozen=True, slots=True)
class StaticFile:
    """One file as it is served."""

    address: str
    media_type: str
    plain: bytes


class StaticFolder:
    """Guards the static files by the address under which they are served, and what is packed of them."""

    def __init__(self, folder: Path) -> None:
        files = [path for path in sorted(folder.rglob("*")) if path.suffix in SERVED]
        self._by_name = {str(path.relative_to(folder).as_posix()): _read(path, folder) for path in files}
        self._by_address = {file.address: file for file in self._by_name.values()}
        self._packed: dict[str, bytes] = {}

    def address_of(self, name: str) -> str:
        """Return the address of a file.

        Raises: KeyError where there is none of that name.
        """
        return self._by_name[name].address

    async def serve(self, request: Request) -> Response:
        """Return the file of a request's address, or say that there is none."""
        file = self._by_address.get(request.url.path)
        if file is None:
            return PlainTextResponse("There is no such file here. Load the page again.", 404)
        headers = {"Cache-Control": FOREVER, "Vary": "Accept-Encoding"}
        if "gzip" in request.headers.get("accept-encoding", ""):
            packed = await self._pack(file)
            return Response(
                packed, media_type=file.media_type, headers={**headers, "Content-Encoding": "gzip"}
            )
        return Response(file.plain, media_type=file.media_type, headers=headers)

    async def _pack(self, file: StaticFile) -> bytes:
        if file.address not in self._packed:
            # A reader of codes takes a tenth of a second, which other people's taps should not wait for.
            packed = await asyncio.to_thread(gzip.compress, file.plain, 9, mtime=0)
            self._packed[file.address] = packed
        return self._packed[file.address]


def _read(path: Path, folder: Path) -> StaticFile:
    plain = path.read_bytes()
    version = hashlib.sha256(plain).hexdigest()[:12]
    name = path.relative_to(folder).as_posix()
    media_type = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    return StaticFile(f"/static/{version}/{name}", media_type, plain)
