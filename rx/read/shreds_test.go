package read

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// A zone in UTM that gives ground along its own edge: the hole touches the outline there,
// and must not cross it in degrees, or a shapefile's reader takes it for other ground.
func TestCutZonesAreWholeInDegrees(t *testing.T) {
	zones := []string{
		`[[[475770.43792561296,4039045.4819133026],[475771.0175594286,4039251.867132501],[475806.9741418948,4039251.7662209957],[475806.39536829083,4039045.3810038124],[475770.43792561296,4039045.4819133026]]]`,
		`[[[475806.9741418948,4039251.7662209957],[475807.5529410811,4039458.151502545],[475843.50866294926,4039458.0507388976],[475842.93072401255,4039251.6654593605],[475806.9741418948,4039251.7662209957]]]`,
		`[[[475815.9961766702,4039357.5828889455],[475841.498337239,4039280.874899566],[475819.4351053888,4039171.7829515543],[475789.34119119344,4039258.2320362586],[475815.9961766702,4039357.5828889455]]]`,
		`[[[475771.0175594286,4039251.867132501],[475771.59721886466,4039458.252416064],[475807.5529410811,4039458.151502545],[475806.9741418948,4039251.7662209957],[475771.0175594286,4039251.867132501]]]`,
	}
	p, err := Prescription(inUTM15(t, zones), Options{RateUnit: "lb/ac", Overlap: overlapFirst})
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.LonLat.Len() {
		for _, s := range []*geo.Shapes{p.LonLat, p.Drawn} {
			if err := geo.Valid(s.Shape(i)); err != nil {
				t.Errorf("zone %d: %v", i+1, err)
			}
		}
	}
}

// inUTM15 opens zones with rates of their own.
func inUTM15(t *testing.T, zones []string) *File {
	t.Helper()
	var features []string
	for i, z := range zones {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"R":%d},"geometry":{"type":"MultiPolygon","coordinates":[%s]}}`, 150+i*i, z))
	}
	f, err := Open("-", FileOptions{Stdin: strings.NewReader(`{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`), CRS: "EPSG:32615"})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Zones in UTM whose edges meet almost on one line: cutting leaves ground as wide as the
// last bits of the coordinates, which folds to nothing in degrees.
func TestNoShredsOfCutting(t *testing.T) {
	zones := []string{
		`[[[683806.6504188967,4651196.65602315],[683804.949191274,4651262.279314752],[683956.9082023159,4651266.220374515],[683958.6108379796,4651200.59707427],[683806.6504188967,4651196.65602315]]]`,
		`[[[683652.9902002355,4651258.341515499],[683651.290361022,4651323.964804231],[683803.2479440074,4651327.902612119],[683804.949191274,4651262.279314752],[683652.9902002355,4651258.341515499]]],` +
			`[[[684017.2194293796,4651364.0202287715],[684041.3749756837,4651282.443460225],[683962.8385533853,4651233.63252455],[683864.4488691306,4651270.803334736],[683842.465024445,4651351.779094638],[684017.2194293796,4651364.0202287715]]]`,
		`[[[683804.949191274,4651262.279314752],[683803.2479440074,4651327.902612119],[683955.2055469919,4651331.843680525],[683956.9082023159,4651266.220374515],[683804.949191274,4651262.279314752]]]`,
		`[[[684002.7736128281,4651214.1274581365],[683833.6323755354,4651287.475130362],[684060.1413959444,4651338.923476125],[684203.6177246147,4651260.995421361],[684002.7736128281,4651214.1274581365]]]`,
	}
	f := inUTM15(t, zones)
	for _, by := range []overlapChoice{overlapFirst, overlapLast, overlapMax} {
		p, err := Prescription(f, Options{RateUnit: "lb/ac", Overlap: by})
		if err != nil {
			t.Fatal(err)
		}
		for i := range p.LonLat.Len() {
			for _, polygon := range p.LonLat.Shape(i) {
				points := map[orb.Point]bool{}
				for _, q := range polygon[0] {
					points[q] = true
				}
				if len(points) < 3 {
					t.Errorf("%s: zone %d has a polygon of %d points", by, i+1, len(points))
				}
			}
		}
	}
}

func TestShreds(t *testing.T) {
	square := orb.Ring{{500_000, 4e6}, {500_100, 4e6}, {500_100, 4_000_100}, {500_000, 4_000_100}, {500_000, 4e6}}
	shred := orb.Ring{{500_010, 4_000_010}, {500_090, 4_000_010}, {500_090, 4_000_010.000_000_01}, {500_010, 4_000_010}}
	thin := orb.Ring{{500_010, 4_000_010}, {500_090, 4_000_010}, {500_090, 4_000_010.001}, {500_010, 4_000_010}} // 1 mm
	got := withoutShreds(orb.MultiPolygon{{shred}, {square, shred, thin}, {thin}})
	if len(got) != 2 || len(got[0]) != 2 || len(got[1]) != 1 {
		t.Errorf("got %v", got)
	}
}
