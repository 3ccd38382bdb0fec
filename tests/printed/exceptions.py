"""Coefficients that the table prints otherwise than a species' own shrinkage gives, named one by one.

Each has how much larger the printed coefficient is than the one by shrinkage [%], and why: the row is printed
for a group of species or with a near relative's coefficients, or it is an import, or measured otherwise.
"""

from __future__ import annotations

RED_OAK = "one row for the commercial red oaks"
WHITE_OAK = "one row for the commercial white oaks"
OTHER_RED_OAK = "one row for water, laurel and willow oak"
HICKORY = "one row for the true hickories"
WHITE_ASH = "printed with the coefficients of white ash"
YELLOW_BIRCH = "printed with the coefficients of yellow birch"
SUGAR_MAPLE = "printed with the coefficient of sugar maple"
OLDER = "an import: Table 13-5 kept older shrinkage than Table 4-4 prints"
SWELLING = "differential shrinkage as European tables print it, not derived from shrinkage to ovendry"

EXCEPTIONS: dict[tuple[str, str], tuple[float, str]] = {
    ("ash_green", "radial"): (6.8, WHITE_ASH),
    ("ash_green", "tangential"): (10.3, WHITE_ASH),
    ("birch_sweet", "radial"): (13.0, YELLOW_BIRCH),
    ("birch_sweet", "tangential"): (5.9, YELLOW_BIRCH),
    ("hickory_mockernut", "radial"): (-4.3, HICKORY),
    ("hickory_mockernut", "tangential"): (3.9, HICKORY),
    ("hickory_pignut", "radial"): (2.7, HICKORY),
    ("hickory_pignut", "tangential"): (-1.0, HICKORY),
    ("hickory_shagbark", "radial"): (5.8, HICKORY),
    ("hickory_shagbark", "tangential"): (9.2, HICKORY),
    ("hickory_shellbark", "radial"): (-2.9, HICKORY),
    ("hickory_shellbark", "tangential"): (-10.4, HICKORY),
    ("maple_black", "tangential"): (6.8, SUGAR_MAPLE),
    ("oak_black", "radial"): (4.6, RED_OAK),
    ("oak_black", "tangential"): (-7.7, RED_OAK),
    ("oak_laurel", "radial"): (10.2, OTHER_RED_OAK),
    ("oak_laurel", "tangential"): (-0.9, OTHER_RED_OAK),
    ("oak_northern_red", "radial"): (15.3, RED_OAK),
    ("oak_northern_red", "tangential"): (21.3, RED_OAK),
    ("oak_pin", "radial"): (7.1, RED_OAK),
    ("oak_pin", "tangential"): (9.1, RED_OAK),
    ("oak_scarlet", "radial"): (4.6, RED_OAK),
    ("oak_scarlet", "tangential"): (-4.9, RED_OAK),
    ("oak_southern_red", "radial"): (-2.3, RED_OAK),
    ("oak_southern_red", "tangential"): (-9.4, RED_OAK),
    ("oak_willow", "radial"): (-12.4, OTHER_RED_OAK),
    ("oak_willow", "tangential"): (2.4, OTHER_RED_OAK),
    ("oak_bur", "radial"): (19.1, WHITE_OAK),
    ("oak_bur", "tangential"): (17.1, WHITE_OAK),
    ("oak_chestnut", "radial"): (-1.7, WHITE_OAK),
    ("oak_chestnut", "tangential"): (-5.9, WHITE_OAK),
    ("oak_post", "radial"): (-3.6, WHITE_OAK),
    ("oak_post", "tangential"): (4.4, WHITE_OAK),
    ("oak_swamp_chestnut", "tangential"): (-5.9, WHITE_OAK),
    ("oak_white", "radial"): (-7.2, WHITE_OAK),
    ("oak_white", "tangential"): (-3.0, WHITE_OAK),
    ("mahogany_true", "radial"): (24.1, OLDER),
    ("mahogany_true", "tangential"): (24.9, OLDER),
    ("khaya", "radial"): (66.4, OLDER),
    ("khaya", "tangential"): (30.0, OLDER),
    ("teak", "radial"): (-12.3, OLDER),
    ("teak", "tangential"): (-31.7, OLDER),
    ("spanish_cedar", "radial"): (-2.1, OLDER),
    ("beech_european", "radial"): (9.4, SWELLING),
    ("beech_european", "tangential"): (5.4, SWELLING),
    ("oak_european", "radial"): (35.5, SWELLING),
    ("oak_european", "tangential"): (14.1, SWELLING),
    ("ash_european", "radial"): (21.8, SWELLING),
    ("ash_european", "tangential"): (34.9, SWELLING),
}
