package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx/ground"
	"rxsplit/rx/read"
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

// isAlreadyLayer reports whether what is applied already is said by a layer.
func isAlreadyLayer(text string) bool {
	if _, err := unit.Parse[unit.LiquidRate](text); err == nil || text == "" {
		return false
	}
	if _, err := os.Stat(text); err == nil {
		return true
	}
	for _, ending := range read.Endings() {
		if strings.HasSuffix(strings.ToLower(text), ending) {
			return true
		}
	}
	return false
}

// usualAlready is the field of a layer that holds the rate, where nobody names another.
const usualAlready = "STAB_RATE"

// already lays the season so far over the zones, where a layer says it.
func (c *checked) already(ctx context.Context, s *settings) error {
	path := c.request.already(s.alreadyLayer)
	if path == "" {
		return nil
	}
	f, err := read.Open(path, read.FileOptions{Archive: s.file.Archive, Context: ctx})
	if err != nil && !errors.Is(err, fs.ErrNotExist) && strings.EqualFold(filepath.Ext(path), ".csv") {
		return &Error{What: report.Name(path) + ": is a table, and what was applied is given as a layer", Hint: "if it is a machine's log, rxsplit applied makes the layer of it: applied.shp", Err: err}
	}
	if err != nil {
		return err
	}
	c.alreadyFiles = f.Source.Files
	name := s.alreadyField
	if name == "" {
		name = usualAlready
	}
	rates, err := liquidRates(f.Layer, f.Source.Name, name, s.terms.Units)
	if err != nil {
		return err
	}
	s.terms.Already, err = ground.Already(c.prescription, f.LonLat, rates)
	if err != nil {
		return &Error{What: f.Source.Name + ": " + err.Error(), Hint: "give a layer of this field"}
	}
	s.terms.AlreadyApplied = 0
	for i, z := range c.prescription.Zones {
		if z.Treated() {
			s.terms.AlreadyApplied = max(s.terms.AlreadyApplied, s.terms.Already[i])
		}
	}
	return nil
}

// liquidRates reads a column of rates in the user's units; an empty cell is none. Every bad
// record is told at once.
func liquidRates(layer *geo.Layer, file, name string, s unit.System) ([]unit.LiquidRate, error) {
	fields := layer.Attributes.Fields()
	at := -1
	var names []string
	for i, f := range fields {
		names = append(names, f.Name)
		if strings.EqualFold(f.Name, name) {
			at = i
		}
	}
	if at < 0 {
		return nil, &Error{What: fmt.Sprintf("%s: has no field %s with the rate of what was applied", file, name), Hint: "name it with --already-field; the fields are: " + strings.Join(names, ", ")}
	}
	one, err := unit.Parse[unit.LiquidRate]("1 " + unit.Symbol[unit.LiquidRate](s))
	if err != nil {
		return nil, err
	}
	rates := make([]unit.LiquidRate, layer.Shapes.Len())
	var bad []geo.BadRecord
	more := 0
	for i := range rates {
		text := strings.TrimSpace(string(layer.Attributes.Cell(i, at).Text))
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v >= 0) || math.IsInf(v, 0) {
			if len(bad) < geo.MaxBadRecords {
				bad = append(bad, geo.BadRecord{Record: i, Field: fields[at].Name, Value: text, Why: "is no rate of 0 or more"})
			} else {
				more++
			}
			continue
		}
		rates[i] = unit.LiquidRate(v) * one
	}
	if len(bad) > 0 {
		return nil, &geo.BadFileError{File: file, Bad: bad, More: more, Hint: "mend the layer, or give one rate for the whole field"}
	}
	return rates, nil
}
