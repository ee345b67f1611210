package taskdata

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// ChoiceError is a set that holds no prescription, or more than one.
type ChoiceError struct {
	Why  string
	Hint string
}

func (e *ChoiceError) Error() string { return e.Why }

// Prescription returns a task of a set as a layer: a record for each connected ground of
// equal rates, and a field for each product. name is the task's ID or name; empty takes the
// only one that has rates. What a grid says beyond the field's boundary does not count, nor
// do cells of rate 0 where the set has no boundary.
func Prescription(s *Set, name string) (*geo.Layer, error) {
	t, err := choose(s, name)
	if err != nil {
		return nil, err
	}
	b := layout{set: s, task: t, layer: &geo.Layer{Name: cmp.Or(Text(t.Name), t.ID)}}
	if t.Grid != nil {
		if err := b.grid(); err != nil {
			return nil, err
		}
	} else {
		b.polygons()
	}
	b.layer.Attributes = b.cells()
	b.tiny()
	return b.layer, nil
}

// fewCounts is the mass, 10 kg/ha, below which the highest rate of a task is not believed:
// a real set had its rates a hundredfold too small.
const fewCounts = 1000

// tiny questions rates that nobody spreads.
func (b *layout) tiny() {
	for k, of := range b.set.keys(b.task) {
		highest := int32(0)
		for _, row := range b.rows {
			highest = max(highest, row[k])
		}
		if of.ddi.medium() == dryMass && highest > 0 && highest < fewCounts {
			b.layer.Remarks = append(b.layer.Remarks, geo.Remark{Rule: "tiny-rates", Name: string(fixed(highest, 2)) + " kg/ha"})
		}
	}
}

// choose returns the task that is meant.
func choose(s *Set, name string) (*Task, error) {
	var fit []*Task
	var list []string
	for i := range s.Tasks {
		t := &s.Tasks[i]
		ground := func(z Zone) bool { return len(z.Ground) > 0 && len(z.Values) > 0 }
		if t.Grid == nil && !slices.ContainsFunc(t.Zones, ground) {
			continue
		}
		list = append(list, s.describe(t))
		if name == "" || strings.EqualFold(name, t.ID) || strings.EqualFold(name, t.Name) {
			fit = append(fit, t)
		}
	}
	switch {
	case len(list) == 0:
		return nil, &ChoiceError{fmt.Sprintf("has %d tasks, and none of them has rates by place", len(s.Tasks)), "a prescription has a grid, or zones with polygons; a log of what was done is read with: rxsplit applied"}
	case len(fit) == 0:
		return nil, &ChoiceError{fmt.Sprintf("has no task %q, but %s", geo.Shorten(name), strings.Join(list, ", ")), "choose one with --layer"}
	case len(fit) > 1:
		return nil, &ChoiceError{fmt.Sprintf("has %d tasks with rates: %s", len(fit), strings.Join(list, ", ")), "choose one with --layer, such as --layer " + fit[0].ID}
	}
	return fit[0], nil
}

// describe names a task with its products.
func (s *Set) describe(t *Task) string {
	text := t.ID
	if t.Name != "" {
		text += fmt.Sprintf(" %q", t.Name)
	}
	var products []string
	for _, k := range s.keys(t) {
		products = append(products, s.called(k))
	}
	return text + " (" + strings.Join(products, ", ") + ")"
}

// key tells the products of a task apart.
type key struct {
	ddi     DDI
	product string
	element string
}

// keys lists the products of a task, in the order in which they come.
func (s *Set) keys(t *Task) (list []key) {
	zones := t.Zones
	if t.Grid != nil && t.Grid.Type == 2 {
		zones = []Zone{*t.zone(t.Grid.Zone)}
	}
	seen := map[key]bool{}
	for _, z := range zones {
		for _, v := range z.Values {
			k := key{v.DDI, v.Product, v.Element}
			if t.Grid != nil && t.Grid.Type == 2 || !seen[k] {
				list, seen[k] = append(list, k), true
			}
		}
	}
	return list
}

// called is the name of a product, or else of what is counted.
func (s *Set) called(k key) string {
	if p := s.product(k.product); p != nil && p.Name != "" {
		return p.Name
	}
	switch k.ddi.medium() {
	case dryMass:
		return "dry"
	case liquidVolume:
		return "liquid"
	}
	return "DDI " + k.ddi.String()
}

// layout makes the layer of a task.
type layout struct {
	set   *Set
	task  *Task
	layer *geo.Layer
	rows  [][]int32 // counts of each record, one a key
	known [][]bool  // whether a record says it; nil where all do
}

func (b *layout) remark(rule string, count int) {
	b.layer.Remarks = append(b.layer.Remarks, geo.Remark{Rule: rule, Count: count})
}

// polygons makes a record of each zone that has ground.
func (b *layout) polygons() {
	keys := b.set.keys(b.task)
	place := make(map[key]int, len(keys))
	for i, k := range keys {
		place[k] = i
	}
	for _, z := range b.task.Zones {
		if len(z.Ground) == 0 {
			continue
		}
		row, known := make([]int32, len(keys)), make([]bool, len(keys))
		for _, v := range z.Values {
			at := place[key{v.DDI, v.Product, v.Element}] // each is among them: there is no grid
			row[at], known[at] = v.Count, true
		}
		b.layer.Shapes.Append(z.Ground)
		b.rows, b.known = append(b.rows, row), append(b.known, known)
	}
}

// boundary is that of the task's field; nil without one.
func (b *layout) boundary() orb.MultiPolygon {
	if f := find(b.set.Fields, func(f *Field) bool { return f.ID == b.task.Field }); f != nil {
		return f.Boundary
	}
	return nil
}

// table holds the cells of a layer.
type table struct {
	fields []geo.Field
	text   []geo.Cell // record*len(fields)+field
}

func (t *table) Fields() []geo.Field { return t.fields }

func (t *table) Cell(record, field int) geo.Cell { return t.text[record*len(t.fields)+field] }

// cells are the rates as decimal numbers: of dry in kg/ha, of liquids in L/ha, which is
// what counts are hundredths and ten-thousandths of.
func (b *layout) cells() *table {
	keys := b.set.keys(b.task)
	t := &table{}
	decimals := make([]int, len(keys))
	for i, k := range keys {
		f := geo.Field{Name: uniqueName(t.fields, b.set.called(k)), Kind: geo.Number}
		switch k.ddi.medium() {
		case dryMass:
			decimals[i], f.Unit = 2, "kg/ha"
		case liquidVolume:
			decimals[i], f.Unit = 4, "L/ha"
		default:
			f.Unit = "counts of DDI " + k.ddi.String()
		}
		t.fields = append(t.fields, f)
	}
	t.text = make([]geo.Cell, 0, len(b.rows)*len(keys))
	for r, row := range b.rows {
		for i, n := range row {
			cell := geo.Cell{Kind: geo.Number, Text: fixed(n, decimals[i])}
			if b.known != nil && !b.known[r][i] {
				cell = geo.Cell{}
			}
			t.text = append(t.text, cell)
		}
	}
	return t
}

func uniqueName(fields []geo.Field, name string) string {
	one := name
	for n := 2; slices.ContainsFunc(fields, func(f geo.Field) bool { return strings.EqualFold(f.Name, one) }); n++ {
		one = fmt.Sprintf("%s %d", name, n)
	}
	return one
}

// fixed prints a count with so many decimals, without zeros at their end.
func fixed(n int32, decimals int) []byte {
	text := strconv.FormatInt(int64(n), 10)
	if decimals == 0 {
		return []byte(text)
	}
	digits, negative := strings.CutPrefix(text, "-")
	if short := decimals + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	at := len(digits) - decimals
	text = strings.TrimRight(strings.TrimRight(digits[:at]+"."+digits[at:], "0"), ".")
	if negative {
		text = "-" + text
	}
	return []byte(text)
}
