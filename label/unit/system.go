package unit

import (
	"fmt"
	"strings"
)

// System says in which units quantities are shown and written.
type System int

// The two systems.
const (
	US System = iota
	Metric
)

// ParseSystem reads "us" or "metric".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(s) {
	case "us":
		return US, nil
	case "metric":
		return Metric, nil
	}
	return US, fmt.Errorf("%q is not a system of units: want us or metric", s)
}

// String returns "us" or "metric".
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// UnmarshalText reads what [ParseSystem] reads.
func (s *System) UnmarshalText(b []byte) (err error) {
	*s, err = ParseSystem(string(b))
	return err
}
