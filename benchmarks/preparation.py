"""Import this first: one thread for linear algebra, and the reference answers within reach.

A second thread would double some figures and not others; numpy reads the setting when it loads.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

HOUSE = Path(__file__).resolve().parent.parent
"""The folder that holds `src`, `tests` and `benchmarks`."""

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_name] = "1"
for _folder in (HOUSE / "tests", HOUSE / "benchmarks"):
    if str(_folder) not in sys.path:
        sys.path.insert(0, str(_folder))
