package data

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo"
	"rxsplit/internal/oracle"
	"rxsplit/rx"
)

func kmlOf(t *testing.T, r report.Result, layer int) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := KML(&buf, r, layer); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// kmlDoc is as much of KML as the layers use.
type kmlDoc struct {
	Placemarks []struct {
		Name     string `xml:"name"`
		Style    string `xml:"styleUrl"`
		Polygons []struct {
			Outer string   `xml:"outerBoundaryIs>LinearRing>coordinates"`
			Inner []string `xml:"innerBoundaryIs>LinearRing>coordinates"`
		} `xml:"MultiGeometry>Polygon"`
	} `xml:"Document>Placemark"`
}

// TestKMLHoldsTheGround: coordinates rounded to 11 mm leave the acres of a zone
// within a ten-thousandth.
func TestKMLHoldsTheGround(t *testing.T) {
	for _, way := range []rx.WayName{rx.WetBoom, rx.Loads, rx.Base} {
		r := reporttest.Plan(t, reporttest.Contours(t), way)
		for i, l := range r.Plan.Layers {
			var doc kmlDoc
			if err := xml.Unmarshal(kmlOf(t, r, i), &doc); err != nil {
				t.Fatal(err)
			}
			shapes := r.Prescription.LonLat
			if l.Product == rx.Liquid {
				shapes = l.Pieces
			}
			if len(doc.Placemarks) != shapes.Len() {
				t.Fatalf("%s: %d placemarks for %d records", l.Name, len(doc.Placemarks), shapes.Len())
			}
			for k, mark := range doc.Placemarks {
				var mp orb.MultiPolygon
				for _, p := range mark.Polygons {
					polygon := orb.Polygon{ringOf(t, p.Outer, orb.CCW)}
					for _, inner := range p.Inner {
						polygon = append(polygon, ringOf(t, inner, orb.CW))
					}
					mp = append(mp, polygon)
				}
				got, err := geo.AreaOf(mp)
				if err != nil {
					t.Fatal(err)
				}
				if want, err := geo.AreaOf(shapes.Shape(k)); err != nil || math.Abs(float64(got-want)) > 1e-4*float64(want) {
					t.Errorf("%s: %s covers %v, want %v (%v)", l.Name, mark.Name, got, want, err)
				}
			}
		}
	}
}

func ringOf(t *testing.T, text string, turn orb.Orientation) orb.Ring {
	t.Helper()
	var ring orb.Ring
	for _, pair := range strings.Fields(text) {
		x, y, _ := strings.Cut(pair, ",")
		lon, err1 := strconv.ParseFloat(x, 64)
		lat, err2 := strconv.ParseFloat(y, 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("%q is no place", pair)
		}
		ring = append(ring, orb.Point{lon, lat})
	}
	if ring.Orientation() != turn {
		t.Errorf("a ring goes the wrong way round")
	}
	return ring
}

func TestKMLEscapes(t *testing.T) {
	r := reporttest.Hostile(t, rx.Loads)
	var doc kmlDoc
	if err := xml.Unmarshal(kmlOf(t, r, 0), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Placemarks) != len(r.Prescription.Zones) {
		t.Errorf("%d placemarks", len(doc.Placemarks))
	}
}

// TestKMLIsReadByGDAL holds the layer against what GDAL's reader finds in it.
func TestKMLIsReadByGDAL(t *testing.T) {
	tool := oracle.Tool(t, "ogr2ogr") // Debian: gdal-bin
	r := reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom)
	path := filepath.Join(t.TempDir(), "dry.kml")
	if err := os.WriteFile(path, kmlOf(t, r, 0), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-f", "GeoJSON", "/vsistdout/", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Features []struct {
			Properties struct{ Name string }
			Geometry   struct{ Type string }
		}
	}
	if err := json.Unmarshal(out, &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Features) != len(r.Prescription.Zones) {
		t.Fatalf("GDAL finds %d records, want %d", len(doc.Features), len(r.Prescription.Zones))
	}
	for i, f := range doc.Features {
		if want := "Zone " + strconv.Itoa(r.Prescription.Zones[i].Number()); f.Properties.Name != want || !strings.HasSuffix(f.Geometry.Type, "Polygon") {
			t.Errorf("GDAL finds %q with a %s, want %q", f.Properties.Name, f.Geometry.Type, want)
		}
	}
}
