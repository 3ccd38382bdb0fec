"""Published cutting problems whose optimum is known.

Sizes and values of some gcut problems: Beasley, "Algorithms for unconstrained two-dimensional guillotine cutting", Journal
of the Operational Research Society 36 (1985), data in the OR-Library. Optima (copies unlimited, no turning): as quoted
from memory of Cintra, Miyazawa, Wakabayashi, Xavier, "Algorithms for two-dimensional cutting stock and strip packing
problems using dynamic programming and column generation", European Journal of Operational Research 191 (2008).
"""

from __future__ import annotations

import numpy as np
import pytest

from sheetkit.calc.layout.knapsacks import Item, SectionTable, StripTable, board_values, sections_of

# name: (side of the square sheet, optimum, length x width of each item; the value of an item is its area)
GCUT = {
    "gcut1": (250, 56460, "167x184 114x118 167x152 83x140 70x86 143x166 120x160 66x148 87x141 69x165 "),
    "gcut2": (
        250,
        60536,
        "120x133 135x186 86x75 103x73 66x85 135x97 91x175 131x176 71x176 153x72 87x148 168x107 "
        "118x90 140x109 132x159 152x93 135x68 121x158 68x94 155x76 ",
    ),
    "gcut3": (
        250,
        61036,
        "66x80 164x107 64x184 121x86 163x135 85x98 81x102 103x186 152x106 176x139 111x118 69x169 "
        "146x133 112x112 133x160 63x129 163x152 110x155 96x136 92x142 84x143 119x133 71x71 146x84 "
        "93x86 89x86 101x146 172x73 73x169 99x99 ",
    ),
    "gcut5": (
        500,
        246000,
        "198x205 179x155 364x236 272x147 352x145 343x245 132x174 164x250 282x356 342x151 ",
    ),
    "gcut8": (
        500,
        246633,
        "277x242 233x177 182x216 147x134 213x127 315x212 261x175 210x281 243x256 159x314 217x147 "
        "260x349 222x199 296x127 263x302 226x250 264x344 237x179 245x137 137x328 321x154 200x174 "
        "270x128 299x179 165x370 198x182 155x295 278x219 184x155 187x270 208x293 261x204 344x168 "
        "213x135 362x162 362x374 237x322 281x308 155x344 210x163 325x225 360x225 346x347 131x144 "
        "284x284 262x228 146x178 254x164 332x238 313x304 ",
    ),
    "gcut9": (
        1000,
        971100,
        "310x426 673x468 426x463 325x498 555x540 292x455 343x341 362x491 305x688 459x607 ",
    ),
}


@pytest.mark.parametrize("name", GCUT)
def test_the_nested_knapsacks_reach_the_published_optimum(name: str) -> None:
    side, optimum, text = GCUT[name]
    sizes = [tuple(int(v) for v in item.split("x")) for item in text.split()]
    best = 0
    for turn in (0, 1):  # strips may run along either side of the sheet
        items = [Item(s[1 - turn], s[turn], s[0] * s[1], 99, i) for i, s in enumerate(sizes)]
        strips = StripTable(sorted({i.w for i in items}), items, [], side)
        table = SectionTable(strips, [], side, np.arange(side + 1, dtype=np.int32))
        rows = table.g[[side]]
        values = board_values(rows)
        best = max(best, int(values[0, side]))
        traced = 0
        for length in sections_of(rows[0], values[0], side):
            for k, _ in table.cuts(side, length):
                labels, _ = strips.contents(k, length)
                assert sum(items[n].l for n in labels) <= length
                assert all(items[n].w <= strips.classes[k] for n in labels)
                traced += sum(items[n].value for n in labels)
        assert traced == values[0, side]
    assert best == optimum
