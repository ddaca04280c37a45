"""Photos of a run: taken in by what their bytes are, kept under their hash, shown to those of the run."""

from dataclasses import dataclass

from app.domain.commands import AddPhoto
from app.domain.events.remarks import PhotoAdded
from app.domain.events.who import Who
from app.domain.refusals import NobodyError, RefusedError
from app.services.photo_bytes import kind_of_photo
from app.services.runs import Acted, act, checked_key, run_of
from app.services.site import Site
from app.store import photos
from app.store.photos import KeptPhoto

LARGEST_PHOTO = 12_000_000  # bytes; three times what a tablet's camera makes
LONGEST_PHOTO_NAME = 100


class PhotoError(RefusedError):
    """The file cannot be kept as a photo, or there is none."""

    rule = "photo"


class UnknownPhotoError(RefusedError):
    """The run has no such photo."""

    rule = "unknown-photo"

    def __init__(self, run_id: str, content_hash: str) -> None:
        super().__init__(
            f"Run {run_id} has no photo {content_hash}. Open it from the step that it belongs to."
        )


@dataclass(frozen=True, slots=True)
class PhotoOf:
    """What a photo is of: a step (0: the run), and the deviation or hold point that it belongs to, if any."""

    step: int = 0
    deviation: int = 0
    stage: str = ""


async def attach_photo(
    site: Site,
    run_id: str,
    of: PhotoOf,
    *,
    content: bytes,
    name: str,
    who: Who | None,
    key: str,
    seen: int | None = None,
) -> Acted:
    """Keep a photo and attach it to what it is of.

    Raises: PhotoError where the file is no photo or not all of one; StaleError; RefusedError of decide.
    """
    if who is None:
        raise NobodyError
    checked_key(key)
    media_type = media_type_of(content)
    plain = "".join(letter for letter in name if letter.isprintable())[-LONGEST_PHOTO_NAME:] or "photo"
    run_of(site, run_id)
    photo = photos.photo_of(content, media_type=media_type, name=plain, at=site.now_text(), by=who.name)
    await site.database.writer.write(lambda connection: photos.add_photo(connection, photo))
    command = AddPhoto(of.step, photo.hash, plain, media_type, of.deviation, of.stage)
    return await act(site, run_id, command, who, key, seen=seen)


def photo_of_run(site: Site, run_id: str, content_hash: str) -> KeptPhoto:
    """Return a photo of a run.

    Raises: UnknownPhotoError where the run has none of that hash; UnknownRunError.
    """
    run = run_of(site, run_id)
    hashes = {item.event.content for item in run.remarks if isinstance(item.event, PhotoAdded)}
    with site.database.reader() as session:
        kept = photos.find_photo(session, content_hash) if content_hash in hashes else None
    if kept is None:
        raise UnknownPhotoError(run_id, content_hash)
    return kept


def media_type_of(content: bytes) -> str:
    """Return the kind of photo that a file is.

    Raises: PhotoError where it is none, too large, or cut off.
    """
    if not content:
        raise PhotoError("Choose a photo or take one first.")
    if len(content) > LARGEST_PHOTO:
        raise PhotoError(f"The photo is larger than {LARGEST_PHOTO // 1_000_000} MB; take a smaller one.")
    kind = kind_of_photo(content)
    if kind is None:
        raise PhotoError("The file is no JPEG, PNG or WebP photo; save it as one of these and send it again.")
    if not kind.is_whole(content):
        raise PhotoError(
            "The end of the photo is missing: it was cut off on its way here or as it was saved, and nothing "
            "of it was kept. Send it again; where that does not help, take it again."
        )
    return kind.media_type
