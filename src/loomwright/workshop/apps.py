"""The site as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class Workshop(AppConfig):
    """Models, templates and pages of the workshop."""

    name = "loomwright.workshop"
    label = "workshop"
    default_auto_field = "django.db.models.BigAutoField"
