package label

import (
	"fmt"
	"time"
)

// Date is a day such as "2026-01-15", as ISO 8601 writes it; empty if unknown.
// Dates order as their texts do.
type Date string

// UnmarshalText reads a day of the calendar.
func (d *Date) UnmarshalText(b []byte) error {
	if _, err := time.Parse(time.DateOnly, string(b)); err != nil {
		return fmt.Errorf("%q is not a date: want year-month-day such as %q", b, "2026-01-15")
	}
	*d = Date(b)
	return nil
}
