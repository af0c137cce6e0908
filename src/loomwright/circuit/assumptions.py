"""Numbers the circuit needs where the job does not say: each replaceable, none hidden."""

from __future__ import annotations

import attrs


@attrs.frozen(kw_only=True)
class Assumptions:
    """Resistances, spreads and meter facts taken when the job leaves them blank.

    Spreads are standard uncertainties. The values that ship are in `standards/tables/defaults.csv`
    with their source and standing; `services` reads them from there.
    """

    crimp_ohm: float = 0.002
    contact_ohm: float = 0.005
    earth_ohm: float = 0.005
    connection_spread_ohm: float = 0.003
    link_ohm: float = 0.001
    closed_contact_ohm: float = 0.05
    battery_ohm: float = 0.02
    wire_length_m: float = 1.0
    wire_section_mm2: float = 0.75
    wire_spread: float = 0.06
    lay_factor: float = 1.08
    resistivity_ohm_m: float = 1.7241e-8
    copper_per_k: float = 0.00393
    stated_temperature_spread_k: float = 1.5
    unstated_temperature_spread_k: float = 4.0
    resistor_tolerance_pct: float = 5.0
    winding_tolerance_pct: float = 10.0
    thermistor_tolerance_pct: float = 5.0
    contact_tolerance_pct: float = 90.0
    voltmeter_ohm: float = 10e6
    ohmmeter_limit_ohm: float = 40e6
    meter_percent: float = 1.0
    meter_counts: float = 3.0
    probe_spread_ohm: float = 0.1
    probe_spread_v: float = 0.02
    supply_spread_v: float = 0.25

    def tolerance_pct(self, kind: str) -> float:
        """How far a good element of that kind may differ [%] when the job does not say."""
        return {
            "winding": self.winding_tolerance_pct,
            "thermistor": self.thermistor_tolerance_pct,
            "contact": self.contact_tolerance_pct,
        }.get(kind, self.resistor_tolerance_pct)
