package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/read"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// alreadyApplied reads what was applied this season: a rate, or the file of a layer.
func alreadyApplied(s *settings, v []string) error {
	rate, err := unit.Parse[unit.LiquidRate](v[0])
	if err == nil {
		s.terms.AlreadyApplied = rate
		return nil
	}
	if !isAlreadyLayer(v[0]) {
		return err
	}
	s.alreadyLayer = v[0]
	return nil
}

// alreadyField takes the field of the layer. Beside a rate it would say nothing.
func alreadyField(s *settings, v []string) error {
	if s.alreadyLayer == "" && s.terms.AlreadyApplied > 0 {
		return &Error{What: "--already-field: what was applied is one rate, not a layer with fields", Hint: "leave the field out, or give the layer with --already-applied FILE"}
	}
	s.alreadyField = v[0]
	return nil
}

// alreadyMapped takes the map of the log.
func alreadyMapped(s *settings, v []string) error {
	switch {
	case s.alreadyLayer == "" && s.terms.AlreadyApplied > 0:
		return &Error{What: "--already-map: what was applied is one rate, not a log with columns", Hint: "leave the map out, or give the log with --already-applied FILE"}
	case s.alreadyField != "":
		return &Error{What: "--already-map: a log has no field of --already-field: its map names the column", Hint: "leave --already-field out"}
	}
	s.alreadyMap = v[0]
	return nil
}

// isAlreadyLayer reports whether what is applied already is said by a layer or a log.
func isAlreadyLayer(text string) bool {
	if _, err := unit.Parse[unit.LiquidRate](text); err == nil || text == "" {
		return false
	}
	if _, err := os.Stat(text); err == nil {
		return true
	}
	for _, ending := range append(read.Endings(), read.Table) {
		if strings.HasSuffix(strings.ToLower(text), ending) {
			return true
		}
	}
	return false
}

// usualAlready is the field of a layer that holds the rate, where nobody names another.
const usualAlready = "STAB_RATE"

// already lays the season so far over the zones, where a layer or a log says it.
func (c *checked) already(ctx context.Context, s *settings) error {
	path, mapped := c.request.already(s)
	if path == "" {
		return nil
	}
	laid, err := c.alreadyLaid(ctx, s, path, mapped)
	if err != nil {
		return err
	}
	off, err := c.leaveOut(s, laid)
	if err != nil {
		return err
	}
	for k, rates := range laid {
		most := unit.LiquidRate(0)
		rides := s.terms.RidesOnDry(k)
		for i, z := range c.prescription.Zones {
			if rides && z.Treated() || !rides && z.Dry > 0 && !off[i] {
				most = max(most, rates[i])
			}
		}
		if k == 0 {
			s.terms.Already, s.terms.AlreadyApplied = rates, most
		} else {
			s.terms.Further[k-1].Already, s.terms.Further[k-1].AlreadyApplied = rates, most
		}
	}
	return nil
}

// leaveOut finds the zones that a boom leaves out, by index: those that lie in keep-outs, and,
// where they may stay untreated, those that the season has no room for, which are kept out like
// them. What rides on the dry goes there all the same.
func (c *checked) leaveOut(s *settings, laid map[int][]unit.LiquidRate) ([]bool, error) {
	zones, treated := c.prescription.Zones, 0
	s.terms.KeepOuts = len(c.keepOut) > 0
	off := make([]bool, len(zones))
	if len(c.keepOut) > 0 {
		kept, err := geo.AreasWithin(c.prescription.LonLat, c.keepOut)
		if err != nil {
			return nil, err
		}
		for i, z := range zones {
			off[i] = kept[z.Record] >= z.Area*(1-split.Wholly)
		}
	}
	for i, z := range zones {
		if !(z.Dry > 0) || off[i] {
			continue
		}
		treated++
		for k, rates := range laid {
			if s.terms.RidesOnDry(k) {
				continue
			}
			liquid := s.terms.Stabilizer()
			if k > 0 {
				liquid = s.terms.Further[k-1]
			}
			if !liquid.HasRoom(rates[i]) {
				s.terms.NoRoom = append(s.terms.NoRoom, i)
				break
			}
		}
	}
	if len(s.terms.NoRoom) == treated {
		s.terms.NoRoom = nil
	}
	if !s.terms.LeaveOff || len(s.terms.NoRoom) == 0 {
		return off, nil
	}
	all := []orb.MultiPolygon{c.keepOut}
	for _, i := range s.terms.NoRoom {
		all, off[i] = append(all, c.prescription.LonLat.Shape(int(zones[i].Record))), true
	}
	out, err := geo.Union(all...)
	if err != nil {
		return nil, &Error{What: "the zones without room can't be kept out of the liquid: " + err.Error(), Hint: "repair their polygons where they were drawn"}
	}
	c.keepOut = out
	return off, nil
}

// alreadyLaid returns what each zone has had of each liquid that a file tells of: 0 is the
// stabilizer, then the further ones.
func (c *checked) alreadyLaid(ctx context.Context, s *settings, path, mapped string) (map[int][]unit.LiquidRate, error) {
	if mapped != "" {
		return c.alreadyLogged(ctx, s, path, mapped)
	}
	f, err := read.Open(path, read.FileOptions{Archive: s.file.Archive, Context: ctx})
	if err != nil && !errors.Is(err, fs.ErrNotExist) && strings.EqualFold(filepath.Ext(path), read.Table) {
		return nil, &Error{What: report.Name(path) + ": is a table, and nothing says what its columns hold", Hint: "give the map of its columns with --already-map FILE; rxsplit applied new LOG writes one", Err: err}
	}
	if err == nil {
		err = f.OnOneSide("polygon")
	}
	if err != nil {
		return nil, err
	}
	c.alreadyFiles = f.Source.Files
	name := s.alreadyField
	if name == "" {
		name = usualAlready
	}
	columns := map[int]string{0: name}
	for k, l := range s.terms.Further {
		at := slices.IndexFunc(f.Layer.Attributes.Fields(), func(f geo.Field) bool { return strings.EqualFold(f.Name, l.Field()) })
		switch {
		case at < 0:
			continue
		case l.AlreadyApplied > 0:
			return nil, saidTwice(fmt.Sprintf("%s: its field %s", f.Source.Name, l.Field()), l.Name)
		}
		columns[k+1] = l.Field()
	}
	if _, err := fieldAt(f.Layer, f.Source.Name, name); err != nil && s.alreadyField == "" && len(columns) > 1 {
		delete(columns, 0) // a layer of further liquids alone
	}
	out := map[int][]unit.LiquidRate{}
	for k, name := range columns {
		rates, err := liquidRates(f.Layer, f.Source.Name, name, s.terms.Units)
		if err != nil {
			return nil, err
		}
		if out[k], err = ground.Already(c.prescription, f.LonLat, rates); err != nil {
			return nil, notThisField(f.Source.Name, err)
		}
	}
	return out, nil
}

func saidTwice(where, liquid string) error {
	return &Error{What: where + " holds what was applied of " + liquid + ", and the job gives a rate of that", Hint: "leave already-applied of that liquid out of the job file"}
}

func notThisField(name string, err error) error {
	return &Error{What: name + ": " + err.Error(), Hint: "give what was applied on this field"}
}

// alreadyLogged lays a machine's log over the zones, for each liquid that it holds.
func (c *checked) alreadyLogged(ctx context.Context, s *settings, path, mapped string) (map[int][]unit.LiquidRate, error) {
	text, m, err := logMap(mapped)
	if err != nil {
		return nil, err
	}
	each, err := heldBy(m, mapped, s.terms)
	if err != nil {
		return nil, err
	}
	file, err := read.Log(path, m, read.FileOptions{Archive: s.file.Archive, Context: ctx, CRS: m.CRS})
	if err != nil {
		return nil, err
	}
	tuneLog(len(file.Log.Rows))
	c.alreadyFiles = file.Source.Files
	c.alreadyMap = []rx.SourceFile{{Name: filepath.Base(mapped), SHA256: write.Digest(text), Size: int64(len(text))}}
	d := &ground.Drive{Log: file.Log, Swaths: file.Swaths, Bridge: m.Bridge, Heading: m.Columns.Heading != ""}
	rates, err := ground.AlreadyDriven(c.prescription, d)
	if err != nil {
		return nil, notThisField(file.Source.Name, err)
	}
	out := map[int][]unit.LiquidRate{}
	for k, share := range each {
		for _, r := range rates {
			out[k] = append(out[k], unit.LiquidRate(float64(r*share)))
		}
	}
	return out, nil
}

// heldBy returns the fluid ounces of each liquid in a fluid ounce or a pound of what a log counts:
// 0 is the stabilizer, then the further ones.
func heldBy(m *read.LogMap, mapped string, terms rx.Terms) (map[int]float64, error) {
	if len(m.Holds) == 0 {
		what, example := "the mix", "30 fl oz/ac in 10 gal/ac"
		if m.IsDry() {
			what, example = "dry product", "320 fl oz/ton"
		}
		return nil, &Error{
			What: mapped + ": its rates are of " + what + ", and nothing says which liquids are in it",
			Hint: "say it in the map: holds: [{liquid: stabilizer, part: " + example + "}]; or lay the log over its own plan, and give the layer that this writes: rxsplit applied PLAN LOG --map FILE --out DIR",
		}
	}
	names := []string{terms.Stabilizer().Name}
	for _, l := range terms.Further {
		names = append(names, l.Name)
	}
	each := map[int]float64{}
	for _, h := range m.Holds {
		k := slices.Index(names, h.Liquid)
		if k < 0 {
			return nil, &Error{What: fmt.Sprintf("%s: holds: the job has no liquid %q", mapped, h.Liquid), Hint: "its liquids are: " + strings.Join(names, ", ")}
		}
		if k > 0 && terms.Further[k-1].AlreadyApplied > 0 {
			return nil, saidTwice(mapped+": the log", h.Liquid)
		}
		each[k] = h.Each()
	}
	return each, nil
}

// liquidRates reads a column of rates in the user's units; an empty cell is none. Every bad
// record is told at once.
func liquidRates(layer *geo.Layer, file, name string, s unit.System) ([]unit.LiquidRate, error) {
	at, err := fieldAt(layer, file, name)
	if err != nil {
		return nil, err
	}
	one, _ := unit.Parse[unit.LiquidRate]("1 " + unit.Symbol[unit.LiquidRate](s)) // a symbol is one that is read
	rates := make([]unit.LiquidRate, layer.Shapes.Len())
	var bad []geo.BadRecord
	more := 0
	for i := range rates {
		text := strings.TrimSpace(string(layer.Attributes.Cell(i, at).Text))
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v >= 0 && v <= read.MostRate) {
			if len(bad) < geo.MaxBadRecords {
				why := "is no rate of 0 or more"
				if v > read.MostRate && !math.IsInf(v, 0) {
					why = read.BeyondRates
				}
				bad = append(bad, geo.BadRecord{Record: i, Field: layer.Attributes.Fields()[at].Name, Value: text, Why: why})
			} else {
				more++
			}
			continue
		}
		rates[i] = unit.LiquidRate(plain(v)) * one
	}
	if len(bad) > 0 {
		return nil, &geo.BadFileError{File: file, Bad: bad, More: more, Hint: "mend the layer, or give one rate for the whole field"}
	}
	return rates, nil
}

// plain takes a rate for the one of four digits that it is but for the rounding of a layer: means
// of ground that lines sample are off in the sixth, and would leave room where there is none. What
// is less than is printed of any rate is nothing.
func plain(rate float64) float64 {
	if rate < 0.0005 {
		return 0
	}
	if short, err := strconv.ParseFloat(strconv.FormatFloat(rate, 'g', 4, 64), 64); err == nil && math.Abs(short-rate) <= 2e-5*rate {
		return short
	}
	return rate
}

// fieldAt finds a field of a layer.
func fieldAt(layer *geo.Layer, file, name string) (int, error) {
	var names []string
	for i, f := range layer.Attributes.Fields() {
		if strings.EqualFold(f.Name, name) {
			return i, nil
		}
		names = append(names, f.Name)
	}
	return 0, &Error{What: fmt.Sprintf("%s: has no field %s with the rate of what was applied", file, name), Hint: "name it with --already-field; the fields are: " + strings.Join(names, ", ")}
}
