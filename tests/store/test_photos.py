import hashlib
from dataclasses import replace

from app.store import photos
from app.store.database import Database
from tests.store.conftest import AT

PIXELS = bytes(range(256)) * 4096
PHOTO = photos.photo_of(PIXELS, media_type="image/jpeg", name="clamp 7", at=AT, by="ana")


def test_a_photo_is_known_by_the_hash_of_its_bytes() -> None:
    assert PHOTO.hash == hashlib.sha256(PIXELS).hexdigest()


def test_a_photo_is_read_back_byte_for_byte(database: Database) -> None:
    was_new = database.writer.run(lambda connection: photos.add_photo(connection, PHOTO))

    with database.reader() as session:
        assert photos.find_photo(session, PHOTO.hash) == PHOTO
        assert photos.find_photo(session, "0" * 64) is None
    assert was_new


def test_the_same_bytes_are_kept_once_as_they_first_came(database: Database) -> None:
    again = replace(PHOTO, name="clamp 8", added_by="ben")
    database.writer.run(lambda connection: photos.add_photo(connection, PHOTO))

    was_new = database.writer.run(lambda connection: photos.add_photo(connection, again))

    with database.reader() as session:
        assert photos.find_photo(session, PHOTO.hash) == PHOTO
    assert not was_new
