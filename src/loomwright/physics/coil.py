"""Current rise in a coil with series resistance, before its armature moves.

First-order: the inductance is taken as constant, which holds until the armature moves.
"""

from __future__ import annotations

import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result


def coil_current(time_s: Number, *, supply_v: Number, ohm: Number, inductance_h: Number) -> Result:
    """Current in a coil some time after it is switched on.

    i(t) = (V/R) · (1 − exp(−t · R/L))

    Parameters
    ----------
    time_s : time since switching on [s]
    supply_v : supply voltage [V]
    ohm : all resistance in the loop [Ω]
    inductance_h : inductance [H]

    Returns
    -------
    current [A]

    Raises
    ------
    OutOfRange : negative time or voltage, resistance or inductance not above 0

    Notes
    -----
    Textbook (any introductory circuit analysis, RL storage).

    Examples
    --------
    14 V on 12 Ω and 10 mH: 0.8153 A after 1 ms of the final 1.1667 A.

    >>> round(coil_current(1e-3, supply_v=14, ohm=12, inductance_h=0.010), 4)
    0.8153
    """
    time = possible("time", time_s, "s", at_least=0)
    final, tau = _final_and_tau(supply_v, ohm, inductance_h)
    return result(-final * np.expm1(-time / tau))


def time_to_current(
    current_a: Number, *, supply_v: Number, ohm: Number, inductance_h: Number
) -> Result:
    """Time until a coil carries a current, its pull-in current for example.

    t = −(L/R) · ln(1 − i·R/V); endless when V/R is not above i

    Parameters
    ----------
    current_a : current to reach [A]
    supply_v, ohm, inductance_h : as for `coil_current`

    Returns
    -------
    time [s], inf when the coil never reaches it

    Raises
    ------
    OutOfRange : negative current or voltage, resistance or inductance not above 0

    Examples
    --------
    >>> round(1e3 * time_to_current(0.7, supply_v=14, ohm=12, inductance_h=0.010), 4)
    0.7636
    """
    current = possible("current", current_a, "A", at_least=0)
    final, tau = _final_and_tau(supply_v, ohm, inductance_h)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(current == 0, 0.0, current / final)
    reached = share < 1
    return result(np.where(reached, -tau * np.log1p(-np.where(reached, share, 0.0)), np.inf))


def opening_delay(
    added_ohm: Number,
    *,
    pull_in_a: Number,
    supply_v: Number,
    ohm: Number,
    inductance_h: Number,
) -> Result:
    """How much later a valve opens when resistance is added to its loop.

    Δt = t(R + ΔR) − t(R), with t of `time_to_current`

    Parameters
    ----------
    added_ohm : resistance added by the fault [Ω]
    pull_in_a : current at which the valve opens [A]
    supply_v, ohm, inductance_h : the sound loop, as for `coil_current`

    Returns
    -------
    extra time [s]; inf when it opens no more

    Raises
    ------
    OutOfRange : negative input, or the sound loop never reaches the pull-in current

    Examples
    --------
    1 Ω more in the loop above: 0.8076 ms instead of 0.7636 ms.

    >>> loop = {"pull_in_a": 0.7, "supply_v": 14, "ohm": 12, "inductance_h": 0.010}
    >>> round(1e3 * opening_delay(1, **loop), 4)
    0.044
    """
    added = possible("added resistance", added_ohm, "Ω", at_least=0)
    sound_ohm = possible("resistance", ohm, "Ω", above=0)
    final = np.asarray(supply_v, dtype=np.float64) / sound_ohm
    possible("current to spare above pull-in", final - np.asarray(pull_in_a), "A", above=0)
    sound, faulty = (
        time_to_current(pull_in_a, supply_v=supply_v, ohm=loop, inductance_h=inductance_h)
        for loop in (sound_ohm, sound_ohm + added)
    )
    return result(np.subtract(faulty, sound))


def current_loss(added_ohm: Number, ohm: Number) -> Result:
    """Share of the final current lost to an added resistance.

    loss = ΔR / (R + ΔR)

    Parameters
    ----------
    added_ohm : resistance added by the fault [Ω]
    ohm : resistance of the sound loop [Ω]

    Returns
    -------
    share [1]

    Raises
    ------
    OutOfRange : negative added resistance, sound loop not above 0

    Examples
    --------
    0.5 and 1.0 Ω in an 8.4 Ω loop cost 5.6 and 10.6 %:

    >>> [round(100 * current_loss(added, 8.4), 1) for added in (0.5, 1.0)]
    [5.6, 10.6]
    """
    added = possible("added resistance", added_ohm, "Ω", at_least=0)
    loop = possible("resistance", ohm, "Ω", above=0)
    return result(added / (loop + added))


def _final_and_tau(supply_v: Number, ohm: Number, inductance_h: Number) -> tuple[Result, Result]:
    supply = possible("supply voltage", supply_v, "V", at_least=0)
    loop = possible("resistance", ohm, "Ω", above=0)
    inductance = possible("inductance", inductance_h, "H", above=0)
    return supply / loop, inductance / loop
