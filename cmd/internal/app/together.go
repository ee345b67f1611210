package app

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

// Together joins what the strips of several fields or years say. The map may be empty; it
// gives today's prices and the level.
func (r Run) Together(ctx context.Context, dirs []string, mapPath string) (report.Readout, error) {
	out := report.Readout{Version: Version, Parameters: map[string][]string{"together": dirs}}
	if len(dirs) < 2 {
		return out, &Error{What: "one field alone can't be joined", Hint: "name two folders of read-outs at least"}
	}
	level := 0.0
	var evens []float64
	from := map[string]string{} // the folder of each file of yields
	for _, dir := range dirs {
		f, err := yieldIn(dir)
		if err != nil {
			return out, err
		}
		if out.Unit != "" && f.Unit != out.Unit {
			return out, &Error{What: fmt.Sprintf("%s: is in %s, and the fields before it in %s", dir, f.Unit, out.Unit), Hint: "read all of them in one unit"}
		}
		out.Unit, level = f.Unit, max(level, f.Level)
		if f.Profit != nil {
			evens = append(evens, f.Profit.BreakEven)
		}
		if slices.ContainsFunc(out.Inputs, func(in write.Input) bool { return in.SHA256 == write.Digest(f.Text) }) {
			return out, &Error{What: dir + ": is the same read-out as one before it", Hint: "name each field or year once"}
		}
		for _, in := range f.Inputs {
			if in.Role != "yield" {
				continue
			}
			if other := from[in.SHA256]; other != "" {
				return out, &Error{What: fmt.Sprintf("%s: reads the same yields as %s: they would count twice", dir, other), Hint: "name each field or year once"}
			}
			from[in.SHA256] = dir
		}
		path := filepath.Join(dir, readoutName)
		out.Inputs = append(out.Inputs, inputOf("readout", path, f.Text))
		out.Fields = append(out.Fields, report.ReadoutField{Name: filepath.Base(filepath.Clean(dir)), Readings: f.Readings()})
	}
	if len(evens) == len(dirs) && slices.Max(evens) == slices.Min(evens) {
		out.BreakEven = &evens[0]
	}
	if mapPath != "" {
		var err error
		if level, err = today(mapPath, &out); err != nil {
			return out, err
		}
	}
	return out, canceled(ctx, join(&out, level))
}

// yieldIn reads the yield that a folder's read-out holds.
func yieldIn(dir string) (*data.ReadoutFile, error) {
	f, err := readoutIn(dir)
	if err != nil {
		return nil, err
	}
	if !write.IsSealed(f.Text, f.Self) {
		return nil, &Error{What: filepath.Join(dir, readoutName) + ": has been changed since it was written", Hint: "prove the folder with: rxsplit verify " + dir + "; write it again with: rxsplit readout"}
	}
	if f.ReadingJSON == nil || f.What != readout.Yield {
		return nil, &Error{What: dir + ": holds no reading of a yield", Hint: "join folders that were read with --yield"}
	}
	return f, nil
}

// today takes price, cost and level from a map.
func today(path string, out *report.Readout) (level float64, err error) {
	m, input, err := yieldMap(path)
	if err != nil {
		return 0, err
	}
	if m.YieldUnit != out.Unit {
		return 0, &Error{What: fmt.Sprintf("%s: yield-unit: is %s, and the fields are in %s", path, m.YieldUnit, out.Unit), Hint: "give price and cost in the unit of the fields"}
	}
	if money := m.Earns(); money != nil {
		even := money.Cost / money.Price
		out.Money, out.BreakEven = money, &even
	}
	out.Parameters["map"] = []string{path}
	out.Inputs = append(out.Inputs, input)
	return m.LevelOr(), nil
}

// join works out each field's interval and the mean over fields.
func join(out *report.Readout, level float64) error {
	var fields []readout.Estimate
	var without []string
	for i := range out.Fields {
		f := &out.Fields[i]
		f.Estimate = readout.Of(readout.Differences(f.Readings), level)
		if f.Estimate.Interval == nil {
			without = append(without, f.Name)
		}
		fields = append(fields, f.Estimate)
	}
	p, err := readout.Pool(fields, level)
	if err != nil {
		return &Error{What: fmt.Sprintf("%v: %s", err, strings.Join(without, ", ")), Hint: "leave out fields with fewer than 3 replicates: nobody can weigh them"}
	}
	out.Pooled = &p
	return nil
}
