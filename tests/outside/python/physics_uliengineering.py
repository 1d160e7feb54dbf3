"""Prints the check values of outside/physics/uliengineering.rs.

Run by hand with the versions in requirements-physics.txt; the printed numbers are
kept in the Rust table, so that the tests need no Python.
"""

from UliEngineering.Electronics.Capacitors import (
    capacitor_charge,
    capacitor_energy,
    capacitor_lifetime,
)
from UliEngineering.Electronics.Filter import (
    rc_cutoff_frequency,
    rc_discharge_time,
    rc_time_constant,
)
from UliEngineering.Electronics.Reactance import capacitive_reactance
from UliEngineering.Electronics.Resistors import (
    parallel_resistors,
    power_dissipated_in_resistor_by_current,
    power_dissipated_in_resistor_by_voltage,
)
from UliEngineering.Electronics.VoltageDivider import (
    feedback_actual_voltage,
    voltage_divider_voltage,
)
from UliEngineering.Math.Decibel import dB_to_ratio, ratio_to_dB

VALUES = [
    ("life 2000 h, 105 to 105 °C", capacitor_lifetime(105)),
    ("life 2000 h, 105 to 85 °C", capacitor_lifetime(85)),
    ("life 2000 h, 105 to 65 °C", capacitor_lifetime(65)),
    ("life 2000 h, 105 to 40 °C", capacitor_lifetime(40)),
    ("energy 220 µF 350 V", capacitor_energy(220e-6, 350)),
    ("charge 220 µF 350 V", capacitor_charge(220e-6, 350)),
    ("corner 10 kΩ 10 nF", rc_cutoff_frequency(10e3, 10e-9)),
    ("corner 4.7 kΩ 220 nF", rc_cutoff_frequency(4.7e3, 220e-9)),
    ("time constant 47 kΩ 2.2 µF", rc_time_constant(47e3, 2.2e-6)),
    ("discharge 100 kΩ 220 µF 350 to 50 V", rc_discharge_time(100e3, 220e-6, 350, 50)),
    ("discharge 220 kΩ 47 µF 325 to 5 V", rc_discharge_time(220e3, 47e-6, 325, 5)),
    ("reactance 100 nF 1400 Hz", capacitive_reactance(100e-9, 1400)),
    ("reactance 4.7 µF 50 Hz", capacitive_reactance(4.7e-6, 50)),
    ("parallel 1.5 kΩ 75 kΩ", parallel_resistors(1500, 75000)),
    ("parallel 100 220 470 Ω", parallel_resistors(100, 220, 470)),
    ("divider 24 V 47 kΩ 10 kΩ", voltage_divider_voltage(47e3, 10e3, 24)),
    ("heat 15 V on 680 Ω", power_dissipated_in_resistor_by_voltage(680, 15)),
    ("heat 1.5 A in 0.22 Ω", power_dissipated_in_resistor_by_current(0.22, 1.5)),
    ("gain of 50", ratio_to_dB(50)),
    ("ratio of -10 dB", dB_to_ratio(-10)),
    ("regulator 240 Ω 720 Ω", feedback_actual_voltage(720, 240, 1.25)),
]

for name, value in VALUES:
    print(f"{name}: {float(value):.9g}")
