"""What the machines take, by size, and the other settings of the shop."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SizeClass:
    """Extra sizes of a blank, for parts up to a finished length."""

    up_to: float
    thickness: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class Allowances:
    """What the machines take, and the shop's other settings [in]."""

    classes: tuple[SizeClass, ...]
    measures_as: str = "kiln-dried"
    rip_kerf: float = 0.125
    crosscut_kerf: float = 0.125
    resaw_kerf: float = 0.0625
    shortest: float = 12.0
    thinnest: float = 0.25
    narrowest: float = 1.0
    widest_stave: float = 6.0
    narrowest_stave: float = 2.0
    edge_joint: float = 0.125
    panel_trim: float = 0.5
    panel_length: float = 2.0
    rough_step: float = 0.125
    ply_clean_up: float = 0.125
    ply_width: float = 0.25
    resaw_clean_up: float = 0.125
    end_trim: float = 1.0
    edge_trim: float = 0.25
    least_bearing: float = 0.1875
    least_clearance: float = 0.03125
    clamp_spacing: float = 8.0
    longest_clamp: float = 50.0
    clamp_jaws: float = 4.0
    glue_gap: float = 0.0625
    cutter_radius: float = 1.0
    creep_factor: float = 2.0
    sag_allowed: float = 0.02
    first_cut: str = "crosscut"
    least_offcut: float = 18.0
    longest_rip: float = 96.0
