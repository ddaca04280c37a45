"""Text made fit for print: what the faces cannot draw becomes a visible mark, never a gap."""

import unicodedata
from collections.abc import Iterator, Sequence

Coverage = Sequence[frozenset[int]]

# Control, format (bidirectional overrides among them), private and unassigned characters and the
# line separators would be unseen or would change how the text beside them reads.
UNSEEN = frozenset({"Cc", "Cf", "Co", "Cn", "Cs", "Zl", "Zp"})
LONGEST_WORD = 28
PIECE = 16
TAB = "    "
BREAK_HERE = "\u200b"


def printable(text: str, fonts: Coverage) -> str:
    """Return the text with every character that no font can draw as a mark such as `[U+1F600]`."""
    if text.isascii() and text.isprintable():
        return breakable(text)
    lines = text.replace("\r\n", "\n").replace("\t", TAB).split("\n")
    return breakable(
        "\n".join("".join(_drawn(cluster, fonts) for cluster in _clusters(line)) for line in lines)
    )


def printable_tree(value: object, fonts: Coverage) -> object:
    """Return a plain JSON value with every text in it made printable."""
    if isinstance(value, str):
        return printable(value, fonts)
    if isinstance(value, list):
        return [printable_tree(item, fonts) for item in value]
    if isinstance(value, dict):
        return {name: printable_tree(item, fonts) for name, item in value.items()}
    return value


def breakable(text: str) -> str:
    """Return the text with places to break in words too long for a column."""
    if len(text) <= LONGEST_WORD:
        return text
    return "\n".join(" ".join(_pieces(word) for word in line.split(" ")) for line in text.split("\n"))


def _pieces(word: str) -> str:
    if len(word) <= LONGEST_WORD:
        return word
    pieces, piece = [], ""
    for cluster in _clusters(word):
        if len(piece) >= PIECE:
            pieces.append(piece)
            piece = ""
        piece += cluster
    return BREAK_HERE.join([*pieces, piece])


def _clusters(line: str) -> Iterator[str]:
    """Yield each character with the accents that sit on it."""
    cluster = ""
    for character in line:
        if cluster and not unicodedata.category(character).startswith("M"):
            yield cluster
            cluster = ""
        cluster += character
    if cluster:
        yield cluster


def _drawn(cluster: str, fonts: Coverage) -> str:
    # One font must draw a letter and its accents together: a face cannot lend an accent to another.
    if any(_draws(font, cluster) for font in fonts):
        return cluster
    return "".join(
        character
        if any(_draws(font, character) for font in fonts) and not _is_accent(character)
        else _mark(character)
        for character in cluster
    )


def _draws(font: frozenset[int], cluster: str) -> bool:
    if _is_accent(cluster[0]):
        return False  # an accent with nothing to sit on
    return all(
        ord(character) in font and unicodedata.category(character) not in UNSEEN for character in cluster
    )


def _is_accent(character: str) -> bool:
    return unicodedata.category(character).startswith("M")


def _mark(character: str) -> str:
    return f"[U+{ord(character):04X}]"
