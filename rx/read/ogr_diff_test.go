package read_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo"
	"rxsplit/geo/shapefile"
	"rxsplit/internal/oracle"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
)

// diffCase is a generated file, and what is known to be wrong with it.
type diffCase struct {
	seed   uint64
	maker  string
	path   string
	source ogrSource
	layer  *drawnLayer
	raw    *rawShapefile // nil unless it was made byte by byte
	fault  *fault
}

// TestReadsWhatOGRReads generates layers and wants count, fields, cells, rates,
// plane areas and acres to be GDAL's, or the difference to be one of [faults].
// RXSPLIT_DIFF=2000 makes so many layers.
func TestReadsWhatOGRReads(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	layers := uint64(40)
	if text := os.Getenv("RXSPLIT_DIFF"); text != "" {
		var err error
		if layers, err = strconv.ParseUint(text, 10, 32); err != nil {
			t.Fatal(err)
		}
	}
	outcomes := map[string]int{}
	const batch = 50
	for from := uint64(0); from < layers; from += batch {
		var cases []*diffCase
		var sources []ogrSource
		for seed := from; seed < min(from+batch, layers); seed++ {
			c := generate(t, seed)
			cases, sources = append(cases, c), append(sources, c.source)
		}
		plain, lonLat := ogrTables(t, sources)
		for i, c := range cases {
			outcomes[c.maker+": "+c.compare(t, plain[i], lonLat[i])]++
		}
	}
	for _, outcome := range slices.Sorted(maps.Keys(outcomes)) {
		t.Logf("%5d  %s", outcomes[outcome], outcome)
	}
}

// generate makes the file of a seed: every third one has a fault.
func generate(t *testing.T, seed uint64) *diffCase {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 6))
	c := &diffCase{seed: seed, layer: drawLayer(t, rnd)}
	dir, name := t.TempDir(), fmt.Sprintf("layer%d", seed)
	faulty := seed%3 == 2
	switch kind := rnd.IntN(10); {
	case faulty && kind < 7 || !faulty && kind < 4:
		c.maker = "other program's shapefile"
		raw := rawOf(rnd, c.layer)
		c.raw = raw
		if faulty {
			c.fault = pick(rnd, func(f *fault) bool { return f.shp != nil })
			rate := slices.IndexFunc(c.layer.fields, func(f drawnField) bool { return f.name == c.layer.rate })
			c.fault.shp(rnd, raw, rate)
		}
		c.save(t, rnd, dir, name, raw.files())
	case faulty || kind < 6:
		c.maker = "GeoJSON"
		text := c.layer.geoJSON(rnd, name)
		if faulty {
			c.fault = pick(rnd, func(f *fault) bool { return f.json != nil })
			text = withRate(c.fault.json(text), c.layer.rate)
		}
		c.path = filepath.Join(dir, name+".geojson")
		c.source = ogrSource{c.path, name}
		saveFile(t, c.path, []byte(text))
	case kind < 8:
		c.maker = "our shapefile"
		c.save(t, rnd, dir, name, ourFiles(t, c.layer))
	default:
		c.maker = "GDAL's shapefile"
		text := filepath.Join(dir, "in.geojson")
		saveFile(t, text, []byte(c.layer.geoJSON(rnd, name)))
		shp := filepath.Join(dir, name+".shp")
		ogrWrite(t, text, shp, "-q", "-a_srs", fmt.Sprintf("EPSG:%d", c.layer.epsg),
			"-lco", "SHPT="+[]string{"POLYGON", "POLYGONZ", "POLYGONM", "POLYGONZM"}[rnd.IntN(4)],
			"-lco", "ENCODING="+[]string{"UTF-8", "CP1252", "ISO-8859-1"}[rnd.IntN(3)])
		c.path, c.source = shp, ogrSource{shp, name}
	}
	return c
}

func pick(rnd *rand.Rand, fits func(*fault) bool) *fault {
	for {
		if f := &faults[rnd.IntN(len(faults))]; fits(f) {
			return f
		}
	}
}

// save writes the parts side by side or, one time in four, as an archive.
func (c *diffCase) save(t *testing.T, rnd *rand.Rand, dir, name string, parts map[string][]byte) {
	t.Helper()
	if rnd.IntN(4) > 0 {
		for ending, data := range parts {
			saveFile(t, filepath.Join(dir, name+ending), data)
		}
		c.path = filepath.Join(dir, name+".shp")
		c.source = ogrSource{c.path, name}
		return
	}
	var b bytes.Buffer
	archive := zip.NewWriter(&b)
	for _, ending := range slices.Sorted(maps.Keys(parts)) {
		w, err := archive.Create("inside/" + name + ending)
		if err == nil {
			_, err = w.Write(parts[ending])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := archive.Close(); err != nil {
		t.Fatal(err)
	}
	c.maker += ", zipped"
	c.path = filepath.Join(dir, name+".zip")
	c.source = ogrSource{"/vsizip/" + c.path + "/inside/" + name + ".shp", name}
	saveFile(t, c.path, b.Bytes())
}

func saveFile(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// ourFiles is what our own writer makes of the layer's numbers.
func ourFiles(t *testing.T, l *drawnLayer) map[string][]byte {
	t.Helper()
	var shapes geo.Shapes
	for _, mp := range l.shapes {
		shapes.Append(mp)
	}
	var cols []geo.Column
	for _, f := range l.fields {
		if f.kind == 'N' || f.kind == 'F' {
			cols = append(cols, geo.Column{Name: f.name, Width: f.size, Decimals: f.decimals, Text: func(dst []byte, row int) []byte { return append(dst, f.cells[row]...) }})
		}
	}
	var shp, shx, dbf bytes.Buffer
	if err := shapefile.Write(&shp, &shx, &dbf, &shapes, cols); err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{".shp": shp.Bytes(), ".shx": shx.Bytes(), ".dbf": dbf.Bytes(), ".prj": []byte(l.system.WKT()), ".cpg": []byte(shapefile.CPG)}
}

// compare returns how the readers agree; what is not explained fails the test.
func (c *diffCase) compare(t *testing.T, plain, lonLat *ogrTable) string {
	t.Helper()
	name := fmt.Sprintf("layer %d (%s)", c.seed, c.maker)
	fault := "no fault"
	if c.fault != nil {
		fault = c.fault.name
		name += ", " + fault
	}
	file, p, err := readCase(c)
	if err != nil {
		if c.fault == nil || c.fault.refused == "" || !strings.Contains(err.Error(), c.fault.refused) {
			t.Errorf("%s: refused without an explanation: %v", name, err)
		}
		return "refused, " + fault
	}
	differences := c.differences(file, p, plain, lonLat)
	if c.fault != nil {
		if c.fault.finding == "" && c.fault.refused != "" && len(differences) == 0 {
			t.Errorf("%s: was read, want a refusal that says %q", name, c.fault.refused)
		}
		if c.fault.finding != "" && !hasRule(p, c.fault.finding) && c.tells(file) {
			t.Errorf("%s: no finding %s", name, c.fault.finding)
		}
	}
	outcome := "equal, " + fault
	for _, d := range differences {
		kind, _, _ := strings.Cut(d, ":")
		switch {
		case kind == "winding" && (hasRule(p, "winding") || hasRule(p, "hole-outside")):
			outcome = "explained, winding"
		case c.fault != nil && slices.Contains(c.fault.differs, kind):
			outcome = "explained, " + fault
		default:
			t.Errorf("%s: %s: %s", name, filepath.Base(c.path), d)
			return "not explained"
		}
	}
	return outcome
}

// hasRule reports whether a finding's rule begins so.
func hasRule(p *rx.Prescription, rule string) bool {
	return slices.ContainsFunc(p.Findings, func(f rx.Finding) bool { return strings.HasPrefix(f.Rule(), rule) })
}

// tells reports whether a fault of the encoding shows: plain ASCII has none.
func (c *diffCase) tells(file *read.File) bool {
	if c.fault.finding != "encoding" {
		return true
	}
	for f, field := range file.Layer.Attributes.Fields() {
		text := field.Name
		for i := range file.Layer.Shapes.Len() {
			text += string(file.Layer.Attributes.Cell(i, f).Text)
		}
		if strings.ContainsFunc(text, func(r rune) bool { return r > 127 }) {
			return true
		}
	}
	return false
}

func readCase(c *diffCase) (*read.File, *rx.Prescription, error) {
	file, err := read.Open(c.path, read.FileOptions{})
	if err != nil {
		return nil, nil, err
	}
	rate := c.layer.rate
	if at := slices.IndexFunc(c.layer.fields, func(f drawnField) bool { return f.name == rate }); file.Source.Format == "zipped shapefile" || file.Source.Format == "shapefile" {
		// A name may have got lost with the encoding; the place has not.
		all := file.Layer.Attributes.Fields()
		named := slices.ContainsFunc(all, func(f geo.Field) bool { return f.Name == rate })
		if !named && at < len(all) {
			rate = all[at].Name
		}
	}
	p, err := read.Prescription(file, read.Options{RateFields: []string{rate}, RateUnit: "lb/ac"})
	return file, p, err
}

// differences lists what is not as GDAL has it, each with its kind first.
func (c *diffCase) differences(file *read.File, p *rx.Prescription, plain, lonLat *ogrTable) (list []string) {
	differ := func(kind, format string, args ...any) { list = append(list, kind+": "+fmt.Sprintf(format, args...)) }
	if plain == nil {
		return []string{"unread: GDAL does not read it"}
	}
	if got, want := file.Layer.Shapes.Len()-len(file.Layer.Deleted), len(plain.rows); got != want {
		return []string{fmt.Sprintf("count: %d records, GDAL has %d", got, want)}
	}
	zones := map[int]int{}
	for z, zone := range p.Zones {
		zones[int(zone.Record)] = z
	}
	isJSON := file.Source.Format == "GeoJSON"
	for k, row := range plain.rows {
		record, err := strconv.Atoi(row[1])
		if isJSON {
			record = k
		}
		if err != nil || record >= file.Layer.Shapes.Len() {
			return append(list, fmt.Sprintf("count: no record %s", row[1]))
		}
		shape := file.Layer.Shapes.Shape(record)
		z, isZone := zones[record]
		if hasGround := row[0] != ""; hasGround != isZone {
			differ("null", "record %d: polygon %v, GDAL %v", record+1, isZone, hasGround)
			continue
		}
		want, _ := strconv.ParseFloat(row[len(row)-1], 64)
		got, ground := planar.Area(shape), groundOf
		if byWinding, ok := c.byWinding(record); ok && math.Abs(byWinding-want) <= 1e-9*math.Abs(want)+noise(shape) {
			differ("winding", "record %d: %v in the plane, GDAL %v", record+1, got, want)
			got, ground = want, ringsOfAll
		}
		if isZone && !(math.Abs(got-want) <= 1e-9*math.Abs(want)+noise(shape)) {
			differ("area", "record %d: %v in the plane, GDAL %v", record+1, got, want)
		}
		for f, field := range file.Layer.Attributes.Fields() {
			at := 2 + f
			if isJSON {
				at = plain.column(field.Name)
			}
			if at < 0 || at >= len(plain.head)-1 || plain.head[at] != field.Name {
				differ("fields", "field %d is %s, GDAL has %v", f, field.Name, plain.head[2:])
				continue
			}
			if cell := file.Layer.Attributes.Cell(record, f); !sameAsOGR(cell, row[at], field.Decimals) {
				differ("cell", "record %d, %s: %v %q, GDAL %q", record+1, field.Name, cell.Kind, cell.Text, row[at])
			}
			if field.Name == p.Fields[0].Name && isZone {
				want, err := strconv.ParseFloat(row[at], 64)
				if err != nil {
					want = math.NaN()
				}
				if got := float64(p.Zones[z].Dry); !(math.IsNaN(got) && math.IsNaN(want)) && !(math.Abs(got-want) <= 1e-12*want+lastDigit(field.Decimals)) {
					differ("rate", "record %d: %v lb/ac, GDAL %v", record+1, got, want)
				}
			}
		}
		if isZone {
			if own, err := geo.AreaOf(file.LonLat.Shape(record)); err != nil || math.Abs(float64(p.Zones[z].Area/own)-1) > 1e-12 {
				differ("acres", "record %d: zone of %v, its rings of %v %v", record+1, p.Zones[z].Area, own, err)
			}
			list = append(list, acresDiffer(file.LonLat.Shape(record), record, ground, lonLat, k)...)
		}
	}
	return list
}

// noise is how far two sums of the same ring's products may stand apart, where
// coordinates are large beside the ring: a unit of the last digit of the products
// of coordinates, a point.
func noise(mp orb.MultiPolygon) float64 {
	var sum float64
	for _, polygon := range mp {
		for _, ring := range polygon {
			b := ring.Bound()
			sum += float64(len(ring)) * 0x1p-52 * max(math.Abs(b.Max[0]), math.Abs(b.Min[0])) * max(math.Abs(b.Max[1]), math.Abs(b.Min[1]))
		}
	}
	return sum
}

// byWinding returns the area that a record has for GDAL, which goes by windings
// even where they lie. A record with just one clockwise ring has that as its shell
// and all others as holes, even those around it. Else clockwise rings are shells,
// others are holes of one that they lie in or else ground too, so that holes of
// a record that is wound backward count as ground. ok is false where windings
// tell no lie.
func (c *diffCase) byWinding(record int) (area float64, ok bool) {
	if c.raw == nil || record >= len(c.raw.records) {
		return 0, false
	}
	var shells []orb.Ring
	var rings []orb.Ring
	for _, ring := range c.raw.records[record] {
		if !ring.Closed() {
			ring = append(ring[:len(ring):len(ring)], ring[0])
		}
		rings = append(rings, ring)
	}
	for _, ring := range rings {
		if planar.Area(ring) < 0 { // of a ring, positive where it runs counter-clockwise
			shells = append(shells, ring)
			area -= planar.Area(ring)
		}
	}
	for _, ring := range rings {
		inside := func(shell orb.Ring) bool { return planar.RingContains(shell, ring[0]) }
		switch a := planar.Area(ring); {
		case a < 0:
		case len(shells) == 1 || slices.ContainsFunc(shells, inside):
			area -= a
		default:
			area += a
		}
	}
	var drawn float64
	for _, polygon := range c.layer.shapes[record] {
		drawn += planar.Area(polygon)
	}
	return area, math.Abs(area-drawn) > 1e-6*drawn
}

// acresDiffer compares acres with those of GDAL's own conversion to WGS 84. The
// tolerance, a millionth and 0.01 square meters, is for NAD 83, which PROJ may
// move by up to two meters.
func acresDiffer(shape orb.MultiPolygon, record int, acres func(orb.MultiPolygon) (unit.Area, error), lonLat *ogrTable, row int) []string {
	if lonLat == nil || row >= len(lonLat.rows) {
		return []string{"acres: GDAL does not convert the layer"}
	}
	theirs, err := multiPolygonOf(lonLat.rows[row][0])
	if err != nil {
		return []string{fmt.Sprintf("acres: record %d: %v", record+1, err)}
	}
	got, err := acres(shape)
	want, err2 := acres(theirs)
	if err != nil || err2 != nil || math.Abs(float64(got-want)) > 1e-6*float64(want)+0.01/4046.8564224 {
		return []string{fmt.Sprintf("acres: record %d: %v ac, by GDAL's coordinates %v %v %v", record+1, float64(got), float64(want), err, err2)}
	}
	return nil
}

func groundOf(mp orb.MultiPolygon) (unit.Area, error) { return geo.AreaOf(mp) }

// ringsOfAll adds up what all rings enclose, be they shells or holes.
func ringsOfAll(mp orb.MultiPolygon) (sum unit.Area, err error) {
	for _, polygon := range mp {
		for _, ring := range polygon {
			area, err := geo.AreaOf(orb.MultiPolygon{{ring}})
			if err != nil {
				return 0, err
			}
			sum += area
		}
	}
	return sum, nil
}

func multiPolygonOf(text string) (orb.MultiPolygon, error) {
	g, err := wkt.Unmarshal(text)
	if err != nil {
		return nil, err
	}
	switch g := g.(type) {
	case orb.Polygon:
		return orb.MultiPolygon{g}, nil
	case orb.MultiPolygon:
		return g, nil
	}
	return nil, errors.New("GDAL has no polygon there")
}

// lastDigit is half a unit of a DBF number's last decimal, as GDAL prints them.
func lastDigit(decimals int) float64 {
	if decimals == 0 {
		return 0
	}
	return 0.5000001 * math.Pow10(-decimals)
}

func sameAsOGR(c geo.Cell, want string, decimals int) bool {
	switch c.Kind {
	case geo.Null:
		return want == ""
	case geo.Number:
		a, err := strconv.ParseFloat(string(c.Text), 64)
		b, err2 := strconv.ParseFloat(want, 64)
		return err == nil && err2 == nil && math.Abs(a-b) <= 1e-14*math.Abs(a)+lastDigit(decimals)
	case geo.Date:
		return string(c.Text) == strings.ReplaceAll(want, "/", "")
	case geo.Bool:
		return (string(c.Text) == "true") == strings.Contains("TtYy1", want)
	}
	return string(c.Text) == want
}
