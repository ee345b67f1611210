package unit

// The methods of a [Quantity] know its own dimension alone; what leads from one
// dimension to another stands here.

// The core relation of the job, S = A·R/2000: what reaches the ground, S, is the
// loading, A, times the dry rate, R, over the pounds of a ton.

// StabilizerRate returns what reaches the ground when dry blend loaded with l is
// spread at r: S = A·R/2000.
func StabilizerRate(l Loading, r DryRate) LiquidRate {
	return LiquidRate(float64(l) * float64(r) / poundsPerTon)
}

// LoadingFor returns the loading that puts s on the ground where the dry rate is
// r, above 0: A = 2000·S/R.
func LoadingFor(s LiquidRate, r DryRate) Loading {
	return Loading(poundsPerTon * float64(s) / float64(r))
}

// DryRateFor returns the dry rate at which a blend loaded with l, above 0, puts s
// on the ground: R = 2000·S/A.
func DryRateFor(s LiquidRate, l Loading) DryRate {
	return DryRate(poundsPerTon * float64(s) / float64(l))
}

// Uptake returns the volume of liquid that a mass of blend takes up at a loading.
func Uptake(l Loading, m Mass) Volume { return Volume(float64(l) * float64(m) / poundsPerTon) }

// MassOver returns the mass of dry product that a rate puts on an area.
func MassOver(r DryRate, a Area) Mass { return Mass(float64(r) * float64(a)) }

// VolumeOver returns the volume of liquid that a rate puts on an area.
func VolumeOver(r LiquidRate, a Area) Volume { return Volume(float64(r) * float64(a)) }

// LiquidWeight returns the mass of a volume of liquid of density d.
func LiquidWeight(v Volume, d Density) Mass { return Mass(float64(v) / fluidOzPerGallon * float64(d)) }

// BulkWeight returns the mass of bulk product of density d that fills a room.
func BulkWeight(c Capacity, d Density) Mass { return Mass(float64(c) * float64(d/PoundPerCubicFoot)) }

// Meters returns a length in meters.
func Meters(l Length) float64 { return float64(float64(l) * metersPerFoot) }
