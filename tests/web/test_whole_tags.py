"""In large letters no line ends inside a tag, and nothing that somebody typed becomes a mark of the page."""

import pytest

from app.web.render import whole_tags


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        (
            "lower SEAL-1 on MTR-1",
            'lower <span class="whole">SEAL-1</span> on <span class="whole">MTR-1</span>',
        ),
        ("clamp LG-EL-287.", 'clamp <span class="whole">LG-EL-287</span>.'),
        ("New O-ring, 3-1/2 in, a Y-block", "New O-ring, 3-1/2 in, a Y-block"),
        ("A" * 9 + "-" + "B" * 9, "A" * 9 + "-" + "B" * 9),
        ("<b>P-001</b>", '&lt;b&gt;<span class="whole">P-001</span>&lt;/b&gt;'),
    ],
)
def test_a_tag_is_kept_whole_and_a_longer_word_may_break(text: str, marked: str) -> None:
    assert str(whole_tags(text)) == marked
