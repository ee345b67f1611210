package crs

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/internal/oracle"
)

// gieTolerance is what gie, PROJ's own test tool, is asked to allow between its
// result and ours. It takes units for meters: 2e-7 m, or 6e-8 m in feet.
const gieTolerance = "0.0002 mm"

// someLonLat returns a random place where a system of the table is in use, or
// somewhat beyond: field files stay well inside.
func someLonLat(rnd *rand.Rand, r *row) orb.Point {
	between := func(a, b float64) float64 { return a + rnd.Float64()*(b-a) }
	p := r.params
	low, high, side := p.lat0-3, p.lat0+9, 4.
	switch r.method {
	case transverseMercator:
		if p.lat0 == 0 { // UTM and its like
			low, high = 0, 84
			if p.fn >= 1e7 {
				low, high = -80, 0
			}
		}
	case lambertConic, albersConic:
		low, high, side = min(p.sp1, p.sp2)-5, max(p.sp1, p.sp2)+5, 12
	case mercator, webMercator:
		low, high, side = -80, 80, 179
	case obliqueMercatorA, obliqueMercatorB:
		low, high = p.lat0-3, p.lat0+3
	}
	lon := wrap((p.lon0+between(-side, side))*degree) / degree
	return orb.Point{round(lon), round(max(-89, min(89, between(low, high))))}
}

// round keeps places short in gie's input and the same on both sides.
func round(degrees float64) float64 {
	x, _ := strconv.ParseFloat(fmt.Sprintf("%.9f", degrees), 64)
	return x
}

// TestEverySystemAgainstProj has gie judge random points of every system in the
// table, to the plane and back. The base is the system's own datum, so that no
// datum is shifted.
func TestEverySystemAgainstProj(t *testing.T) {
	judge(t, oracle.Tool(t, "gie"), 1, func(r *row, _ System) string { return fmt.Sprintf("EPSG:%d", r.code) })
}

// TestWrittenTextsAgainstProj has gie read the texts that WKT writes in place of
// the codes: one in four where oracles are required, else one in sixty, as PROJ
// takes 25 ms over each.
func TestWrittenTextsAgainstProj(t *testing.T) {
	step := 60
	if oracle.Required() {
		step = 4
	}
	judge(t, oracle.Tool(t, "gie"), step, func(_ *row, s System) string { return s.WKT() })
}

// judge asks gie about every step-th system.
func judge(t *testing.T, gie string, step int, theirs func(*row, System) string) {
	t.Helper()
	var script bytes.Buffer
	script.WriteString("<gie-strict>\n")
	tests := 0
	for i := 0; i < len(systems()); i += step {
		r := &systems()[i]
		s := mustParse(t, fmt.Sprintf("EPSG:%d", r.code))
		fmt.Fprintf(&script, "crs_src EPSG:%d\ncrs_dst %s\ntolerance %s\n", r.datum.facts().code, theirs(r, s), gieTolerance)
		rnd := rand.New(rand.NewPCG(1, uint64(r.code)))
		for range 3 {
			place := someLonLat(rnd, r)
			there := forward(t, s, place)
			plane := orb.Point{round(there[0]), round(there[1])}
			back := inverse(t, s, plane)
			// EPSG's axes of the lon/lat systems are latitude, longitude.
			fmt.Fprintf(&script, "direction forward\naccept %.9f %.9f\nexpect %.12f %.12f\n", place[1], place[0], there[0], there[1])
			fmt.Fprintf(&script, "direction inverse\naccept %.9f %.9f\nexpect %.15f %.15f\n", plane[0], plane[1], back[1], back[0])
			tests += 2
		}
	}
	script.WriteString("</gie-strict>\n")
	file := filepath.Join(t.TempDir(), "systems.gie")
	if err := os.WriteFile(file, script.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(gie, file).CombinedOutput()
	want := fmt.Sprintf("total: %2d tests succeeded,  0 tests skipped,  0 tests failed.", tests)
	if err != nil || !bytes.Contains(out, []byte(want)) {
		t.Errorf("gie: %v, want %q, got:\n%s ... %s", err, want, out[:min(len(out), 3000)], out[max(0, len(out)-600):])
	}
}
