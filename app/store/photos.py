"""Photos, each kept once under the hash of its bytes."""

import hashlib
import sqlite3
from dataclasses import astuple, dataclass

from sqlmodel import Session

from app.store.tables import PhotoRow


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A photo's bytes, with who added it first, when, and under what name."""

    hash: str
    media_type: str
    name: str
    content: bytes
    added_at: str
    added_by: str


def photo_of(content: bytes, *, media_type: str, name: str, at: str, by: str) -> KeptPhoto:
    """Return the photo with its hash; made outside the writer, which it would hold up."""
    return KeptPhoto(hashlib.sha256(content).hexdigest(), media_type, name, content, at, by)


def add_photo(connection: sqlite3.Connection, photo: KeptPhoto) -> bool:
    """Return whether the photo was new; the same bytes again leave the first as it is."""
    if connection.execute("SELECT 1 FROM photo WHERE hash = ?", (photo.hash,)).fetchone():
        return False
    connection.execute(
        "INSERT INTO photo (hash, media_type, name, content, added_at, added_by) VALUES (?, ?, ?, ?, ?, ?)",
        astuple(photo),
    )
    return True


def find_photo(session: Session, photo_hash: str) -> KeptPhoto | None:
    """Return the photo with the hash, or None."""
    row = session.get(PhotoRow, photo_hash)
    if row is None:
        return None
    return KeptPhoto(row.hash, row.media_type, row.name, row.content, row.added_at, row.added_by)
