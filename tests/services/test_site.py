from datetime import timedelta
from pathlib import Path

from app.services.clock import local_now
from app.services.site import Site, open_site, peppered
from tests.services.conftest import Open


def test_the_time_of_the_machine_carries_its_offset() -> None:
    assert local_now().utcoffset() is not None


def test_a_new_site_makes_its_folders_for_its_own_account_only(tmp_path: Path, open_here: Open) -> None:
    data = tmp_path / "deep" / "down"

    site = open_here(data)

    assert (data / "twinleg.db").is_file()
    assert {path.stat().st_mode & 0o777 for path in (data, site.keys)} == {0o700}
    assert (site.keys / "pepper").stat().st_mode & 0o777 == 0o600
    assert site.records == data / "records"


def test_the_pepper_of_a_site_stays_the_same_and_is_its_own(
    bare: Site, tmp_path: Path, open_here: Open
) -> None:
    first = peppered(bare, "secret")
    bare.close()

    assert peppered(open_here(bare.data), "secret") == first
    assert peppered(open_here(tmp_path / "other"), "secret") != first


def test_a_site_tells_the_time_by_the_clock_that_it_was_given(tmp_path: Path) -> None:
    moment = local_now() - timedelta(days=1)
    site = open_site(tmp_path / "site", clock=lambda: moment)

    told = site.now_text()
    site.close()

    assert told == moment.isoformat()
