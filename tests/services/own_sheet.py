"""A run of the small job whose sheet has steps of the site's own, which no law misses."""

from app.demo import demo_plan_text
from app.domain.edits.kinds import AddStep, Place
from app.domain.events.who import Who
from app.domain.problems import accepting
from app.domain.run import Run
from app.services import plans
from app.services.runs import new_key
from app.services.sheet_edits import change_sheet
from app.services.site import Site
from tests.domain import job
from tests.runner import PINS

WEATHER, CAMERA = "Watch the weather window with the crane driver.", "Look at the clamps with the camera."


async def released_with_own_steps(site: Site, by: Who) -> str:
    """Return the id of a released run with two own steps on the floor, behind the second clamp."""
    kept = plans.keep_plan(site, "with own steps", demo_plan_text("single"), by)
    for text, behind in ((WEATHER, job.SECOND_CLAMP), (CAMERA, job.SECOND_CLAMP + 2)):
        place = Place(after=job.step(behind).key)
        act = AddStep("", place, text, "driller")
        await change_sheet(site, kept.id, act, why="the site asks for it", by=by, key=new_key())
    proof = plans.proof_of(site, kept)
    accepted = tuple(accepting(problem) for problem in proof.cautions())
    pin = PINS[by.name]
    released = await plans.release(site, kept.id, by, pin=pin, accepted=accepted, key=new_key(), seen=2)
    return released.run_id


def number_of(run: Run, text: str) -> int:
    """Return the number of the step that says so."""
    return next(step.number for step in run.sheet.steps if step.text == text)
