"""Numbers the circuit needs where the job does not say: each replaceable, none hidden."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt

import attrs

from loomwright import standards


@attrs.frozen(kw_only=True)
class Assumptions:
    """Resistances, spreads and meter facts taken when the job leaves them blank.

    Spreads are standard uncertainties. `shipped` fills them from the tables in `standards`, where
    each has its source and standing; replace any with `attrs.evolve`.
    """

    crimp_ohm: float
    contact_ohm: float
    splice_ohm: float
    earth_ohm: float
    connection_spread_ohm: float
    link_ohm: float
    closed_contact_ohm: float
    battery_ohm: float
    wire_length_m: float
    wire_section_mm2: float
    wire_spread: float
    lay_factor: float
    resistivity_ohm_m: float
    copper_per_k: float
    engine_spread_k: float
    air_spread_k: float
    ambient_spread_k: float
    tolerance_pct: dict[str, float]
    voltmeter_ohm: float
    ohmmeter_limit_ohm: float
    meter_percent: float
    meter_counts: float
    meter_full_scale_counts: float
    leads_ohm: float
    probe_spread_ohm: float
    probe_spread_v: float
    supply_spread_v: float
    inner_supply_spread: float

    @classmethod
    def shipped(cls) -> Assumptions:
        """The assumptions that ship, from the tables of `standards`."""
        return cls.of(standards.values())

    @classmethod
    def of(cls, value: Mapping[str, float]) -> Assumptions:
        """The assumptions with given numbers in place of the defaults, by their names."""
        return _assumptions(value)

    def temperature_spread_k(self, source: str, *, stated: bool) -> float:
        """Standard uncertainty [K] of a temperature; twice the day's when nobody stated it."""
        if not stated:
            return 2.0 * self.ambient_spread_k if source == "engine" else self.ambient_spread_k
        known = {"air": self.air_spread_k, "ambient": self.air_spread_k}
        return known.get(source, self.engine_spread_k)


def _assumptions(value: Mapping[str, float]) -> Assumptions:
    milli = 1e-3
    return Assumptions(
        crimp_ohm=value["crimp_resistance"] * milli,
        contact_ohm=(value["contact_resistance"] - value["crimp_resistance"]) * milli,
        splice_ohm=value["splice_resistance"] * milli,
        earth_ohm=value["earth_joint_resistance"] * milli,
        connection_spread_ohm=0.5 * value["contact_resistance"] * milli,
        link_ohm=value["link_resistance"] * milli,
        closed_contact_ohm=value["closed_contact_resistance"] * milli,
        battery_ohm=value["battery_resistance"] * milli,
        wire_length_m=value["wire_length"] * milli,
        wire_section_mm2=value["wire_section"],
        wire_spread=value["wire_length_tolerance"] / 100 / sqrt(3.0),
        lay_factor=value["lay_allowance"],
        resistivity_ohm_m=standards.copper("resistivity").value,
        copper_per_k=standards.copper("temperature_coefficient").value,
        engine_spread_k=value["temperature_uncertainty_engine"],
        air_spread_k=value["temperature_uncertainty_air"],
        ambient_spread_k=value["temperature_uncertainty_ambient"],
        tolerance_pct={
            name.removeprefix("tolerance_"): number
            for name, number in value.items()
            if name.startswith("tolerance_")
        },
        voltmeter_ohm=value["voltmeter_input_resistance"] * 1e6,
        ohmmeter_limit_ohm=value["ohmmeter_over_range_limit"] * 1e6,
        meter_percent=value["meter_percent"],
        meter_counts=value["meter_counts"],
        meter_full_scale_counts=value["meter_full_scale_counts"],
        leads_ohm=value["lead_resistance"],
        probe_spread_ohm=value["probe_contact_scatter"],
        probe_spread_v=value["probe_voltage_scatter"],
        supply_spread_v=value["supply_uncertainty"],
        inner_supply_spread=value["inner_supply_uncertainty"] / 100,
    )
