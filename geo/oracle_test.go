package geo

import (
	"bytes"
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/internal/oracle"
)

// planimeter returns areas in square meters by GeographicLib's Planimeter
// (C. F. F. Karney), counter-clockwise positive.
func planimeter(t *testing.T, rings []orb.Ring) []float64 {
	t.Helper()
	tool := oracle.Tool(t, "Planimeter") // Debian: geographiclib-tools
	var in bytes.Buffer
	for _, ring := range rings {
		for _, p := range ring[:len(ring)-1] {
			fmt.Fprintf(&in, "%s %s\n", exactText(p[1]), exactText(p[0]))
		}
		in.WriteByte('\n')
	}
	cmd := exec.Command(tool, "-p", "9")
	cmd.Stdin = &in
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var areas []float64
	for line := range strings.Lines(string(out)) {
		f := strings.Fields(line)
		if len(f) != 3 {
			t.Fatalf("Planimeter says %q", line)
		}
		areas = append(areas, number(t, f[2]))
	}
	if len(areas) != len(rings) {
		t.Fatalf("Planimeter gives %d areas for %d rings", len(areas), len(rings))
	}
	return areas
}

func exactText(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
