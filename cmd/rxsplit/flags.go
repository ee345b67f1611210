package main

import (
	"strings"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo/shapefile"
	"rxsplit/label/unit"
)

// options are the flags that say how a prescription is read and what it is held
// against. What a job file says stands in for flags that are not given.
type options struct {
	crs, layer     string
	rateFields     []string
	rateUnit       string
	rateOf         string
	analysis       []string
	carrier        string
	overlap        string
	label          string
	job            string
	stabilizerRate string
	loading        string
	rateError      string
	alreadyApplied string
	units          string
	keepOut        string
	leaveOff       bool
	zip            shapefile.Limits
}

// fileFlags adds the flags that say how a file is opened.
func (o *options) fileFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.crs, "crs", "", "coordinate system of the file, such as EPSG:26915, if it does not say it; goes before what it says, with a warning")
	f.StringVar(&o.layer, "layer", "", "which shapefile of a zip")
	limits := shapefile.DefaultLimits()
	f.IntVar(&o.zip.MaxEntries, "zip-entries", limits.MaxEntries, "most entries of a zip")
	f.Int64Var(&o.zip.MaxUnpacked, "zip-bytes", limits.MaxUnpacked, "most bytes that a zip's layer unpacks to")
	f.IntVar(&o.zip.MaxRatio, "zip-ratio", limits.MaxRatio, "most times that a part of a zip grows when it is unpacked")
}

// flags adds all of them.
func (o *options) flags(cmd *cobra.Command) {
	o.fileFlags(cmd)
	f := cmd.Flags()
	f.StringArrayVar(&o.rateFields, "rate-field", nil, "field that holds a dry rate; give it again for more products")
	f.StringVar(&o.rateUnit, "rate-unit", "", "what the rates count: lb/ac, kg/ha... (default lb/ac)")
	f.StringVar(&o.rateOf, "rate-of", "", "rates of product, or of N (with --analysis)")
	f.StringArrayVar(&o.analysis, "analysis", nil, "grade of the product of each rate field, such as 46-0-0")
	f.StringVar(&o.carrier, "carrier", "", "rate field that is impregnated, if products are spread side by side")
	f.StringVar(&o.overlap, "overlap", "", "zone that owns ground covered twice: error, first, last, max (default error)")
	f.StringVar(&o.label, "label", "", "label profile (YAML); rxsplit label new writes one to fill in")
	f.StringVar(&o.job, "job", "", "job file (YAML) with these flags and the equipment; flags win")
	f.StringVar(&o.stabilizerRate, "stabilizer-rate", "", `intended rate, such as "30 fl oz/ac" (default the middle of the label)`)
	f.StringVar(&o.loading, "loading", "", `loading that the plant has fixed, such as "320 fl oz/ton"`)
	f.StringVar(&o.rateError, "rate-error", "", `rate error of the spreader, such as 5%`)
	f.StringVar(&o.alreadyApplied, "already-applied", "", `stabilizer already applied this season, such as "10 fl oz/ac"`)
	f.StringVar(&o.units, "units", "", "units to show and write: us or metric (default us)")
	f.StringVar(&o.keepOut, "keep-out", "", "polygons (setbacks) that are cut out of the liquid layer")
	f.BoolVar(&o.leaveOff, "leave-off", false, "let zones that can't be reached stay untreated")
}

// system returns the units to show, as far as the flag says them: US units without it.
func (o *options) system() (unit.System, error) {
	if o.units == "" {
		return unit.US, nil
	}
	s, err := unit.ParseSystem(o.units)
	if err != nil {
		return s, &hinted{"--units: " + err.Error(), ""}
	}
	return s, nil
}

// deciding lists the flags that decide a result, in the order in which they are typed
// again.
func deciding() []string {
	return []string{"label", "job", "crs", "layer", "rate-field", "rate-unit", "rate-of", "analysis", "carrier", "overlap",
		"stabilizer-rate", "loading", "rate-error", "already-applied", "units", "keep-out", "leave-off",
		"zip-entries", "zip-bytes", "zip-ratio"}
}

// commandWords returns the file and the flags of this call, to be typed again.
func commandWords(cmd *cobra.Command, path string) string {
	words := []string{report.Word(path)}
	for _, name := range deciding() {
		flag := cmd.Flags().Lookup(name)
		if flag == nil || !flag.Changed {
			continue
		}
		if flag.Value.Type() == "bool" {
			words = append(words, "--"+name+"="+flag.Value.String())
			continue
		}
		values := []string{flag.Value.String()}
		if list, ok := flag.Value.(interface{ GetSlice() []string }); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			words = append(words, "--"+name, report.Word(v))
		}
	}
	return strings.Join(words, " ")
}
