from app.domain.commands import FinishStep
from app.services.pictures import string_now
from tests.domain.job import MEASURE_JOINT, after, do, typed


def test_the_string_as_it_hangs_is_as_long_and_heavy_as_it_was_measured() -> None:
    before = after(MEASURE_JOINT - 1)

    run = do(before, FinishStep(MEASURE_JOINT, typed(before, MEASURE_JOINT, length_BP_01="20.43 ft")))

    (first, *_) = string_now(run).known.plan.systems[0].bypass.joints
    assert first.tag == "BP-01"
    assert first.length.typed == "20.43 ft"
