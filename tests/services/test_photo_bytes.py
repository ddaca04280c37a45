"""Photos by their bytes: which kind they are, and that one that is cut off is found at any place."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.events.remarks import PhotoAdded
from app.services.photo_bytes import kind_of_photo
from app.services.photos import LARGEST_PHOTO, PhotoError, PhotoOf, attach_photo, media_type_of
from app.services.runs import new_key, run_of
from app.services.site import Site
from tests import runner
from tests.photo_files import EVERY_KIND, THUMBNAIL, jpeg, png, webp
from tests.services.camp import SINGLE, crew_of, now

WHOLE = [
    png(),
    png(64),
    jpeg(),
    jpeg(scans=3),
    jpeg(trailer=b"\x00MotionPhoto" * 9),
    webp(),
    webp() + b"\x00",
]


@pytest.mark.parametrize(("media_type", "content"), EVERY_KIND.items())
def test_a_whole_photo_is_told_by_its_bytes(media_type: str, content: bytes) -> None:
    assert media_type_of(content) == media_type


@pytest.mark.parametrize("content", WHOLE)
def test_what_cameras_write_is_whole(content: bytes) -> None:
    kind = kind_of_photo(content)

    assert kind is not None
    assert kind.is_whole(content)


@pytest.mark.parametrize("content", EVERY_KIND.values(), ids=EVERY_KIND)
def test_a_photo_that_is_cut_off_anywhere_behind_its_head_is_refused(content: bytes) -> None:
    for end in range(12, len(content)):
        with pytest.raises(PhotoError, match="The end of the photo is missing"):
            media_type_of(content[:end])


def test_the_end_of_the_small_picture_in_the_head_is_not_taken_for_the_end() -> None:
    content = jpeg()
    cut = content[: content.index(THUMBNAIL) + len(THUMBNAIL)]

    with pytest.raises(PhotoError, match="cut off"):
        media_type_of(cut)


@given(st.sampled_from([b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\xff\xff\xff\xffWEBP"]), st.binary())
def test_any_bytes_are_whole_or_refused(start: bytes, rest: bytes) -> None:
    try:
        media_type_of(start + rest)
    except PhotoError as refusal:
        assert str(refusal)


def test_a_large_photo_is_looked_through_at_once() -> None:
    content = jpeg()
    large = content[:-2] + b"\x5a\xff\x00" * ((LARGEST_PHOTO - len(content)) // 3) + content[-2:]

    assert media_type_of(large) == "image/jpeg"


def test_a_photo_that_was_cut_off_is_kept_when_it_is_sent_again_under_its_key(site: Site) -> None:
    crew = crew_of(site)
    run_id = now(runner.release(site, SINGLE, crew["supervisor"]))
    before, key, content = run_of(site, run_id), new_key(), jpeg()

    def send(bytes_sent: bytes) -> object:
        of = PhotoOf(step=1)
        who = crew["driller"]
        return now(attach_photo(site, run_id, of, content=bytes_sent, name="a.jpg", who=who, key=key))

    with pytest.raises(PhotoError):
        send(content[:-1])
    assert run_of(site, run_id) is before
    send(content)
    send(content)

    added = [item.event for item in run_of(site, run_id).remarks if isinstance(item.event, PhotoAdded)]
    assert [event.media_type for event in added] == ["image/jpeg"]
