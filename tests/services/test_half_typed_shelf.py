"""The shelf hands out nothing that has changed since it was read."""

from app.services.half_typed_shelf import HalfTypedShelf, Texts
from app.store.half_typed import HalfTyped

TEXT = HalfTyped("run-1", "deviations", "", "", "key", "{}", "2031-05-04T06:00:00+02:00", "ana", "Ana")


class Reading:
    """A way to read that counts how often it was gone."""

    def __init__(self, *texts: HalfTyped) -> None:
        self.texts = texts
        self.times = 0

    def __call__(self) -> Texts:
        self.times += 1
        return self.texts


def test_what_was_read_is_read_once_until_it_changes() -> None:
    shelf, read = HalfTypedShelf(), Reading(TEXT)

    assert shelf.of("run-1", read) == shelf.of("run-1", read) == (TEXT,)
    assert read.times == 1
    shelf.changed("run-1")
    shelf.of("run-1", read)
    assert read.times == 2


def test_a_run_without_texts_is_not_asked_again_when_it_moves_on() -> None:
    shelf, none, some = HalfTypedShelf(), Reading(), Reading(TEXT)
    shelf.of("run-1", none)
    shelf.of("run-2", some)

    for run_id, read in (("run-1", none), ("run-2", some)):
        shelf.moved_on(run_id)
        shelf.of(run_id, read)

    assert (none.times, some.times) == (1, 2)


def test_what_changed_while_it_was_read_is_read_again() -> None:
    shelf, newer = HalfTypedShelf(), Reading()

    def overtaken() -> Texts:
        shelf.changed("run-1")
        return (TEXT,)

    assert shelf.of("run-1", overtaken) == (TEXT,)
    assert shelf.of("run-1", newer) == ()


def test_what_a_tick_ends_while_it_is_read_is_read_again() -> None:
    shelf, newer = HalfTypedShelf(), Reading()

    def overtaken() -> Texts:
        shelf.moved_on("run-1")
        return (TEXT,)

    shelf.of("run-1", overtaken)

    assert shelf.of("run-1", newer) == ()
