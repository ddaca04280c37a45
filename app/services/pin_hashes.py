"""What is kept of PINs and tokens: hashes, those of PINs slow and mixed with the site's pepper."""

import hashlib
from itertools import pairwise

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError

from app.domain.refusals import RefusedError
from app.services.site import Site, peppered

SHORTEST_PIN = 6
LONGEST_PIN = 12
# Anybody's first guesses; runs and repeats of digits are refused by rule.
BLOCKED_PINS = frozenset(
    {"112233", "121212", "123123", "101010", "131313", "159753", "147258", "696969", "112358"}
)
HASHER = PasswordHasher(time_cost=2, memory_cost=19_456, parallelism=1)  # OWASP's lower argon2id setting


class PinError(RefusedError):
    """The PIN may not be chosen."""

    rule = "pin"


def hash_pin(site: Site, pin: str) -> str:
    """Return the hash of a PIN that may be chosen.

    Raises: PinError that says what a PIN must be.
    """
    plain = pin.strip()
    if not (plain.isascii() and plain.isdigit() and SHORTEST_PIN <= len(plain) <= LONGEST_PIN):
        raise PinError(f"A PIN has {SHORTEST_PIN} to {LONGEST_PIN} digits and nothing else; choose another.")
    steps = {(int(after) - int(before)) % 10 for before, after in pairwise(plain)}
    if plain in BLOCKED_PINS or steps in ({0}, {1}, {9}):
        raise PinError("That PIN is one of the first that anybody would try; choose another.")
    return HASHER.hash(peppered(site, plain))


def fits(site: Site, pin_hash: str, pin: str) -> bool:
    """Return whether a PIN is the one of a hash."""
    if not pin.isascii():
        return False
    try:
        return HASHER.verify(pin_hash, peppered(site, pin.strip()))
    except VerifyMismatchError:
        return False


def token_hash(token: str) -> str:
    """Return what is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()
