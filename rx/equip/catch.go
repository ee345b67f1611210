package equip

import "rxsplit/label/unit"

// CatchCourse returns the length of the course on which the fluid ounces caught
// from one nozzle are the gallons per acre: the strip of one spacing that is 1/128 of
// an acre, 4083.75/inches in feet. [Ohio State Univ. Extension Bulletin 817; LSU
// AgCenter, Ounces Equal Gallons]
func CatchCourse(spacing unit.Length) unit.Length {
	return unit.Length(unit.Acre/unit.SquareFoot) / 128 / spacing
}

// MetricCatchCourse returns the length of the course on which the milliliters caught
// from one nozzle are the liters per hectare: the strip of one spacing that has 10 m²,
// a thousandth of a hectare. Exact by definition of the hectare.
func MetricCatchCourse(spacing unit.Length) unit.Length {
	return unit.Length(10*unit.SquareMeter/unit.SquareFoot) / spacing
}

// Caught returns what one nozzle should give while the machine drives a course at a
// volume.
func Caught(volume unit.LiquidRate, course, spacing unit.Length) unit.Volume {
	return unit.VolumeOver(volume, strip(course, spacing))
}

// CatchTime returns how long a course takes at a speed above 0; 88 ft/min is 1 mph.
func CatchTime(course unit.Length, speed unit.Speed) unit.Time {
	return unit.Time(float64(course) / (88 * float64(speed)))
}

func strip(long, wide unit.Length) unit.Area {
	return unit.Area(float64(long)*float64(wide)) * unit.SquareFoot
}
