"""What is done in each step of the work, and what there is to take care of."""

from __future__ import annotations

from enum import StrEnum


class Task(StrEnum):
    """What is done in a step."""

    CHECK = "check before cutting"
    BUY = "to buy"
    ROUGH_CUT = "rough cut"
    RESAW = "resaw"
    PLANE = "flatten and plane"
    JOINT_EDGES = "rip and joint for gluing"
    GLUE_UP = "glue up blanks and panels"
    PLANE_GLUED = "plane the glued blanks"
    WIDTH = "rip to width"
    ROUND_OVER_LONG = "round over small pieces while they are long"
    LENGTH = "crosscut to length"
    JOINTS = "joints"
    SHAPES = "shapes"
    ROUND_OVER = "round over the edges"
    SAND = "sand before assembly"
    DRY_ASSEMBLY = "dry assembly"
    MEASURE = "measure the openings"
    PANELS = "panels to size"
    FINISH_BEFORE = "finish before assembly"
    ASSEMBLY = "final glue-up"
    FINISH_AFTER = "finish"
    FIT = "fit hardware, bought and loose parts"
    TOP = "fix the top"
    DELIVERY = "delivery"


class Caution(StrEnum):
    """What to take care of, said where it can happen."""

    PINCH = "pinch"
    RESAW = "resaw"
    PLANE = "plane"
    THIN = "thin stock"
    RIP = "rip"
    NARROW = "narrow or short pieces at the saw"
    CROSSCUT = "crosscut"
    SHORT = "short stock"
    ROUTER = "router"
    SMALL_AT_ROUTER = "small pieces at the router"
    LOWER = "lowering onto a cutter"
    BORE = "bore"
    TAPER = "taper"
    CURVE = "curve"
    DUST = "dust of sanding"
    GLUE = "adhesive"
    HEAVY = "heavy"
    TURN = "turning a heavy piece"
