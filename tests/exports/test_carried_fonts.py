import hashlib

from app.exports.typesetting import FACES, print_folder

FOLDER = print_folder() / "fonts"
LARGEST_TOTAL = 1_500_000


def test_each_carried_file_has_the_checksum_that_its_readme_states() -> None:
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in FOLDER.iterdir()
        if path.name != "README.md"
    }

    assert found == _stated()


def test_the_faces_are_small_enough_to_carry_and_all_present() -> None:
    sizes = {path.name: path.stat().st_size for path in FOLDER.glob("*.ttf")}

    assert sum(sizes.values()) <= LARGEST_TOTAL
    assert set(FACES) < sizes.keys()


def test_the_licence_stands_beside_them() -> None:
    text = (FOLDER / "OFL.txt").read_text(encoding="utf-8")

    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert "PERMISSION & CONDITIONS" in text


def _stated() -> dict[str, str]:
    lines = (FOLDER / "README.md").read_text(encoding="utf-8").splitlines()
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines if line.startswith("|")]
    return {row[0]: row[-1] for row in rows[2:]}
