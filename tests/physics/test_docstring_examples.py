"""The worked examples in the docstrings run and give what they print."""

import doctest
import importlib
import subprocess
import sys

import pytest

import loomwright.physics as physics

WITHOUT_EXAMPLE = {"quantities"}


@pytest.mark.parametrize("name", physics.__all__)
def test_examples(name):
    module = importlib.import_module(f"loomwright.physics.{name}")
    failed, attempted = doctest.testmod(module)
    assert failed == 0
    assert attempted > 0 or name in WITHOUT_EXAMPLE


def test_the_list_of_modules_is_sorted():
    assert list(physics.__all__) == sorted(physics.__all__)


def test_importing_the_room_brings_no_scipy():
    code = (
        "import sys, loomwright.physics;"
        "from loomwright.physics import conductor, coil, meter, thermistor, thermistor_table;"
        "assert 'scipy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
