"""Reference answers made without the project's own solver, for tests and benchmarks.

`looms` draws whole jobs; `faults` edits a list of branches; `dense`, `exact` and `spice` solve it
in three unrelated ways; `workshop` answers readings as a bench would. See README.md.
"""
