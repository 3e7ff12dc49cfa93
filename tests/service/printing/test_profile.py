"""A profile as a file: what is wrong in it is said with its line, and what may be left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from service.files.documents import BadFile
from service.files.on_disk import read_profile
from service.printing import vocabulary
from service.printing.lexicon import lexicon_of, words_of
from service.printing.profile import PROFILE, Profile


def profile_of(tmp_path: Path, text: str) -> Profile:
    path = tmp_path / "till.yaml"
    path.write_text(text, encoding="utf-8")
    return read_profile(path)


def test_a_name_is_enough(tmp_path: Path) -> None:
    assert profile_of(tmp_path, "name: till\n") == Profile(name="till")


def test_what_is_written_adds_to_the_common_words(tmp_path: Path) -> None:
    text = "name: till\nnot_here: [plus]\nchanges:\n  add: [with a dash of]\n"
    found = words_of(profile_of(tmp_path, text), "changes.add")
    assert found[0] == "with a dash of"
    assert set(found[1:]) == set(vocabulary.COMMON["changes.add"]) - {"plus"}
    text = "name: till\ncommon_words: false\nchanges:\n  add: [with a dash of]\n"
    assert words_of(profile_of(tmp_path, text), "changes.add") == ("with a dash of",)


def test_every_common_list_belongs_to_a_list_of_the_profile() -> None:
    for path in vocabulary.COMMON:
        assert words_of(Profile(name="till", common_words=False), path) == (), path


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name: till\nitms: {}\n", "line 2: itms: expected only names that are known here"),
        ("name: till\npaper:\n  ends: []\n", "at least one of cut, feed, quiet"),
        ("name: till\npaper:\n  ends: [bell]\n", "line 3"),
        ("name: till\npaper:\n  code_pages:\n    30: klingon\n", "a code page; came 'klingon'"),
        ("name: till\npaper:\n  text: idna\n", "a code page; came 'idna'"),
        ("name: till\nhead:\n  number:\n    patterns: ['(a+)+']\n", "(?P<value>"),
        ("name: till\nhead:\n  lines: ['{plaice} {time}']\n", "{number}, {place}"),
        ("name: till\nchanges:\n  swap: ['sub {put_in}']\n", "{put_in} and {take_out}, each once"),
        ("name: till\nsections:\n  otherwise: snack\n", "line 3"),
        ("name: till\nbusiness_day_ends: 25\n", "a number of at most 23"),
        ("paper: {width: 42}\n", "name to be given"),
    ],
)
def test_what_is_wrong_is_said_with_its_file_and_place(
    tmp_path: Path, text: str, said: str
) -> None:
    with pytest.raises(BadFile) as error:
        profile_of(tmp_path, text)
    assert str(tmp_path / "till.yaml") in str(error.value)
    assert said in str(error.value)


def test_a_profile_is_made_ready_once_and_only_a_few_are_kept() -> None:
    profiles = [Profile(name=f"till {n}") for n in range(20)]
    first = lexicon_of(profiles[0])
    assert lexicon_of(profiles[0]) is first
    assert [lexicon_of(one).profile.name for one in profiles] == [one.name for one in profiles]


def test_a_profile_goes_through_json_and_back() -> None:
    profile = Profile(name="till", not_here=("copy",), house=("our house",))
    assert PROFILE.validate_json(PROFILE.dump_json(profile)) == profile
