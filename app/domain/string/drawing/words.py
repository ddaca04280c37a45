"""The words over and under the string: title, step, notice, and the legend of what is in the picture."""

from collections.abc import Iterable, Iterator

from app.domain.plan import Job
from app.domain.string.drawing.labels import EDGE, LINE, SIZE, WIDTH, folded, width_of
from app.domain.string.drawing.placed import Box, KeyEntry, Line, Look, Shape, TextLine

TITLE_SIZE = 24.0
INVENTED = "Invented for demonstration: no such job exists."
BEFORE = "Before the first step"
SAMPLE, KEY_ROW, KEY_COLUMNS = 40.0, 32.0, 2
KEY_WORDS = {
    Look.CLAMP: "clamp, stays in the well",
    Look.PROTECTOR: "cable protector over a coupling",
    Look.COUPLING: "coupling",
    Look.ELEVATORS: "holds the string now",
    Look.NUBBIN: "must come off before it goes down",
    Look.OPEN_CONNECTION: "stabbed, not made up yet",
    Look.MARK: "mark for the base of the pump leg",
    Look.CABLE: "cable held fast",
    Look.FREE_CABLE: "cable free, to its spool",
    Look.LINE: "discharge line",
    Look.FREE_LINE: "discharge line free, to its spool",
    Look.ORIENTATION_LINE: "orientation line",
    Look.OPEN_SWIVEL: "swivel free",
    Look.RUN: "joints not drawn one by one",
    Look.WORKING_HEIGHT: "working height",
}
# Looks that are explained by the sample of another one.
ALIKE = {
    Look.SUPPORT_CLAMP: Look.CLAMP,
    Look.BEARING_CLAMP: Look.ELEVATORS,
    Look.SLIPS: Look.ELEVATORS,
    Look.SAFETY_CLAMP: Look.ELEVATORS,
    Look.LIFTING_CLAMP: Look.ELEVATORS,
    Look.PIN_PROTECTOR: Look.NUBBIN,
    Look.DOG_COLLAR: Look.NUBBIN,
    Look.LANDING_JOINT: Look.NUBBIN,
}


def heading(job: Job, well: str, step_text: str, title: str) -> Iterator[TextLine]:
    """Yield title, text of the step, job and notice as lines from the top of the drawing."""
    y = EDGE
    paragraphs = [(title, TITLE_SIZE, True)]
    if step_text:
        paragraphs.append((step_text, SIZE + 2, False))
    paragraphs.append((f"{job.title} · {well}", SIZE, False))
    if job.invented:
        paragraphs.append((job.notice or INVENTED, SIZE, True))
    for text, size, strong in paragraphs:
        for line in folded(text, WIDTH - 2 * EDGE, size, strong=strong):
            height = size * LINE / SIZE
            width = width_of(line, size, strong=strong)
            yield TextLine(line, Box(EDGE, y, width, height), size, strong)
            y += height
        y += EDGE / 2


def key_of(shapes: Iterable[Shape], lines: Iterable[Line], top: float) -> Iterator[KeyEntry]:
    """Yield the legend of what is in the picture, two entries a row."""
    looks = (*(shape.look for shape in shapes), *(line.look for line in lines))
    seen = {ALIKE.get(look, look) for look in looks}
    wanted = [look for look in KEY_WORDS if look in seen]
    width = (WIDTH - 2 * EDGE) / KEY_COLUMNS
    y, height = top, 0.0
    for number, look in enumerate(wanted):
        column = number % KEY_COLUMNS
        if column == 0:
            y, height = y + height, 0.0
        x = EDGE + column * width
        words = folded(KEY_WORDS[look], width - SAMPLE - 2 * EDGE, SIZE)
        height = max(height, KEY_ROW, LINE * len(words) + EDGE)
        sample = Box(x, y + 5, SAMPLE, 16)
        yield KeyEntry(
            look, words, sample, Box(x + SAMPLE + EDGE, y, width - SAMPLE - 2 * EDGE, LINE * len(words))
        )
