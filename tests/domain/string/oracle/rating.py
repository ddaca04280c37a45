"""Law 2: whether any support sees more than it is rated for."""

from collections.abc import Iterator

from tests.domain.string.oracle.floor import Body, Floor

# Weights are added up in no fixed order, so the last figures of a sum mean nothing.
ROUNDING_KG = 1e-6


def is_overloaded(floor: Floor) -> bool:
    """Return whether a support on a hanging body can see more than its rating."""
    return any(seen > rating + ROUNDING_KG for _, seen, rating in loads(floor))


def loads(floor: Floor) -> Iterator[tuple[str, float, float]]:
    """Yield for each rated support on a hanging body its name, what it can see and its rating [kg]."""
    ratings = floor.facts.ratings
    for body in floor.hanging():
        own = floor.mass_of(body)
        for _, _, clamp_type in floor.standing_parts(body):
            if clamp_type in floor.facts.clamp_ratings:
                yield clamp_type, own, floor.facts.clamp_ratings[clamp_type]
        # The support clamp sees what stands on it; all else on a body sees what stands on the body too.
        seen = own + sum(floor.mass_of(standing) for standing in floor.standing_on(body))
        for tag in _gear_on(floor, body):
            if tag in ratings:
                yield tag, seen, ratings[tag]


def _gear_on(floor: Floor, body: Body) -> Iterator[str]:
    if floor.elevators in body:
        yield floor.elevators_gear
    for name, at in floor.other_supports(body):
        if name == "slips":
            yield floor.slips_gear
        elif name == "safety clamp":
            yield floor.safety_gear
        elif name == "lifting clamp":
            yield floor.clamps[at]
        elif name == "slings":
            yield floor.slings[at]
            yield floor.clamps.get(at, "")
