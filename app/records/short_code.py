"""The head of a log as a code short enough to read out and write on paper."""

LENGTH = 16
GROUP = 4


def short_code(digest: str) -> str:
    """Return the first 16 hex digits of a hash in groups of four: `3f2a-91bc-77d0-0a15`."""
    head = digest[:LENGTH]
    return "-".join(head[start : start + GROUP] for start in range(0, len(head), GROUP))
