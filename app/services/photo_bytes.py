"""Which kind of photo some bytes are, and whether all of it is there; nothing is decoded for that."""

import re
from collections.abc import Callable
from dataclasses import dataclass

# ISO/IEC 10918-1 B.1.1: a marker is 0xFF, any fill bytes 0xFF, and a code. In the scan 0xFF00 is a byte of
# the picture and 0xFFD0 to 0xFFD7 part it; neither they nor 0xFF01 have a length behind them.
MARKER = re.compile(rb"\xff+([^\x00\xff])")
END_OF_SCAN = re.compile(rb"\xff+[^\x00\xff\xd0-\xd7]")
START_OF_IMAGE, END_OF_IMAGE, START_OF_SCAN = 0xD8, 0xD9, 0xDA
WITHOUT_LENGTH = frozenset({0x01, START_OF_IMAGE, *range(0xD0, 0xD8)})
PNG_SIGN = b"\x89PNG\r\n\x1a\n"
CHUNK_FRAME = 12  # length, type and checksum of a chunk of a PNG
RIFF_FRAME = 8  # what the length of a RIFF does not count: its sign and itself


@dataclass(frozen=True, slots=True)
class PhotoKind:
    """A kind of photo: how it begins, what stands from the ninth byte on, and whether one is whole."""

    media_type: str
    start: bytes
    ninth: bytes
    is_whole: Callable[[bytes], bool]


def kind_of_photo(content: bytes) -> PhotoKind | None:
    """Return the kind of photo that some bytes begin as, or none; the name that is sent proves nothing."""
    return next(
        (kind for kind in KINDS if content.startswith(kind.start) and content[8:].startswith(kind.ninth)),
        None,
    )


def _is_whole_jpeg(content: bytes) -> bool:
    """Return whether the end of the picture is there; that of a small one in its head is not it.

    Cameras write more behind it, such as a short film, which nobody misses.
    """
    at = 0
    while found := MARKER.match(content, at):
        code, at = found[1][0], found.end()
        if code == END_OF_IMAGE:
            return True
        if code in WITHOUT_LENGTH:
            continue
        if at + 2 > len(content):
            return False
        at += int.from_bytes(content[at : at + 2], "big")
        if code == START_OF_SCAN:
            ended = END_OF_SCAN.search(content, at)
            at = ended.start() if ended else len(content)
    return False


def _is_whole_png(content: bytes) -> bool:
    """Return whether the chunks reach to the last one, IEND, with all of it (RFC 2083, 3.2 and 4.1.4)."""
    at = len(PNG_SIGN)
    while at + CHUNK_FRAME <= len(content):
        length, name = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        at += CHUNK_FRAME + length
        if name == b"IEND":
            return at <= len(content)
    return False


def _is_whole_webp(content: bytes) -> bool:
    """Return whether there are as many bytes as the file says of itself (RFC 9649, 2.4)."""
    return len(content) >= RIFF_FRAME + int.from_bytes(content[4:8], "little")


KINDS = (
    PhotoKind("image/jpeg", b"\xff\xd8\xff", b"", _is_whole_jpeg),
    PhotoKind("image/png", PNG_SIGN, b"", _is_whole_png),
    PhotoKind("image/webp", b"RIFF", b"WEBP", _is_whole_webp),
)
