package rx

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
)

// ZonesText prints a number of zones and their area for the text of a finding, such as
// "12 zones (3.50 ac)".
func ZonesText(n int, a unit.Area, s unit.System) string {
	word := "zones"
	if n == 1 {
		word = "zone"
	}
	return fmt.Sprintf("%d %s (%s)", n, word, GroundText(a, s))
}

// GroundText prints an area for the text of a finding, with two decimals.
func GroundText(a unit.Area, s unit.System) string {
	return fmt.Sprintf("%.2f %s", a.In(s), unit.Symbol[unit.Area](s))
}

// ZonesNamed names zones by their numbers, as people do: "zone 3", "zones 3 and 5", and
// of many the first few.
func ZonesNamed(zones []int) string {
	const most = 6
	var last string
	switch n := len(zones); {
	case n == 0:
		return "no zone"
	case n == 1:
		return fmt.Sprintf("zone %d", zones[0])
	case n > most:
		zones, last = zones[:most], fmt.Sprintf("%d more", n-most)
	default:
		zones, last = zones[:n-1], fmt.Sprint(zones[n-1])
	}
	names := make([]string, len(zones))
	for i, z := range zones {
		names[i] = fmt.Sprint(z)
	}
	return "zones " + strings.Join(names, ", ") + " and " + last
}

// Listed joins names, of many the first so many with the number of the others.
func Listed(names []string, most int) string {
	list := strings.Join(names[:min(len(names), most)], ", ")
	if more := len(names) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return list
}
