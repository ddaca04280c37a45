"""Small whole photos of each kind, made by the rules of their files."""

import struct
import zlib


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _segment(code: int, body: bytes) -> bytes:
    return bytes((0xFF, code)) + struct.pack(">H", len(body) + 2) + body


def png(side: int = 2) -> bytes:
    """Return a grey square."""
    rows = b"".join(b"\x00" + b"\x80" * side for _ in range(side))
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    chunks = (_chunk(b"IHDR", head), _chunk(b"IDAT", zlib.compress(rows)), _chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


SCAN = b"\x5a\xff\x00\x5a\xff\xd0\x5a" * 40
THUMBNAIL = b"\xff\xd8" + _segment(0xDA, b"\x00") + b"\x11\x22\xff\xd9"


def jpeg(*, trailer: bytes = b"", scans: int = 1) -> bytes:
    """Return the frame of a photo: a small one in its head, then scans; a camera may write more behind."""
    head = b"\xff\xd8" + _segment(0xE1, b"Exif\x00\x00" + THUMBNAIL) + _segment(0xC0, bytes(9))
    body = b"".join(
        _segment(0xC4, bytes(4)) + b"\xff" + _segment(0xDA, bytes(6)) + SCAN for _ in range(scans)
    )
    return head + body + b"\xff\xd9" + trailer


def webp() -> bytes:
    """Return the frame of a WebP."""
    body = b"WEBP" + b"VP8 " + struct.pack("<I", 24) + bytes(24)
    return b"RIFF" + struct.pack("<I", len(body)) + body


EVERY_KIND = {"image/png": png(), "image/jpeg": jpeg(), "image/webp": webp()}
