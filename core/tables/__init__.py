"""The shipped tables as values: drills, gauges, stock, metals, friction, hands, rivets, tolerances and fits.

Every row names its source. `reading` refuses a row that does not, or one with a number that cannot be right.
"""
