package app

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rxsplit/geo/shapefile"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
)

// Option is one thing that may be asked for: a flag of the command line, a key of the
// job file and a member of the manifest's parameters, all from this one row.
type Option struct {
	Name    string // of the flag, and of the job file's key
	Help    string // of the flag
	Kind    optionKind
	Default string // what holds and is kept where nothing is said; may be empty
	Member  string // of the manifest, if not the name with "_" for "-"; "-" for none

	Group   string   // what it is about, as the heading of a form
	Choices []string // all that it may be; nil where that can't be listed

	Opens  bool // says how a file is opened, whatever is asked of it
	Splits bool // says which plan is made: a check has no use for it

	// What the job file's template and its form show, of those that a job file can say.
	About, Example string

	// job returns what a job file says; nil for an option that a job file can't say.
	job func(*equip.Job) []string

	// act sets what the value says; nil for documents, files and the way, which act by
	// their names.
	act func(*settings, []string) error
}

// settings are what the options come to.
type settings struct {
	file  read.FileOptions // how a file is opened
	rates read.Options     // how its rates are read
	terms rx.Terms         // what a prescription is held against
	given []rx.Answer      // to what is in doubt
	tasks rx.TaskRequest   // for terminals

	alreadyLayer, alreadyField string // file and field of what was applied this season
	alreadyMap                 string // of the columns, where that file is a machine's log
}

// optionKind is the form of an option's value.
type optionKind int

// The kinds of options.
const (
	oneText  optionKind = iota
	List                // several texts, in their order
	Switch              // "true" or "false"
	Number              // a whole one
	File                // a path; one in a job file counts from where that lies
	Document            // a path likewise, to a text that the manifest keeps whole
)

// Options that act by their names.
const (
	labelName   = "label"
	jobName     = "job"
	unitsName   = "units"
	keepOutName = "keep-out"
	alreadyName = "already-applied"
	alreadyMap  = "already-map"
	wayName     = "way"
	loadingName = "loading"
	dayRunName  = "day-run"
	dateName    = "date"
	dayLeftName = "day-left"
	acceptName  = "accept"
)

// InJob reports whether a job file may say it too.
func (o Option) InJob() bool { return o.job != nil }

// said is what a job file says of it; nothing where that can't say it.
func (o Option) said(j *equip.Job) []string {
	if !o.InJob() {
		return nil
	}
	return o.job(j)
}

// member is the name in the manifest's parameters; empty for none.
func (o Option) member() string {
	return strings.TrimPrefix(cmp.Or(o.Member, strings.ReplaceAll(o.Name, "-", "_")), "-")
}

// Options lists all options, in the order of the manifest and of the job file's template.
func Options() []Option { return slices.Clone(options()) }

var options = sync.OnceValue(func() []Option {
	return slices.Concat(
		grouped("How the file is opened", ofFile()), grouped("Several columns, overlaps", ofRates()), grouped("What is wanted on the ground", ofTerms()),
		grouped("Label, job and setbacks", ofDocuments()), grouped("Task data for terminals", ofTaskData()), grouped("Untreated strips", ofStrips()),
		grouped("For whom and where", ofCards()), grouped("How large a zip may be", ofArchive()),
	)
})

// grouped gives options the heading that they stand under.
func grouped(group string, list []Option) []Option {
	for i := range list {
		list[i].Group = group
	}
	return list
}

// ofFile lists the options that say how a file is read.
func ofFile() []Option {
	return []Option{
		{
			Name: "crs", Opens: true, Help: "coordinate system of the file, such as EPSG:26915, if it does not say it; goes before what it says, with a warning",
			About: "The coordinate system, if the file does not say it.", Example: "EPSG:32615",
			job: func(j *equip.Job) []string { return one(j.CRS) },
			act: func(s *settings, v []string) error { s.file.CRS = v[0]; return nil },
		}, {
			Name: "layer", Opens: true, Help: "which shapefile of a zip",
			About: "Which shapefile of a zip holds the prescription.", Example: "field",
			job: func(j *equip.Job) []string { return one(j.Layer) },
			act: func(s *settings, v []string) error { s.file.Layer = v[0]; return nil },
		},
	}
}

// ofRates lists the options that say what its rates are.
func ofRates() []Option {
	return []Option{
		{
			Name: "rate-field", Help: "field that holds a dry rate; give it again for more products", Kind: List, Member: "rate_fields",
			About: "The field or fields that hold the dry rate; several are added up.", Example: "[RATE]",
			job: func(j *equip.Job) []string { return j.RateFields },
			act: func(s *settings, v []string) error { s.rates.RateFields = v; return nil },
		}, {
			Name: "rate-unit", Choices: unit.DryRateUnits(), Help: "what the rates count: " + strings.Join(unit.DryRateUnits(), ", ") + " (default lb/ac)",
			About: "What the rates count: " + strings.Join(unit.DryRateUnits(), ", ") + ".", Example: "lb/ac",
			job: func(j *equip.Job) []string { return one(j.RateUnit) },
			act: func(s *settings, v []string) error { s.rates.RateUnit = v[0]; return nil },
		}, {
			Name: "rate-of", Choices: equip.RateOf("").Choices(), Help: "rates of product, or of N (with --analysis)",
			About: "Whether rates are of the product, or of its N by the analysis below.", Example: "product",
			job: func(j *equip.Job) []string { return one(j.RateOf) },
			act: func(s *settings, v []string) error { s.rates.RateOf = v[0]; return nil },
		}, {
			Name: "analysis", Help: "grade of the product of each rate field, such as 46-0-0", Kind: List,
			About: "The grade of the product of each rate field, in their order.", Example: "[36.8-0-12]",
			job: func(j *equip.Job) []string { return texts(j.Analysis) },
			act: func(s *settings, v []string) error { s.rates.Analysis = v; return nil },
		}, {
			Name: "carrier", Help: "rate field that is impregnated, if products are spread side by side",
			About: "Which of several fields carries the stabilizer, if they are spread side by side.", Example: "RATE",
			job: func(j *equip.Job) []string { return one(j.Carrier) },
			act: func(s *settings, v []string) error { s.rates.Carrier = v[0]; return nil },
		}, {
			Name: "overlap", Choices: equip.Overlap("").Choices(), Help: "zone that owns ground covered twice: " + strings.Join(equip.Overlap("").Choices(), ", ") + " (default error)",
			About: "Which zone owns ground that two cover: error, first, last or max.", Example: "error",
			job: func(j *equip.Job) []string { return one(j.Overlap) },
			act: func(s *settings, v []string) (err error) { s.rates.Overlap, err = read.ParseOverlap(v[0]); return err },
		},
	}
}

// ofTerms lists the options that a prescription is held against, and released by.
func ofTerms() []Option {
	return []Option{
		{
			Name: "stabilizer-rate", Help: `intended rate, such as "30 fl oz/ac" (default the middle of the label)`,
			About: "The stabilizer rate that is wanted on the ground.", Example: "30 fl oz/ac",
			job: func(j *equip.Job) []string { return known(j.StabilizerRate) },
			act: quantity(func(s *settings) *unit.LiquidRate { s.terms.IntendedAssumed = false; return &s.terms.Intended }, unit.Parse[unit.LiquidRate]),
		}, {
			Name: loadingName, Help: `loading that the plant has fixed, such as "320 fl oz/ton"`,
			About: "Stabilizer per ton of dry, if the plant has already fixed it.", Example: "320 fl oz/ton",
			job: func(j *equip.Job) []string { return known(j.Loading) },
			act: quantity(func(s *settings) *unit.Loading { return &s.terms.Loading }, parseLoading),
		}, {
			Name: "rate-error", Help: `rate error of the spreader, such as 3% (default 5%, common practice); 0 turns it off`,
			About: "How far the spreader's rate may be off, up or down; 5 % is assumed where nothing is said.", Example: "5 %",
			job: spreadError,
			act: rateError,
		}, {
			Name: alreadyName, Help: `stabilizer already applied this season, such as "10 fl oz/ac", or a layer or a log of what was`,
			About: "Stabilizer that the field has had this season.", Example: "0 fl oz/ac",
			job: func(j *equip.Job) []string { return known(j.AlreadyApplied) },
			act: alreadyApplied,
		}, {
			Name: "already-field", Help: "field of that layer with the rate of stabilizer, in the units shown (default STAB_RATE)", Example: "STAB_RATE",
			act: alreadyField,
		}, {
			Name: alreadyMap, Help: "what the columns hold, where it is a machine's log; rxsplit applied new writes one", Kind: File, Example: "map.yaml",
			act: alreadyMapped,
		}, {
			Name: unitsName, Choices: unit.US.Choices(), Help: "units to show and write: us or metric (default us)", Default: unit.US.String(),
			About: "Units to show and to write: us or metric.", Example: "us",
			job: func(j *equip.Job) []string { return known(j.Units) },
			act: quantity(func(s *settings) *unit.System { return &s.terms.Units }, unit.ParseSystem),
		}, {
			Name: wayName, Splits: true, Help: equip.WayChoice() + " (default " + string(equip.Ways()[0].Name) + ")", Member: "-", // the manifest names it beside
			About: "The way to release it: " + equip.WayChoice() + ".", Example: string(equip.Ways()[0].Name),
			job: func(j *equip.Job) []string { return one(j.Way) },
		}, {
			Name: "leave-off", Help: "let zones that can't be reached stay untreated", Kind: Switch,
			About: "Whether zones that can't be reached may stay untreated.", Example: "no",
			job: func(j *equip.Job) []string { return yes(j.LeaveOff) },
			act: quantity(func(s *settings) *bool { return &s.terms.LeaveOff }, strconv.ParseBool),
		}, { // a job file is used again, and an answer is of one file
			Name: acceptName, Splits: true, Help: `why what a rule puts in doubt is meant as it stands: RULE="reason"; again for more`, Kind: List,
			act: func(s *settings, v []string) (err error) { s.given, err = parseAnswers(v); return err },
		},
	}
}

// ofDocuments lists the options that name further files.
func ofDocuments() []Option {
	return []Option{
		{
			Name: labelName, Help: "label profile (YAML); rxsplit label new writes one to fill in", Kind: Document,
			About: "The label profile, a file beside this one.", Example: "label.yaml",
			job: func(j *equip.Job) []string { return one(j.Label) },
		}, {
			Name: jobName, Help: "job file (YAML) with these flags and the equipment; flags win", Kind: Document,
		}, {
			Name: keepOutName, Help: "polygons (setbacks) that are cut out of the liquid layer", Kind: File,
			About: "A file of polygons where no stabilizer may go.", Example: "keepout.geojson",
			job: func(j *equip.Job) []string { return one(j.KeepOut) },
		},
	}
}

// ofCards lists the options that cards and sheets are headed with, where one job serves several fields.
func ofCards() (list []Option) {
	for _, o := range []struct {
		name, help string
		of         func(*equip.Job) *string
	}{
		{"customer", "for whom the field is done, on cards and sheets; in place of the job's", func(j *equip.Job) *string { return &j.Customer }},
		{"field", "what people call the field, likewise", func(j *equip.Job) *string { return &j.Field }},
		{"place", "where it lies, such as its legal location, likewise", func(j *equip.Job) *string { return &j.Place }},
		{dayRunName, "the run of a plant's day that the blend is made in with that of other fields, or with left-over blend: its blender cards defer to that of the run; " + equip.NoRun + " where it gets left-over blend alone", func(j *equip.Job) *string { return &j.Run }},
	} {
		list = append(list, Option{Name: o.name, Splits: true, Help: o.help, Example: "text", act: onJob(o.of, func(text string) (string, error) { return text, nil })})
	}
	return append(list, Option{
		Name: dateName, Splits: true, Example: "2026-05-04", Help: "the day of the work, likewise",
		act: onJob(func(j *equip.Job) *label.Date { return &j.Date }, func(text string) (d label.Date, err error) {
			err = d.UnmarshalText([]byte(text))
			return d, err
		}),
	}, Option{
		Name: dayLeftName, Splits: true, Kind: List, Example: "[230 fl oz/ton]",
		Help: "loading of left-over blend that a part of the field gets in a plant's day; again for more: rates on the ground count it",
		act: func(s *settings, v []string) error {
			for _, text := range v {
				l, err := parseLoading(text)
				if err != nil {
					return err
				}
				s.terms.LeftOver = append(s.terms.LeftOver, l)
			}
			return nil
		},
	})
}

// ofArchive lists the options that bound what a zip may hold.
func ofArchive() []Option {
	limits := shapefile.DefaultLimits()
	return []Option{
		{
			Name: "zip-entries", Opens: true, Help: "most entries of a zip", Kind: Number, Member: "zip.entries", Default: strconv.Itoa(limits.MaxEntries),
			act: number(func(s *settings, n int64) { s.file.Archive.MaxEntries = int(n) }),
		}, {
			Name: "zip-bytes", Opens: true, Help: "most bytes that a zip's layer unpacks to", Kind: Number, Member: "zip.bytes", Default: strconv.FormatInt(limits.MaxUnpacked, 10),
			act: number(func(s *settings, n int64) { s.file.Archive.MaxUnpacked = n }),
		}, {
			Name: "zip-ratio", Opens: true, Help: "most times that a part of a zip grows when it is unpacked", Kind: Number, Member: "zip.ratio", Default: strconv.Itoa(limits.MaxRatio),
			act: number(func(s *settings, n int64) { s.file.Archive.MaxRatio = int(n) }),
		},
	}
}
