"""Judging, fit, crimps, spare wire, cures and their choice."""
