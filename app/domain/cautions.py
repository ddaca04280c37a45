"""The usual cautions of the work, in words; local rules and makers' instructions come first.

Source: common practice of lifting and tubing work; they name hazards and never replace
the site's own risk assessment.
"""

from enum import StrEnum


class Caution(StrEnum):
    """A hazard of a step and what people do about it."""

    SUSPENDED = "Suspended load: nobody under it or in its path; tag lines, clear signals, one banksman."
    PINCH = "Pinch points between legs, clamps and table: hands off until the driller has stopped."
    DROPPED = "Open hole: cover it, tether hand tools, count what goes on and what comes off."
    LOAD_TRANSFER = "Load transfer: the new support holds, seen by two people, before the old one comes off."
    WRENCH = "Stand clear of the wrench's swing; pull, do not push; back-up in place."
    PRESSURE = "Trapped pressure: stand clear of fittings; bleed off and prove zero before opening."
    ELECTRICAL = "Stored charge: isolate, test, discharge and ground the cable before and after each test."
    OIL = "Hot or pressurised oil: vent slowly, gloves and eye protection on."
    SHAFT = "Never grip, sling or wedge on the shaft or on a housing that the maker does not allow."
    CABLE = "Cable under tension: stand out of the bight; no kink, no crush, no sharp edge."
    MANUAL = "Heavy part: two people or a lift; keep the back straight and the feet clear."
    FINAL = "Last moment to look: what passes the table now is seen again only at the next pull."


GENERAL = (
    "Local rules, the permit to work and the equipment makers' instructions come first; "
    "this sheet does not replace them. Anyone may stop the job."
)
