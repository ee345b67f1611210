# The season of already_test.go on a raster of its own, with numpy: prints for each zone of the
# second pass the rate of the worst hundredth of its ground, then the square meters of zones
# that pass the season maximum, and of ground that does.
import numpy as np

CELL, WIDE, LONG, SWATH, OFFSET, LATE = 0.25, 200, 400, 20, 7, 10
RATES, SECOND, SEASON = (20.8, 38.4), 32, 65
x, y = np.meshgrid(np.arange(CELL / 2, WIDE, CELL), np.arange(CELL / 2, LONG, CELL))
number = np.floor((x + OFFSET) / SWATH)
middle = np.clip((number + 0.5) * SWATH - OFFSET, 0, WIDE)  # of the boom, which knows one rate
seam = 160 + 0.4 * middle
late = np.where(number % 2 == 0, LATE, -LATE)  # every other pass is driven back
first = np.where(y < seam + late, *RATES)
over = zone = 0
for south in range(0, LONG, 40):
    for west in range(0, WIDE, 50):
        cells = np.sort(first[south * 4 : south * 4 + 160, west * 4 : west * 4 + 200], axis=None)
        worst = cells[-1 - int(0.01 * cells.size)]
        print("zone", zone, worst)
        zone += 1
        if worst + SECOND > SEASON:
            over += cells.size * CELL**2
print("zones-over", over)
print("ground-over", np.count_nonzero(first + SECOND > SEASON) * CELL**2)
