"""What the stage of a step is called: behind a way back by its own title, though it has not begun anew."""

from app.domain.crew import StageKind
from app.domain.numbering import first_key
from app.domain.run import Run
from app.domain.sheet import Stage, Step


def stage_title(run: Run, step: Step) -> str:
    """Return the title of a step's stage.

    Steps that stand again in the middle of a stage are talked through with the way back to them, and so are
    in its stage; they go by the title under which they stood before.
    """
    stage = run.sheet.stage(step.stage)
    if stage.kind is not StageKind.PULLING or step.number in run.ways_back:
        return stage.title
    return _stood_in(run, stage).title


def _stood_in(run: Run, back: Stage) -> Stage:
    """Return the stage whose steps go on behind a way back; what a changed plan added there is of it too."""
    again = {first_key(step.key) for step in run.sheet.steps_of(back.id) if step.number not in run.ways_back}
    stood = (run.sheet.stage(step.stage) for step in run.sheet.steps if first_key(step.key) in again)
    return next((stage for stage in stood if stage.kind is not StageKind.PULLING), back)
