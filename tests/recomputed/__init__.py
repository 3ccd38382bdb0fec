"""Whole jobs worked out a second time, by arithmetic of its own: nothing here comes from sheetkit but ``sheetkit.run``.

Sizes are exact fractions of an inch. What the shop does is common practice as DEVELOPERS.md and README.md state it;
figures of woods stand in woods.csv, each with its source. Briefly in the suite; long by hand:
``python -m tests.recomputed SECONDS [SEED]``. ``python -m tests.recomputed.mutations`` shows which faults it finds.
"""
