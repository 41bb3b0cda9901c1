"""What became of files that were to be added."""

from __future__ import annotations

from fieldtrip.desktop.content.elevation import NO_HEIGHTS, added_words, no_heights


def test_each_file_that_cannot_be_used_has_a_line_of_its_own() -> None:
    words = added_words(2, ("“a.tif” is damaged.", "“b.hgt” is cut off."))

    assert words.splitlines() == [
        "2 elevation files added.",
        "“a.tif” is damaged.",
        "“b.hgt” is cut off.",
    ]


def test_of_a_whole_folder_of_wrong_files_the_first_are_told() -> None:
    refusals = tuple(f"“{k}.tif” is damaged." for k in range(30))

    told = added_words(0, refusals).splitlines()

    assert told[:8] == list(refusals[:8])
    assert told[8:] == ["22 more files cannot be used either."]


def test_files_that_cannot_be_used_are_named_where_nothing_is_known() -> None:
    assert no_heights(()) == NO_HEIGHTS
    assert "“bay” cannot be used" in no_heights(("bay",))
    many = no_heights(("a", "b", "c", "d", "e"))
    assert "“a”, “b”, “c” and 2 more files cannot be used" in many
