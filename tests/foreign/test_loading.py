"""A file with a mistake is refused in a plain sentence that names the place."""

from __future__ import annotations

import pytest

from foreign.loading import FOLDER, FileError, files, read

SOUND = (FOLDER / "patterns" / "orchard_tractor.toml").read_text(encoding="utf-8")

MISTAKES = [
    ("volts = 12", "volts = 13", "volts"),
    ('id="plus_cable"', 'id="plus_clamp"', "is there twice"),
    ('a="plus_clamp", b="starter_stud"', 'a="plus_klamp", b="starter_stud"', "plus_klamp has one end only"),
    ('only=["s_wire=on"]', 'only=["sense=on"]', "sense=on is not among"),
    ('what="lost_cells"', 'what="lost"', "has no 'lost'"),
    ('what="lost_cells"', 'wat="lost_cells"', "Extra inputs"),
    ('of="clutch_switch"', 'of="clutch"', "clutch is no element"),
    ('victims = ["main_link_blown"]', 'victims = ["link"]', "its victim link is no fault"),
    ('faults = ["key_fuse_blown"', 'faults = ["fuse"', "fuse is no fault"),
    ("weight = 120", "weight = 0", "weight"),
    ("[seen]", "[seen", "line"),
]


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES)
def test_a_mistake_is_told_with_its_place(old: str, new: str, said: str) -> None:
    assert old in SOUND
    with pytest.raises(FileError, match=r"^machine\.toml: ") as told:
        read(SOUND.replace(old, new, 1), "machine.toml")
    assert said in str(told.value)


def test_all_files_are_sound() -> None:
    for path in files():
        read(path.read_text(encoding="utf-8"), path.name)
    assert len({path.stem for path in files()}) == len(files())
