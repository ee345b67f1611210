package read

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/geo/taskdata"
)

// logKeys are the columns of a map with words that their names hold, in the order of the
// template.
var logKeys = []struct{ key, what, words string }{
	{"lon", "longitude or easting, of a CSV", "lon long longitude x easting"},
	{"lat", "latitude or northing, of a CSV", "lat latitude y northing"},
	{"time", "time; say its form below", "time timestamp datetime isotime gpstime epoch"},
	{"rate", "what was applied; needed", "rate apprate appliedrate actualrate rateapplied actual applied"},
	{"target", "what was to be applied", "target targetrate tgtrate tgt setpoint prescribed"},
	{"width", "working width; say its unit below", "width swathwidth swath swathwdth workingwidth"},
	{"on", "1 or 0, or a digit for each section", "on status workstate boomstate applying switch"},
	{"machine", "which machine, where there are several", "machine vehicle machineid implement"},
	{"flow", "amount per time; say its unit below", "flow flowrate massflow"},
	{"total", "the machine's counter; say its unit below", "total counter accumulated"},
}

// NewLogMapOf writes a map for a log, with comments. A key is filled in only where the name of
// just one column says that it is meant.
func NewLogMapOf(path string, opt FileOptions) (string, error) {
	logs, err := openTaskLogs(path, opt, func(taskdata.Track) bool { return false })
	if err != nil {
		return "", err
	}
	if logs != nil {
		return newTaskLogMap(logs.source.Name, logs.names()), nil
	}
	names, isText, err := logColumnsOf(path, opt)
	if err != nil {
		return "", err
	}
	return newLogMap(filepath.Base(path), names, isText), nil
}

// logColumnsOf lists the columns of a log, and whether it is CSV.
func logColumnsOf(path string, opt FileOptions) (names []string, isText bool, err error) {
	if isCSV(path) {
		_, err = readCSV(path, opt.Context, func(c *csvFile) error {
			names = c.names
			return c.each(path, func(int, []string) {})
		})
		return names, true, err
	}
	f, err := openLog(path, opt)
	if err != nil {
		return nil, false, err
	}
	return f.fieldNames(), false, nil
}

// newLogMap writes a map for a log with these columns, with comments. A key is filled in only
// where the name of just one column says that it is meant.
func newLogMap(name string, names []string, isText bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# What the columns of %s hold. Fill in what is left open, and take out what the log\n# does not have. Its columns are:\n", name)
	for line := range slices.Chunk(names, 8) {
		fmt.Fprintf(&b, "#   %s\n", strings.Join(line, ", "))
	}
	b.WriteString("# layer: liquid               # of the plan; needed where it could be several\ncolumns:\n")
	for _, k := range logKeys {
		if !isText && (k.key == "lon" || k.key == "lat") {
			continue
		}
		switch fit := meant(names, k.words); len(fit) {
		case 1:
			fmt.Fprintf(&b, "  %s: %s # %s\n", k.key, yamlName(fit[0]), k.what)
		case 0:
			fmt.Fprintf(&b, "  # %s: # %s\n", k.key, k.what)
		default:
			fmt.Fprintf(&b, "  # %s: # %s; %s: which of them?\n", k.key, k.what, strings.Join(fit, " or "))
		}
	}
	b.WriteString(`  # heading: # degrees from north; leave it out unless it is better than the track
# time-form: iso              # epoch-s, epoch-ms, iso or clock
rate-unit:                    # of rate and target, such as lb/ac, kg/ha, fl oz/ac, gal/ac, L/ha
of: product                   # product, mix (water and product) or dry
# width: 70 ft                # where no column holds it
# width-unit: m               # of the column
# sections: [10 ft, 10 ft]    # widths from the left, where on has a digit for each
# flow-unit: lb/min
# total-unit: lb
back: 0 ft                    # from the antenna back to the boom; front: where the boom is ahead
delay: 0 s                    # by which the material comes later than the log says
record: trailing              # trailing: a record is of the ground before it; leading: behind
# bridge: true                # fill gaps of up to 10 s straight ahead
# weighed: 15.2 ton           # loads out less what came back, or tank fills less the rest
# holds:                      # for --already-applied: what is in it. Of dry a loading; of a mix a
#   - {liquid: stabilizer, part: 320 fl oz/ton}    # share, or 30 fl oz/ac in 10 gal/ac
`)
	return b.String()
}

// meant lists the columns whose folded name is one of the words.
func meant(names []string, words string) (fit []string) {
	list := strings.Fields(words)
	for _, n := range names {
		folded := strings.Map(func(r rune) rune {
			if r == '_' || r == ' ' || r == '-' || r == '.' {
				return -1
			}
			return r
		}, strings.ToLower(n))
		if slices.Contains(list, folded) {
			fit = append(fit, n)
		}
	}
	return fit
}

// yamlName puts a name in quotes where YAML would take it for something else.
func yamlName(name string) string {
	plain := func(r rune) bool {
		return r == '_' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r >= '0' && r <= '9'
	}
	if strings.TrimFunc(name, plain) == "" && name != "" && !slices.Contains([]string{"on", "off", "yes", "no", "y", "n", "true", "false", "null"}, strings.ToLower(name)) {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}
