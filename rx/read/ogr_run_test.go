package read_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// ogrTable is a layer as GDAL reads it; nil if it does not.
type ogrTable struct {
	head []string
	rows [][]string
}

func (o *ogrTable) column(name string) int {
	for i, h := range o.head {
		if h == name {
			return i
		}
	}
	return -1
}

// ogrSource is where GDAL finds a layer.
type ogrSource struct{ dataset, layer string }

// ogrTables reads many layers in one run of ogr2ogr, by way of a virtual dataset:
// with their plane areas and, converted to WGS 84, their coordinates.
func ogrTables(t *testing.T, sources []ogrSource) (plain, lonLat []*ogrTable) {
	t.Helper()
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("<OGRVRTDataSource>\n")
	for i, s := range sources {
		layer := func(prefix string) string {
			return fmt.Sprintf(`<OGRVRTLayer name="%s%d"><SrcDataSource>%s</SrcDataSource><SrcSQL>SELECT FID AS OGR_FID, *, OGR_GEOM_AREA AS OGR_AREA FROM "%s"</SrcSQL></OGRVRTLayer>`, prefix, i, s.dataset, s.layer)
		}
		b.WriteString(layer("plain") + "\n<OGRVRTWarpedLayer>" + layer("lonlat") + "<TargetSRS>EPSG:4326</TargetSRS></OGRVRTWarpedLayer>\n")
	}
	b.WriteString("</OGRVRTDataSource>\n")
	vrt := filepath.Join(dir, "all.vrt")
	if err := os.WriteFile(vrt, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	// What GDAL complains about shows in what it reads.
	message, err := exec.Command("ogr2ogr", "-q", "-skipfailures", "-f", "CSV", "-dim", "XY", "-lco", "GEOMETRY=AS_WKT", "--config", "OGR_WKT_PRECISION", "17", out, vrt).CombinedOutput()
	for i := range sources {
		plain = append(plain, ogrCSV(t, filepath.Join(out, fmt.Sprintf("plain%d.csv", i))))
		lonLat = append(lonLat, ogrCSV(t, filepath.Join(out, fmt.Sprintf("lonlat%d.csv", i))))
	}
	if err != nil && len(message) == 0 {
		t.Fatal(err)
	}
	if testing.Verbose() && len(message) > 0 {
		t.Logf("ogr2ogr: %s", message)
	}
	return plain, lonLat
}

func ogrCSV(t *testing.T, path string) *ogrTable {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	if len(rows) == 0 {
		return nil
	}
	return &ogrTable{head: rows[0], rows: rows[1:]}
}

// ogrWrite has GDAL make a shapefile of a GeoJSON text.
func ogrWrite(t *testing.T, geojson, shp string, options ...string) {
	t.Helper()
	out, err := exec.Command("ogr2ogr", append(options, shp, geojson)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
}
