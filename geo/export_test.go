package geo

// What tests tell apart.
var (
	ErrSwath      = errSwath
	ErrManySwaths = errManySwaths
)
