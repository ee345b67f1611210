package unit

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
