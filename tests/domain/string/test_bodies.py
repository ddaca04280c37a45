"""Bodies: what is joined weighs and hangs as one, what is broken out as two."""

import itertools

from hypothesis import given
from hypothesis import strategies as st

from app.domain.string.bodies import Bodies

TAGS = [f"P{number}" for number in range(12)]


def chain(length: int) -> Bodies:
    bodies = Bodies(dict.fromkeys(TAGS, 1.0))
    for lower, upper in itertools.pairwise(TAGS[:length]):
        bodies.join(lower, upper)
    return bodies


@given(st.integers(2, 12), st.data())
def test_a_broken_chain_is_two_bodies_that_weigh_what_they_have(length: int, data: st.DataObject) -> None:
    bodies = chain(length)
    at = data.draw(st.integers(0, length - 2))

    bodies.part(TAGS[at], TAGS[at + 1])

    assert bodies.members(bodies.of(TAGS[at])) == set(TAGS[: at + 1])
    assert bodies.members(bodies.of(TAGS[at + 1])) == set(TAGS[at + 1 : length])
    assert bodies.weight_kg(bodies.of(TAGS[0])) == at + 1
    assert bodies.weight_kg(bodies.of(TAGS[at + 1])) == length - at - 1


@given(st.lists(st.tuples(st.sampled_from(TAGS), st.sampled_from(TAGS)), max_size=20))
def test_parts_are_of_one_body_where_connections_lead_from_one_to_the_other(
    connections: list[tuple[str, str]],
) -> None:
    bodies = Bodies(dict.fromkeys(TAGS, 2.0))
    for lower, upper in connections:
        bodies.join(lower, upper)

    for tag in TAGS:
        reached, waiting = {tag}, [tag]
        while waiting:
            here = waiting.pop()
            beside = {b if a == here else a for a, b in connections if here in (a, b)} - reached
            reached |= beside
            waiting += beside
        assert bodies.members(bodies.of(tag)) == reached
        assert bodies.weight_kg(bodies.of(tag)) == 2.0 * len(reached)


def test_what_is_joined_twice_over_stays_one_body_when_one_connection_is_broken() -> None:
    bodies = chain(3)
    bodies.join(TAGS[0], TAGS[2])

    bodies.part(TAGS[0], TAGS[1])

    assert bodies.are_one(TAGS[:3])
    assert bodies.joints_of(TAGS[0]) == {TAGS[2]}


def test_a_load_on_a_part_weighs_on_its_body_and_goes_with_it() -> None:
    bodies = chain(4)
    bodies.load(TAGS[3], 10.0)

    bodies.part(TAGS[2], TAGS[3])

    assert bodies.weight_kg(bodies.of(TAGS[3])) == 11.0
    assert bodies.weight_kg(bodies.of(TAGS[0])) == 3.0
    assert not bodies.same("", TAGS[0])
