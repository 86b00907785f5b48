"""Tag files of a bag: RFC 8493, and the library that the Library of Congress reads bags with."""

from __future__ import annotations

from datetime import date

import bagit
import pytest

from archive.exchange.bag import Packed, encoded, sums_of, tag_files

DAY = date(2026, 11, 25)


def bagged(folder, files):
    packed = []
    for path, data in files.items():
        target = folder / "data" / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
        packed.append(Packed(path, *sums_of([data])))
    for name, data in tag_files(packed, DAY, "A record", "witnessmark").items():
        (folder / name).write_bytes(data)
    return bagit.Bag(str(folder))


def test_names_are_written_as_the_standard_asks():
    """RFC 8493, section 2.1.3: CR, LF and % are percent-encoded, and nothing else is."""
    assert encoded("a\rb\nc%d e") == "a%0Db%0Ac%25d e"


@pytest.mark.parametrize(
    # bagit-python 1.9 leaves `%25` as it is, against the standard: no `%` in these names.
    "files",
    [
        {"one.txt": b"1"},
        {"a/b c/blå.jpg": b"x" * 4000, "line\nfeed.txt": b"2"},
    ],
)
def test_an_independent_reader_finds_the_bag_valid(tmp_path, files):
    bag = bagged(tmp_path, files)
    assert bag.is_valid()
    assert bag.info["Payload-Oxum"] == f"{sum(map(len, files.values()))}.{len(files)}"


def test_an_independent_reader_finds_one_changed_byte(tmp_path):
    bag = bagged(tmp_path, {"one.txt": b"1", "two.txt": b"2"})
    (tmp_path / "data" / "two.txt").write_bytes(b"3")
    with pytest.raises(bagit.BagValidationError, match=r"two\.txt"):
        bag.validate()
