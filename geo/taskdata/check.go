package taskdata

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"rxsplit/geo"
)

// fault is one place where a set breaks the rules.
type fault struct {
	Rule  string // a short name such as "reference-missing"
	Where string // file, element and attribute
	What  string
}

// String prints place and reason.
func (f fault) String() string { return f.Where + " " + f.What }

// Check holds a set against the rules of version 3.3 and 4.3, names, structure, values,
// and what neither schema can say: that each file which is named is there with its size,
// each code is a zone's, each reference leads somewhere. files have their paths, such as
// "TASKDATA/TASKDATA.XML". A set that passes may still hold the wrong rates: that shows
// by reading it back.
func Check(files map[string][]byte) []fault {
	c := &checker{files: Files{}}
	c.names(files)
	data, as, ok := c.files.find(Main)
	if !ok {
		c.fault("main-missing", Main, "is missing")
		return c.faults
	}
	root, err := parse(as, data)
	if err != nil {
		c.fault("not-well-formed", Main, strings.TrimPrefix(err.Error(), as+": "))
		return c.faults
	}
	c.version4 = root.attr("VersionMajor") == "4"
	if root.name != "ISO11783_TaskData" {
		c.fault("element-unknown", root.name, "is not the root of task data")
	}
	if !c.version4 && root.attr("VersionMinor") != "3" {
		c.fault("version", root.name, fmt.Sprintf("has version %s.%s, not 3.3", root.attr("VersionMajor"), root.attr("VersionMinor")))
	}
	c.ids = map[string]bool{}
	c.element(root)
	c.references(root)
	for _, t := range root.all("TSK") {
		c.task(t)
	}
	return c.faults
}

// checker collects faults.
type checker struct {
	files    Files
	faults   []fault
	version4 bool
	ids      map[string]bool
}

func (c *checker) fault(rule, where, what string) {
	c.faults = append(c.faults, fault{rule, where, what})
}

// names looks at where files lie and how they are called.
func (c *checker) names(files map[string][]byte) {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		dir, base := path.Split(name)
		c.files[base] = files[name]
		switch ext := path.Ext(base); {
		case strings.EqualFold(base, Main) && base != Main:
			c.fault("name-case", name, "must be called "+Main)
		case strings.EqualFold(base, Main) && path.Base(dir) != Folder:
			c.fault("folder", name, "must lie in a folder called "+Folder)
		case ext != ".bin" && strings.EqualFold(ext, ".bin"):
			c.fault("ending-case", name, "must end with .bin")
		}
	}
}

// element holds one element and all in it against the table.
func (c *checker) element(e *element) {
	k, known := elements[e.name]
	switch {
	case isPrivate(e.name):
		return
	case !known && !slices.Contains(unchecked, e.name):
		c.fault("element-unknown", e.name, "is no element of task data")
		return
	case e.text != "":
		c.fault("text-inside", e.name, fmt.Sprintf("has text inside, %q: all data stand in attributes", geo.Shorten(e.text)))
	}
	if known && !k.anything {
		c.attributes(e, k)
	}
	if id := e.attr("A"); slices.Contains(strings.Fields("CTR FRM PFD PDT VPN TSK"), e.name) && id != "" {
		if c.ids[id] {
			c.fault("id-twice", e.name+"@A", fmt.Sprintf("%q is there twice", id))
		}
		c.ids[id] = true
	}
	for _, child := range e.children {
		if known && !isPrivate(child.name) && !slices.Contains(strings.Fields(k.children), child.name) {
			c.fault("element-unknown", e.name+"/"+child.name, "may not stand there")
			continue
		}
		c.element(child)
	}
}

// isPrivate reports whether a name is a maker's own, which begins with P and digits.
func isPrivate(name string) bool {
	digits, _, found := strings.Cut(strings.TrimPrefix(name, "P"), "_")
	_, err := strconv.Atoi(digits)
	return found && err == nil
}

func (c *checker) attributes(e *element, k kind) {
	for _, a := range e.attrs {
		name := a.Name.Local
		at := slices.IndexFunc(k.attrs, func(k attribute) bool { return k.name == name })
		where := e.name + "@" + name
		switch {
		case isPrivate(name):
		case at < 0 || k.attrs[at].v4 && !c.version4:
			c.fault("attribute-unknown", where, "is no attribute there")
		default:
			if why := k.attrs[at].valid(a.Value); why != "" {
				c.fault("value-bad", where, fmt.Sprintf("%q %s", geo.Shorten(a.Value), why))
			}
		}
	}
	for _, want := range k.attrs {
		if _, ok := e.get(want.name); want.required && !ok {
			c.fault("attribute-missing", e.name+"@"+want.name, "is missing")
		}
	}
}

// referring are the attributes that name an element of the set.
var referring = map[string]string{
	"FRM": "I", "PFD": "EF", "TSK": "CDE", "PDV": "CE", "PAN": "A", "PDT": "D",
}

// references looks for what is named and not there.
func (c *checker) references(e *element) {
	for _, name := range strings.Split(referring[e.name], "") {
		if id := e.attr(name); id != "" && !c.ids[id] {
			c.fault("reference-missing", e.name+"@"+name, fmt.Sprintf("names %q, which is not there", id))
		}
	}
	for _, child := range e.children {
		c.references(child)
	}
}

// task looks at what a task says of its zones, its grid and its logs.
func (c *checker) task(t *element) {
	zones := map[string]bool{}
	for _, z := range t.all("TZN") {
		code := z.attr("A")
		if zones[code] {
			c.fault("zone-twice", t.attr("A")+": TZN@A", fmt.Sprintf("%q is there twice", code))
		}
		zones[code] = true
	}
	for _, name := range []string{"H", "I", "J"} {
		if code := t.attr(name); code != "" && !zones[code] {
			c.fault("zone-missing", t.attr("A")+": TSK@"+name, fmt.Sprintf("%q is no zone of the task", code))
		}
	}
	grids := t.all("GRD")
	if len(grids) > 1 {
		c.fault("several-grids", t.attr("A")+": GRD", "is there twice, and a task has one grid")
	}
	for _, g := range grids {
		c.grid(t, g, zones)
	}
	for _, log := range t.all("TLG") {
		c.log(log)
	}
}

// counted lists what the values of a zone count.
func counted(t *element, code string) (of []DDI) {
	for _, z := range t.all("TZN") {
		for _, v := range z.all("PDV") {
			if ddi, ok := parseDDI(v.attr("A")); z.attr("A") == code && ok {
				of = append(of, ddi)
			}
		}
	}
	return of
}

func (c *checker) grid(t, g *element, zones map[string]bool) {
	where := t.attr("A") + ": GRD"
	kind, zone := g.attr("I"), g.attr("J")
	if kind == "2" && !zones[zone] {
		c.fault("zone-missing", where+"@J", fmt.Sprintf("%q is no zone of the task", zone))
		return
	}
	data, _, ok := c.files.find(g.attr("G") + ".bin")
	if !ok {
		c.fault("file-missing", g.attr("G")+".bin", "is missing")
		return
	}
	columns, _ := strconv.Atoi(g.attr("E"))
	rows, _ := strconv.Atoi(g.attr("F"))
	of := counted(t, zone)
	want := columns * rows
	if kind == "2" {
		want *= 4 * len(of)
	}
	if len(data) != want {
		c.fault("file-size", g.attr("G")+".bin", fmt.Sprintf("has %d bytes, want %d", len(data), want))
	}
	if h, ok := g.get("H"); ok && h != strconv.Itoa(want) {
		c.fault("length-wrong", where+"@H", fmt.Sprintf("says %s bytes, want %d", h, want))
	}
	if kind == "1" {
		c.codes(where, data, zones)
		return
	}
	cells := Grid{Type: 2, Columns: columns, Rows: rows, Values: len(of)}
	if cells.take(data) != nil {
		return
	}
	if why := implausible(cells.Counts, of); why != "" {
		c.fault("rates-implausible", g.attr("G")+".bin", why)
	}
}

// codes looks for cells of type 1 whose code is no zone's.
func (c *checker) codes(where string, data []byte, zones map[string]bool) {
	var seen [256]bool
	for _, code := range data {
		seen[code] = true
	}
	for code, is := range seen {
		if is && !zones[strconv.Itoa(code)] {
			c.fault("zone-missing", where, fmt.Sprintf("has cells of code %d, which is no zone of the task", code))
		}
	}
}

// log looks for the two files of a time log, and reads them.
func (c *checker) log(e *element) {
	name := e.attr("A")
	for _, ending := range []string{".xml", ".bin"} {
		if _, _, ok := c.files.find(name + ending); !ok {
			c.fault("file-missing", name+ending, "is missing")
			return
		}
	}
	log, err := readLog(c.files, name)
	switch {
	case err != nil:
		c.fault("log-unreadable", name, err.Error())
	case log.Short > 0:
		c.fault("log-short", name+".bin", fmt.Sprintf("ends with %d bytes that are no whole record", log.Short))
	}
	data, _, _ := c.files.find(name + ".bin")
	if b := e.attr("B"); b != "" && b != strconv.Itoa(len(data)) {
		c.fault("file-size", name+".bin", fmt.Sprintf("has %d bytes, want %s", len(data), b))
	}
}

// mostFaults is how many faults are told in full.
const mostFaults = 3

// Faults are the faults of a set that a reader survived, as one remark; none if there are
// none. Logs, which are no part of a prescription, are not looked at.
func Faults(files map[string][]byte) []geo.Remark {
	var told []string
	for _, f := range Check(files) {
		if !strings.HasPrefix(f.Where, "TLG") {
			told = append(told, f.String())
		}
	}
	if len(told) == 0 {
		return nil
	}
	return []geo.Remark{{Rule: "task-data-faults", Count: len(told), Name: strings.Join(told[:min(len(told), mostFaults)], "; ")}}
}
