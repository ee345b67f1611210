package read

import (
	"fmt"
	"strings"
)

// zonesNamed names zones as people do: "zone 3", "zones 3 and 5", and of many the
// first.
func zonesNamed(zones []int) string {
	const most = 6
	if len(zones) == 1 {
		return fmt.Sprintf("zone %d", zones[0])
	}
	words := make([]string, 0, most)
	for _, z := range zones[:min(most, len(zones))] {
		words = append(words, fmt.Sprint(z))
	}
	last := words[len(words)-1]
	if len(zones) > most {
		return fmt.Sprintf("zones %s and %d more", strings.Join(words, ", "), len(zones)-most)
	}
	return "zones " + strings.Join(words[:len(words)-1], ", ") + " and " + last
}
