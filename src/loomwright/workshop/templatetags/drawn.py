"""Drawings in pages, and the hidden fields that every form carries."""

from __future__ import annotations

import secrets

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.filter
def drawn(svg: str) -> SafeString:
    """A drawing of our own as it is; `drawings.svg` has escaped every word in it."""
    if not svg.lstrip().startswith("<svg"):
        return SafeString(escape(svg))
    return mark_safe(svg)


@register.simple_tag
def entry_token() -> str:
    """A token that names one filling-in of one form."""
    return secrets.token_hex(12)
