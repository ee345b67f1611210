# A log of impregnated dry of alreadylog_test.go on a raster of its own, with numpy: prints for each
# zone the rate of dry, and of each of the liquids in it, of the worst hundredth of its ground.
import numpy as np

CELL, WIDE, LONG, SWATH, APART, BAND = 0.25, 200, 400, 20, 19, 37
DRY = (150.0, 260.0, 205.0)  # lb/ac, band after band on the way north
FIRST, SECOND = 320 / 2000, 64 / 2000  # fl oz in a pound: 320 and 64 fl oz/ton
x, y = np.meshgrid(np.arange(CELL / 2, WIDE, CELL), np.arange(CELL / 2, LONG, CELL))
dry = np.zeros_like(x)
for swath in range(11):
    middle = 6 + APART * swath  # the first swath reaches over the field's edge
    inside = np.abs(x - middle) < SWATH / 2
    dry += np.where(inside, np.choose((y // BAND).astype(int) % 3, DRY), 0)
zone = 0
for south in range(0, LONG, 40):
    for west in range(0, WIDE, 50):
        cells = np.sort(dry[south * 4 : south * 4 + 160, west * 4 : west * 4 + 200], axis=None)
        worst = cells[-1 - int(0.01 * cells.size)]
        print("zone", zone, worst, worst * FIRST, worst * SECOND)
        zone += 1
