from app.records.short_code import short_code


def test_a_short_code_is_the_start_of_the_hash_in_groups_of_four() -> None:
    assert short_code("3f2a91bc77d00a15" + "f" * 48) == "3f2a-91bc-77d0-0a15"


def test_an_empty_head_has_an_empty_short_code() -> None:
    assert short_code("") == ""
