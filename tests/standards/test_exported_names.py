"""The public list is true and sorted."""

import loomwright.standards as standards


def test_every_exported_name_is_there():
    assert all(hasattr(standards, name) for name in standards.__all__)
    assert len(set(standards.__all__)) == len(standards.__all__)


def test_nothing_public_is_left_off_the_list():
    public = {
        name
        for name, value in vars(standards).items()
        if not name.startswith("_") and type(value).__name__ != "module"
    }
    assert public == set(standards.__all__)
