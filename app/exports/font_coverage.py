"""Which characters a font can draw, read from its own table of characters."""

import struct
from functools import cache
from pathlib import Path

SEGMENTS = 4  # the table form that every face carried here has; it maps U+0000 to U+FFFF


class FontFileError(RuntimeError):
    """A font of the project is not what its README says it is."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(f"{path}: {what}. Put the file back from the package that its README names.")


@cache
def covered(path: Path) -> frozenset[int]:
    """Return the code points that the font can draw.

    Raises: FontFileError where the file has no such table.
    """
    data = path.read_bytes()
    try:
        start = _table(data, b"cmap")
        return frozenset(_mapped(data, _segment_table(data, start)))
    except (struct.error, LookupError) as error:
        raise FontFileError(path, "the table of its characters cannot be read") from error


def _table(data: bytes, tag: bytes) -> int:
    (count,) = struct.unpack_from(">H", data, 4)
    for index in range(count):
        name, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * index)
        if name == tag:
            return int(offset)
    raise LookupError(tag)


def _segment_table(data: bytes, cmap: int) -> int:
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    for index in range(count):
        _, _, offset = struct.unpack_from(">HHL", data, cmap + 4 + 8 * index)
        if struct.unpack_from(">H", data, cmap + offset) == (SEGMENTS,):
            return int(cmap + offset)
    raise LookupError(SEGMENTS)


def _mapped(data: bytes, table: int) -> list[int]:
    # OpenType 1.9, "cmap", format 4: parallel arrays of segment ends, starts, deltas and offsets.
    (doubled,) = struct.unpack_from(">H", data, table + 6)
    shape = f">{doubled // 2}H"
    ends_at = table + 14
    starts_at = ends_at + doubled + 2
    ends = struct.unpack_from(shape, data, ends_at)
    starts = struct.unpack_from(shape, data, starts_at)
    deltas = struct.unpack_from(shape, data, starts_at + doubled)
    offsets_at = starts_at + 2 * doubled
    offsets = struct.unpack_from(shape, data, offsets_at)
    found = []
    for index, (first, last) in enumerate(zip(starts, ends, strict=True)):
        row = (offsets_at + 2 * index + offsets[index]) if offsets[index] else None
        found += [
            code
            for code in range(first, last + 1)
            if code != 0xFFFF and _glyph(data, code, first, deltas[index], row)
        ]
    return found


def _glyph(data: bytes, code: int, first: int, delta: int, row: int | None) -> int:
    if row is None:
        return (code + delta) % 0x10000
    (glyph,) = struct.unpack_from(">H", data, row + 2 * (code - first))
    return (glyph + delta) % 0x10000 if glyph else 0
