"""What the numbers of parts, places and vehicles are called in a sentence; the keys are those of the files."""

from __future__ import annotations

NAMES = {
    "fs_hz": "the resonance", "qts": "the total Q", "qes": "the electrical Q", "qms": "the mechanical Q",
    "vas_l": "the compliance as a volume (Vas)", "sd_cm2": "the moving area", "mms_g": "the moving mass",
    "bl_tm": "the force factor", "re_ohm": "the resistance of the coil", "le_mh": "the inductance of the coil",
    "xmax_mm": "the travel", "sensitivity_db": "the sensitivity", "power_w": "the rated power",
    "breaks_up_hz": "the frequency of break-up", "efficiency": "the efficiency", "idle_a": "the idle current",
    "sink_k_per_w": "the thermal resistance of the case", "heat_j_per_k": "the heat capacity of the case",
    "cut_out_c": "the temperature of cut-out", "cuts_out_below_v": "the voltage of cut-out",
    "noise_distance_db": "the distance to noise", "min_v": "the least input voltage", "max_v": "the highest voltage",
    "remote_ma": "the current of the switching input", "flow_m3_h": "the flow of the fan",
    "capacity_ah": "the capacity", "capacity_f": "the capacity", "resistance_mohm": "the resistance inside",
    "weight_kg": "the weight", "distance_m": "the distance to the ear", "off_axis_deg": "the angle off the axis",
    "height_m": "the height", "ear_height_m": "the height of the ear", "volume_l": "the room there is",
    "length_m": "the length", "volume_m3": "the volume of the cabin", "holds_kg": "the weight it holds",
    "hottest_c": "the temperature on a hot day", "engine_space_c": "the air in the engine space",
    "running_v": "the voltage while running", "lowest_running_v": "the lowest voltage while running",
    "restart_v": "the voltage as the engine starts again", "alternator_a": "the alternator's current",
    "alternator_idle_a": "the alternator's current at idle", "converter_a": "the converter's current",
    "own_draw_a": "what the vehicle itself draws", "standby_a": "the current while parked",
    "battery_ah": "the battery's capacity",
}  # fmt: skip

ASKED = ("cut_out_c", "cuts_out_below_v", "power_w", "noise_distance_db")
"""What no workshop measures without harm or a laboratory."""
