"""What other programs send: the bodies of requests, each a command's own words."""

from typing import Annotated

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from app.domain.commands import Entered
from app.domain.edits import kinds
from app.domain.events.deviations import Disposition
from app.domain.events.holds import Cause, LookBack
from app.domain.events.load_out import Settlement
from app.domain.events.rewriting import BackOutCause

LONGEST_TEXT = 10_000
MOST_ITEMS = 1_000

Text = Annotated[str, Field(max_length=LONGEST_TEXT)]


class Body(BaseModel):
    """A body that holds what is described and nothing else: a misspelt member is refused, not ignored."""

    model_config = ConfigDict(extra="forbid")


class SignIn(Body):
    """A person and the PIN."""

    person: Text = Field(description="The person's id, from /api/people.")
    pin: Text


class NewPerson(Body):
    """Somebody who is added to the site, and the PIN of the supervisor who adds him."""

    name: Text
    role: Text
    pin: Text = Field(description="The caller's own PIN; the new person chooses one himself, later.")


class OfPerson(Body):
    """Why something of a person is changed, and the PIN of the supervisor who changes it."""

    reason: Text
    pin: Text = Field(description="The caller's own PIN.")


class NewRole(OfPerson):
    """Another role."""

    role: Text


class OwnPin(Body):
    """The caller's PIN and the one that he wants instead."""

    pin: Text
    new: Text = Field(description="6 to 12 digits, none that anybody would try first.")


class ChosenPin(Body):
    """The PIN that somebody chose for himself."""

    pin: Text = Field(description="6 to 12 digits, none that anybody would try first.")


class Reading(Body):
    """One value as typed; numbers are sent as text and kept as they are."""

    name: Text = Field(description="The reading's name on the step.")
    value: Text = Field(description='The number or serial as typed, such as "2280".')
    unit: Text = Field(default="", description="Its unit; empty for a serial.")
    tool: Text = Field(default="", description="The tag of the tool, where the step asks for one.")
    confirmed: bool = Field(default=False, description="True where a value that was asked about stands.")

    def entered(self) -> Entered:
        """Return the reading as a command carries it."""
        return Entered(self.name, self.value, self.unit, self.tool, self.confirmed)


class Paper(Body):
    """What the paper says of a step that is entered from there."""

    at: AwareDatetime = Field(description="When it was done, with offset.")
    by: Text = Field(description="The id of who did it, from /api/people.")


class Finish(Body):
    """The readings that the step asks for; `late` where it is entered from paper."""

    readings: list[Reading] = Field(default=[], max_length=MOST_ITEMS)
    late: Paper | None = None


class Reason(Body):
    """Why."""

    reason: Text


class CorrectedReading(Body):
    """A reading put right; `late` where the correction stands on paper."""

    reading: Reading
    reason: Text
    late: Paper | None = None


class Talk(Body):
    """A toolbox talk: every topic of the hold point, and who was there."""

    topics: list[Text] = Field(max_length=MOST_ITEMS)
    attendance: list[Text] = Field(max_length=MOST_ITEMS, description="Ids of people, from /api/people.")


class Signature(Body):
    """One person's signature: the PIN again, and the fingerprint of what was shown."""

    person: Text = Field(description="The signer's id; it need not be the caller.")
    pin: Text
    shown: Text = Field(description="`shown` of the hold point or close-out that was read before signing.")


class NewHold(Body):
    """Work is put on hold."""

    cause: Cause
    words: Text = Field(
        default="", description="What work waits for; wanted where the cause is none of the list."
    )


class GoingOn(Body):
    """Work goes on; where `look_at` of the hold names a step, what came of looking at it once more."""

    look: LookBack = LookBack.NOT_ASKED
    step: int = Field(default=0, description="The step that was looked at, 0 where none was.")
    words: Text = Field(default="", description="A remark; the reason where the step is undone.")


class BackOutSigned(Signature):
    """A signature for a way back, and why the run goes back."""

    cause: BackOutCause
    reason: Text
    deviation: int = Field(default=0, description="The number of the deviation that asks for it, or 0.")


class DeferralSigned(Signature):
    """A signature for a step that is put off or brought forward, and why."""

    reason: Text


class ReplanSigned(Signature):
    """A signature for what remains by a changed plan, why, and the cautions that are accepted."""

    reason: Text
    accepted: list[Text] = Field(default=[], max_length=MOST_ITEMS, description="`accept` of each caution.")


class HandoverDraft(Body):
    """What the incoming supervisor must know; what is open is added by itself."""

    words: Text


class HandoverTalk(Body):
    """What was talked through: each item as `to_talk_through` of the handover has it."""

    items: list[Text] = Field(default=[], max_length=MOST_ITEMS)


class HandoverCheck(Body):
    """The values asked for, each under its `field` as name, and the number of the step to be done now."""

    readings: list[Reading] = Field(default=[], max_length=MOST_ITEMS)
    current: Text = Field(default="", description="Empty or none where the floor is finished.")


class HandoverAcceptance(Body):
    """The incoming supervisor's PIN, and how it was settled that a value did not agree."""

    person: Text
    pin: Text
    words: Text = ""
    shown: Text = Field(description="`shown` of the handover that was read before accepting.")


class ChargeTaking(Body):
    """The PIN of the supervisor who takes charge without a handover, and why there is none."""

    person: Text
    pin: Text
    reason: Text
    gone: bool = Field(
        default=False, description="Who drafted the handover that goes on is gone; it ends with this."
    )
    shown: Text = Field(description="`shown_for_charge` of the handover that was read before.")


class NewDeviation(Body):
    """Something that departs from the plan at a step."""

    step: int
    what: Text
    why: Text
    proposed: Disposition
    finding: Text = Field(
        default="",
        description="The finding that it is about: `where`, a colon, a space and `text` of one that stands "
        "in the way of the step.",
    )


class Proposal(Body):
    """What somebody proposes to do about an open deviation."""

    disposition: Disposition
    reason: Text


class Acceptance(Body):
    """What is done about a deviation."""

    disposition: Disposition
    reason: Text


class Swap(Body):
    """A part or clamp that is rejected and another in its place."""

    place: Text = Field(
        description="`place` of what can be swapped: the tag of a part, the station of a clamp."
    )
    old_serial: Text
    new_serial: Text
    reason: Text
    values: list[Reading] = Field(
        default=[],
        max_length=MOST_ITEMS,
        description="What is known of the new one: length, max OD, weight; of a Y-block swivel length, drop.",
    )
    deviation: int = Field(default=0, description="Number of the deviation that it follows, 0 for none.")


class Note(Body):
    """A remark on a step, or on the run where the step is 0."""

    step: int = 0
    text: Text


class LoadOutItem(Body):
    """A thing on site that is not on the load-out list."""

    serial: Text
    item: Text = Field(description="A clamp type or the tag of a part.")
    reason: Text


class Counting(Body):
    """A thing without serials as counted; each number is what there was in all, not what was added."""

    item: Text = Field(description="The type of protector or clamp, as the plan names it.")
    issued: int
    returned: int
    rejected: int
    reason: Text


class Settling(Body):
    """Things of the load-out list that did not go in the well."""

    serials: list[Text] = Field(max_length=MOST_ITEMS)
    settlement: Settlement
    reason: Text


class Closing(Body):
    """The end of a run."""

    note: Text = ""


class Place(Body):
    """Where a step is put: behind a step, or first in a stage; one of the two."""

    after: Text = Field(default="", description="Key of the step that it is to stand behind.")
    start_of: Text = Field(default="", description="Id of the stage that it is to begin.")

    def place(self) -> kinds.Place:
        """Return the place as a change carries it."""
        return kinds.Place(self.after, self.start_of)


class SheetAct(Body):
    """A change to an unreleased sheet."""

    why: Text = Field(description="The reason; it is kept with the change and stands in the record.")
    seen: int | None = Field(
        default=None,
        description="`seen` of the sheet that the change was made up for: it is refused where the sheet has "
        "been changed since. Left out, nobody minds.",
    )


class Drop(SheetAct):
    """A step is left out."""

    step: Text = Field(description="Key of the step.")


class Move(SheetAct):
    """A step stands elsewhere."""

    step: Text = Field(description="Key of the step.")
    place: Place


class Reword(SheetAct):
    """A step reads otherwise; what it does stays as it is."""

    step: Text = Field(description="Key of the step.")
    text: Text


class Add(SheetAct):
    """A step of one's own, in plain words."""

    place: Place
    text: Text
    role: Text = Field(description="The role that does it, one that the plan knows.")


class Repeat(SheetAct):
    """A check, test or measurement is made once more elsewhere."""

    step: Text = Field(description="Key of the step.")
    place: Place


class TakeBack(Body):
    """A change that counts no longer, and why."""

    why: Text


class TakeOver(Body):
    """The changes of another plan, such as an older text of the same job."""

    plan: Text = Field(description="Id of the plan whose changes are taken over.")
    why: Text


class Release(Body):
    """A release: the releaser's PIN, and each caution of the plan accepted in its own words."""

    pin: Text
    seen: int = Field(
        default=0,
        description="`seen` of the sheet that is released, 0 where nothing was changed about it: the release "
        "is refused where the sheet has been changed since.",
    )
    accepted: list[Text] = Field(default=[], max_length=MOST_ITEMS, description="`accept` of each caution.")
