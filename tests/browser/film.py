"""A film for the browser's own stand-in of a camera: one still picture of a code on a white wall."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import segno
import zxingcpp

WIDTH, HEIGHT = 1280, 720
WHITE, GREY = b"\xeb", b"\x80"  # of luminance and of both colours, as video counts them
Rows = list[bytes]
Draw = Callable[[str], Rows]


def qr_code(text: str) -> Rows:
    """Return the rows of a QR code, by a library that has nothing to do with the reader."""
    return [_row(row) for row in segno.make(text, micro=False).matrix_iter(scale=8, border=4)]


def data_matrix(text: str) -> Rows:
    """Return the rows of a DataMatrix code."""
    return _written(text, zxingcpp.BarcodeFormat.DataMatrix, 14)


def code_128(text: str) -> Rows:
    """Return the rows of a Code 128."""
    return _written(text, zxingcpp.BarcodeFormat.Code128, 5)


def film(path: Path, *pictures: Rows) -> None:
    """Write a film of one frame in which pictures stand side by side; the first is in the middle."""
    frame = [bytearray(WHITE * WIDTH) for _ in range(HEIGHT)]
    middle = WIDTH // 2
    for place, picture in enumerate(pictures):
        left = middle - len(picture[0]) // 2 + place * WIDTH // 3
        top = (HEIGHT - len(picture)) // 2
        for row, dots in enumerate(picture, start=top):
            frame[row][left : left + len(dots)] = dots
    head = f"YUV4MPEG2 W{WIDTH} H{HEIGHT} F10:1 Ip A1:1 C420jpeg\nFRAME\n".encode()
    path.write_bytes(head + b"".join(frame) + GREY * (WIDTH * HEIGHT // 2))


def _row(dark: Iterable[int]) -> bytes:
    return b"".join(b"\x10" if dot else WHITE for dot in dark)


def _written(text: str, kind: zxingcpp.BarcodeFormat, scale: int) -> Rows:
    # Its types do not say that it is a buffer, though it is made to be read as one.
    image: Any = zxingcpp.create_barcode(text, kind).to_image(scale=scale)
    height, width = image.shape
    dots = bytes(memoryview(image).cast("B"))
    return [
        _row(dot < 128 for dot in dots[start : start + width]) for start in range(0, height * width, width)
    ]
