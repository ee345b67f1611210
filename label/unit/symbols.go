package unit

// AreaSymbol is [Symbol] of [Area].
func AreaSymbol(s System) string { return Symbol[Area](s) }

// DryRateSymbol is [Symbol] of [DryRate].
func DryRateSymbol(s System) string { return Symbol[DryRate](s) }

// LiquidRateSymbol is [Symbol] of [LiquidRate].
func LiquidRateSymbol(s System) string { return Symbol[LiquidRate](s) }

// LoadingSymbol is [Symbol] of [Loading].
func LoadingSymbol(s System) string { return Symbol[Loading](s) }

// MassSymbol is [Symbol] of [Mass].
func MassSymbol(s System) string { return Symbol[Mass](s) }

// VolumeSymbol is [Symbol] of [Volume].
func VolumeSymbol(s System) string { return Symbol[Volume](s) }

// LengthSymbol is [Symbol] of [Length].
func LengthSymbol(s System) string { return Symbol[Length](s) }

// SpeedSymbol is [Symbol] of [Speed].
func SpeedSymbol(s System) string { return Symbol[Speed](s) }

// PressureSymbol is [Symbol] of [Pressure].
func PressureSymbol(s System) string { return Symbol[Pressure](s) }

// FlowSymbol is [Symbol] of [Flow].
func FlowSymbol(s System) string { return Symbol[Flow](s) }

// MassFlowSymbol is [Symbol] of [MassFlow].
func MassFlowSymbol(s System) string { return Symbol[MassFlow](s) }

// BulkFlowSymbol is [Symbol] of [BulkFlow].
func BulkFlowSymbol(s System) string { return Symbol[BulkFlow](s) }

// ParseDryRate is [Parse] of [DryRate].
func ParseDryRate(s string) (DryRate, error) { return Parse[DryRate](s) }

// ParseLiquidRate is [Parse] of [LiquidRate].
func ParseLiquidRate(s string) (LiquidRate, error) { return Parse[LiquidRate](s) }

// ParseLoading is [Parse] of [Loading].
func ParseLoading(s string) (Loading, error) { return Parse[Loading](s) }

// ParseRatio is [Parse] of [Ratio].
func ParseRatio(s string) (Ratio, error) { return Parse[Ratio](s) }

// ParseLength is [Parse] of [Length].
func ParseLength(s string) (Length, error) { return Parse[Length](s) }

// ParseSpeed is [Parse] of [Speed].
func ParseSpeed(s string) (Speed, error) { return Parse[Speed](s) }

// ParseDensity is [Parse] of [Density].
func ParseDensity(s string) (Density, error) { return Parse[Density](s) }

// ParseFlow is [Parse] of [Flow].
func ParseFlow(s string) (Flow, error) { return Parse[Flow](s) }

// ParsePressure is [Parse] of [Pressure].
func ParsePressure(s string) (Pressure, error) { return Parse[Pressure](s) }

// ParseMassFlow is [Parse] of [MassFlow].
func ParseMassFlow(s string) (MassFlow, error) { return Parse[MassFlow](s) }

// ParseTime is [Parse] of [Time].
func ParseTime(s string) (Time, error) { return Parse[Time](s) }
