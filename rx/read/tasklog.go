package read

import (
	"bytes"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// taskLogs are the tracks of a set of task data.
type taskLogs struct {
	source rx.Source
	tracks []taskdata.Track
}

// openTaskLogs reads the logs of the task data that a path leads to, a folder, a file or an
// archive; nil where it leads to none. Tracks that are not wanted have no rows.
func openTaskLogs(at string, opt FileOptions, wanted func(taskdata.Track) bool) (*taskLogs, error) {
	if main := TaskData(at); main != "" {
		parts, err := taskDataParts(main, true)
		if err != nil {
			return nil, err
		}
		files := taskdata.Files{}
		for _, p := range parts {
			files[p.name] = p.data
		}
		return tracksOf(main, files, parts, wanted)
	}
	if !strings.EqualFold(filepath.Ext(at), ".zip") {
		return nil, nil
	}
	data, err := readAll(at)
	if err != nil || !holdsTaskData(data) {
		return nil, err
	}
	limits := opt.Archive
	if limits == (shapefile.Limits{}) {
		limits = shapefile.DefaultLimits()
	}
	all, err := shapefile.UnzipFiles(bytes.NewReader(data), int64(len(data)), isTaskFile, limits, roomFor)
	if err != nil {
		return nil, inFile(filepath.Base(at), err)
	}
	files := taskdata.Files{}
	for name, text := range all {
		files[path.Base(name)] = text
	}
	if err := crowded(filepath.Base(at), files, len(data), limits); err != nil {
		return nil, err
	}
	return tracksOf(at, files, []part{{filepath.Base(at), data}}, wanted)
}

func tracksOf(at string, files taskdata.Files, parts []part, wanted func(taskdata.Track) bool) (*taskLogs, error) {
	name := filepath.Base(at)
	set, err := taskdata.DecodeForLogs(files)
	if err != nil {
		return nil, taskDataError(name, err)
	}
	tracks, err := taskdata.Tracks(set, files, wanted)
	if err != nil {
		return nil, taskDataError(name, err)
	}
	if len(tracks) == 0 {
		return nil, &Error{File: name, What: "has no log of an actual rate", Hint: "give the task data that the terminal wrote after the work, with their TLG files"}
	}
	return &taskLogs{rx.Source{Path: at, Name: name, Layer: name, Format: "task data", Files: digest(parts)}, tracks}, nil
}

// names lists what a map may call the rates: products, or else elements.
func (l *taskLogs) names() (names []string) {
	for _, t := range l.tracks {
		if !slices.Contains(names, t.Called()) {
			names = append(names, t.Called())
		}
	}
	return names
}

// names reports whether a map means a track.
func (m *LogMap) names(t taskdata.Track) bool {
	return strings.EqualFold(t.Called(), m.Columns.Rate) || strings.EqualFold(t.Element, m.Columns.Rate)
}

// wanted returns which tracks a map needs: those of the first element that it means, as it is
// refused where it means another one too.
func (m *LogMap) wanted() func(taskdata.Track) bool {
	first := ""
	found := false
	return func(t taskdata.Track) bool {
		if !found && m.names(t) {
			first, found = t.Element, true
		}
		return found && m.names(t) && t.Element == first
	}
}

// log returns the tracks that a map means as one log.
func (l *taskLogs) log(m *LogMap) (*logFile, error) {
	if other := (logColumns{Rate: m.Columns.Rate}); m.Columns != other {
		return nil, &Error{File: l.source.Name, What: "says itself what its values are", Hint: "of columns keep rate alone, with the product or the element that the log is of: " + strings.Join(l.names(), ", ")}
	}
	var out *track.Log
	element := ""
	for _, t := range l.tracks {
		if !m.names(t) {
			continue
		}
		switch {
		case t.Log.Amount != m.amount:
			return nil, &Error{File: l.source.Name, What: t.Called() + " is counted in " + t.Log.Amount.String() + ", and the map's rate-unit, " + m.RateUnit + ", counts something else", Hint: "correct rate-unit; the log has units of its own"}
		case out == nil:
			out, element = t.Log, t.Element
		case t.Element != element:
			return nil, &Error{File: l.source.Name, What: m.Columns.Rate + " is applied by " + element + " and by " + t.Element, Hint: "name the element in columns: rate, one map each"}
		default:
			out.Rows = append(out.Rows, t.Log.Rows...)
			out.Dropped = append(out.Dropped, t.Log.Dropped...)
		}
	}
	if out == nil {
		return nil, &Error{File: l.source.Name, What: "has no log of " + m.Columns.Rate, Hint: "it has those of " + strings.Join(l.names(), ", ")}
	}
	out.Name = l.source.Name
	m.complete(out)
	if len(out.Rows) == 0 {
		return nil, &Error{File: l.source.Name, What: "has no record with a place", Hint: "look at the log on the terminal: it may have had no position"}
	}
	for i := range out.Rows {
		if out.Width == 0 && !(out.Rows[i].Width > 0) {
			return nil, &Error{File: l.source.Name, What: "does not say how wide it works", Hint: "give width in the map, such as width: 70 ft"}
		}
	}
	source := l.source
	source.Records = len(out.Rows)
	return &logFile{Source: source, Log: out}, nil
}

// complete adds what a map says and the log does not, or says otherwise.
func (m *LogMap) complete(log *track.Log) {
	if log.Width == 0 {
		log.Width = unit.Meters(m.Width.Or(0))
	}
	if back := unit.Meters(m.Back.Or(0)) - unit.Meters(m.Front.Or(0)); back != 0 {
		log.Back = back
	}
	log.Delay = float64(m.Delay.Or(0)/unit.Minute) * 60
	if m.Record == "leading" {
		log.Records = track.Leading
	}
}

// newTaskLogMap writes a map for the logs of task data, which say themselves what their
// values are: it names the product alone.
func newTaskLogMap(name string, names []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Which log of %s is meant, and what no log says. It has those of:\n#   %s\n", name, strings.Join(names, ", "))
	b.WriteString("# layer: liquid               # of the plan; needed where it could be several\ncolumns:\n")
	if len(names) == 1 {
		fmt.Fprintf(&b, "  rate: %s # the product or the element that applied it; one map each\n", yamlName(names[0]))
	} else {
		b.WriteString("  # rate: # the product or the element that applied it; one map each\n")
	}
	b.WriteString(`rate-unit:                    # lb/ac or kg/ha of dry, gal/ac or L/ha of a liquid; the log has units of its own
of: product                   # product, mix (water and product) or dry
width: 70 ft                  # taken where the log does not say it
# back: 0 ft                  # from the antenna back to the boom, where the machine does not describe it; front: where the boom is ahead
delay: 0 s                    # by which the material comes later than the log says
record: trailing              # trailing: a record is of the ground before it; leading: behind
# bridge: true                # fill gaps of up to 10 s straight ahead
# weighed: 15.2 ton           # loads out less what came back, or tank fills less the rest
`)
	return b.String()
}
