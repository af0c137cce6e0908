"""The migrations say what the models say."""

from __future__ import annotations

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_no_change_of_a_model_is_without_its_migration() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
