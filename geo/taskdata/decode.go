package taskdata

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// Decode reads a set as programs really write it. It takes other versions, unknown
// elements and attributes, open rings, further files that the main one refers to, and
// names in any case. What could be read wrong is refused: a number that is none, a zone,
// a product or a task that is there twice, a grid whose binary file is missing or has
// another size. All that is wrong in the main file comes in one [*geo.BadFileError]; other
// errors are a [*FileError].
func Decode(files Files) (*Set, []geo.Remark, error) { return decode(files, true) }

// DecodeForLogs reads a set as [Decode] does, but for its grids: a terminal may send logs
// back without what they were made from.
func DecodeForLogs(files Files) (*Set, error) {
	s, _, err := decode(files, false)
	return s, err
}

func decode(files Files, grids bool) (*Set, []geo.Remark, error) {
	root, err := tree(files)
	if err != nil {
		return nil, nil, err
	}
	d := &decoder{files: files}
	d.set(root)
	d.twice()
	if len(d.bad) > 0 {
		listed := min(len(d.bad), geo.MaxBadRecords)
		return nil, nil, &geo.BadFileError{
			File: Main, Bad: d.bad[:listed], More: len(d.bad) - listed,
			Hint: "export the task data again where it was made; what is doubtful is not guessed",
		}
	}
	for i := range d.s.Tasks {
		if !grids {
			break
		}
		if err := d.grid(&d.s.Tasks[i]); err != nil {
			return nil, nil, err
		}
	}
	return &d.s, d.remarks, nil
}

// tree reads the main file, and those that it refers to, into one tree. A file that is named
// again adds nothing, and the elements of all are bounded together: a few bytes can name one
// many times.
func tree(files Files) (*element, error) {
	data, as, ok := files.find(Main)
	if !ok {
		return nil, &FileError{File: Main, Why: "is missing", Hint: "copy the whole folder " + Folder + " as it is on the stick"}
	}
	elements := 0
	root, err := parseAfter(as, data, &elements)
	if err != nil {
		return nil, err
	}
	if root.name != "ISO11783_TaskData" {
		return nil, &FileError{File: as, Why: "is no task data: its root is <" + root.name + ">"}
	}
	taken := map[string]bool{}
	for _, x := range root.all("XFR") {
		name := x.attr("A") + ".XML"
		if taken[name] {
			continue
		}
		taken[name] = true
		data, as, ok := files.find(name)
		if !ok {
			return nil, &FileError{File: name, Why: "is missing, and " + Main + " refers to it", Hint: "copy the whole folder as it is on the stick"}
		}
		further, err := parseAfter(as, data, &elements)
		if err != nil {
			return nil, err
		}
		root.children = append(root.children, further.children...)
	}
	return root, nil
}

// References lists the files that a main file refers to, as it names them: other files in
// XML, and the binary files of grids and logs, with the endings that they have.
func References(data []byte) ([]string, error) {
	root, err := parse(Main, data)
	if err != nil {
		return nil, err
	}
	var names []string
	var walk func(e *element)
	walk = func(e *element) {
		switch e.name {
		case "XFR":
			names = append(names, e.attr("A")+".XML")
		case "GRD":
			names = append(names, e.attr("G")+".bin")
		case "TLG":
			names = append(names, e.attr("A")+".xml", e.attr("A")+".bin")
		}
		for _, c := range e.children {
			walk(c)
		}
	}
	walk(root)
	return names, nil
}

// decoder collects what is wrong while it reads.
type decoder struct {
	files   Files
	s       Set
	bad     []geo.BadRecord
	remarks []geo.Remark
	within  string // the task that is read, for messages
	grids   int    // bytes of the grids that were read
}

func (d *decoder) wrong(e *element, attr, value, why string) {
	field := e.name
	if attr != "" {
		field += "@" + attr
	}
	if d.within != "" && e.name != "TSK" {
		field = d.within + ": " + field
	}
	d.bad = append(d.bad, geo.BadRecord{Record: -1, Field: field, Value: geo.Shorten(value), Why: fmt.Sprintf("%s (line %d)", why, e.line)})
}

// number reads a decimal number of a range. Other signs than a point are refused: a comma
// that is dropped is a hundredfold error.
func (d *decoder) number(e *element, attr string, least, most float64) float64 {
	text := strings.TrimSpace(e.attr(attr))
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case text == "":
		d.wrong(e, attr, "", "is missing")
	case strings.Contains(text, ","):
		d.wrong(e, attr, text, "is not a number: its decimals must stand behind a point")
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(text, "xX_pP"):
		d.wrong(e, attr, text, "is not a number")
	case v < least || v > most:
		d.wrong(e, attr, text, fmt.Sprintf("is not between %v and %v", least, most))
	}
	return v
}

func (d *decoder) whole(e *element, attr string, least, most int64) int64 {
	text := strings.TrimSpace(e.attr(attr))
	v, err := strconv.ParseInt(text, 10, 64)
	switch {
	case text == "":
		d.wrong(e, attr, "", "is missing")
	case err != nil:
		d.wrong(e, attr, text, "is no whole number")
	case v < least || v > most:
		d.wrong(e, attr, text, fmt.Sprintf("is not between %d and %d", least, most))
	}
	return v
}

// code reads an optional zone code.
func (d *decoder) code(e *element, attr string) int {
	if e.attr(attr) == "" {
		return None
	}
	return int(d.whole(e, attr, 0, mostCode+1)) // some write 255 for none
}

func (d *decoder) set(root *element) {
	d.s.Maker, d.s.MakerVersion = root.attr("ManagementSoftwareManufacturer"), root.attr("ManagementSoftwareVersion")
	for _, e := range root.children {
		switch e.name {
		case "CTR":
			d.s.Grower = e.attr("B")
		case "FRM":
			d.s.Farm = e.attr("B")
		case "PFD":
			d.field(e)
		case "PDT":
			ddi, _ := parseDDI(e.attr("E"))
			d.s.Products = append(d.s.Products, Product{ID: e.attr("A"), Name: e.attr("B"), Amount: ddi})
		case "VPN":
			digits, _ := strconv.Atoi(e.attr("D"))
			d.s.Shown = append(d.s.Shown, Presentation{ID: e.attr("A"), Scale: e.attr("C"), Decimals: digits, Unit: e.attr("E")})
		case "DVC":
			d.device(e)
		case "TSK":
			d.task(e)
		}
	}
}

func (d *decoder) field(e *element) {
	f := Field{ID: e.attr("A"), Name: e.attr("C")}
	area, _ := strconv.ParseFloat(e.attr("D"), 64)
	f.Area = unit.Area(area) * unit.SquareMeter
	for _, pln := range e.all("PLN") {
		if pln.attr("A") == "1" {
			f.Boundary = append(f.Boundary, d.polygons(pln)...)
		}
	}
	d.s.Fields = append(d.s.Fields, f)
}

func (d *decoder) task(e *element) {
	t := Task{ID: e.attr("A"), Name: e.attr("B"), Field: e.attr("E")}
	d.within = t.ID
	defer func() { d.within = "" }()
	t.Status, _ = strconv.Atoi(e.attr("G"))
	t.Default, t.Lost, t.Outside = d.code(e, "H"), d.code(e, "I"), d.code(e, "J")
	for _, z := range e.all("TZN") {
		t.Zones = append(t.Zones, d.zone(z))
	}
	for _, log := range e.all("TLG") {
		t.Logs = append(t.Logs, log.attr("A"))
	}
	for _, pan := range e.all("PAN") {
		t.Allocated = append(t.Allocated, allocation{pan.attr("A"), pan.attr("E")})
	}
	grids := e.all("GRD")
	if len(grids) > 1 {
		d.wrong(grids[1], "", "", "is there twice, and a task has one grid")
	}
	if len(grids) > 0 {
		t.Grid = d.layout(grids[0])
	}
	d.s.Tasks = append(d.s.Tasks, t)
}

func (d *decoder) zone(e *element) Zone {
	z := Zone{Code: int(d.whole(e, "A", 0, mostCode+1)), Name: e.attr("B")}
	for _, pln := range e.all("PLN") {
		z.Ground = append(z.Ground, d.polygons(pln)...)
	}
	for _, v := range e.all("PDV") {
		ddi, ok := parseDDI(v.attr("A"))
		if !ok {
			d.wrong(v, "A", v.attr("A"), "is no entry of the data dictionary: it takes four hexadecimal digits")
		}
		z.Values = append(z.Values, Value{
			DDI: ddi, Count: int32(d.whole(v, "B", math.MinInt32, math.MaxInt32)),
			Product: v.attr("C"), Element: v.attr("D"), Shown: v.attr("E"),
		})
	}
	return z
}

// layout reads what a task says of its grid.
func (d *decoder) layout(e *element) *Grid {
	const mostCells = 1 << 28
	g := &Grid{
		South: d.number(e, "A", -90, 90), West: d.number(e, "B", -180, 180),
		Height: d.number(e, "C", 0, 1), Width: d.number(e, "D", 0, 1),
		Columns: int(d.whole(e, "E", 1, mostCells)), Rows: int(d.whole(e, "F", 1, mostCells)),
		File: e.attr("G"), Type: int(d.whole(e, "I", 1, 2)), Zone: d.code(e, "J"),
	}
	switch {
	case int64(g.Columns)*int64(g.Rows) > mostCells:
		d.wrong(e, "E", e.attr("E"), fmt.Sprintf("makes more than %d cells", mostCells))
	case g.Height == 0 || g.Width == 0:
		d.wrong(e, "C", e.attr("C"), "makes cells without a size")
	case g.South+float64(g.Height*float64(g.Rows)) > 90.001:
		d.wrong(e, "A", e.attr("A"), "makes a grid that passes the pole")
	}
	return g
}

// polygons reads a PLN: its shells, each with the holes that lie in it.
func (d *decoder) polygons(pln *element) orb.MultiPolygon {
	var out orb.MultiPolygon
	var holes []orb.Ring
	for _, lsg := range pln.all("LSG") {
		kind := lsg.attr("A")
		if kind != "1" && kind != "2" {
			d.wrong(lsg, "A", kind, "is no outline of a polygon: nobody can know whether it is ground or a hole")
			continue
		}
		ring := d.ring(lsg)
		switch {
		case ring == nil:
		case kind == "1":
			out = append(out, orb.Polygon{ring})
		default:
			holes = append(holes, ring)
		}
	}
	for _, hole := range holes {
		at := slices.IndexFunc(out, func(p orb.Polygon) bool { return inside(p[0], hole) })
		if at < 0 {
			d.wrong(pln, "", "", "has a hole that lies in none of its outlines")
			continue
		}
		out[at] = append(out[at], hole)
	}
	return out
}

// ring reads a closed ring: one that is open is closed, as version 3 means it.
func (d *decoder) ring(lsg *element) orb.Ring {
	var ring orb.Ring
	for _, pnt := range lsg.all("PNT") {
		ring = append(ring, orb.Point{d.number(pnt, "D", -180, 180), d.number(pnt, "C", -90, 90)})
	}
	if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
		ring = append(ring, ring[0])
	}
	if len(ring) < 4 {
		d.wrong(lsg, "", "", "has too few points for an outline")
		return nil
	}
	return ring
}

// inside reports whether most points of a ring lie in another, even-odd. Holes touch
// their shell in single points at most.
func inside(shell, ring orb.Ring) bool {
	in := 0
	for _, p := range ring[1:] {
		odd := false
		for i := 1; i < len(shell); i++ {
			a, b := shell[i-1], shell[i]
			if (a[1] <= p[1]) != (b[1] <= p[1]) && p[0] < a[0]+float64((p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0])) {
				odd = !odd
			}
		}
		if odd {
			in++
		}
	}
	return 2*in > len(ring)-1
}
